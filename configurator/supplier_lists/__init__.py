"""Take a supplier's price list into a catalog: read it, map its columns, compare, write.

One direction: `open_list` (with `workbooks` and `workbook_safety` for spreadsheets and
`text_tables` for CSV) gives rows of text; `mapping` says which column is which, and `proposing`
makes a first one, with `usual_words` and `sampled_values`; `rows` turns them into rows of a part
list; `list_differences` compares them with the list as it stands, of `earlier_lists`; `taking_over`
does it all in turn, and `replace_list` puts the new list in its place, whole or not at all.

Imports `configurator.files` and what that stands on; the commands and the pages import it.

Begin with `taking_over`.
"""
