"""How many packages there are, in all and with each option: model counting, exact integers.

Imports the parts of the search named before it.

Begin with `model_counting`.
"""
