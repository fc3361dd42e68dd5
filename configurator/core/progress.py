"""How far work is, and whether it is to stop: one shape for the command line and the page.

Whoever begins work that takes longer than a moment follows it with a `Progress`. The work itself
knows nothing of who asked: it calls `report` where it counts steps and `check` between steps, and
there it learns that somebody stopped it. A stop is met once: work that was asked for what is known
by then catches `Cancelled`, and finishes with that.

Examples
--------
>>> progress = Progress("{done} of {of} parts")
>>> with followed(progress):
...     report(3, 8)
>>> progress.words
'3 of 8 parts'
"""

from __future__ import annotations

from contextlib import contextmanager
from contextvars import ContextVar
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator


class Cancelled(BaseException):
    """Somebody stopped the work; no rule's ``except Exception`` may take it for its own."""


class Progress:
    """How far some work is, and whether somebody stopped it; for any thread to read.

    Parameters
    ----------
    template
        How a report is put into words, with ``{done}`` and ``{of}``.
    give_way
        Called between steps: it returns when the work may go on. None where nothing is more
        pressing.
    """

    def __init__(self, template: str = "", give_way: Callable[[], None] | None = None) -> None:
        self.template = template
        self.words = ""
        self.give_way = give_way
        # How many parts of the answer are there already, for whoever shows it before its end.
        self.parts_known = 0
        # Whether it was stopped at all, and whether the work has not met that yet.
        self._cancelled = self._waits = False

    def report(self, done: int = 0, of: int = 0, words: str = "") -> None:
        """Note how far it is, by numbers or in words.

        Raises
        ------
        Cancelled
            If somebody stopped it.
        """
        if words or self.template:  # else steps are of no interest, and what was said stays
            self.words = words or self.template.format(done=done, of=of)
        self.check()

    def cancel(self) -> None:
        """Let the work meet `Cancelled` at its next step."""
        self._cancelled = self._waits = True

    def cancelled(self) -> bool:
        """Whether somebody stopped it: what it gives all the same is not all of it."""
        return self._cancelled

    @property
    def waits(self) -> bool:
        """Whether it was stopped, and has not met that yet."""
        return self._waits

    def check(self) -> None:
        """Go on when it may, unless somebody stopped it.

        Raises
        ------
        Cancelled
            If so, once.
        """
        if self.give_way is not None and not self._waits:
            self.give_way()
        if self._waits:
            self._waits = False
            raise Cancelled


_followed: ContextVar[Progress | None] = ContextVar("progress", default=None)


@contextmanager
def followed(progress: Progress) -> Iterator[Progress]:
    """Follow what is done in this thread meanwhile."""
    token = _followed.set(progress)
    try:
        yield progress
    finally:
        _followed.reset(token)


def report(done: int, of: int) -> None:
    """Tell whoever follows how far it is.

    Raises
    ------
    Cancelled
        If somebody stopped it.
    """
    progress = _followed.get()
    if progress is not None:
        progress.report(done, of)


def check() -> None:
    """Go on when it may, unless somebody stopped what this thread does.

    Raises
    ------
    Cancelled
        If so, once.
    """
    progress = _followed.get()
    if progress is not None and (progress.give_way is not None or progress.waits):
        progress.check()


def part_known() -> None:
    """Tell whoever follows that a part of the answer is there."""
    progress = _followed.get()
    if progress is not None:
        progress.parts_known += 1
