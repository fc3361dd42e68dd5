"""What there is to choose from: families of parts, the positions they sit at, single parts."""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import Enum
from typing import TYPE_CHECKING, Any, Literal

if TYPE_CHECKING:
    from collections.abc import Mapping

    from configurator.model.states import Moves

AXLES = ("front", "rear")

# Where the mass of a position may sit; the last for what weighs nothing worth counting.
PLACES = ("front axle", "rear axle", "wheels", "front body", "rear body", "middle", "")

Kind = Literal["number", "whole", "text", "codes", "yes/no"]


class Missing(Enum):
    """Why a value is not there."""

    UNKNOWN = "not known"
    NOT_FITTED = "nothing fitted"

    def __repr__(self) -> str:
        return self.name


# What a rule returns that applies but cannot say: it is listed as not checked.
NOT_KNOWN = Missing.UNKNOWN

# A number in SI, a whole number, a text compared letter by letter, a set of codes, yes or no.
Value = float | int | str | frozenset[str] | bool | Missing


@dataclass(frozen=True, slots=True)
class Attribute:
    """One column of a family's list.

    Parameters
    ----------
    name
        In words, as the heading of the column.
    meaning
        What it is and how it is measured, for the person who keeps the list.
    unit
        Unit in which it is shown; empty for a plain number.
    kind
        ``"number"`` (with the unit), ``"whole"``, ``"text"`` (compared letter by letter),
        ``"codes"`` (several, divided by spaces) or ``"yes/no"``.
    at_least, at_most
        Bounds that a sound value keeps, in ``unit``.
    choices
        For text: the words allowed; empty for any.
    required
        Whether a part without it is an error; otherwise the rules that need it are not checked.
    when_empty
        The value that stands for a position with nothing fitted, in ``unit`` (a hub reduction
        that is not there has the ratio 1); None where rules that read it do not apply.
    example
        A value for the empty sheet that a shop fills in.
    tolerance
        How far a part is usually off what its list says: ``"2 mm"``, or ``"1 %"`` of the value;
        empty where it is exact.
    """

    name: str
    meaning: str
    unit: str = ""
    kind: Kind = "number"
    at_least: float | None = None
    at_most: float | None = None
    choices: tuple[str, ...] = ()
    required: bool = True
    when_empty: Any = None
    example: str = ""
    tolerance: str = ""


@dataclass(frozen=True, slots=True)
class Position:
    """A place on the vehicle that holds one part of a family.

    Parameters
    ----------
    name
        In words: ``"front shocks"``.
    place
        Where its mass sits: ``"front axle"``, ``"rear axle"``, ``"wheels"``, ``"front body"``,
        ``"rear body"``, ``"middle"`` or ``""`` where it weighs nothing worth counting.
    sprung
        Whether it rides on the springs.
    """

    name: str
    place: str = ""
    sprung: bool = False


@dataclass(frozen=True, slots=True)
class Family:
    """A kind of part: one list in a catalog, one or more positions on the vehicle.

    Parameters
    ----------
    key
        Name of its list: ``tyres`` is read from ``tyres.csv``.
    title
        As people see it.
    positions
        Where its parts go.
    attributes
        The columns of the list beside the common ones.
    pieces
        How many pieces a position takes, or the name of the vehicle figure that says so.
    optional
        Whether a position may stay empty.
    meaning
        One sentence for the list of families.
    moves
        What its parts move, and which attributes say how far; None where nobody has said.
    system
        Under which heading a quotation lists its parts: *Brakes*.
    """

    key: str
    title: str
    positions: tuple[Position, ...]
    attributes: tuple[Attribute, ...]
    pieces: int | str = 1
    optional: bool = False
    meaning: str = ""
    moves: tuple[Moves, ...] | None = None
    system: str = ""


COMMON_ATTRIBUTES = (
    Attribute(
        "mass",
        "Mass of one piece as fitted.",
        unit="kg",
        at_least=0.0,
        at_most=1500.0,
        required=False,
        when_empty=0.0,
        example="12.5",
        tolerance="3 %",
    ),
    Attribute(
        "tightening torque",
        "Of its fasteners, as the maker's fitting instruction gives it; nobody else may guess it.",
        unit="N*m",
        at_least=0.5,
        at_most=1000.0,
        required=False,
        example="130",
    ),
    Attribute(
        "torque from",
        "Which instruction gives the torque: title or number, and its date.",
        kind="text",
        required=False,
        example="fitting instruction of 2026-05",
    ),
    Attribute(
        "tighten again after",
        "Way after which the maker asks for its fasteners to be tightened again.",
        unit="km",
        at_least=1.0,
        at_most=20000.0,
        required=False,
        example="50",
    ),
)

FITTED = "fitted"
NOTHING = "none"


@dataclass(frozen=True, slots=True)
class Part:
    """One thing that can be at a position.

    Parameters
    ----------
    key
        ``"<catalog>/<part number>"``; ``"fitted"`` for what is on the vehicle, ``"none"`` for
        an empty position.
    family
        Key of its family.
    title
        What it is, in the catalog's words. Never trusted in markup.
    price
        Of one piece, in minor units of the job's currency.
    values
        Attribute name → value in SI; every attribute of the family is there.
    positions
        Positions it is made for; empty for all of its family.
    maker
        In the catalog's words.
    lead_time
        Days until it is there [day]; None if the catalog does not say.
    note
        In the catalog's words.
    place
        Where it was read: file and row.
    stock
        Pieces on the shop's own shelf; None if the shop does not say.
    origins
        Name of a value (``"price"``, ``"lead time"``, ``"note"``, ``"stock"``) → where it is from,
        where that is not the row of the list.
    """

    key: str
    family: str
    title: str
    price: int
    values: Mapping[str, Value]
    positions: tuple[str, ...] = ()
    maker: str = ""
    lead_time: int | None = None
    note: str = ""
    place: str = ""
    extra: Mapping[str, str] = field(default_factory=dict)
    stock: int | None = None
    origins: Mapping[str, str] = field(default_factory=dict)


def attributes_of(family: Family) -> tuple[Attribute, ...]:
    """All columns that describe a part of a family, the common ones last."""
    own = {attribute.name for attribute in family.attributes}
    return family.attributes + tuple(a for a in COMMON_ATTRIBUTES if a.name not in own)


def nothing_fitted(family: Family, values: Mapping[str, Value]) -> Part:
    """Make the empty position of a family of its attributes' ``when_empty`` in SI."""
    return Part(NOTHING, family.key, "nothing", 0, values)
