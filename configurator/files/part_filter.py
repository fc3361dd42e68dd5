"""Look parts up: conditions such as *offset >= 20 mm* on what the lists say.

A condition is an attribute, a comparison and a value. It is taken apart by its signs and its value
is read as a cell of a list is; nothing of it is ever run.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import TYPE_CHECKING

from configurator.core import money
from configurator.core.errors import InputError, Problem, UnitError, nearest
from configurator.core.text import Misread, shown
from configurator.core.units import to_si
from configurator.files.part_columns import LEAD_TIME
from configurator.model.former_names import name_now
from configurator.model.kinds import KINDS, kind_of
from configurator.model.parts import Attribute, Family, Missing, Part, Value, attributes_of

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Mapping, Sequence

    from configurator.model.knowledge import Trade


COMPARISONS = ("<=", ">=", "!=", "=", "<", ">", "has")
_CONDITION = re.compile(r"\s*([^<>=!]+?)\s*(<=|>=|!=|==|=|<|>|\shas\s)\s*([^<>=!].*?)\s*")
_LONGEST = 300

PRICE = "price"
# What every part has beside the attributes of its family.
_OWN = (
    Attribute("part number", "", kind="text"),
    Attribute("title", "", kind="text"),
    Attribute("maker", "", kind="text"),
    Attribute("note", "", kind="text"),
    Attribute("position", "", kind="text"),
    Attribute(LEAD_TIME, "", "day"),
    Attribute("stock", "", kind="whole"),
)
# Names of these.
OF_ALL = frozenset({PRICE, *(own.name for own in _OWN)})


@dataclass(frozen=True, slots=True)
class FilterCondition:
    """One condition: ``attribute``, ``comparison`` (see `COMPARISONS`) and the text of a value."""

    attribute: str
    comparison: str
    value: str


@dataclass(frozen=True, slots=True)
class FilterResult:
    """What a look-up found.

    Parameters
    ----------
    parts
        Family key → parts that meet every condition, in the order of the lists.
    unknown
        Condition → how many parts were left out because their list does not say.
    """

    parts: Mapping[str, tuple[Part, ...]]
    unknown: Mapping[str, int]


def read_condition(text: str) -> FilterCondition:
    """Take a condition apart.

    Raises
    ------
    InputError
        If it is none.

    Examples
    --------
    >>> read_condition("offset >= 20 mm")
    FilterCondition(attribute='offset', comparison='>=', value='20 mm')
    >>> read_condition("note has winter")
    FilterCondition(attribute='note', comparison='has', value='winter')
    """
    match = _CONDITION.fullmatch(text) if len(text) <= _LONGEST else None
    if match is None:
        raise InputError(
            [
                Problem(
                    "--where",
                    f"{shown(text)} is no condition",
                    f"write an attribute, one of {' '.join(COMPARISONS)} and a value: "
                    '"offset >= 20 mm"',
                )
            ]
        )
    return FilterCondition(
        " ".join(match[1].split()), match[2].strip().replace("==", "="), match[3].strip()
    )


def look_up(
    parts: Mapping[str, Sequence[Part]],
    trade: Trade,
    conditions: Sequence[FilterCondition] = (),
    *,
    family: str | None = None,
    currency: str = "",
) -> FilterResult:
    """Find the parts that meet every condition.

    Parameters
    ----------
    parts
        Family key → parts.
    trade
        The families.
    conditions
        All must be met. A family that lacks one of the attributes is left aside.
    family
        Key of the only family to look at; all by default.
    currency
        Of the prices.

    Raises
    ------
    InputError
        If there is no such family or attribute, or a value cannot be read; with all of them.
    """
    if family is not None:
        family = name_now(family, trade.former_names, trade.families)
    if family is not None and family not in trade.families:
        do = nearest(family, trade.families, otherwise=f"use one of {', '.join(trade.families)}")
        raise _bad(what=f"there is no family {shown(family)}", do=do, where="--family")
    chosen = [trade.families[family]] if family else list(trade.families.values())
    having = _having(chosen, conditions)
    tests: dict[str, list[Callable[[Part], bool | None]]] = {}
    problems: list[Problem] = []
    for holder in having:
        try:
            tests[holder.key] = [_test(condition, holder, currency) for condition in conditions]
        except InputError as problem:
            problems.extend(p for p in problem.problems if p not in problems)
    if problems and not tests:
        raise InputError(problems)
    matching: dict[str, tuple[Part, ...]] = {}
    unknown: dict[str, int] = {}
    for key, asked in tests.items():
        kept = []
        for part in parts.get(key, ()):
            answers = [test(part) for test in asked]
            if all(answers):
                kept.append(part)
            elif False not in answers:
                for condition, answer in zip(conditions, answers, strict=True):
                    if answer is None:
                        text = f"{condition.attribute} {condition.comparison} {condition.value}"
                        unknown[text] = unknown.get(text, 0) + 1
        if kept:
            matching[key] = tuple(kept)
    return FilterResult(matching, unknown)


def fields(family: Family, currency: str) -> dict[str, Attribute]:
    """Return everything that a condition on parts of a family may name, its own attributes first.

    The unit of the price is its currency.
    """
    own = {attribute.name: attribute for attribute in attributes_of(family)}
    rest = {name: item for name, item in _asked(family).items() if name not in own}
    return {**own, PRICE: Attribute(PRICE, "", currency), **rest}


def allowed(attribute: Attribute) -> tuple[str, ...]:
    """Return the comparisons that an attribute can be compared by.

    Examples
    --------
    >>> allowed(Attribute("winter", "Has the mark.", kind="yes/no"))
    ('=', '!=')
    """
    return kind_of(attribute).comparisons


def value_of(part: Part, name: str, family: Family) -> Value:
    """Return what a list says of a part under a name that `fields` gives; the price in minor units.

    `Missing` where it says nothing.
    """
    return part.price if name == PRICE else _value(part, name, family)


def _bad(what: str, do: str, where: str = "--where") -> InputError:
    return InputError([Problem(where, what, do)])


def _asked(family: Family) -> dict[str, Attribute]:
    """Everything a condition may name in a family; an attribute of its own comes first."""
    return {attribute.name: attribute for attribute in (*_OWN, *attributes_of(family))}


def _having(families: Iterable[Family], conditions: Sequence[FilterCondition]) -> list[Family]:
    """Keep the families that have every attribute that is asked about."""
    chosen = list(families)
    names = {PRICE: None, **{name: None for family in chosen for name in _asked(family)}}
    problems = [
        Problem(
            "--where",
            f"there is no attribute {shown(condition.attribute)}",
            nearest(condition.attribute, names, otherwise=_listed(chosen)),
        )
        for condition in conditions
        if condition.attribute not in names
    ]
    if problems:
        raise InputError(problems)
    having = [
        family
        for family in chosen
        if all(condition.attribute in {PRICE, *_asked(family)} for condition in conditions)
    ]
    if not having:
        asked = " and ".join(sorted({condition.attribute for condition in conditions}))
        raise _bad(what=f"no family has {asked}", do="ask about them one at a time")
    return having


def _listed(families: Sequence[Family]) -> str:
    if len(families) > 1:
        return "name a family with --family to see its attributes"
    return f"use one of {', '.join([PRICE, *_asked(families[0])])}"


def _test(
    condition: FilterCondition, family: Family, currency: str
) -> Callable[[Part], bool | None]:
    """Make the question of a condition; it answers None for a part whose list does not say."""
    name, sign = condition.attribute, condition.comparison
    where = f"--where {name} {sign} {condition.value}"
    if name == PRICE:
        return _price_test(condition, currency, where)
    attribute = _asked(family)[name]
    kind = kind_of(attribute)
    if sign not in allowed(attribute):
        raise _bad(
            what=f"{name!r} of {family.key!r} cannot be compared by {sign}",
            do=f"use one of {' '.join(allowed(attribute))}",
            where=where,
        )
    try:
        # Bounds and words of the list are left aside: asking for more than there is, is no mistake.
        wanted = kind.asked(attribute, condition.value)
    except Misread as problem:
        raise _bad(problem.what, problem.do, where) from problem
    compare = kind.comparison(sign)

    def test(part: Part) -> bool | None:
        value = _value(part, name, family)
        return None if isinstance(value, Missing) else compare(value, wanted)

    return test


def _price_test(condition: FilterCondition, currency: str, where: str) -> Callable[[Part], bool]:
    if condition.comparison == "has":
        raise _bad(
            what=f"{PRICE!r} cannot be compared by has",
            do="use one of < <= = >= > !=",
            where=where,
        )
    try:
        wanted = money.read(condition.value)
    except UnitError as problem:
        raise _bad(problem.what, problem.do, where) from problem
    if currency and wanted.currency != currency:
        raise _bad(what=f"{wanted} is not in {currency}", do=f"give it in {currency}", where=where)
    compare = KINDS["number"].comparison(condition.comparison)
    return lambda part: compare(part.price, wanted.minor)


def _value(part: Part, name: str, family: Family) -> Value:
    if name in part.values:
        return part.values[name]
    if name == LEAD_TIME:
        return Missing.UNKNOWN if part.lead_time is None else to_si(part.lead_time, "day")
    if name == "stock":
        return Missing.UNKNOWN if part.stock is None else part.stock
    if name == "position":
        return " | ".join(part.positions or (position.name for position in family.positions))
    if name == "part number":
        return part.key.partition("/")[2]
    return {"title": part.title, "maker": part.maker, "note": part.note}[name]
