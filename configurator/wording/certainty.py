"""How sure a package is, in words and as plain data."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any

from configurator.core import units
from configurator.evaluation.how_sure import first_to_measure, goals_within, unsure_rules
from configurator.model.parts import attributes_of
from configurator.wording.quantities import plain, unit_in, with_unit, words

if TYPE_CHECKING:
    from collections.abc import Mapping

    from configurator.evaluation.evaluator import Evaluation, Option
    from configurator.evaluation.propagation import Source
    from configurator.model.jobs import Job
    from configurator.wording.quantities import System

# Sources named as the first to measure.
MOST_NAMED = 3


def chance_words(chance: float) -> str:
    """Say how often something is missed, in words that a customer follows.

    Examples
    --------
    >>> chance_words(0.16), chance_words(0.7)
    ('about 1 in 6 built so would miss it', 'more would miss it than keep it')
    >>> chance_words(0.004)
    'fewer than 1 in 100 built so would miss it'
    """
    if chance > 0.5:
        return "more would miss it than keep it"
    if chance < 0.01:
        return "fewer than 1 in 100 built so would miss it"
    return f"about 1 in {round(1 / chance)} built so would miss it"


def within_words(amount: float, unit: str, system: System | None = None) -> str:
    """Say how far something may be off: two digits, rounded up.

    Examples
    --------
    >>> within_words(0.008641, "mm"), within_words(0.005, "mm")
    ('8.7 mm', '5 mm')
    >>> within_words(0.005, "mm", "imperial")
    '0.2 in'
    """
    shown = unit_in(unit, system)
    number = units.from_si(amount, shown) - units.from_si(0.0, shown)
    if not number:
        return with_unit("0", shown)
    step = 10.0 ** (math.floor(math.log10(number)) - 1)
    rounded = math.ceil(number / step - 1e-6) * step
    return with_unit(f"{rounded:.6g}", shown)


def unit_of_source(evaluation: Evaluation, source: Source) -> str:
    """Return the unit in which a source of doubt is declared."""
    kind, name, attribute = source
    if kind in ("part", "fitted"):
        declared = attributes_of(evaluation.families[name])
        return next(a.unit for a in declared if a.name == attribute)
    if kind == "vehicle":
        return evaluation.trade.measures[name].unit
    if kind == "condition":
        return evaluation.trade.conditions[name].unit
    return evaluation.definition(name).unit


def source_words(
    evaluation: Evaluation,
    choice: Mapping[str, Option],
    source: Source,
    system: System | None = None,
) -> str:
    """Name a source of doubt with its tolerance: *booster gain ±5 %*."""
    kind, name, attribute = source
    table, families = evaluation.tolerances, evaluation.families
    if kind in ("part", "fitted"):
        option = choice[name] if kind == "part" else evaluation.fitted[name]
        tolerance = table.of_part(name, option.part, attribute)
        declared = next(a for a in attributes_of(families[name]) if a.name == attribute)
        # A part that stays is both; what is measured on the vehicle is told from what is bought.
        text = f"fitted {name}: {attribute}" if kind == "fitted" else f"{name}: {attribute}"
        unit = declared.unit
    elif kind == "vehicle":
        tolerance, unit = table.of_measure(name), evaluation.trade.measures[name].unit
        text = name
    elif kind == "condition":
        tolerance, unit = table.of_condition(name), evaluation.trade.conditions[name].unit
        text = name
    else:
        tolerance, unit = table.of_figure(name), evaluation.definition(name).unit
        text = f"the estimate of {name}"
    if tolerance is None:
        return text
    if tolerance.relative:
        return f"{text} ±{tolerance.amount * 100.0:.3g} %"
    return f"{text} ±{within_words(tolerance.amount, unit, system)}"


def how_sure_lines(
    evaluation: Evaluation,
    job: Job,
    choice: Mapping[str, Option],
    system: System | None = None,
) -> list[str]:
    """Say which rules and goals hold as calculated only, and what to measure first; empty if none.

    Parameters
    ----------
    evaluation, job, choice
        A package that keeps its rules and meets the job, and whose.
    system
        Which units the reader wants.
    """
    rules = unsure_rules(evaluation, choice)
    goals = [
        item
        for item in goals_within(evaluation, choice, job.goals)
        if not item.margin.sure and item.margin.margin >= -item.within
    ]
    lines = []
    for item in rules:
        decided = item.margin.decided_by
        by = "" if decided is None else source_words(evaluation, choice, decided, system)
        lines.append(
            f"{item.rule.name}: as calculated only, {chance_words(item.margin.chance)}."
            f" Decided by {by}."
        )
    for goal in goals:
        unit = evaluation.definition(goal.goal.figure).unit
        decided = goal.margin.decided_by
        by = "" if decided is None else source_words(evaluation, choice, decided, system)
        lines.append(
            f"{goal.goal.figure}: {words(goal.value, unit, system)}"
            f" ±{within_words(goal.within, unit, system)}, {chance_words(goal.margin.chance)}."
            f" Decided by {by}."
        )
    ranked = first_to_measure(rules, goals)[:MOST_NAMED]
    if ranked:
        named = "; ".join(source_words(evaluation, choice, source, system) for source, _ in ranked)
        lines.append(f"To be surer, measure first: {named}.")
    return lines


def how_sure_record(
    evaluation: Evaluation,
    job: Job,
    choice: Mapping[str, Option],
    system: System | None = None,
) -> dict[str, Any]:
    """Return the same as plain data, every goal with what it may be off by."""
    rules = unsure_rules(evaluation, choice)
    goals = goals_within(evaluation, choice, job.goals)

    def decided(source: Source | None) -> str | None:
        return None if source is None else source_words(evaluation, choice, source, system)

    return {
        "rules": [
            {
                "rule": item.rule.name,
                "concerns": item.rule.concerns,
                "missed": round(item.margin.chance, 4),
                "decided_by": decided(item.margin.decided_by),
            }
            for item in rules
        ],
        "goals": [
            {
                "figure": item.goal.figure,
                "value": plain(item.value, evaluation.definition(item.goal.figure).unit, system),
                "within": plain(item.within, evaluation.definition(item.goal.figure).unit, system),
                "unit": unit_in(evaluation.definition(item.goal.figure).unit, system),
                "missed": round(item.margin.chance, 4),
                "decided_by": decided(item.margin.decided_by),
            }
            for item in goals
        ],
        "measure_first": [
            {"source": source_words(evaluation, choice, source, system), "share": round(share, 4)}
            for source, share in first_to_measure(rules, goals)[:MOST_NAMED]
        ],
        "lifted": dict(evaluation.case.lifted),
    }
