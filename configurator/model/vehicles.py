"""A vehicle as it stands: what was measured on it and what is fitted to it."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, Any

from configurator.model.parts import AXLES, Kind, Part, Value
from configurator.model.states import checked_motions

if TYPE_CHECKING:
    from collections.abc import Mapping


@dataclass(frozen=True, slots=True)
class Measure:
    """A figure of the vehicle that rules may read.

    Parameters
    ----------
    name
        In words; ``{axle}`` in it stands for two measures, front and rear.
    meaning
        What it is.
    how
        How a workshop measures it, or where it finds it.
    unit, kind, at_least, at_most, choices
        As for an attribute.
    default
        Used where the vehicle file does not say, in ``unit``; None for *not known*.
    moves_with
        What changes it once the vehicle moves: ``"travel"``, ``"lock"``, ``"load"``; empty for
        what is always the same, None where nobody has said.
    of
        What it is measured to that a part may move: one of `configurator.model.states.MOVED`.
    usual
        Between which values it usually lies where it was not measured, in ``unit``: lowest and
        highest; for text the other words that occur. What an answer would be there is asked.
    taken_with
        Parts that the measurement hangs on: a position (``"{axle} axle"``) where any other part
        changes it, or one attribute of it (``"{axle} bump stops: pressed height"``). A rule that
        reads the measure reads the difference to the part that was fitted as well, or is not
        checked once that part changes.
    tolerance
        How far it is usually off what it is: ``"3 mm"``, or ``"1 %"`` of the value; empty where it
        is exact.
    """

    name: str
    meaning: str
    how: str
    unit: str = ""
    kind: Kind = "number"
    at_least: float | None = None
    at_most: float | None = None
    choices: tuple[str, ...] = ()
    default: Any = None
    moves_with: tuple[str, ...] | None = None
    of: str = ""
    usual: tuple[Any, ...] = ()
    taken_with: tuple[str, ...] = ()
    tolerance: str = ""

    def __post_init__(self) -> None:
        """Refuse a motion that nothing has."""
        checked_motions(self.moves_with)


def spread_measures(measures: list[Measure]) -> list[Measure]:
    """Make two measures, front and rear, of each with ``{axle}`` in its name.

    Examples
    --------
    >>> [m.name for m in spread_measures([Measure("{axle} track", "of the {axle} wheels", "tape")])]
    ['front track', 'rear track']
    """
    out: list[Measure] = []
    for measure in measures:
        if "{axle}" not in measure.name:
            out.append(measure)
            continue
        for axle in AXLES:
            texts = {
                key: getattr(measure, key).replace("{axle}", axle)
                for key in ("name", "meaning", "how")
            }
            parts = tuple(part.replace("{axle}", axle) for part in measure.taken_with)
            out.append(replace(measure, **texts, taken_with=parts))
    return out


@dataclass(frozen=True, slots=True)
class Condition:
    """Something about the use of the vehicle that the job states: a cruising speed, a load.

    ``default`` is a quantity as text, used where the job does not say; ``tolerance`` how far the
    real one is usually off it.
    """

    name: str
    meaning: str
    unit: str = ""
    default: str = ""
    at_least: float | None = None
    at_most: float | None = None
    tolerance: str = ""


@dataclass(frozen=True, slots=True)
class Practice:
    """A number of workshop practice that a shop may change in its own settings.

    ``default`` is in ``unit``; ``source`` says where it is from, or that it is common practice.
    ``for_error`` is the share of a gap that is there for errors of measurement (0 to 1).
    """

    name: str
    meaning: str
    default: float
    source: str
    unit: str = ""
    at_least: float | None = None
    at_most: float | None = None
    for_error: float = 0.0


@dataclass(frozen=True, slots=True)
class Vehicle:
    """A vehicle as it stands.

    Parameters
    ----------
    key
        ``"<catalog>/<vehicle key>"``.
    title
        As people call it.
    values
        Name of a measure → value in SI; measures that were not given are not in it.
    tolerances
        What its file states of tolerances, as it is written.
    assumed
        Measures that nobody gave, so that their defaults stand in ``values``.
    fitted
        Position → the part that is on the vehicle, or None where the position is empty.
    note
        Free text of the file.
    place
        The file it was read from.
    """

    key: str
    title: str
    values: Mapping[str, Value]
    fitted: Mapping[str, Part | None]
    note: str = ""
    place: str = ""
    assumed: frozenset[str] = frozenset()
    tolerances: Mapping[str, str] = field(default_factory=dict)
