"""Why a package has parts that nobody asked for: one line per part, for the customer."""

from __future__ import annotations

from typing import TYPE_CHECKING

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
    reasons: dict[str, str] = {}
    for _, arrow in arrows:
        for reason in arrow.because:
            if reason.rule is not None and position in evaluation.reach(reason.rule):
                reasons.setdefault(reason.rule.name, _because(reason, how))
    text = position
    if kinds:
        text += f", with {', '.join(kinds)}"
    if sources:
        text += f"; needed by the new {_listed(sources)}"
    else:
        text += "; needed by what was asked for"
    # A reason with numbers says most.
    # What front and rear say in the same words is said once.
    said_once = dict.fromkeys(reasons.values())
    picked = sorted(said_once, key=lambda item: " at best without it" not in item)[:MOST_REASONS]
    return f"{text}. Why: {'; '.join(picked)}." if picked else f"{text}."


def _listed(names: Sequence[str]) -> str:
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"


def _kind(kind: SharedProperty, how: Writing) -> str:
    if kind.bound in ("at least", "at most") and kind.attribute != "present":
        return f"{kind.attribute} {kind.bound} {quantity(how, kind.value, kind.unit)}"
    return kind.words(how.system)


def _because(reason: Reason, how: Writing) -> str:
    rule = reason.rule
    because = rule.because if isinstance(rule, Limit | Fit | Total) else ""
    if rule is None or reason.has is None or reason.needs is None:
        return because or (rule.name if rule is not None else "")
    bound = "minimum" if reason.at_least else "maximum"
    has, needs = (quantity(how, item, reason.unit) for item in (reason.has, reason.needs))
    return f"{because or rule.name} ({has} at best without it, {bound} {needs})"
