"""Vehicle, parts, rules and goals as tables of codes: the constraint model.

Imports `evaluation`; the rest of the search imports it.

Begin with `encoder`.
"""
