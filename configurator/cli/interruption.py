"""Ctrl-C ends a search, not the answer: what was found by then is shown, and said to be that."""

from __future__ import annotations

import signal
import sys
import threading
from contextlib import contextmanager
from typing import TYPE_CHECKING, Any

import typer

from configurator.cli.progress_line import progress
from configurator.core.progress import Cancelled, Progress

if TYPE_CHECKING:
    from collections.abc import Iterator
    from types import FrameType

INTERRUPTED = 130
SAID = "Stopped early: this is what was known by then, and not all of it is proven."
NOTHING_YET = "Stopped before anything was found."


AGAIN = "Stopping at the next step; Ctrl-C again ends at once."


class Stop(Progress):
    """How far a search is, and whether somebody pressed Ctrl-C."""

    def end(self) -> None:
        """Say so, and end with the exit status of a program that was interrupted.

        Raises
        ------
        typer.Exit
            If somebody did.
        """
        if self.cancelled():
            print(SAID, file=sys.stderr)
            raise typer.Exit(INTERRUPTED)


# What ends a program from outside: somebody who stops it, and a terminal that was closed.
_ENDINGS = ("SIGTERM", "SIGHUP")


@contextmanager
def ended_like_ctrl_c() -> Iterator[None]:
    """Let whatever ends the program from outside do what Ctrl-C does.

    What was begun is cleared away, and a search shows what it has. A signal that is ignored, as
    under ``nohup``, stays so.
    """

    def pass_on(_number: int, frame: FrameType | None) -> None:
        press = signal.getsignal(signal.SIGINT)
        if callable(press):
            press(signal.SIGINT, frame)
        else:  # a script that begins it in the background lets Ctrl-C be ignored, not the end
            raise KeyboardInterrupt

    taken = {}
    if threading.current_thread() is threading.main_thread():
        for name in _ENDINGS:
            number = getattr(signal, name, None)  # Windows knows no SIGHUP
            if number is not None and signal.getsignal(number) is signal.SIG_DFL:
                taken[number] = signal.signal(number, pass_on)
    try:
        yield
    finally:
        for number, before in taken.items():
            signal.signal(number, before)


@contextmanager
def stoppable(what: str, template: str = "") -> Iterator[Stop]:
    """Search, with a word on how long it takes, until Ctrl-C.

    Ctrl-C reaches the search at its next step, and it gives what it has. Where it has nothing yet,
    that is said and the program ends with status 130; so it does where somebody presses again
    before a next step comes.

    Parameters
    ----------
    what
        What is being done.
    template
        How it is said how far that is, with ``{done}`` and ``{of}``, where it counts its steps.
    """
    stop = Stop(template)

    def press(*_: Any) -> None:
        if stop.waits:
            raise KeyboardInterrupt
        stop.cancel()
        if sys.stderr.isatty():
            print(f"\n{AGAIN}", file=sys.stderr)

    # Only the main thread is told of signals, and only it may say what happens then.
    main = threading.current_thread() is threading.main_thread()
    before = signal.signal(signal.SIGINT, press) if main else None
    try:
        with progress(what, stop):
            yield stop
    except (Cancelled, KeyboardInterrupt):
        print(NOTHING_YET, file=sys.stderr)
        raise typer.Exit(INTERRUPTED) from None
    finally:
        if main:
            signal.signal(signal.SIGINT, before)
