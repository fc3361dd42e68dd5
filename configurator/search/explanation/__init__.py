"""Why nothing fits, in irreducible sets, and which correction sets give a way out.

Imports the parts of the search named before it.

Begin with `conflicts`.
"""
