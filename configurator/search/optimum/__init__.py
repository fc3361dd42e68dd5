"""One proven optimum, and the price of the cheapest package with every option.

Imports `search.encoding` and `search.circuit`.

Begin with `preparing` (a case made ready for questions), `queries` and `option_prices`.
"""
