"""Saved jobs and quotations on the page.

Imported by `configurator.ui.page_frame`.

Begin with `overview`.
"""
