"""Put a new list in the place of the old one: at any moment there is one of them, whole."""

from __future__ import annotations

import contextlib
import os
import shutil
from typing import TYPE_CHECKING

from configurator.supplier_lists.price_lists import refused

if TYPE_CHECKING:
    import datetime
    from collections.abc import Callable
    from pathlib import Path
    from typing import TextIO

EARLIER = "earlier"


def replace_file(path: Path, write: Callable[[TextIO], None]) -> None:
    """Write a file beside the old one and put it in its place when it is safely on the disk.

    Parameters
    ----------
    path
        Of the file.
    write
        Writes the text.

    Raises
    ------
    InputError
        If the disk is full or the like; the old file is as it was.
    """
    for left in path.parent.glob(f".{path.name}.new-*"):  # of a program that was stopped
        with contextlib.suppress(OSError):
            left.unlink()
    beside = path.with_name(f".{path.name}.new-{os.getpid()}")
    try:
        with beside.open("w", encoding="utf-8", newline="") as stream:
            write(stream)
            stream.flush()
            os.fsync(stream.fileno())
        os.replace(beside, path)
    except OSError as problem:
        with contextlib.suppress(OSError):
            beside.unlink()
        raise refused(
            str(path),
            f"could not be written: {problem.strerror or problem}; nothing was changed",
            "make room or check the rights, and import again",
        ) from None
    except BaseException:
        with contextlib.suppress(OSError):
            beside.unlink()
        raise
    _to_disk(path.parent)


def _to_disk(folder: Path) -> None:
    """Have the folder itself written, so that the new name outlasts a power cut."""
    # Some systems cannot open a folder; the list is in its place all the same.
    with contextlib.suppress(OSError):
        opened = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(opened)
        finally:
            os.close(opened)


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
        with path.open("rb") as old, beside.open("wb") as copy:
            shutil.copyfileobj(old, copy)
            copy.flush()
            os.fsync(copy.fileno())
        for count in range(1, 1000):
            more = f"-{count}" if count > 1 else ""
            kept = folder / f"{path.stem}-{day.isoformat()}{more}{path.suffix}"
            if kept.exists():
                continue
            try:
                os.link(beside, kept)  # fails where the name is taken, which a renaming would not
            except FileExistsError:
                continue
            except OSError:  # a disk without links: whoever took the name since, loses nothing
                with kept.open("xb") as taken, beside.open("rb") as new:
                    shutil.copyfileobj(new, taken)
                    taken.flush()
                    os.fsync(taken.fileno())
            _to_disk(folder)
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
    raise refused(str(folder), "a thousand lists of this day are kept there", "clear it up")
