"""Answers kept by name, so that a question about a job is worked out once."""

from __future__ import annotations

from collections import OrderedDict
from threading import Lock
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from collections.abc import Hashable

# Answers kept for going back and forth.
ANSWERS_KEPT = 256


class AnswerCache:
    """Answers by name; the ones asked for last are kept.

    Parameters
    ----------
    most
        How many are kept.

    Examples
    --------
    >>> cache = AnswerCache(2)
    >>> for name in "abc":
    ...     cache.put(name, name.upper())
    >>> cache.get("a"), cache.get("c")
    (None, 'C')
    """

    def __init__(self, most: int = ANSWERS_KEPT) -> None:
        self._most = most
        self._lock = Lock()
        self._answers: OrderedDict[Hashable, Any] = OrderedDict()

    def get(self, name: Hashable, unknown: Any = None) -> Any:
        """Return an answer, or ``unknown`` if there is none."""
        with self._lock:
            if name in self._answers:
                self._answers.move_to_end(name)
            return self._answers.get(name, unknown)

    def put(self, name: Hashable, answer: Any) -> None:
        """Keep an answer, in the place of an earlier one of its name."""
        with self._lock:
            self._answers[name] = answer
            self._answers.move_to_end(name)
            while len(self._answers) > self._most:
                self._answers.popitem(last=False)
