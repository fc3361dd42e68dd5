"""Arrays kept on disk under a name, so that what takes long to work out is worked out once.

A name is a hash of everything that the arrays were made of: whatever changes, changes the name. It
stands in the file with a digest of the arrays, which are read without pickle: a file that is
damaged in a single bit, or bears another's name, is as good as not there. Nothing depends on the
files being there.
"""

from __future__ import annotations

import contextlib
import hashlib
import os
import tempfile
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np

from configurator.core import paths
from configurator.core.atomic_files import clear_leftovers

if TYPE_CHECKING:
    from numpy.typing import NDArray

# Files, and bytes, kept at most; the ones not used for longest go first.
MOST_FILES = 64
MOST_BYTES = 8 * 10**9
# What is being written, or was when a program was stopped.
PARTS = "*.part"
# The array with the digest of the name and of all other arrays [bytes].
_SEAL, _DIGEST = "seal", 32


def folder() -> Path:
    """Where they are kept."""
    return paths.user_folder() / "circuits"


def read(name: str) -> dict[str, Any] | None:
    """Return the arrays of a file as they were written; None if they cannot be had."""
    clear_leftovers(folder(), PARTS)
    path = folder() / f"{name}.npz"
    try:
        with path.open("rb") as file, np.load(file, allow_pickle=False) as data:
            arrays = {key: data[key] for key in data.files}
        if arrays.pop(_SEAL).tobytes() != _sealed(name, arrays).tobytes():
            return None
    except Exception:  # a damaged file makes its reader raise whatever it happens to meet
        return None
    with contextlib.suppress(OSError):  # a folder that cannot be written still serves for reading
        os.utime(path)
    return arrays


def write(name: str, arrays: dict[str, Any]) -> None:
    """Write arrays, whole or not at all; a disk that is full is no reason to fail."""
    try:
        paths.make_private(folder())
        handle, temporary = tempfile.mkstemp(dir=folder(), suffix=PARTS[1:])
        try:
            with os.fdopen(handle, "wb") as file:
                np.savez(file, **{**arrays, _SEAL: _sealed(name, arrays)})
            os.replace(temporary, folder() / f"{name}.npz")
        except BaseException:
            Path(temporary).unlink(missing_ok=True)
            raise
        _tidy()
    except OSError:
        return


def _sealed(name: str, arrays: dict[str, Any]) -> NDArray[np.uint8]:
    """Return a digest of a file's name and of its arrays: their names, types, shapes and values."""
    digest = hashlib.blake2b(name.encode(), digest_size=_DIGEST)
    for key in sorted(arrays):
        array = np.ascontiguousarray(arrays[key])
        digest.update(repr((key, array.dtype.str, array.shape)).encode())
        digest.update(array.data.cast("B") if array.size and array.dtype.kind != "U" else b"")
        if array.dtype.kind == "U":
            digest.update(repr(array.tolist()).encode())
    return np.frombuffer(digest.digest(), np.uint8)


def _tidy() -> None:
    clear_leftovers(folder(), PARTS)
    files = sorted(folder().glob("*.npz"), key=lambda path: path.stat().st_mtime, reverse=True)
    size = 0
    for number, file in enumerate(files):
        size += file.stat().st_size
        if number >= MOST_FILES or size > MOST_BYTES:
            file.unlink(missing_ok=True)


def packed(indices: list[NDArray[np.int32]]) -> dict[str, Any]:
    """Put many index arrays into two: one file entry for each would take longer than reading.

    Examples
    --------
    >>> kept = packed([np.array([1, 2], np.int32), np.array([], np.int32)])
    >>> [part.tolist() for part in unpacked(kept)]
    [[1, 2], []]
    """
    flat = np.concatenate([np.zeros(0, np.int32), *indices], dtype=np.int32, casting="safe")
    return {"flat": flat, "lengths": np.array([len(index) for index in indices], np.int64)}


def unpacked(arrays: dict[str, Any]) -> list[NDArray[np.int32]]:
    """Take index arrays apart again.

    Raises
    ------
    ValueError, KeyError
        If the arrays are not what `packed` gives.
    """
    flat, lengths = arrays["flat"], arrays["lengths"]
    sound = flat.dtype == np.int32 and flat.ndim == 1 and lengths.dtype == np.int64
    if not sound or lengths.ndim != 1 or (lengths < 0).any() or lengths.sum() != len(flat):
        message = "not index arrays put into two"
        raise ValueError(message)
    ends = np.cumsum(lengths)
    bounds = zip((ends - lengths).tolist(), ends.tolist(), strict=True)
    return [flat[start:end] for start, end in bounds]
