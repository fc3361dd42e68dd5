"""Keeps what stays from being looked over after every click.

Streamlit collects garbage after every run of the page, and looks at everything that is not frozen
for it: cases, answers of all visitors, what they were shown. With 25 visitors that took longer
than all else together. What is there when a run begins is therefore frozen, so that only what the
run itself made is looked over; what has become garbage since is swept now and then.
"""

from __future__ import annotations

import ctypes
import gc
import os
import threading
import time
from itertools import count

from configurator.core.progress import Progress
from configurator.ui.talk.turns import STILL, TURNS

# Runs of the page between two sweeps: a sweep of a large shop's cases takes about a second.
EVERY = 1_000

_runs = count(1)
_lock = threading.Lock()
_waiting: list[threading.Thread] = []


def sweep() -> None:
    """Collect what has become garbage, frozen or not, and give its memory back to the system."""
    gc.unfreeze()
    gc.collect()
    gc.freeze()
    # Where the C library is GNU's, free memory stays with the program until it is told.
    trim = getattr(ctypes.CDLL(None), "malloc_trim", None) if os.name == "posix" else None
    if trim is not None:
        trim(0)


def spare_what_stays() -> None:
    """Freeze what there is; every so many runs, sweep it first. To be called as a run begins."""
    if next(_runs) % EVERY == 0:
        gc.unfreeze()
        gc.collect()
    gc.freeze()


def sweep_when_still() -> None:
    """Sweep once nobody clicks and nothing is worked out: once for all who ask meanwhile."""
    with _lock:
        if not _waiting:
            _waiting.append(threading.Thread(target=_sweep_when_still, daemon=True))
            _waiting[0].start()


def _sweep_when_still() -> None:
    time.sleep(STILL)  # who asks is about to draw a page
    with TURNS.taken(Progress(), ahead=True):
        with _lock:
            _waiting.clear()
        sweep()
