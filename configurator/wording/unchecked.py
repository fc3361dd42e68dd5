"""Say what was not checked: once for each thing that is missing, with what to do about it."""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING

from configurator.wording.quantities import counted

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from configurator.evaluation.packages import NotChecked
    from configurator.evaluation.unknown import Gap
    from configurator.model.knowledge import Trade

# How many rules are named where many wait for the same measure.
NAMED = 3


def unchecked_headline(unchecked: Iterable[NotChecked]) -> str:
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
    listed = ", ".join(f"{kind} ({number})" for kind, number in kinds.most_common())
    number = sum(kinds.values())
    were = "was" if number == 1 else "were"
    return f"{counted(number, 'rule')} {were} not checked: {listed}."


def unchecked_words(unchecked: Iterable[NotChecked], trade: Trade | None = None) -> list[str]:
    """Say what was not checked and what to do, rules that wait for the same thing together.

    Parameters
    ----------
    unchecked
        From `configurator.evaluation.packages.not_checked`.
    trade
        Where it is given, how to measure what is missing is said as well.
    """
    waiting: dict[tuple[str, tuple[Gap, ...]], list[str]] = {}
    others: list[str] = []
    for item in unchecked:
        if item.gaps:
            waiting.setdefault((item.why, item.gaps), []).append(item.rule)
        else:
            others.append(str(item))
    lines = []
    # What most wait for comes first.
    for (why, gaps), rules in sorted(waiting.items(), key=lambda entry: -len(entry[1])):
        named = ", ".join(rules[:NAMED])
        more = f" and {len(rules) - NAMED} more" if len(rules) > NAMED else ""
        how = _how(gaps, trade)
        lines.append(f"{_begun(why)}{how}. Not checked without it: {named}{more}.")
    return lines + others


def _begun(text: str) -> str:
    return text[:1].upper() + text[1:]


def _how(gaps: Sequence[Gap], trade: Trade | None) -> str:
    """Say how a workshop takes the measures that are missing."""
    if trade is None:
        return ""
    names = dict.fromkeys(gap.name for gap in gaps if gap.kind in ("measure", "taken with"))
    instructions = [trade.measures[name].how for name in names if name in trade.measures]
    return f" ({'; '.join(instructions)})" if instructions else ""
