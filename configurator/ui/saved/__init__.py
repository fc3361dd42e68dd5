"""Saved jobs and quotations on the page.

Imported by `configurator.ui.page`.

Begin with `overview`.
"""
