"""Short pieces of bytes kept on disk in one file, each under a hash of what it hangs on.

Read only when the first one is asked for. What was asked for last is kept first.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from configurator.core import sealed_arrays

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

KEY_BYTES = 32

# Of what was read only views are handed out: it is megabytes.
Piece = bytes | memoryview


class KeptBytes:
    """Pieces of bytes under keys of `KEY_BYTES` bytes.

    Parameters
    ----------
    name
        Of the file, a hash of what all pieces hang on; empty where nothing may be kept.
    most
        How much is kept [bytes].
    """

    def __init__(self, name: str, most: int) -> None:
        self._name, self._most = name, most
        self._known: Mapping[bytes, Piece] | None = None
        self._now: dict[bytes, Piece] = {}
        self._unwritten: dict[bytes, Callable[[], bytes | None]] = {}

    @property
    def usable(self) -> bool:
        """Whether anything is kept at all."""
        return bool(self._name)

    def look_up(self, key: bytes) -> Piece | None:
        """Return what is kept under a key; None if nothing is."""
        return self._now.get(key) or self._before().get(key)

    def note(self, key: bytes, written: Piece) -> None:
        """Keep a piece with the next `save`, or keep it on."""
        if self._name:
            self._now[key] = written

    def note_unwritten(self, key: bytes, write: Callable[[], bytes | None]) -> None:
        """Do the same with a piece that is written with the next `save` only, if it can be."""
        if self._name:
            self._unwritten[key] = write

    def _before(self) -> Mapping[bytes, Piece]:
        if self._known is None:
            self._known = _read(self._name) if self._name else {}
        return self._known

    def save(self) -> None:
        """Write what was noted, and of what was kept before what there is room for."""
        while self._unwritten:
            key, write = self._unwritten.popitem()
            piece = write()
            if piece is not None:
                self._now[key] = piece
        before = self._before() if self._now else {}
        if self._now.keys() <= before.keys():
            return
        kept = dict(self._now)
        room = self._most - sum(map(len, kept.values()))
        for key, written in before.items():
            if key not in kept and len(written) <= room:
                kept[key] = written
                room -= len(written)
        pieces = b"".join(kept.values())
        sealed_arrays.write(
            self._name,
            {
                "keys": np.frombuffer(b"".join(kept), np.uint8),
                "lengths": np.array([len(written) for written in kept.values()], np.int64),
                "pieces": np.frombuffer(pieces, np.uint8),
            },
        )


def _read(name: str) -> dict[bytes, Piece]:
    arrays = sealed_arrays.read(name)
    if arrays is None:
        return {}
    keys, pieces = arrays["keys"].tobytes(), memoryview(arrays["pieces"])
    ends = np.cumsum(arrays["lengths"])
    begins = (ends - arrays["lengths"]).tolist()
    return {
        keys[number * KEY_BYTES : (number + 1) * KEY_BYTES]: pieces[begin:end]
        for number, (begin, end) in enumerate(zip(begins, ends.tolist(), strict=True))
    }
