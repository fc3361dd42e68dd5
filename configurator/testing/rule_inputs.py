"""The values that rules are really asked with: what `configurator.testing.contract` tries."""

from __future__ import annotations

import random
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from configurator.model.parts import Missing, attributes_of
from configurator.model.references import (
    ConditionValue,
    EachValue,
    FigureValue,
    FittedValue,
    PartValue,
    VehicleValue,
)
from configurator.model.rules import Total

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping

    from configurator.evaluation.evaluator import Evaluation, Option
    from configurator.model.references import Reference
    from configurator.model.rules import Rule

PACKAGES = 24  # put together by chance for each case


def choices_of(evaluation: Evaluation) -> Iterator[Mapping[str, Option]]:
    """Yield the vehicle as it stands, each position's last option, and packages by chance."""
    yield evaluation.fitted
    options = {position: evaluation.options(position) for position in evaluation.families}
    yield {position: option[-1] for position, option in options.items()}
    chance = random.Random(1)  # the same packages on every run
    for _ in range(PACKAGES):
        yield {position: chance.choice(option) for position, option in options.items()}


@dataclass(frozen=True, slots=True)
class Given:
    """One set of values of a rule's inputs, and the unit of each number."""

    values: dict[str, Any]
    units: dict[str, str | None]


def inputs_that_occur(
    rule: Rule, chosen: Iterable[tuple[Evaluation, Mapping[str, Option]]]
) -> list[Given]:
    """Collect every set of values that a rule is called with in some packages, each once."""
    occurring: dict[tuple[Any, ...], Given] = {}
    for evaluation, choice in chosen:
        places = list(choice) if isinstance(rule, Total) else [""]
        for place in places:
            given = _given(rule, evaluation, choice, place)
            if given is not None:
                occurring.setdefault(tuple(map(repr, given.values.values())), given)
    return list(occurring.values())


def _given(
    rule: Rule, evaluation: Evaluation, choice: Mapping[str, Option], place: str
) -> Given | None:
    """Collect what a rule is called with; None if it would not be called."""
    values: dict[str, Any] = {}
    shown: dict[str, str | None] = {}
    for rule_input in rule.inputs:
        try:
            value = _value(rule_input.reference, evaluation, choice, place)
        except Exception:  # another rule failed, in any way, and is named itself
            return None
        if isinstance(value, Missing):
            if not rule_input.takes_missing:
                return None
            values[rule_input.parameter], shown[rule_input.parameter] = None, None
            continue
        values[rule_input.parameter] = value
        shown[rule_input.parameter] = _unit_of(rule_input.reference, evaluation, place)
    return Given(values, shown)


def _value(
    reference: Reference, evaluation: Evaluation, choice: Mapping[str, Option], place: str
) -> Any:
    if not isinstance(reference, EachValue):
        return evaluation.value(reference, choice)
    position = next(p for p in evaluation.families[place].positions if p.name == place)
    own = {
        "pieces": choice[place].pieces,
        "place": position.place,
        "sprung": position.sprung,
        "position": position.name,
    }
    if reference.attribute in own:
        return own[reference.attribute]
    return evaluation.attribute(choice[place], reference.attribute)


def _unit_of(reference: Reference, evaluation: Evaluation, place: str) -> str | None:
    """Return the unit of a number that is read; None for what has none."""
    trade = evaluation.trade
    if isinstance(reference, PartValue | FittedValue | EachValue):
        at = place if isinstance(reference, EachValue) else reference.position
        for attribute in attributes_of(evaluation.families[at]):
            if attribute.name == reference.attribute:
                return attribute.unit if attribute.kind == "number" else None
        return None
    if isinstance(reference, FigureValue):
        return evaluation.definition(reference.name).unit
    if isinstance(reference, VehicleValue):
        measure = trade.measures[reference.name]
        return measure.unit if measure.kind == "number" else None
    if isinstance(reference, ConditionValue):
        return trade.conditions[reference.name].unit
    return trade.practices[reference.name].unit
