"""What is not known: which measures and values of parts keep rules and figures from being asked.

A rule that cannot be asked is not broken and not kept. Each gap is followed back through figures
to what a person can do about it: a measure to take, a column to fill in.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from configurator.model.knowledge import references, rules_reading
from configurator.model.parts import Missing
from configurator.model.references import (
    EACH,
    ConditionValue,
    EachValue,
    FigureValue,
    FittedValue,
    PartValue,
    VehicleValue,
)
from configurator.model.rules import Total
from configurator.model.taken_with import GUARD, Guarded

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping

    from configurator.evaluation.evaluator import Evaluation, Option
    from configurator.model.jobs import Job
    from configurator.model.references import Reference
    from configurator.model.rules import Rule

Kind = Literal["measure", "taken with", "part", "condition", "rule"]
# What can be done about each kind.
GAPS: dict[Kind, str] = {
    "measure": "measure {name}",
    "taken with": "measure {name} again: it was taken with another part as {other}",
    "part": "look up {name} of {other}: nobody gives it",
    "condition": "give {name} in the job",
    "rule": "{name}: the rule cannot tell",
}


@dataclass(frozen=True, slots=True)
class Gap:
    """Something that is not known.

    Parameters
    ----------
    kind
        ``"measure"`` of the vehicle; ``"taken with"`` where a measure was taken with another part;
        ``"part"`` for an attribute that a list or the vehicle's file leaves out; ``"condition"`` of
        the job; ``"rule"`` where a rule itself says that it cannot tell.
    name
        Of the measure, position and attribute, condition or rule.
    other
        The position whose part is another, for ``"taken with"``; the part, for ``"part"``.
    """

    kind: Kind
    name: str
    other: str = ""

    def __str__(self) -> str:
        return GAPS[self.kind].format(name=self.name, other=self.other)


def gaps_of(evaluation: Evaluation, rule: Rule, choice: Mapping[str, Option]) -> tuple[Gap, ...]:
    """Return what keeps a rule or figure from being asked in a package; nothing where it is asked.

    Parameters
    ----------
    evaluation
        The case and the trade.
    rule
        A rule whose answer is not known.
    choice
        The package.
    """
    return tuple(dict.fromkeys(_gaps(evaluation, rule, choice, set())))


def _gaps(
    evaluation: Evaluation, rule: Rule, choice: Mapping[str, Option], seen: set[tuple[str, bool]]
) -> Iterator[Gap]:
    needed = [item.reference for item in rule.inputs if not item.takes_missing]
    wanted = [item.reference for item in rule.inputs if item.takes_missing]
    bounds = references(rule)[len(rule.inputs) :]
    for group in ([*needed, *bounds], wanted):
        unknown = [
            reference
            for reference in group
            if isinstance(reference, EachValue)
            or evaluation.value(reference, choice) is Missing.UNKNOWN
        ]
        gaps = [
            gap
            for reference in unknown
            for gap in _gaps_behind(evaluation, reference, choice, seen, rule)
        ]
        # A figure that was followed back already has its gaps among those of another.
        if gaps or any(isinstance(reference, FigureValue) for reference in unknown):
            yield from gaps
            return
    if isinstance(rule.function, Guarded):
        values = {item.parameter: evaluation.value(item.reference, choice) for item in rule.inputs}
        plain = {
            name: None if isinstance(value, Missing) else value
            for name, value in values.items()
            if name.startswith(GUARD)
        }
        stale = [*rule.function.stale(plain)]
        if stale:
            yield from (Gap("taken with", item.measure, item.position) for item in stale)
            return
    yield Gap("rule", rule.name)


def _gaps_behind(
    evaluation: Evaluation,
    reference: Reference,
    choice: Mapping[str, Option],
    seen: set[tuple[str, bool]],
    rule: Rule,
) -> Iterator[Gap]:
    if isinstance(reference, EachValue):
        if isinstance(rule, Total) and reference.attribute not in EACH:
            yield from _gaps_of_parts(evaluation, rule, reference, choice)
        return
    if evaluation.value(reference, choice) is not Missing.UNKNOWN:
        return
    if isinstance(reference, VehicleValue):
        yield Gap("measure", reference.name)
    elif isinstance(reference, ConditionValue):
        yield Gap("condition", reference.name)
    elif isinstance(reference, PartValue | FittedValue):
        there = choice if isinstance(reference, PartValue) else evaluation.fitted
        option = there[reference.position]
        yield _part_gap(option, reference.attribute)
    elif isinstance(reference, FigureValue) and (reference.name, reference.before) not in seen:
        seen.add((reference.name, reference.before))
        then = evaluation.fitted if reference.before else choice
        yield from _gaps(evaluation, evaluation.definition(reference.name), then, seen)


def _gaps_of_parts(
    evaluation: Evaluation, rule: Total, reference: EachValue, choice: Mapping[str, Option]
) -> Iterator[Gap]:
    """Yield the parts that leave a sum open."""
    for position, option in choice.items():
        if isinstance(evaluation.share(rule, option), Missing):
            for part in (option, evaluation.fitted[position]):
                if evaluation.attribute(part, reference.attribute) is Missing.UNKNOWN:
                    yield _part_gap(part, reference.attribute)


def _part_gap(option: Option, attribute: str) -> Gap:
    return Gap("part", f"{option.position}: {attribute}", option.part.title or option.key)


# -- whatever is chosen -------------------------------------------------------------------------


def never_known(evaluation: Evaluation, name: str) -> tuple[Gap, ...]:
    """Return why a figure cannot be worked out whatever is changed; nothing where it may be.

    A rule that takes what is missing may still say that it cannot tell: only asking it shows that.

    Parameters
    ----------
    evaluation
        The case and the trade.
    name
        Of a figure or total.
    """
    return tuple(dict.fromkeys(_never(evaluation, evaluation.definition(name), set())))


def _never(evaluation: Evaluation, rule: Rule, seen: set[str]) -> Iterator[Gap]:
    needed: Iterable[Reference] = [item.reference for item in rule.inputs if not item.takes_missing]
    if isinstance(rule, Total):
        start = rule.start
        needed = [*needed, *([] if isinstance(start, int | float) else [start])]
    for reference in needed:
        if isinstance(reference, EachValue):
            continue
        if isinstance(reference, FigureValue) and not reference.before:
            if reference.name not in seen:
                seen.add(reference.name)
                yield from _never(evaluation, evaluation.definition(reference.name), seen)
        elif isinstance(reference, PartValue):
            options = evaluation.options(reference.position)
            known = (evaluation.attribute(option, reference.attribute) for option in options)
            if all(value is Missing.UNKNOWN for value in known):
                yield Gap("part", f"{reference.position}: {reference.attribute}", "any part")
        else:
            yield from _gaps_behind(evaluation, reference, evaluation.fitted, set(), rule)


def goals_not_known(evaluation: Evaluation, job: Job) -> dict[str, tuple[Gap, ...]]:
    """Return the figures that a job has goals on and that cannot be worked out, with why."""
    gaps = {goal.figure: never_known(evaluation, goal.figure) for goal in job.goals}
    return {figure: missing for figure, missing in gaps.items() if missing}


def measures_to_take(evaluation: Evaluation) -> list[tuple[str, tuple[str, ...]]]:
    """List the measures that the vehicle's file lacks, with the rules that wait for each.

    Those that unlock most come first; measures that nothing waits for are left out.
    """
    reading = rules_reading(evaluation.trade)
    known = evaluation.case.vehicle.values
    missing = [
        (name, reading[name])
        for name, measure in evaluation.trade.measures.items()
        if name not in known and measure.default is None and reading.get(name)
    ]
    return sorted(missing, key=lambda item: (-len(item[1]), item[0]))
