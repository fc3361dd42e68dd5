"""The notations of the trade, read and written back: tyre sizes, rims, bolt patterns, threads.

One module for each thing that is noted; `registry` names them all, as a mapping does with
``read = "tyre size"``, and `notation` says what a notation is. Every reader is exact, refuses what
can be read in two ways with both readings, and has its inverse: what is written is read back.

Imports `configurator.core` and `configurator.formulas`; the other modules of `supplier_lists`
import it.

Begin with `notation`, then `registry`.
"""
