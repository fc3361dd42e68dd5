"""Fronts of price against figures, sums and delivery times, and packages that really differ.

Imports the parts of the search named before it.

Begin with `fronts`.
"""
