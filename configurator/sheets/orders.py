"""What to order: the new parts of a package by maker, the longest wait first."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from configurator.parts import FITTED, NOTHING

if TYPE_CHECKING:
    from configurator.packages import Package


@dataclass(frozen=True, slots=True)
class OrderLine:
    """A part to order; ``days`` is None where the catalog gives no lead time.

    ``price`` is for all pieces [minor units].
    """

    maker: str
    part: str
    title: str
    pieces: int
    days: int | None
    price: int


def order_lines(package: Package, vehicles: int = 1) -> list[OrderLine]:
    """List what to order for identical vehicles; a part at several positions is one line."""
    found: dict[str, OrderLine] = {}
    for option in package.choice.values():
        if not option.changed or option.key in (NOTHING, FITTED):
            continue
        old = found.get(option.key)
        found[option.key] = OrderLine(
            option.part.maker,
            option.key,
            option.part.title,
            option.pieces * vehicles + (old.pieces if old else 0),
            option.part.lead_time,
            option.price * vehicles + (old.price if old else 0),
        )

    def turn(line: OrderLine) -> tuple[str, bool, int, str]:
        # A wait that nobody knows is asked about first.
        return line.maker, line.days is not None, -(line.days or 0), line.part

    return sorted(found.values(), key=turn)
