"""A digest of source code: what was worked out by other code is not believed."""

from __future__ import annotations

import hashlib
import sys
import time
from functools import cache
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from collections.abc import Iterable
    from pathlib import Path

# A source that was changed later than this may not be what this program runs: it began to read its
# modules at most a minute before it came to this one.
_READ_BEFORE = time.time() - 60


def code_digest(folders: Iterable[Path]) -> str:
    """Hash all modules in some folders, and the versions of what runs them.

    Whether a module was changed is looked at each time, as plugins may be loaded anew.

    Returns
    -------
    str
        Empty where the sources are not there, or may have been changed since they were read.
    """
    listed: list[tuple[str, Path]] = []
    try:
        for folder in folders:
            files = sorted(folder.rglob("*.py"))
            if not files or max(file.stat().st_mtime for file in files) > _READ_BEFORE:
                return ""
            listed += [(file.relative_to(folder).as_posix(), file) for file in files]
        return _hashed(tuple(listed))
    except OSError:
        return ""


@cache
def _hashed(files: tuple[tuple[str, Path], ...]) -> str:
    versions = (sys.version, sys.platform, np.__version__)
    digest = hashlib.sha256(repr(versions).encode())
    for name, file in files:
        source = file.read_bytes()
        digest.update(f"{name} {len(source)}\n".encode() + source)
    return digest.hexdigest()
