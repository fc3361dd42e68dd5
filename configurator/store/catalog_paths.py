"""Write the catalogs that a job names by path so that the job can be read from any folder."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from pathlib import Path

    from configurator.model.jobs import Job


def absolute(job: Job, base: Path) -> Job:
    """Put whole paths for those that are relative to a folder; names stay names.

    Parameters
    ----------
    job
        As read from a file.
    base
        The folder of that file.
    """

    def named(name: str) -> str:
        return str((base / name).resolve()) if _is_path(name) else name

    def thing(key: str) -> str:
        catalog, slash, name = key.rpartition("/")
        return f"{named(catalog)}{slash}{name}"

    return replace(
        job,
        catalogs=tuple(named(name) for name in job.catalogs),
        vehicle=thing(job.vehicle),
        workshop=None if job.workshop is None else named(job.workshop),
        local_rules=None if job.local_rules is None else thing(job.local_rules),
    )


def _is_path(name: str) -> bool:
    return name.startswith(".") or re.search(r"[/\\]", name) is not None
