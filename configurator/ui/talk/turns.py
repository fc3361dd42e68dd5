"""Whose turn it is: what follows behind clicks is worked out for one visitor at a time.

A click of anybody comes before what follows behind the clicks of all: two threads that compute at
the same time make a third, that draws a page, wait. So a piece of work waits until no other is
being done; what nobody looks at yet waits until nobody has clicked for a while. And whatever is
done in a thread rests between its steps while somebody's page is drawn.
"""

from __future__ import annotations

import time
from contextlib import contextmanager, nullcontext
from threading import Condition, Lock, local
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterator

    from configurator.core.progress import Progress

# Nobody has clicked for so long: then what is out of sight is worked out ahead [s].
STILL = 1.0
# How often it is looked whether it is one's turn [s].
EVERY = 0.05
# A page that is drawn is given way for so long [s]: longer than a click should take.
MOST_GIVEN = 0.5
# Who has given way that long goes on for so long at least, however many pages are drawn [s].
LEAST_WORK = 0.1


class Turns:
    """Turns of all visitors of a page."""

    def __init__(self) -> None:
        self._working, self._counting = Lock(), Lock()
        self._clicked = 0.0
        self._waiting = 0
        self._drawn = Condition()
        self._drawing = 0
        self._own = local()

    @property
    def waiting(self) -> int:
        """How many wait for their turn or have it, of those whose work somebody looks at."""
        return self._waiting

    def clicked(self) -> None:
        """Note that somebody's page is drawn."""
        self._clicked = time.monotonic()

    @contextmanager
    def drawing(self) -> Iterator[None]:
        """Draw a page: work in threads rests meanwhile."""
        self._count_drawn(1)
        self._own.draws = True
        try:
            yield
        finally:
            self._own.draws = False
            self._count_drawn(-1)

    @contextmanager
    def lent(self) -> Iterator[None]:
        """Let work in threads go on, while who draws a page waits for some of it."""
        draws = getattr(self._own, "draws", False)
        if draws:
            self._count_drawn(-1)
        try:
            yield
        finally:
            if draws:
                self._count_drawn(1)

    def _count_drawn(self, more: int) -> None:
        self.clicked()
        with self._drawn:
            self._drawing += more
            if not self._drawing:
                self._drawn.notify_all()

    def give_way(self) -> None:
        """Rest while a page is drawn; work calls it between its steps."""
        if not self._drawing:
            return
        if time.monotonic() < getattr(self._own, "works_until", 0.0):
            return
        with self._drawn:
            free = self._drawn.wait_for(lambda: not self._drawing, MOST_GIVEN)
        if not free:
            self._own.works_until = time.monotonic() + LEAST_WORK

    @contextmanager
    def taken(self, progress: Progress, *, ahead: bool = False) -> Iterator[None]:
        """Wait for one's turn, and have it.

        Parameters
        ----------
        progress
            Of the work: waiting ends where it is stopped.
        ahead
            Whether nobody looks at it yet.

        Raises
        ------
        Cancelled
            If the work is stopped.
        """
        with nullcontext() if ahead else self._counted():
            while True:
                progress.check()
                busy = self._drawing or self._waiting
                if ahead and (busy or time.monotonic() - self._clicked < STILL):
                    time.sleep(EVERY)
                elif self._working.acquire(timeout=EVERY):
                    break
            try:
                yield
            finally:
                self._working.release()

    @contextmanager
    def _counted(self) -> Iterator[None]:
        with self._counting:
            self._waiting += 1
        try:
            yield
        finally:
            with self._counting:
                self._waiting -= 1


TURNS = Turns()
