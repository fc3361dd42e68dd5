"""Variable elimination: tables are joined into a circuit, and passes over it answer questions.

Imports `search.encoding` only.

Begin with `elimination` (the order and the joins), `nodes` (what is kept) and `passes`.
"""
