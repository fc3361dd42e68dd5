"""Wishes, reasons, repairs, goals, margins and cautions as sentences."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from configurator.model.knowledge import BUILT_IN, references
from configurator.model.parts import FITTED, NOTHING
from configurator.model.references import (
    ConditionValue,
    FigureValue,
    FittedValue,
    PartValue,
    PracticeValue,
    VehicleValue,
)
from configurator.model.rules import Limit, Total
from configurator.wording.quantities import apart, counted, money_words, words

if TYPE_CHECKING:
    from collections.abc import Iterable

    from configurator.evaluation.evaluator import Evaluation, Option
    from configurator.evaluation.packages import Margin
    from configurator.model.jobs import CatalogInfo, Goal
    from configurator.model.knowledge import Trade
    from configurator.model.parts import Value
    from configurator.model.references import Reference
    from configurator.model.requirements import Wish
    from configurator.model.rules import Caution, Rule
    from configurator.search.explanation.conflicts import Reason, Repair
    from configurator.wording.quantities import System

# Goes with every output that shows a package.
NOTICE = (
    "All figures are calculated from catalog values and are no approval; local codes and the "
    "makers' fitting instructions come first."
)


def part_words(evaluation: Evaluation, position: str, key: str) -> str:
    """Say which part a key means at a position."""
    if key == NOTHING:
        return "nothing"
    if key == FITTED:
        return f"{evaluation.fitted[position].part.title} (as fitted)"
    family = evaluation.families[position]
    for part in evaluation.case.parts.get(family.key, ()):
        if part.key == key:
            return f"{part.title} ({key})"
    return key


def option_words(option: Option) -> str:
    """Say what is at a position.

    Examples
    --------
    >>> from configurator.evaluation.evaluator import Option
    >>> from configurator.model.parts import Part
    >>> option_words(Option("tyres", Part("demo/T-1", "tyres", "All-terrain", 0, {}), 5, 0, True))
    'All-terrain (demo/T-1)'
    """
    if option.key == NOTHING:
        return "nothing"
    if option.key == FITTED:
        return f"{option.part.title} (as fitted)"
    return f"{option.part.title} ({option.key})"


def _title_of(evaluation: Evaluation, key: str) -> str:
    for parts in evaluation.case.parts.values():
        for part in parts:
            if part.key == key:
                return f"{part.title} ({key})"
    return key


def wish_words(evaluation: Evaluation, wish: Wish, system: System | None = None) -> str:
    """Say a wish: what was asked for."""
    if wish.kind == "budget":
        return f"budget of {money_words(round(wish.bound), evaluation.case.job.currency)}"
    if wish.kind == "ready within":
        return f"all parts there within {counted(round(wish.bound), 'day')}"
    if wish.kind == "fixed":
        if wish.part == FITTED:
            return f"{wish.subject} to stay as fitted"
        if wish.part == NOTHING:
            return f"{wish.subject} to be left empty"
        return f"{wish.subject} to be {part_words(evaluation, wish.subject, wish.part)}"
    if wish.kind == "keep":
        return f"{wish.subject} to stay as fitted"
    if wish.kind == "ruled out":
        return f"{_title_of(evaluation, wish.subject)} to be left out"
    unit = evaluation.definition(wish.subject).unit
    return f"{wish.subject} {wish.kind} {words(wish.bound, unit, system)}"


def goal_words(evaluation: Evaluation, goal: Goal, system: System | None = None) -> str:
    """Say what is asked of a figure, as in *track at most 1780 mm*."""
    unit = evaluation.definition(goal.figure).unit
    asked = []
    if goal.at_least is not None and goal.at_least == goal.at_most:
        asked.append(f"exactly {words(goal.at_least, unit, system)}")
    else:
        if goal.at_least is not None:
            asked.append(f"at least {words(goal.at_least, unit, system)}")
        if goal.at_most is not None:
            asked.append(f"at most {words(goal.at_most, unit, system)}")
    if goal.as_possible is not None:
        asked.append(f"as {goal.as_possible} as possible")
    return f"{goal.figure} {' and '.join(asked)}"


def reference_words(reference: Reference) -> str:
    """Say what a rule reads.

    Examples
    --------
    >>> reference_words(PartValue("tyres", "overall diameter"))
    'overall diameter of the tyres'
    """
    if isinstance(reference, PartValue):
        if reference.attribute == "changed":
            return f"{reference.position} changed"
        if reference.attribute == "present":
            return f"{reference.position} there"
        return f"{reference.attribute} of the {reference.position}"
    if isinstance(reference, FittedValue):
        return f"{reference.attribute} of the {reference.position} as it stands"
    if isinstance(reference, VehicleValue):
        return f"{reference.name} of the vehicle"
    if isinstance(reference, PracticeValue):
        return f"{reference.name} (workshop practice)"
    if isinstance(reference, ConditionValue):
        return f"{reference.name} (as the job says)"
    return str(reference)


def unit_of(reference: Reference, trade: Trade) -> str:
    """Return the unit in which what a rule reads is declared; empty where there is none."""
    if isinstance(reference, PartValue | FittedValue):
        if reference.attribute in BUILT_IN:
            return ""
        for attribute in trade.family_at(reference.position).attributes:
            if attribute.name == reference.attribute:
                return attribute.unit
        return "kg" if reference.attribute == "mass" else ""
    if isinstance(reference, VehicleValue):
        return trade.measures[reference.name].unit
    if isinstance(reference, ConditionValue):
        return trade.conditions[reference.name].unit
    if isinstance(reference, PracticeValue):
        return trade.practices[reference.name].unit
    if isinstance(reference, FigureValue):
        figure = trade.figures.get(reference.name) or trade.totals.get(reference.name)
        return figure.unit if figure is not None else ""
    return ""


def inputs_of_reason(reason: Reason, trade: Trade) -> list[tuple[str, str, tuple[Value, ...], int]]:
    """List what a rule in a conflict read: in words, unit, values it can have, how many more."""
    if reason.rule is None:
        return []
    known = {str(item): item for item in references(reason.rule)}
    inputs = []
    for name, values, more in reason.inputs:
        reference = known.get(name)
        if reference is None:
            inputs.append((name, "", values, more))
        else:
            inputs.append((reference_words(reference), unit_of(reference, trade), values, more))
    return inputs


def falls_short(reason: Reason) -> bool:
    """Whether the number of a reason misses what is asked.

    It need not where the rule is kept by packages that are over the budget only: then the
    number says nothing about why, and is better left out.
    """
    if reason.has is None or reason.needs is None:
        return False
    return reason.has < reason.needs if reason.at_least else reason.has > reason.needs


def reason_words(evaluation: Evaluation, reason: Reason, system: System | None = None) -> str:
    """Say a member of a conflict in one sentence, with its numbers.

    For a rule that is *the tyre clears the arch: has 412 mm, needs at least 432 mm (source:
    geometry)*; for a wish, how near to it the rest of the conflict leaves one.
    """
    if not reason.needed:
        # The conflict is one all the same, but perhaps not a smallest one.
        reason_text = reason_words(evaluation, replace(reason, needed=True), system)
        return (
            f"{reason_text} (not proven to be needed here: there may be a smaller set without it)"
        )
    if reason.wish is not None:
        return _wish_in_conflict(evaluation, reason, reason.wish, system)
    rule = reason.rule
    if rule is None:
        return ""
    reason_text = rule.name
    if reason.has is not None and reason.needs is not None and falls_short(reason):
        has, needs = apart(reason.has, reason.needs, reason.unit, system)
        bound = "at least" if reason.at_least else "at most"
        reason_text += f": has {has}, needs {bound} {needs}"
    source = getattr(rule, "source", "")
    return f"{reason_text} (source: {source})" if source else reason_text


def _wish_in_conflict(
    evaluation: Evaluation, reason: Reason, wish: Wish, system: System | None
) -> str:
    asked = wish_words(evaluation, wish, system)
    if wish.kind == "budget":
        if reason.has is None:
            return asked
        price = money_words(round(reason.has), evaluation.case.job.currency)
        return f"{asked}: the rest of this costs at least {price}"
    if wish.kind == "ready within":
        if reason.has is None:
            return asked
        days = counted(round(reason.has), "day")
        return f"{asked}: the rest of this needs parts that take {days} or more"
    if wish.kind in {"at least", "at most"}:
        if reason.has is None:
            return asked  # a sum, a value that is not known, or too much effort to tell
        has, needs = apart(reason.has, wish.bound, reason.unit, system)
        most = "most" if wish.kind == "at least" else "least"
        return (
            f"{wish.subject} {wish.kind} {needs}: the {most} that the rest of this leaves is {has}"
        )
    return asked


def input_words(
    name: str, unit: str, values: tuple[Value, ...], more: int, system: System | None = None
) -> str:
    """Say what an input of a rule can be.

    Examples
    --------
    >>> input_words("overall diameter of the tyres", "mm", (0.762, 0.8), 3)
    'overall diameter of the tyres can be 762 mm, 800 mm and 3 more'
    """
    if not values:
        return f"{name} is not known or does not apply"
    text = ", ".join(words(value, unit, system) for value in values)
    verb = "is" if len(values) == 1 and not more else "can be"
    return f"{name} {verb} {text}" + (f" and {more} more" if more else "")


def repair_words(evaluation: Evaluation, repair: Repair, system: System | None = None) -> str:
    """Say what one could give up, how near to it one could stay, and what the rest then costs."""
    given_up = [_give_up(evaluation, wish, nearest, system) for wish, nearest in repair.given_up]
    price = money_words(repair.price, evaluation.case.job.currency)
    if repair.price == 0:
        return f"{' and '.join(given_up)}; then the vehicle meets the rest as it stands"
    return f"{' and '.join(given_up)}; then packages cost {price} or more"


def _give_up(
    evaluation: Evaluation, wish: Wish, nearest: float | None, system: System | None
) -> str:
    if wish.kind == "budget":
        if nearest is None:
            return "give up the budget"
        needed = money_words(round(nearest), evaluation.case.job.currency)
        return f"raise the {wish_words(evaluation, wish)} to {needed}"
    if wish.kind in {"at least", "at most"}:
        asked = wish_words(evaluation, wish, system)
        if nearest is None:
            return f"give up {asked}"
        unit = evaluation.definition(wish.subject).unit
        has, needs = apart(nearest, wish.bound, unit, system)
        reach = "up to" if wish.kind == "at least" else "down to"
        return f"give up {wish.subject} {wish.kind} {needs} ({reach} {has} can be had)"
    if wish.kind == "ready within":
        if nearest is None:
            return f"give up {wish_words(evaluation, wish)}"
        days = counted(round(nearest), "day")
        return f"accept {days} instead of {wish.bound:g} until all parts are there"
    if wish.kind == "fixed":
        return f"let go of {wish_words(evaluation, wish, system)}"
    if wish.kind == "keep":
        return f"let the {wish.subject} be changed"
    return f"allow {_title_of(evaluation, wish.subject)}"


def margin_words(margin: Margin, system: System | None = None) -> str:
    """Say how close a package comes to a limit.

    One that must not fall below nothing at all is a reserve: what counts is how much is left.
    """
    if margin.at_least and margin.needs == 0 and margin.has >= 0:
        has = words(margin.has, margin.rule.unit, system)
        left = f"{has} to spare" if margin.has > 0 else "just enough, nothing to spare"
        return f"{margin.rule.name}: {left}"
    has, needs = apart(margin.has, margin.needs, margin.rule.unit, system)
    bound = "at least" if margin.at_least else "at most"
    return f"{margin.rule.name}: has {has}, needs {bound} {needs}"


def caution_words(cautions: Iterable[Caution]) -> list[str]:
    """Say cautions: what has changed, what to inspect, who approves; what is alike is said once."""
    names: dict[str, list[str]] = {}
    for caution in cautions:
        sentences = [caution.says]
        if caution.inspect:
            sentences.append(f"Inspect: {caution.inspect}")
        if caution.approve:
            sentences.append(f"To be approved by {caution.approve}.")
        names.setdefault(" ".join(sentences), []).append(caution.name)
    return [begun(f"{', '.join(of)}: {text}") for text, of in names.items()]


def begun(text: str) -> str:
    """Begin a sentence with a capital.

    Examples
    --------
    >>> begun("a brake pad of 1 mm")
    'A brake pad of 1 mm'
    """
    return text[:1].upper() + text[1:]


def catalog_words(catalog: CatalogInfo) -> str:
    """Say where a catalog's prices are from.

    Examples
    --------
    >>> from configurator.model.jobs import CatalogInfo
    >>> catalog_words(CatalogInfo("demo", "Demo lists", "EUR", "2026-10-01", "invented"))
    'Demo lists (demo): prices of 2026-10-01, source: invented'
    """
    text = (
        f"{catalog.title} ({catalog.key}): prices of {catalog.price_date}, source: {catalog.source}"
    )
    return "; ".join((text.rstrip("."), *catalog.remarks)) if catalog.remarks else text


def because_of(rule: Rule) -> str:
    """Say why a rule is so; empty for rules that need no reason."""
    return rule.because if isinstance(rule, Limit | Total) else getattr(rule, "because", "")
