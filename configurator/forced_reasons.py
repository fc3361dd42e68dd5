"""Why a choice and an option at another position cannot be together, and what those rules read."""

from __future__ import annotations

from typing import TYPE_CHECKING

from configurator.forced_kinds import reads_at
from configurator.forced_through import Settled
from configurator.search import conflicts
from configurator.search.conflicts import Reason
from configurator.trade import checked_rules, references
from configurator.wishes import Wish

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from configurator.evaluation import Evaluation, Option
    from configurator.jobs import Job
    from configurator.rules import Rule
    from configurator.search.queries import Prepared


def pick_of(option: Option) -> Wish:
    """Return the wish for an option."""
    return Wish("fixed", option.position, part=option.key)


def reasons(prepared: Prepared, job: Job, option: Option, other: Option) -> list[list[Reason]]:
    """Say why two options cannot be together.

    Returns
    -------
    list
        Smallest sets, each sufficient by itself: every rule that alone looks at nothing else, or
        else one set of several rules and wishes.
    """
    alone = direct_reasons(prepared.evaluation, option, other)
    if alone:
        return [[reason] for reason in alone]
    insist = [pick_of(option), pick_of(other)]
    found = conflicts.explain(prepared, job, insist)
    return [[reason for reason in found if reason.wish not in insist]]


def direct_reasons(evaluation: Evaluation, option: Option, other: Option) -> list[Reason]:
    """Find the rules that look at no third position and refuse both together."""
    found = []
    pair = {option.position: option, other.position: other}
    settled = Settled(evaluation, pair)
    for rule in checked_rules(evaluation.trade):
        if evaluation.late(rule) or not set(pair) <= evaluation.reach(rule):
            continue
        # Where no third position matters, what stands there does not either.
        choice = {**evaluation.fitted, **pair}
        verdict = evaluation.verdict(rule, choice)
        if verdict.holds is False and not settled.open_positions(rule):
            inputs = tuple((str(r), (evaluation.value(r, choice),), 0) for r in references(rule))
            unit = getattr(rule, "unit", "")
            found.append(
                Reason(None, rule, verdict.has, verdict.needs, unit, verdict.at_least, inputs)
            )
    return found


def through(
    evaluation: Evaluation, option: Option, others: Iterable[Option], because: Sequence[Reason]
) -> tuple[str, ...]:
    """Name the third positions that the reasons against options at another position look at."""
    found: set[str] = set()
    pair = {option.position}
    for other in others:
        pair.add(other.position)
        settled = Settled(evaluation, {option.position: option, other.position: other})
        for reason in because:
            rule = _judged(evaluation, reason)
            if rule is not None:
                found |= settled.open_positions(rule)
            elif reason.wish is not None and reason.wish.kind in {"fixed", "keep"}:
                found.add(reason.wish.subject)
    return tuple(p for p in evaluation.families if p in found - pair)


def read(evaluation: Evaluation, because: Iterable[Reason], position: str) -> list[str]:
    """Name the attributes of a position that the reasons read."""
    rules = [rule for reason in because if (rule := _judged(evaluation, reason))]
    return _read(evaluation, rules, position)


def read_by_any(evaluation: Evaluation, position: str) -> list[str]:
    """Name the attributes of a position that any rule reads."""
    return _read(evaluation, checked_rules(evaluation.trade), position)


def _judged(evaluation: Evaluation, reason: Reason) -> Rule | None:
    wish = reason.wish
    if wish is not None and wish.kind in {"at least", "at most"}:
        return evaluation.definition(wish.subject)
    return reason.rule


def _read(evaluation: Evaluation, rules: Iterable[Rule], position: str) -> list[str]:
    found: dict[str, None] = {}
    for rule in rules:
        found.update(dict.fromkeys(reads_at(evaluation, rule, position)))
    return list(found)
