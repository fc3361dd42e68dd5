"""The commands, a module each, called like the command.

Imported by `configurator.cli.program` only.

Begin with `find`.
"""
