"""Answers in words and as plain data, for the command line, the pages and the documents alike.

Imports everything up to `configurator.questions`; whoever shows an answer imports it.

Begin with `quantities` (numbers with units) and `sentences`.
"""
