"""Why a package has parts that nobody asked for: one line per part, for the customer."""

from __future__ import annotations

from typing import TYPE_CHECKING

from configurator.documents import workshop_templates as say
from configurator.documents.number_style import quantity
from configurator.model.rules import Fit, Limit, Total

if TYPE_CHECKING:
    from collections.abc import Sequence

    from configurator.consequences.shared_properties import SharedProperty
    from configurator.consequences.upgrade_records import Arrow, Forced
    from configurator.documents.number_style import Writing
    from configurator.evaluation.evaluator import Evaluation
    from configurator.search.explanation.conflicts import Reason

MOST_REASONS = 3


def forced_lines(forced: Sequence[Forced], evaluation: Evaluation, how: Writing) -> list[str]:
    """Say for each position why its part cannot stay: which new part needs what, and why.

    Only rules that look at the part itself are named, three at most; ``fitwright needs`` names
    all, and the way between.
    """
    arrows: dict[str, list[tuple[str, Arrow]]] = {}
    for item in forced:
        for arrow in item.arrows:
            arrows.setdefault(arrow.position, []).append((item.option.position, arrow))
    return [
        _line(position, arrows[position], evaluation, how)
        for position in evaluation.families
        if position in arrows
    ]


def _line(
    position: str, arrows: Sequence[tuple[str, Arrow]], evaluation: Evaluation, how: Writing
) -> str:
    sources = list(dict.fromkeys(source for source, arrow in arrows if not arrow.anyway))
    kinds = dict.fromkeys(_kind(kind, how) for _, arrow in arrows for kind in arrow.kinds)
    reasons: dict[str, tuple[bool, str]] = {}
    for _, arrow in arrows:
        for reason in arrow.because:
            if reason.rule is not None and position in evaluation.reach(reason.rule):
                reasons.setdefault(reason.rule.name, _because(reason, how))
    part = how.text(position)
    if kinds:
        part = how.say(say.PART_WITH, part=part, properties=", ".join(kinds))
    # A reason with numbers says most; what front and rear say in the same words is said once.
    picked = [*dict.fromkeys(sorted(reasons.values(), key=lambda item: not item[0]))]
    why = "; ".join(text for _, text in picked[:MOST_REASONS])
    if sources:
        template = say.NEEDED_BY_WHY if why else say.NEEDED_BY
        return how.say(template, part=part, sources=_listed(sources, how), reasons=why)
    template = say.NEEDED_BY_GOALS_WHY if why else say.NEEDED_BY_GOALS
    return how.say(template, part=part, reasons=why)


def _listed(names: Sequence[str], how: Writing) -> str:
    translated = [how.text(name) for name in names]
    if len(translated) == 1:
        return translated[0]
    return how.say(say.TWO, first=", ".join(translated[:-1]), last=translated[-1])


def _kind(kind: SharedProperty, how: Writing) -> str:
    if kind.bound in ("at least", "at most") and kind.attribute != "present":
        template = say.PROPERTY_AT_LEAST if kind.bound == "at least" else say.PROPERTY_AT_MOST
        value = quantity(how, kind.value, kind.unit)
        return how.say(template, property=how.text(kind.attribute), value=value)
    return kind.words(how.system)


def _because(reason: Reason, how: Writing) -> tuple[bool, str]:
    """Say why, and whether it is said with numbers."""
    rule = reason.rule
    because = rule.because if isinstance(rule, Limit | Fit | Total) else ""
    words = how.text(because or (rule.name if rule is not None else ""))
    if rule is None or reason.has is None or reason.needs is None:
        return False, words
    template = say.REASON_AT_LEAST if reason.at_least else say.REASON_AT_MOST
    has, needs = (quantity(how, item, reason.unit) for item in (reason.has, reason.needs))
    return True, how.say(template, reason=words, has=has, needs=needs)
