"""Every option of every position on the page.

Imported by `configurator.ui.page`.

Begin with `option_table`.
"""
