"""What everything else stands on: errors, units, money, places on the disk, checks of text.

Any package may import this one; it imports none.

Begin with `units`, the one place where units are turned into SI numbers and back, and `errors`.
"""
