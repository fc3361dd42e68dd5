"""Say what was not checked: once for each thing that is missing, with what to do about it."""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING

from configurator.evaluation.unknown import GAPS
from configurator.wording import note_templates as say
from configurator.wording.sentences import begun
from configurator.wording.style import ENGLISH, listed

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from configurator.evaluation.packages import NotChecked
    from configurator.evaluation.unknown import Gap
    from configurator.model.knowledge import Trade
    from configurator.wording.style import Style

# How many rules are named where many wait for the same measure.
NAMED = 3


def unchecked_headline(unchecked: Iterable[NotChecked], style: Style = ENGLISH) -> str:
    """Say how many rules were not checked, and of which kinds; empty where there is none.

    Examples
    --------
    >>> from configurator.evaluation.packages import NotChecked
    >>> rules = [NotChecked("a", "", "springs"), NotChecked("b", "", "springs")]
    >>> unchecked_headline([*rules, NotChecked("c", "", "brakes")])
    '3 rules were not checked: springs (2), brakes (1).'
    """
    kinds = Counter(item.kind for item in unchecked if item.kind)
    if not kinds:
        return ""
    counts = ", ".join(
        style.say(say.KIND_COUNT, kind=style.text(kind), number=number)
        for kind, number in kinds.most_common()
    )
    number = sum(kinds.values())
    template = say.RULE_NOT_CHECKED if number == 1 else say.RULES_NOT_CHECKED
    return style.say(template, number=number, kinds=counts)


def unchecked_words(
    unchecked: Iterable[NotChecked], trade: Trade | None = None, style: Style = ENGLISH
) -> list[str]:
    """Say what was not checked and what to do, rules that wait for the same thing together.

    Parameters
    ----------
    unchecked
        From `configurator.evaluation.packages.not_checked`.
    trade
        Where it is given, how to measure what is missing is said as well.
    style
        Language of the reader.
    """
    waiting: dict[tuple[Gap, ...], list[str]] = {}
    others: list[str] = []
    for item in unchecked:
        if item.gaps:
            waiting.setdefault(item.gaps, []).append(item.rule)
        else:
            rule, why = style.text(item.rule), style.text(item.why)
            others.append(style.say(say.NOT_CHECKED_BECAUSE, rule=rule, why=why))
    # What most wait for comes first.
    lines = [
        _waiting(gaps, rules, trade, style)
        for gaps, rules in sorted(waiting.items(), key=lambda entry: -len(entry[1]))
    ]
    return lines + others


def _waiting(gaps: Sequence[Gap], rules: Sequence[str], trade: Trade | None, style: Style) -> str:
    missing = "; ".join(
        style.say(GAPS[gap.kind], name=style.text(gap.name), other=style.text(gap.other))
        for gap in gaps
    )
    how, more = _how(gaps, trade, style), max(0, len(rules) - NAMED)
    template = {
        (False, False): say.WAITS,
        (False, True): say.WAITS_MORE,
        (True, False): say.WAITS_HOW,
        (True, True): say.WAITS_HOW_MORE,
    }[bool(how), bool(more)]
    return style.say(
        template, missing=begun(missing), how=how, rules=listed(style, rules[:NAMED]), more=more
    )


def _how(gaps: Sequence[Gap], trade: Trade | None, style: Style) -> str:
    """Say how a workshop takes the measures that are missing."""
    if trade is None:
        return ""
    names = dict.fromkeys(gap.name for gap in gaps if gap.kind in ("measure", "taken with"))
    return "; ".join(
        style.text(trade.measures[name].how) for name in names if name in trade.measures
    )
