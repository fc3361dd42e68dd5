"""The search: exact answers over all packages, by variable elimination.

`encoding` puts vehicle, parts and rules into tables; `circuit` joins them in a good order into a
circuit of index arrays, over which passes answer questions; where that gets too wide it makes a
circuit of bounds, or one for each part of the position most hangs on. `optimum` finds the cheapest
package and every option's price and proves them, and holds every package against the original
rule functions by python-constraint; `pareto`, `counting` and `explanation` ask the same circuits.
They import in this order; `configurator.questions` imports them all.

Begin with `optimum.preparing`, which makes a case ready, and `optimum.queries`.
"""
