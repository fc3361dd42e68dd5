"""Threads: metric with their pitch, unified with threads an inch; one spelling for each.

References
----------
.. [1] ISO 261 (diameters and pitches), ISO 965-1 (designation; a pitch that is left out is the
   coarse one); ASME B1.1 (UNC, UNF). Tables from memory.
"""

from __future__ import annotations

import re
from decimal import Decimal
from typing import TYPE_CHECKING

from configurator.core.text import Misread, shown
from configurator.supplier_lists.notations.notation import (
    NUMBER,
    Notation,
    Value,
    decimal,
    doubtful,
    plain,
    tidied,
    unreadable,
)

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

# Nominal diameter [mm] → pitches [mm], the coarse one first.
PITCHES: dict[int, tuple[str, ...]] = {
    5: ("0.8", "0.5"),
    6: ("1", "0.75"),
    7: ("1", "0.75"),
    8: ("1.25", "1", "0.75"),
    9: ("1.25", "1", "0.75"),
    10: ("1.5", "1.25", "1", "0.75"),
    11: ("1.5", "1", "0.75"),
    12: ("1.75", "1.5", "1.25", "1"),
    14: ("2", "1.5", "1.25", "1"),
    15: ("1.5", "1"),
    16: ("2", "1.5", "1"),
    17: ("1.5", "1"),
    18: ("2.5", "2", "1.5", "1"),
    20: ("2.5", "2", "1.5", "1"),
    22: ("2.5", "2", "1.5", "1"),
    24: ("3", "2", "1.5", "1"),
    25: ("2", "1.5", "1"),
    27: ("3", "2", "1.5", "1"),
    30: ("3.5", "3", "2", "1.5", "1"),
    33: ("3.5", "3", "2", "1.5"),
    36: ("4", "3", "2", "1.5"),
}
# Nominal diameter [in] → threads an inch: coarse (UNC), fine (UNF).
THREADS_AN_INCH: dict[str, tuple[int, int]] = {
    "1/4": (20, 28),
    "5/16": (18, 24),
    "3/8": (16, 24),
    "7/16": (14, 20),
    "1/2": (13, 20),
    "9/16": (12, 18),
    "5/8": (11, 18),
    "3/4": (10, 16),
    "7/8": (9, 14),
    "1": (8, 12),
}
_METRIC = re.compile(rf"M\s*(?P<size>\d{{1,2}})(?:\s*x\s*(?P<pitch>{NUMBER})(?:\s*MM)?)?")
_BARE = re.compile(rf"(?P<size>\d{{1,2}})\s*x\s*(?P<pitch>{NUMBER})(?:\s*MM)?")
_UNIFIED = re.compile(
    r'(?P<size>\d/\d{1,2}|1)\s*"?\s*(?:-|x|\s)\s*(?P<threads>\d{1,2})\s*(?:TPI)?\s*-?\s*'
    r"(?P<series>UNC|UNF|UNJF|NF|NC)?"
)


def read_thread(texts: Sequence[str]) -> Mapping[str, Value]:
    """Read a thread, held against the standard's table.

    Returns
    -------
    Mapping
        ``"thread"`` in the standard's spelling.

    Raises
    ------
    Misread
        If it is none, is not in the table, or leaves its pitch out: on wheels that is mostly a
        slip, although the standard takes it for the coarse one.

    Examples
    --------
    >>> [read_thread([text])["thread"] for text in ("M14 x 1,5", "m12×1.50", '1/2"-20')]
    ['M14x1.5', 'M12x1.5', '1/2-20 UNF']
    """
    (text,) = texts
    tidy = tidied(text).upper().replace("X", "x")
    match = _METRIC.fullmatch(tidy) or _BARE.fullmatch(tidy)
    if match:
        return {"thread": _metric(text, int(match["size"]), match["pitch"])}
    match = _UNIFIED.fullmatch(tidy)
    if match is None:
        raise unreadable(text, "thread", "M14x1.5 or 1/2-20 UNF")
    size, threads = match["size"], int(match["threads"])
    known = THREADS_AN_INCH.get(size, ())
    if threads not in known:
        listed = " or ".join(f"{size}-{threads}" for threads in known) or ", ".join(THREADS_AN_INCH)
        raise Misread(
            what=f"{shown(text)} is no thread of ASME B1.1", do=f"check it; there are {listed}"
        )
    series = ("UNC", "UNF")[known.index(threads)]
    stated = match["series"] or series
    if stated[-1] != series[-1]:
        raise Misread(
            what=f"{shown(text)} is marked {stated}, but {size}-{threads} is {series}",
            do="check threads an inch and series",
        )
    return {"thread": f"{size}-{threads} {series}"}


def _metric(text: str, size: int, pitch: str | None) -> str:
    known = PITCHES.get(size)
    if known is None:
        raise Misread(
            what=f"{shown(text)} is no thread of ISO 261 that is known here",
            do=f"check the diameter; there are M{', M'.join(str(pitch) for pitch in PITCHES)}",
        )
    if pitch is None:
        raise doubtful(text, [f"M{size}x{pitch}" for pitch in known])
    number = plain(decimal(pitch))
    if number not in known:
        tenth = plain(Decimal(number) / 10)
        if tenth in known:
            raise Misread(
                what=f"{shown(text)} has a pitch of {number} mm, which may be {tenth}",
                do=f"write M{size}x{tenth}",
            )
        raise Misread(
            what=f"{shown(text)} is no thread of ISO 261: M{size} has the pitches "
            f"{', '.join(known)}",
            do="check the pitch",
        )
    return f"M{size}x{number}"


def write_thread(values: Mapping[str, Value]) -> str:
    """Write a thread in the standard's spelling."""
    return str(values["thread"])


THREAD = Notation(
    "thread",
    ("thread",),
    "M14x1.5",
    "ISO 261, ISO 965-1; ASME B1.1",
    read_thread,
    write_thread,
)
