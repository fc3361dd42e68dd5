"""Documents: quotation, build sheet, handover, order list and as-built sheet.

Imports everything up to `configurator.as_built`; what is saved, the commands and the pages import
it.

Begin with `layout` (what is on a sheet, whatever it is written as) and `handover_sheet`, the
shortest document. A new one is a function that returns a `Sheet`; a command of a few lines hands it
to `configurator.cli.document_files.write_sheet`.
"""
