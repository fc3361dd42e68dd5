"""A digest of source code: what was worked out by other code is not believed."""

from __future__ import annotations

import hashlib
import sys
import time
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

    Returns
    -------
    str
        Empty where the sources are not there, or may have been changed since they were read.
    """
    versions = (sys.version, sys.platform, np.__version__)
    digest = hashlib.sha256(repr(versions).encode())
    try:
        for folder in folders:
            files = sorted(folder.rglob("*.py"))
            if not files:
                return ""
            for file in files:
                source = file.read_bytes()
                if file.stat().st_mtime > _READ_BEFORE:
                    return ""
                name = file.relative_to(folder).as_posix()
                digest.update(f"{name} {len(source)}\n".encode() + source)
    except OSError:
        return ""
    return digest.hexdigest()
