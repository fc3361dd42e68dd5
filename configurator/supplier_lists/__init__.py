"""Take a supplier's price list into a catalog: read it, map its columns, compare, write.

One direction: `open_list` (with `workbooks`, `sheet_facts`, `open_documents` and `workbook_safety`
for spreadsheets and `text_tables` for CSV) gives rows of text; `mapping` says which column is
which, `mapping_files` keeps it, and `proposing` makes a first one, with `guesses`, `noted_columns`,
`usual_words` and `sampled_values`; `column_readings` and `cells` read the columns, in the trade's
`notations` too; `rows` turns them into rows of a part list, `causes` counts what is wrong;
`list_differences` compares them with the list as it stands, of `earlier_lists`; `taking_over` does
it all in turn, and `dated_copies` keeps the old list before the new one takes its place.

Imports `configurator.files` and what that stands on; the commands and the pages import it.

Begin with `taking_over`.
"""
