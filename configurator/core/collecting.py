"""How often Python looks for cycles of objects that nothing needs any more.

What is made while plugins are read or a case is made ready stays: to look through all of it again
and again takes a twentieth of the time, and finds nothing.
"""

from __future__ import annotations

import gc
import threading
from contextlib import contextmanager
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterator

# Objects made, and collections of younger ones, before older ones are looked through.
SELDOM = (50_000, 20, 20)

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
