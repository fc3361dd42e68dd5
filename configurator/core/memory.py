"""How often Python looks for cycles of objects, and when memory goes back to the system.

What is made while plugins are read or a case is made ready stays: to look through all of it again
and again takes a twentieth of the time, and finds nothing. Columns of values come and go: to give
their memory back each time, and ask for it anew, takes as long again.
"""

from __future__ import annotations

import ctypes
import gc
import os
import threading
from contextlib import contextmanager
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterator

# Objects made, and collections of younger ones, before older ones are looked through.
SELDOM = (50_000, 20, 20)

# Settings of GNU's C library (mallopt(3)): what is free at the top of the heap goes back beyond the
# first, that much more is asked for at once, and what is larger has a mapping of its own [bytes].
_TRIM_THRESHOLD, _TOP_PAD, _MMAP_THRESHOLD = -1, -2, -3
KEPT = {_TRIM_THRESHOLD: 2**29, _TOP_PAD: 2**24, _MMAP_THRESHOLD: 2**25}

_lock = threading.Lock()
_before: list[tuple[int, int, int]] = []


def collect_seldom() -> None:
    """Look for cycles seldom from now on."""
    gc.set_threshold(*SELDOM)


@contextmanager
def collected_seldom() -> Iterator[None]:
    """Look for cycles seldom for a while; as before once the last of those who ask for it ends."""
    with _lock:
        _before.append(gc.get_threshold())
        if 0 < _before[0][0] < SELDOM[0]:
            collect_seldom()
    try:
        yield
    finally:
        with _lock:
            known = _before.pop()
            if not _before:
                gc.set_threshold(*known)


def keep_freed() -> bool:
    """Keep memory that was freed, up to half a gigabyte: for a program that ends soon.

    Returns
    -------
    bool
        Whether the C library is one that can be asked for that.
    """
    setting = getattr(ctypes.CDLL(None), "mallopt", None) if os.name == "posix" else None
    return setting is not None and all(setting(*each) == 1 for each in KEPT.items())
