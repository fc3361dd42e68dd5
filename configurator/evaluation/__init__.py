"""What the rules say of one package: figures, margins, prices, the work and its sequence.

Imports `core` and `model`; the search, the documents and the drawings ask it, so that all of them
say the same thing.

Begin with `evaluator`, which calls the rule functions, and `packages`.
"""
