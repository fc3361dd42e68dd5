"""What the values of one part say about each other: a slip in a column shows beside its neighbour.

Geometry, and what the words mean; no threshold is needed.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from configurator.core import units
from configurator.core.text import Misread

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

# The first is at most the second; with True it is less: what does not move is no absorber.
_ORDERED = (
    ("closed length", "open length", True),
    ("shortest length", "longest length", False),
    ("solid length", "free length", True),
    ("narrowest rim", "widest rim", False),
    ("narrowest rim", "measuring rim width", False),
    ("measuring rim width", "widest rim", False),
    ("rim diameter", "overall diameter", True),
    ("wall", "outer diameter", True),
    ("tube wall", "tube diameter", True),
)


def implausible(
    values: Mapping[str, object], unit_of: Mapping[str, str]
) -> Iterator[tuple[str, Misread]]:
    """Yield what cannot be together in one part, each with the column it is noted at.

    Parameters
    ----------
    values
        Column → value in SI; what is not known is not in it.
    unit_of
        Column → unit in which it is shown.
    """
    for low, high, strict in _ORDERED:
        least, most = values.get(low), values.get(high)
        if not isinstance(least, float) or not isinstance(most, float):
            continue
        if least > most or (strict and least == most):
            yield (
                low,
                Misread(
                    what=f"{low} {units.show(least, unit_of[low])} is "
                    f"{'more than' if least > most else 'no less than'} {high} "
                    f"{units.show(most, unit_of[high])}",
                    do="check both, and whether the columns are mixed up in the mapping",
                ),
            )
    offset, width = values.get("offset"), values.get("rim width")
    if isinstance(offset, float) and isinstance(width, float) and abs(offset) > width / 2:
        yield (
            "offset",
            Misread(
                what=f"an offset of {units.show(offset, unit_of['offset'])} lies outside a rim of "
                f"{units.show(width, unit_of['rim width'])}, half of which is "
                f"{units.show(width / 2, unit_of['offset'])}",
                do="check the offset and its unit; a back spacing is read with "
                'read = "back spacing"',
            ),
        )
