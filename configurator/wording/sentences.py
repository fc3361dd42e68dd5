"""Goals, reasons, ways out, margins and cautions as sentences."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from configurator.evaluation.worst_state import only_state
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
from configurator.model.sure_goals import shown_name
from configurator.wording import explanation_templates as say
from configurator.wording import note_templates as notes
from configurator.wording.quantities import apart, counted, money_words, system_for, words
from configurator.wording.style import ENGLISH

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable

    from configurator.evaluation.evaluator import Evaluation, Option
    from configurator.model.jobs import CatalogInfo, Goal
    from configurator.model.knowledge import Trade
    from configurator.model.parts import Value
    from configurator.model.references import Reference
    from configurator.model.requirements import Wish
    from configurator.model.rules import Caution, Rule
    from configurator.search.explanation.conflicts import Reason, Repair
    from configurator.wording.quantities import System
    from configurator.wording.style import Style

# Goes with every output that shows a package.
NOTICE = (
    "All figures are calculated from catalog values and are no approval; local codes and the "
    "makers' fitting instructions come first."
)


def part_words(evaluation: Evaluation, position: str, key: str) -> str:
    """Say which part a key means at a position."""
    if key == NOTHING:
        return "not fitted"
    if key == FITTED:
        return say.AS_FITTED.format(part=evaluation.fitted[position].part.title)
    family = evaluation.families[position]
    for part in evaluation.case.parts.get(family.key, ()):
        if part.key == key:
            return say.WITH_KEY.format(part=part.title, key=key)
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
        return "not fitted"
    if option.key == FITTED:
        return say.AS_FITTED.format(part=option.part.title)
    return say.WITH_KEY.format(part=option.part.title, key=option.key)


def _title_of(evaluation: Evaluation, key: str) -> str:
    for parts in evaluation.case.parts.values():
        for part in parts:
            if part.key == key:
                return say.WITH_KEY.format(part=part.title, key=key)
    return key


def wish_words(evaluation: Evaluation, wish: Wish, system: System | None = None) -> str:
    """Say what was asked for: a goal, the budget, a choice."""
    if wish.kind == "budget":
        return say.BUDGET.format(price=money_words(round(wish.bound), evaluation.case.job.currency))
    if wish.kind == "parts within":
        return say.ALL_PARTS_IN.format(days=counted(round(wish.bound), "day"))
    if wish.kind == "keep" or (wish.kind == "fixed" and wish.part == FITTED):
        return say.UNCHANGED.format(position=wish.subject)
    if wish.kind == "fixed" and wish.part == NOTHING:
        return say.NOT_FITTED.format(position=wish.subject)
    if wish.kind == "fixed":
        part = part_words(evaluation, wish.subject, wish.part)
        return say.CHOSEN.format(position=wish.subject, part=part)
    if wish.kind == "ruled out":
        return say.RULED_OUT.format(part=_title_of(evaluation, wish.subject))
    unit = evaluation.definition(wish.subject).unit
    return say.GOAL[wish.kind].format(
        figure=shown_name(wish.subject), value=words(wish.bound, unit, system)
    )


def goal_words(evaluation: Evaluation, goal: Goal, system: System | None = None) -> str:
    """Say what is asked of a figure, as in *track at most 1780 mm*."""
    unit = evaluation.definition(goal.figure).unit
    asked_in = system_for(goal.written_in, system)
    return goal_sentence(goal, lambda value: words(value, unit, asked_in))


def goal_sentence(
    goal: Goal,
    written: Callable[[float], str],
    translated: Callable[[str], str] = str,
) -> str:
    """Put a goal into its sentence.

    Parameters
    ----------
    goal
        The goal.
    written
        Writes a value of its figure, in SI.
    translated
        Returns a template, or the name of a figure, in the reader's language.

    Examples
    --------
    >>> from configurator.model.jobs import Goal
    >>> goal_sentence(Goal("track", at_most=1.78), lambda value: f"{value} m")
    'track at most 1.78 m'
    >>> goal_sentence(Goal("track", at_most=1.78, sure=True), lambda value: f"{value} m")
    'track at most 1.78 m, within tolerances'
    """
    low, high = goal.at_least, goal.at_most
    values = {"figure": translated(goal.figure)}
    kind = ""
    if low is not None and low == high:
        kind, values["value"] = "exactly", written(low)
    elif low is not None and high is not None:
        kind, values["low"], values["high"] = "between", written(low), written(high)
    elif low is not None:
        kind, values["value"] = "at least", written(low)
    elif high is not None:
        kind, values["value"] = "at most", written(high)
    kind = ", ".join(part for part in (kind, goal.as_possible) if part)
    sentence = translated(say.GOAL[kind]).format(**values)
    return translated(say.SURE_GOAL).format(goal=sentence) if goal.sure else sentence


def reference_words(reference: Reference) -> str:
    """Say what a rule reads.

    Examples
    --------
    >>> reference_words(PartValue("tyres", "overall diameter"))
    'overall diameter of the tyres'
    """
    if isinstance(reference, PartValue):
        template = {"changed": say.READS_CHANGED, "present": say.READS_FITTED}.get(
            reference.attribute, say.READS_PART
        )
        return template.format(attribute=reference.attribute, position=reference.position)
    if isinstance(reference, FittedValue):
        return say.READS_AS_IT_STANDS.format(
            attribute=reference.attribute, position=reference.position
        )
    if isinstance(reference, VehicleValue):
        return say.READS_VEHICLE.format(measure=reference.name)
    if isinstance(reference, PracticeValue):
        return say.READS_PRACTICE.format(practice=reference.name)
    if isinstance(reference, ConditionValue):
        return say.READS_CONDITION.format(condition=reference.name)
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
        figure = trade.worked_out(reference.name)
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
        sentence = reason_words(evaluation, replace(reason, needed=True), system)
        return say.PERHAPS_NOT_NEEDED.format(said=sentence)
    if reason.wish is not None:
        return _wish_in_conflict(evaluation, reason, reason.wish, system)
    rule = reason.rule
    if rule is None:
        return ""
    sentence = in_state(rule.name, only_state(evaluation.trade, rule, rule.name))
    if reason.within:
        sentence = say.RULE_WITHIN.format(rule=sentence)
    elif reason.has is not None and reason.needs is not None and falls_short(reason):
        has, needs = apart(reason.has, reason.needs, reason.unit, system)
        template = say.RULE_AT_LEAST if reason.at_least else say.RULE_AT_MOST
        sentence = template.format(rule=sentence, has=has, needs=needs)
    source = getattr(rule, "source", "")
    return say.WITH_SOURCE.format(said=sentence, source=source) if source else sentence


def _wish_in_conflict(
    evaluation: Evaluation, reason: Reason, wish: Wish, system: System | None
) -> str:
    asked = wish_words(evaluation, wish, system)
    if reason.has is None:
        return asked  # a sum, a value that is not known, or too much effort to tell
    if wish.kind == "budget":
        price = money_words(round(reason.has), evaluation.case.job.currency)
        return say.COSTS_MORE.format(goal=asked, price=price)
    if wish.kind == "parts within":
        return say.TAKES_LONGER.format(goal=asked, days=counted(round(reason.has), "day"))
    if wish.kind in {"at least", "at most"}:
        has, needs = apart(reason.has, wish.bound, reason.unit, system)
        template = say.MOST if wish.kind == "at least" else say.LEAST
        return template.format(figure=shown_name(wish.subject), needs=needs, has=has)
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
    listed = ", ".join(words(value, unit, system) for value in values)
    if not values:
        return say.INPUT_UNKNOWN.format(input=name)
    if more:
        return say.INPUT_CAN_BE_MORE.format(input=name, values=listed, more=more)
    template = say.INPUT_IS if len(values) == 1 else say.INPUT_CAN_BE
    return template.format(input=name, values=listed)


def repair_words(evaluation: Evaluation, repair: Repair, system: System | None = None) -> str:
    """Say what can change, how near to it one can stay, and what a package then costs."""
    changes = [_change(evaluation, wish, nearest, system) for wish, nearest in repair.given_up]
    sentence = changes[0]
    for change in changes[1:]:
        sentence = say.AND.format(first=sentence, second=change)
    if [(wish.kind, nearest is None) for wish, nearest in repair.given_up] == [("budget", False)]:
        return sentence  # the price is what the budget is raised to
    if repair.price == 0:
        return say.THEN_MET.format(changes=sentence)
    price = money_words(repair.price, evaluation.case.job.currency)
    return say.THEN_FROM.format(changes=sentence, price=price)


def _change(
    evaluation: Evaluation, wish: Wish, nearest: float | None, system: System | None
) -> str:
    if wish.kind == "budget":
        if nearest is None:
            return say.DROP_BUDGET
        needed = money_words(round(nearest), evaluation.case.job.currency)
        return say.RAISE_BUDGET.format(budget=wish_words(evaluation, wish), price=needed)
    if wish.kind in {"at least", "at most", "parts within"} and nearest is None:
        return say.DROP.format(goal=wish_words(evaluation, wish, system))
    if wish.kind in {"at least", "at most"} and nearest is not None:
        unit = evaluation.definition(wish.subject).unit
        has, _ = apart(nearest, wish.bound, unit, system)
        template = say.SETTLE if wish.kind == "at least" else say.SETTLE_AT_MOST
        return template.format(has=has, figure=shown_name(wish.subject))
    if wish.kind == "parts within" and nearest is not None:
        days = counted(round(nearest), "day")
        return say.WAIT_LONGER.format(days=days, limit=f"{wish.bound:g}")
    if wish.kind == "fixed":
        template = say.CHOOSE_OTHER if wish.subject.endswith("s") else say.CHOOSE_ANOTHER
        return template.format(position=wish.subject)
    if wish.kind == "keep":
        return say.LET_CHANGE.format(position=wish.subject)
    return say.ALLOW.format(part=_title_of(evaluation, wish.subject))


def in_state(sentence: str, when: str) -> str:
    """Add the state of the vehicle that a rule or number speaks of, where that is one."""
    return say.IN_STATE.format(said=sentence, when=when) if when else sentence


def caution_words(cautions: Iterable[Caution]) -> list[str]:
    """Say cautions: what has changed, what to inspect, who approves; what is alike is said once."""
    names: dict[str, list[str]] = {}
    for caution in cautions:
        sentences = [caution.says]
        if caution.inspect:
            sentences.append(say.INSPECT.format(inspect=caution.inspect))
        if caution.approve:
            sentences.append(say.APPROVE.format(approve=caution.approve))
        names.setdefault(" ".join(sentences), []).append(caution.name)
    return [begun(say.CAUTION.format(names=", ".join(of), says=text)) for text, of in names.items()]


def what_changed(cautions: Iterable[Caution]) -> list[str]:
    """Say of cautions what has changed, without what is inspected and who approves."""
    names: dict[str, list[str]] = {}
    for caution in cautions:
        names.setdefault(caution.says, []).append(caution.name)
    return [begun(say.CAUTION.format(names=", ".join(of), says=says)) for says, of in names.items()]


def begun(text: str) -> str:
    """Begin a sentence with a capital.

    Examples
    --------
    >>> begun("a brake pad of 1 mm")
    'A brake pad of 1 mm'
    """
    return text[:1].upper() + text[1:]


def catalog_words(catalog: CatalogInfo, style: Style = ENGLISH) -> str:
    """Say where a catalog's prices are from.

    Examples
    --------
    >>> from configurator.model.jobs import CatalogInfo
    >>> catalog_words(CatalogInfo("demo", "Demo lists", "EUR", "2026-10-01", "invented"))
    'Demo lists (demo): prices of 2026-10-01, source: invented'
    """
    text = style.say(
        notes.PRICES_OF,
        catalog=catalog.title,
        key=catalog.key,
        date=style.day(catalog.price_date),
        source=catalog.source,
    )
    return "; ".join((text.rstrip("."), *catalog.remarks)) if catalog.remarks else text


def because_of(rule: Rule) -> str:
    """Say why a rule is so; empty for rules that need no reason."""
    return rule.because if isinstance(rule, Limit | Total) else getattr(rule, "because", "")
