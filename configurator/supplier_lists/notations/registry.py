"""All notations by name, and the two readers that join or work out instead."""

from __future__ import annotations

import re
from decimal import Decimal
from typing import TYPE_CHECKING

from configurator.core.text import Misread, shown
from configurator.supplier_lists.notations.notation import (
    Notation,
    Quantity,
    Value,
    tidied,
    unreadable,
)
from configurator.supplier_lists.notations.thread_markings import THREAD
from configurator.supplier_lists.notations.tyre_markings import LOAD_AND_SPEED, TYRE_SIZE
from configurator.supplier_lists.notations.wheel_markings import (
    BACK_SPACING,
    BOLT_PATTERN,
    RANGE,
    RIM_SIZE,
)

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence

_AMOUNT = re.compile(r"([-+]?\d+(?:\.\d+)?)\s*([^\d\s].*)?")


def _worked_out(sign: int) -> Callable[[Sequence[str]], Mapping[str, Value]]:
    def read(texts: Sequence[str]) -> Mapping[str, Value]:
        first, *others = [_amount(text) for text in texts]
        for other in others:
            if other.unit != first.unit:
                raise Misread(
                    what=f"{shown(texts[0])} and {shown(texts[-1])} are not in one unit",
                    do="name columns in one unit",
                )
        total = first.number + sign * sum((quantity.number for quantity in others), Decimal(0))
        return {"result": Quantity(total, first.unit)}

    return read


def _amount(text: str) -> Quantity:
    match = _AMOUNT.fullmatch(tidied(text))
    if match is None:
        raise unreadable(text, "number", "365 or 365 mm")
    return Quantity(Decimal(match[1]), (match[2] or "").strip())


SUM = Notation(
    "sum",
    ("result",),
    "365 and 225 make 590",
    "arithmetic",
    _worked_out(1),
    inputs=("a number", "what is added"),
)
DIFFERENCE = Notation(
    "difference",
    ("result",),
    "590 less 225 makes 365",
    "arithmetic",
    _worked_out(-1),
    inputs=("a number", "what is taken off"),
)

NOTATIONS: dict[str, Notation] = {
    notation.name: notation
    for notation in (
        TYRE_SIZE,
        LOAD_AND_SPEED,
        RIM_SIZE,
        RANGE,
        BOLT_PATTERN,
        BACK_SPACING,
        THREAD,
        SUM,
        DIFFERENCE,
    )
}
# Numbers that are worked out from plain columns: written as the list writes numbers.
ARITHMETIC = frozenset({"sum", "difference"})


def value_taken(notation: Notation, column: str, take: str) -> str:
    """Name the value of a notation that a column takes; empty if that has to be said.

    Parameters
    ----------
    notation
        What is read.
    column
        Ours.
    take
        What the mapping says; empty if nothing.

    Examples
    --------
    >>> value_taken(TYRE_SIZE, "rim diameter", ""), value_taken(RANGE, "widest rim", "")
    ('rim diameter', 'highest')
    """
    if take:
        return take if take in notation.gives else ""
    if column in notation.gives:
        return column
    if len(notation.gives) == 1:
        return notation.gives[0]
    if notation is RANGE:
        first = column.split(" ", 1)[0]
        if first in ("narrowest", "shortest", "lowest", "smallest", "least"):
            return "lowest"
        if first in ("widest", "longest", "highest", "largest", "most"):
            return "highest"
    return ""
