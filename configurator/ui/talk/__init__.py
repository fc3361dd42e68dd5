"""The talk with a customer: goals, parts, build and comparison, drawn by one component of our own.

Each module of this package makes what one part of the talk shows, as plain data; the scripts in
`assets` draw it, and send back what was tapped, which `acts` carries out. Imported by
`configurator.ui` only.

Begin with `answer`.
"""
