"""The front door: what a workshop asks, and a job under discussion.

Imports everything up to the search; the command line, the pages and scripts ask here.

Begin with `answers`.
"""
