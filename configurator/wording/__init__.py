"""Answers in words and as plain data, for the command line, the pages and the sheets alike."""
