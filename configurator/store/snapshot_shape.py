"""What of a snapshot is read again, and of what kind it is; the rest of it is for people."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any, Literal, NotRequired, TypedDict

from configurator.store.json_records import damaged, plain_value, strict_converter, structured

Plain = str | int | float | bool | list[str] | None


class Amount(TypedDict):
    """An amount of money; ``amount`` is text, so that no float comes near it."""

    amount: str
    currency: str


class QuotedQuantity(TypedDict):
    """A value in a unit."""

    value: Plain
    unit: str


class PluginEdition(TypedDict):
    """A plugin that was in use."""

    name: str
    version: str | None
    sha256: str | None


class MadeWith(TypedDict):
    """What the quotation was worked out with."""

    program: str
    plugins: list[PluginEdition]


class Titled(TypedDict):
    """Something that has a title."""

    title: str


class QuotedCatalog(TypedDict):
    """Where prices were from."""

    catalog: str
    title: str
    price_date: str
    source: str


class QuotedJob(TypedDict):
    """The job as it was."""

    vehicle: Titled
    asked: list[str]
    catalogs: list[QuotedCatalog]
    file: str


class Locale(TypedDict):
    """How the paper writes numbers and dates."""

    locale: str


class QuotedPart(TypedDict):
    """A part of the package."""

    title: str
    pieces: int
    price: Amount
    maker: str
    lead_time_days: int | None


class QuotedGoal(TypedDict):
    """What was asked for, and what it came to."""

    figure: str
    value: Plain
    unit: str
    met: bool


class QuotedOperation(TypedDict):
    """A piece of work."""

    name: str
    price: Amount


class QuotedWork(TypedDict):
    """All work."""

    price: Amount
    hours: float
    operations: list[QuotedOperation]


class UncheckedRule(TypedDict):
    """A check that could not be made."""

    rule: str
    why: str


class QuotedUnsureRule(TypedDict):
    """A limit that holds as calculated only, and which share of vehicles built so would miss it."""

    rule: str
    missed: float


class QuotedGoalWithin(TypedDict):
    """Within what a goal's value is [unit of the goal], and how sure it is to be met."""

    figure: str
    within: Plain
    unit: str
    grade: Literal["sure", "calculated", "no worse"]
    missed: float


class QuotedCertainty(TypedDict):
    """How sure goals and limits were."""

    rules: list[QuotedUnsureRule]
    goals: list[QuotedGoalWithin]


class QuotedPackage(TypedDict):
    """The package as it was."""

    price: Amount
    parts: dict[str, str | None]
    details: dict[str, QuotedPart]
    figures: dict[str, QuotedQuantity]
    goals: list[QuotedGoal]
    work: QuotedWork
    cautions: list[str]
    not_checked: list[UncheckedRule]
    not_priced: list[str]
    how_sure: NotRequired[QuotedCertainty]  # none of quotations saved before it was worked out


class ByRule(TypedDict):
    """A rule that forces something."""

    rule: str


class ForcedPart(TypedDict):
    """What a choice forces."""

    position: str
    because: list[ByRule]


class ForcingChoice(TypedDict):
    """A choice and all that it forces."""

    position: str
    title: str
    forces: list[ForcedPart]


class ForcedChoices(TypedDict):
    """What the choices force."""

    choices: list[ForcingChoice]


class SnapshotShape(TypedDict):
    """A snapshot, as far as it is read again."""

    made_with: MadeWith
    proven: bool
    job: QuotedJob
    paper: Locale
    package: QuotedPackage
    changed: list[str]
    attributes: dict[str, dict[str, QuotedQuantity]]
    given: dict[str, QuotedQuantity]
    workshop: dict[str, Any]
    rules: dict[str, dict[str, Any]]
    forced: ForcedChoices | None
    notice: str


def _amount(record: Any, _kind: object) -> Amount:
    amount: Amount = {
        "amount": _SHAPES.structure(record["amount"], str),
        "currency": _SHAPES.structure(record["currency"], str),
    }
    if not re.fullmatch(r"-?[0-9]{1,15}(\.[0-9]{1,4})?", amount["amount"]):
        message = "no amount"
        raise ValueError(message)
    return amount


_SHAPES = strict_converter()
_SHAPES.register_structure_hook(Amount, _amount)
_SHAPES.register_structure_hook(Plain, plain_value)


def check(snapshot: Mapping[str, Any], number: str) -> None:
    """Refuse a snapshot that does not hold together.

    Raises
    ------
    FitwrightError
        If it does not.
    """
    what = f"quotation {number}: its record is damaged"
    shape = structured(snapshot, SnapshotShape, what, _SHAPES)
    package = shape["package"]
    named = {*package["parts"], *shape["changed"]}
    if not named <= {*package["details"]} or not {*shape["changed"]} <= {*package["parts"]}:
        raise damaged(what, "a position without its part")
    if len(package["goals"]) != len(shape["job"]["asked"]):
        raise damaged(what, "goals are missing")
