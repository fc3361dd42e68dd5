"""Keep a dated copy of a list before a new one takes its place; nothing is written over."""

from __future__ import annotations

import contextlib
import glob
import os
import shutil
from typing import TYPE_CHECKING

from configurator.core.atomic_files import clear_leftovers, name_once
from configurator.supplier_lists.price_lists import refused

if TYPE_CHECKING:
    import datetime
    from pathlib import Path

EARLIER = "earlier"
MOST_A_DAY = 999


def keep_earlier(path: Path, day: datetime.date) -> Path:
    """Keep a dated copy of a list; one that is already there is never overwritten.

    Returns
    -------
    Path
        Of the copy.

    Raises
    ------
    InputError
        If it cannot be written.
    """
    folder = path.parent / EARLIER
    beside = folder / f".{path.name}.new-{os.getpid()}"
    try:
        folder.mkdir(exist_ok=True)
        clear_leftovers(folder, f".{glob.escape(path.name)}.new-*")
        with path.open("rb") as old, beside.open("wb") as copy:
            shutil.copyfileobj(old, copy)
            copy.flush()
            os.fsync(copy.fileno())
        for count in range(1, MOST_A_DAY + 1):
            more = f"-{count}" if count > 1 else ""
            kept = folder / f"{path.stem}-{day.isoformat()}{more}{path.suffix}"
            if kept.exists():
                continue
            try:
                name_once(beside, kept)
            except FileExistsError:
                continue
            return kept
    except OSError as problem:
        raise refused(
            str(folder),
            f"the old list could not be kept: {problem.strerror or problem}; nothing was changed",
            "make room or check the rights, and import again",
        ) from None
    finally:
        with contextlib.suppress(OSError):
            beside.unlink()
    what = f"{MOST_A_DAY} lists of this day are kept there"
    raise refused(str(folder), what, "clear it up")
