"""What can wait until an answer is shown, such as keeping on disk what was worked out for it.

Done at once, unless a program says that it will see to it.
"""

from __future__ import annotations

from contextlib import contextmanager
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

_waiting: list[Callable[[], None]] = []
_programs: list[None] = []


@contextmanager
def waiting_until_shown() -> Iterator[None]:
    """Let work wait while an answer is worked out; what still waits then is done at the end."""
    _programs.append(None)
    try:
        yield
    finally:
        _programs.pop()
        catch_up()


def when_shown(work: Callable[[], None]) -> None:
    """Do something once the answer is shown, or at once where nobody waits for any."""
    if _programs:
        _waiting.append(work)
    else:
        work()


def catch_up() -> None:
    """Do what waits."""
    while _waiting:
        _waiting.pop(0)()
