"""A supplier's list and a new vehicle taken in on the page, by who never saw a terminal.

Each part is a function ``show(visit)`` that a page can place. Imports `configurator.supplier_lists`
and the page's own helpers; nothing imports it but the page.

Begin with `supplier_list`; `list_in_hand` is what a visitor works on, `mapping_table` the table
that says which column is which.
"""
