"""What a choice forces: which upgrades, by which rules, and the graph of them.

Imports `questions`, `wording` and `drawings`.

Begin with `upgrades`.
"""
