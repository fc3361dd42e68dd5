"""Atomic writing: at any moment there is the old file or the new one, and whole.

What is written stands beside the file until it is on the disk, and then takes its name. A program
that is killed leaves at most such a file beside the one it wrote; it goes with the next writing
once it is old enough that nobody can still be at work on it.
"""

from __future__ import annotations

import contextlib
import glob
import os
import secrets
import shutil
import stat
import tempfile
import time
from pathlib import Path
from typing import TYPE_CHECKING, Any, Literal

from configurator.core.errors import InputError, Problem

if TYPE_CHECKING:
    from collections.abc import Iterator

# What was not touched for so long was left by a program that was stopped [s].
LEFT_BEHIND = 3600
# Folders of temporary files: an import of the longest list takes minutes [s].
LEFT_FOLDER = 24 * 3600


@contextlib.contextmanager
def atomic_path(path: Path, *, private: bool = False, overwrite: bool = True) -> Iterator[Path]:
    """Name an empty file beside a file that takes its place when it is whole and on the disk.

    Parameters
    ----------
    path
        Of the file.
    private
        Whether a new file may be read by its owner alone; one that is there keeps its rights.
    overwrite
        Whether a file that is there may be replaced.

    Yields
    ------
    Path
        Of the file to write.

    Raises
    ------
    InputError
        If it cannot be written, or is there and may not be replaced: nothing was changed then.
    """
    try:
        target = path.resolve()  # of a link, what it points to
        clear_leftovers(target.parent, f".{glob.escape(target.name[:40])}.new-*")
        beside = target.with_name(f".{target.name[:40]}.new-{secrets.token_hex(4)}")
        try:
            beside.touch(0o600 if private else 0o666, exist_ok=False)
            yield beside
            _sync(beside)
            if overwrite:
                with contextlib.suppress(OSError):
                    beside.chmod(stat.S_IMODE(target.stat().st_mode))
                os.replace(beside, target)
                with contextlib.suppress(OSError):  # some systems cannot open a folder
                    _sync(target.parent)
            else:
                name_once(beside, target)
        finally:
            with contextlib.suppress(OSError):
                beside.unlink()
    except FileExistsError:
        what, do = "is there already; nothing is written over", "name a new file"
        raise InputError([Problem(str(path), what, do)]) from None
    except OSError as problem:
        reason = problem.strerror or problem
        what = f"could not be written: {reason}; nothing was changed"
        do = "make room or check folder and rights, and try again"
        raise InputError([Problem(str(path), what, do)]) from None


@contextlib.contextmanager
def atomic_file(
    path: Path,
    mode: Literal["w", "wb"] = "w",
    *,
    private: bool = False,
    overwrite: bool = True,
) -> Iterator[Any]:
    """Open a file for writing that takes its place when it is whole and safely on the disk.

    Parameters
    ----------
    path, private, overwrite
        As for `atomic_path`; but what is no file, such as a pipe or ``/dev/stdout``, is written
        straight away.
    mode
        ``"w"`` for text in UTF-8, whose line ends are written as they are given; ``"wb"`` for
        bytes.

    Raises
    ------
    InputError
        As `atomic_path` does.
    """
    how: dict[str, Any] = {} if mode == "wb" else {"encoding": "utf-8", "newline": ""}
    if os.path.exists(path) and not (os.path.isfile(path) or os.path.isdir(path)):
        with path.open(mode, **how) as stream:
            yield stream
        return
    with (
        atomic_path(path, private=private, overwrite=overwrite) as beside,
        beside.open(mode, **how) as stream,
    ):
        yield stream


def write_atomically(
    path: Path, content: str | bytes, *, private: bool = False, overwrite: bool = True
) -> None:
    """Write a whole file, or nothing; see `atomic_file`.

    Raises
    ------
    InputError
        As `atomic_file` does.
    """
    mode: Literal["w", "wb"] = "wb" if isinstance(content, bytes) else "w"
    with atomic_file(path, mode, private=private, overwrite=overwrite) as stream:
        stream.write(content)


def name_once(beside: Path, target: Path) -> None:
    """Give a whole file a name that nobody has taken.

    Raises
    ------
    FileExistsError
        If somebody has; what is there stays.
    OSError
        If it cannot be written.
    """
    try:
        os.link(beside, target)  # fails where the name is taken, which a renaming would not
    except FileExistsError:
        raise
    except OSError:  # a disk without links: whoever took the name since, loses nothing
        with target.open("xb") as taken, beside.open("rb") as new:
            shutil.copyfileobj(new, taken)
            taken.flush()
            os.fsync(taken.fileno())
    with contextlib.suppress(OSError):  # some systems cannot open a folder
        _sync(target.parent)


def _sync(path: Path) -> None:
    """Have a file, or a folder with a new name in it, outlast a power cut."""
    opened = os.open(path, os.O_RDONLY)
    try:
        os.fsync(opened)
    finally:
        os.close(opened)


def clear_leftovers(folder: Path, pattern: str, age: float = LEFT_BEHIND) -> None:
    """Delete what stopped programs have left in a folder.

    Parameters
    ----------
    folder
        Where to look.
    pattern
        Of the names, as for `glob`.
    age
        How long nobody must have touched it [s].
    """
    for left in folder.glob(pattern):
        with contextlib.suppress(OSError):
            mine = not hasattr(os, "geteuid") or left.lstat().st_uid == os.geteuid()
            if not mine or left.lstat().st_mtime > time.time() - age:
                continue
            if left.is_dir() and not left.is_symlink():
                shutil.rmtree(left, ignore_errors=True)
            else:
                left.unlink()


@contextlib.contextmanager
def temporary_folder(prefix: str) -> Iterator[Path]:
    """Make a folder that goes when it is closed; those of killed programs go when they are old.

    Parameters
    ----------
    prefix
        What its name begins with, of this use alone.
    """
    clear_leftovers(Path(tempfile.gettempdir()), f"{glob.escape(prefix)}*", LEFT_FOLDER)
    with tempfile.TemporaryDirectory(prefix=prefix) as place:
        yield Path(place)
