"""What is said of all packages of a box of options: values, their slopes, and what moves them."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from configurator.model.tolerances import reserve_of
from configurator.search.optimum.sloped_intervals import NOTHING, Interval, total

if TYPE_CHECKING:
    from collections.abc import Mapping

    import numpy as np
    from numpy.typing import NDArray

    from configurator.evaluation.propagation import Source, Uncertain

    Amounts = NDArray[np.float64]
    Rows = NDArray[np.intp]


@dataclass(frozen=True, slots=True)
class OptionBox:
    """Options that may be chosen, and a package of them.

    Parameters
    ----------
    options
        Position → numbers of the options.
    centre
        Position → number of the package's option.
    """

    options: Mapping[str, Rows]
    centre: Mapping[str, int]


@dataclass(frozen=True, slots=True)
class VariableChange:
    """How a variable differs from what it is in the middle: between two bounds, which add up.

    Parameters
    ----------
    by_option
        Position → for each of its options in the box the least and the most [2, options].
    beside
        Whatever is chosen.
    """

    by_option: Mapping[str, Amounts] = field(default_factory=dict)
    beside: Interval = NOTHING

    @property
    def reach(self) -> Interval:
        """Bounds over the whole box."""
        ends = [(float(own[0].min()), float(own[1].max())) for own in self.by_option.values()]
        return total([self.beside, *ends])


@dataclass(frozen=True, slots=True)
class Enclosure:
    """A value in all packages of a box.

    Parameters
    ----------
    at
        What it is in the middle.
    reach
        Its bounds; None where it is no number, and the same everywhere.
    slopes
        Variable → bounds of the slope in it.
    effects
        Source → bounds of how much the value changes if the source is off by its whole tolerance.
    """

    at: Any
    reach: Interval | None
    slopes: Mapping[str, Interval] = field(default_factory=dict)
    effects: Mapping[Source, Interval] = field(default_factory=dict)

    @property
    def width(self) -> float:
        """How far it may be off at most."""
        return reserve_of(max(abs(low), abs(high)) for low, high in self.effects.values())


def is_number(value: Any) -> bool:
    """Whether a value is a number, yes and no left aside."""
    return isinstance(value, int | float) and not isinstance(value, bool)


def constant(value: Uncertain) -> Enclosure:
    """Enclose a value that no part has a say in."""
    if not value.is_number:
        return Enclosure(value.exact, None)
    number = float(value.exact)
    effects = {source: (effect, effect) for source, effect in value.effects.items()}
    return Enclosure(value.exact, (number, number), effects=effects)
