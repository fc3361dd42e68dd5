"""An option: a part at a position, with what it costs there."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from configurator.model.parts import Part


@dataclass(frozen=True, slots=True)
class Option:
    """A part at a position: what can be chosen.

    ``price`` is for all pieces the position takes, in minor units; ``everywhere`` are the pieces
    that all positions together take which the part is made for.
    """

    position: str
    part: Part
    pieces: int
    price: int
    changed: bool
    everywhere: int = 0

    @property
    def key(self) -> str:
        """Key of its part."""
        return self.part.key
