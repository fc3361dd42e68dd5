"""The finished vehicle on the page: promised against measured.

Imported by `configurator.ui.page_frame`.

Begin with `finished_vehicle`.
"""
