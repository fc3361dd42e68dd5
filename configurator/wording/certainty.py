"""How sure a package is, in words, with a mark, and as plain data."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any

from configurator.core import units
from configurator.evaluation.how_sure import (
    first_to_measure,
    goals_within,
    graded_rules,
    unsure_rules,
)
from configurator.model.parts import attributes_of
from configurator.wording import certainty_templates as say
from configurator.wording.quantities import plain, unit_in, with_unit
from configurator.wording.style import ENGLISH, English

if TYPE_CHECKING:
    from collections.abc import Mapping

    from configurator.evaluation.evaluator import Evaluation, Option
    from configurator.evaluation.how_sure import GoalWithin, Grade
    from configurator.evaluation.propagation import Source, UncertainMargin
    from configurator.model.jobs import Goal, Job
    from configurator.wording.quantities import System
    from configurator.wording.style import Style

# Sources named as the first to measure.
MOST_NAMED = 3
# By shape, not by colour alone.
MARKS: Mapping[Grade, str] = {"sure": "●", "calculated": "◐", "no worse": "◌"}


def chance_words(chance: float, style: Style = ENGLISH) -> str:
    """Say how often something is missed, in words that a customer follows.

    Examples
    --------
    >>> chance_words(0.16), chance_words(0.7)
    ('about 1 in 6 built so would miss it', 'more would miss it than keep it')
    >>> chance_words(0.004)
    'fewer than 1 in 100 built so would miss it'
    """
    if chance > 0.5:
        return style.text(say.MORE_MISS)
    if chance < 0.01:
        return style.text(say.FEWER_MISS)
    return style.say(say.SOME_MISS, number=round(1 / chance))


def grade_words(grade: Grade, margin: UncertainMargin, style: Style = ENGLISH) -> str:
    """Say in words how sure something is.

    Examples
    --------
    >>> from configurator.evaluation.propagation import UncertainMargin
    >>> grade_words("calculated", UncertainMargin(0.0, {("vehicle", "a", ""): 1.0}))
    'as calculated; about 1 in 2 built so would miss it'
    """
    return words_of_grade(grade, margin.chance, style)


def words_of_grade(grade: Grade, chance: float, style: Style = ENGLISH) -> str:
    """Say a grade, and how often something that holds as calculated only is missed.

    Examples
    --------
    >>> words_of_grade("sure", 0.0), words_of_grade("calculated", 0.25)
    ('sure', 'as calculated; about 1 in 4 built so would miss it')
    """
    if grade == "calculated":
        return style.say(say.AS_CALCULATED, chance=chance_words(chance, style))
    return style.text(say.SURE if grade == "sure" else say.NO_WORSE)


def rule_grades(
    evaluation: Evaluation, choice: Mapping[str, Option], style: Style = ENGLISH
) -> dict[str, tuple[str, str]]:
    """Give the mark and the words of each limit of which it is said how sure it is, by name."""
    return {
        item.rule.name: (MARKS[item.grade], grade_words(item.grade, item.margin, style))
        for item in graded_rules(evaluation, choice)
    }


def with_grade(statement: str, grade: tuple[str, str] | None, style: Style = ENGLISH) -> str:
    """Put mark and words behind a statement, where there are some."""
    if grade is None:
        return statement
    return style.say(say.GRADED, statement=statement, mark=grade[0], grade=grade[1])


def goal_grade(
    within: Mapping[Goal, GoalWithin], goal: Goal, style: Style = ENGLISH
) -> tuple[str, str] | None:
    """Give mark and words for a goal that is met as calculated; None where nothing is known.

    Where nothing behind its figure has a tolerance, it may be exact, as a ratio of teeth is, or
    nobody may have said how far it is off: nothing is known then.
    """
    item = within.get(goal)
    if item is None or not item.within:
        return None
    return MARKS[item.grade], grade_words(item.grade, item.margin, style)


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


def within_value(style: Style, amount: float, unit: str) -> str:
    """Write how far something may be off as the reader writes numbers; rounded up.

    Examples
    --------
    >>> within_value(English(), 0.008641, "mm"), within_value(English(), 0.05, "%")
    ('8.7 mm', '5 %')
    """
    shown = unit_in(unit, style.system)
    factor = units.to_si(1.0, shown) - units.to_si(0.0, shown)
    if not amount or units.to_si(0.0, shown):
        return within_words(amount, unit, style.system)
    step = 10.0 ** (math.floor(math.log10(amount / factor)) - 1)
    return style.value(math.ceil(amount / factor / step - 1e-6) * step * factor, unit)


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
    style: Style = ENGLISH,
) -> str:
    """Name a source of doubt with its tolerance: *booster gain ±5 %*."""
    kind, name, attribute = source
    table, families = evaluation.tolerances, evaluation.families
    if kind in ("part", "fitted"):
        option = choice[name] if kind == "part" else evaluation.fitted[name]
        tolerance = table.of_part(name, option.part, attribute)
        declared = next(a for a in attributes_of(families[name]) if a.name == attribute)
        # A part that stays is both; what is measured on the vehicle is told from what is bought.
        template = say.FITTED_SOURCE if kind == "fitted" else say.PART_SOURCE
        text = style.say(template, position=style.text(name), attribute=style.text(attribute))
        unit = declared.unit
    elif kind == "vehicle":
        tolerance, unit = table.of_measure(name), evaluation.trade.measures[name].unit
        text = style.text(name)
    elif kind == "condition":
        tolerance, unit = table.of_condition(name), evaluation.trade.conditions[name].unit
        text = style.text(name)
    else:
        tolerance, unit = table.of_figure(name), evaluation.definition(name).unit
        text = style.say(say.ESTIMATE, figure=style.text(name))
    if tolerance is None:
        return text
    within = within_value(style, tolerance.amount, "%" if tolerance.relative else unit)
    return style.say(say.SOURCE_WITHIN, source=text, within=within)


def how_sure_lines(
    evaluation: Evaluation,
    job: Job,
    choice: Mapping[str, Option],
    style: Style = ENGLISH,
) -> list[str]:
    """Say which rules and goals hold as calculated only, and what to measure first; empty if none.

    Parameters
    ----------
    evaluation, job, choice
        A package that keeps its rules and meets the job, and whose.
    style
        Language and units of the reader.
    """
    rules = unsure_rules(evaluation, choice)
    lines = rule_lines(evaluation, choice, style)
    goals = [
        item
        for item in goals_within(evaluation, choice, job.goals)
        if item.grade == "calculated" and item.margin.margin >= -item.within
    ]
    for goal in goals:
        unit = evaluation.definition(goal.goal.figure).unit
        decided = goal.margin.decided_by
        if decided is None:
            continue
        lines.append(
            style.say(
                say.GOAL,
                figure=style.text(goal.goal.figure),
                value=style.value(goal.value, unit),
                within=within_value(style, goal.within, unit),
                chance=chance_words(goal.margin.chance, style),
                source=source_words(evaluation, choice, decided, style),
            )
        )
    ranked = first_to_measure(rules, goals)[:MOST_NAMED]
    if ranked:
        named = "; ".join(source_words(evaluation, choice, source, style) for source, _ in ranked)
        lines.append(style.say(say.MEASURE_FIRST, sources=named))
    return lines


def rule_lines(
    evaluation: Evaluation, choice: Mapping[str, Option], style: Style = ENGLISH
) -> list[str]:
    """Say which limits on law, plates and contact hold as calculated only, and what decides it."""
    lines = []
    for item in unsure_rules(evaluation, choice):
        decided, chance = item.margin.decided_by, chance_words(item.margin.chance, style)
        rule = style.text(item.rule.name)
        if decided is None:
            lines.append(style.say(say.RULE_BY_NOTHING, rule=rule, chance=chance))
            continue
        source = source_words(evaluation, choice, decided, style)
        lines.append(style.say(say.RULE, rule=rule, chance=chance, source=source))
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
        return (
            None
            if source is None
            else source_words(evaluation, choice, source, English(system=system))
        )

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
                "grade": item.grade,
                "missed": round(item.margin.chance, 4),
                "decided_by": decided(item.margin.decided_by),
            }
            for item in goals
        ],
        "measure_first": [
            {
                "source": source_words(evaluation, choice, source, English(system=system)),
                "share": round(share, 4),
            }
            for source, share in first_to_measure(rules, goals)[:MOST_NAMED]
        ],
        "lifted": dict(evaluation.case.lifted),
    }
