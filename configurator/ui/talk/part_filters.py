"""Filter the parts of a position by what their lists say of them."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Any

from configurator.core.errors import InputError
from configurator.files import part_filter
from configurator.files.part_filter import FilterCondition
from configurator.model.parts import NOTHING
from configurator.ui.talk import talk_words as say
from configurator.wording.quantities import unit_in, with_unit

if TYPE_CHECKING:
    from configurator.model.parts import Attribute
    from configurator.ui.visit import Visit

LONGEST = 120
COMPARED = {
    ">=": "at least",
    "<=": "at most",
    "=": "is",
    "!=": "is not",
    ">": "more than",
    "<": "less than",
    "has": "has",
}
_NUMBER = re.compile(r"[-+]?[0-9.,]+")


def filtered(visit: Visit) -> dict[str, Any] | None:
    """Return the filter that is on: its conditions, fields to choose from, and what meets it."""
    position, conditions = visit.look_up
    evaluation = visit.talk.evaluation
    if position not in evaluation.families:
        return None
    family, options = evaluation.families[position], evaluation.options(position)
    fields = part_filter.fields(family, visit.job.currency)
    problems = {
        number: problem
        for number, condition in enumerate(conditions)
        if condition.value and (problem := _wrong(visit, position, condition))
    }
    asked = [
        condition for k, condition in enumerate(conditions) if condition.value and k not in problems
    ]
    parts = {family.key: [option.part for option in options if option.key != NOTHING]}
    matching = part_filter.look_up(
        parts, evaluation.trade, asked, family=family.key, currency=visit.job.currency
    )
    met = {id(part) for part in matching.parts.get(family.key, ())}
    names = list(dict.fromkeys(condition.attribute for condition in asked))
    facts = {
        option.key: "; ".join(
            f"{name} {_value_words(visit, option.part, name, fields[name], family)}"
            for name in names
        )
        for option in options
        if id(option.part) in met and option.key != NOTHING
    }
    return {
        "position": position,
        "fields": [[name, _unit(visit, field)] for name, field in fields.items()],
        "ways": {
            name: [[way, COMPARED[way]] for way in part_filter.allowed(field)]
            for name, field in fields.items()
        },
        "conditions": [
            {"field": condition.attribute, "way": condition.comparison, "value": condition.value,
             "problem": problems.get(k, "")}
            for k, condition in enumerate(conditions)
        ],
        "facts": facts if asked else None,
        "unknown": [f"{name}: {number} left out, their lists do not say"
                    for name, number in dict(matching.unknown).items()],
    }  # fmt: skip


def open_filter(visit: Visit, position: str) -> None:
    """Begin to filter a position: by a number of its list."""
    evaluation = visit.talk.evaluation
    if position not in evaluation.families:
        return
    fields = part_filter.fields(evaluation.families[position], visit.job.currency)
    own = [
        name
        for name, field in fields.items()
        if field.kind == "number" and name not in part_filter.OF_ALL
    ]
    name = next(iter(own), part_filter.PRICE)
    visit.look_up = (position, (FilterCondition(name, ">=" if own else "<=", ""),))


def put_condition(visit: Visit, number: int, field: str, way: str, value: str) -> None:
    """Change a condition, or add one at the end; a field or way that is none is ignored."""
    position, conditions = visit.look_up
    evaluation = visit.talk.evaluation
    if position not in evaluation.families:
        return
    fields = part_filter.fields(evaluation.families[position], visit.job.currency)
    if field not in fields:
        return
    ways = part_filter.allowed(fields[field])
    typed = value.strip()[:LONGEST]
    unit = _unit_of(visit, fields[field])
    # The unit is kept with the number: switching units moves no condition.
    if unit and _NUMBER.fullmatch(typed):
        typed = f"{typed} {unit}"
    changed = list(conditions)
    changed[number : number + 1] = [FilterCondition(field, way if way in ways else ways[0], typed)]
    visit.look_up = (position, tuple(changed))


def drop_condition(visit: Visit, number: int) -> None:
    """Take a condition away; with the last one the filter goes."""
    position, conditions = visit.look_up
    left = tuple(condition for k, condition in enumerate(conditions) if k != number)
    visit.look_up = (position, left) if left else ("", ())


def _wrong(visit: Visit, position: str, condition: FilterCondition) -> str:
    """Say what is wrong with a condition; empty where it can be read."""
    evaluation = visit.talk.evaluation
    family = evaluation.families[position].key
    try:
        part_filter.look_up(
            {}, evaluation.trade, [condition], family=family, currency=visit.job.currency
        )
    except InputError as problem:
        return "; ".join(f"{detail.what}: {detail.do}" for detail in problem.problems)
    return ""


def _value_words(visit: Visit, part: Any, name: str, field: Attribute, family: Any) -> str:
    if name == part_filter.PRICE:
        return say.money(part.price, visit.job.currency)
    return say.value(part_filter.value_of(part, name, family), field.unit, visit.system)


def _unit_of(visit: Visit, field: Attribute) -> str:
    if field.name == part_filter.PRICE:
        return visit.job.currency
    return unit_in(field.unit, visit.system)


def _unit(visit: Visit, field: Attribute) -> str:
    return with_unit("", _unit_of(visit, field)).strip()
