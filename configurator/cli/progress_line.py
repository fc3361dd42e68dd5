"""A word to the person at the terminal while something takes longer than a moment."""

from __future__ import annotations

import sys
import threading
from contextlib import contextmanager
from typing import TYPE_CHECKING, TextIO

from configurator.core.progress import Progress, followed

if TYPE_CHECKING:
    from collections.abc import Iterator


@contextmanager
def progress(what: str, work: Progress | None = None) -> Iterator[None]:
    """Say on standard error what is being done, if that takes longer than a second.

    Nothing is said where standard error is not a terminal.

    Parameters
    ----------
    what
        What is being done.
    work
        How far that is, where it counts its steps.
    """
    work = work or Progress()
    if not sys.stderr.isatty():
        with followed(work):
            yield
        return
    done = threading.Event()
    ticker = threading.Thread(target=_tick, args=(what, work, sys.stderr, done), daemon=True)
    ticker.start()
    try:
        with followed(work):
            yield
    finally:
        done.set()
        ticker.join()


def _tick(what: str, work: Progress, stream: TextIO, done: threading.Event) -> None:
    waited, written = 1.0, ""
    while not done.wait(1.0):
        sentences = f"{what}, {work.words}" if work.words else what
        # Over all of what stood there before.
        written = f"{sentences} ... {waited:.0f} s".ljust(len(written))
        stream.write(f"\r{written}")
        stream.flush()
        waited += 1.0
    if written:
        # Blanks and not a control code: every terminal knows them.
        stream.write("\r" + " " * len(written) + "\r")
        stream.flush()
