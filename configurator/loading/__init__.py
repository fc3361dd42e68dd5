"""Find plugin files, load them, and say what failed and why.

Imports `core`, `model` and the two public modules; nothing below the command line, the pages,
the testing kit and what is saved needs it.

Begin with `plugin_files.load`.
"""
