"""Text to records and back: catalogs, lists of parts, vehicles, jobs, links, a shop's own prices.

Imports `core`, `model` and `loading`; asks no rule and no search.

Begin with `catalog_files` for what a shop has, `job_files` for what is asked.
"""
