"""Why a choice and an option at another position cannot be together, and what those rules read."""

from __future__ import annotations

from typing import TYPE_CHECKING

from configurator.consequences.rule_reach import Settled
from configurator.consequences.shared_properties import reads_at
from configurator.model.knowledge import checked_rules, references
from configurator.model.requirements import Wish
from configurator.questions.case_cache import key_of
from configurator.search.explanation import conflicts
from configurator.search.explanation.conflicts import Reason
from configurator.search.optimum.availability import available
from configurator.search.optimum.preparing import Question

if TYPE_CHECKING:
    from collections.abc import Hashable, Iterable, Mapping, Sequence

    from configurator.evaluation.evaluator import Evaluation, Option
    from configurator.model.jobs import Job
    from configurator.model.parts import Value
    from configurator.model.rules import Rule
    from configurator.search.optimum.availability import Availability
    from configurator.search.optimum.preparing import Prepared


# Packages looked at for options that rules on several sums leave open: what nothing rules out
# counts as possible, and few of them are ruled out by looking.
LISTED = 60


def pick_of(option: Option) -> Wish:
    """Return the wish for an option."""
    return Wish("fixed", option.position, part=option.key)


class Reasons:
    """Says why options cannot be there, and remembers what does not hang on the choice.

    Parameters
    ----------
    prepared
        The case.
    """

    def __init__(self, prepared: Prepared) -> None:
        self.prepared = prepared
        self._known: dict[object, list[Reason]] = {}
        self._before: dict[Hashable, Availability] = {}

    def without_choice(self, job: Job, asked: Mapping[str, Sequence[int]]) -> Availability:
        """Say which of some options are possible without the choice: several choices ask alike."""
        key = (key_of(job), tuple((p, tuple(numbers)) for p, numbers in asked.items()))
        if key not in self._before:
            question = Question(self.prepared, job)
            self._before[key] = available(question, list(asked), LISTED, asked)
        return self._before[key]

    def together(self, job: Job, option: Option, other: Option) -> list[Reason]:
        """Say why two options cannot be together: a smallest set of rules and wishes."""
        key = (key_of(job), option.position, option.key, other.position, other.key)
        if key not in self._known:
            self._known[key] = self._explained(job, option, other)
        return self._known[key]

    def anyway(self, job: Job, other: Option) -> list[Reason]:
        """Say why an option cannot be there whatever is chosen elsewhere."""
        key = (tuple(sorted(job.fixed.items())), job.keep, other.position, other.key)
        if key not in self._known:
            self._known[key] = self._explained(job, other)
        return self._known[key]

    def _explained(self, job: Job, *options: Option) -> list[Reason]:
        insist = [pick_of(option) for option in options]
        reasons = conflicts.explain(Question(self.prepared, job), insist)
        return [reason for reason in reasons if reason.wish not in insist]


def direct_reasons(evaluation: Evaluation, option: Option, other: Option) -> list[Reason]:
    """Find the rules that look at no third position and refuse both together."""
    reasons = []
    pair = {option.position: option, other.position: other}
    settled = Settled(evaluation, pair)
    # Where no third position matters, what stands there does not either.
    choice = {**evaluation.fitted, **pair}
    seen: dict[str, Value] = {}
    for rule in checked_rules(evaluation.trade):
        if evaluation.late(rule) or not set(pair) <= evaluation.reach(rule):
            continue
        verdict = evaluation.verdict(rule, choice, seen)
        if verdict.holds is False and settled.decides(rule):
            inputs = tuple((str(r), (evaluation.value(r, choice),), 0) for r in references(rule))
            unit = getattr(rule, "unit", "")
            reasons.append(
                Reason(None, rule, verdict.has, verdict.needs, unit, verdict.at_least, inputs)
            )
    return reasons


def through(
    evaluation: Evaluation,
    option: Option | None,
    others: Iterable[Option],
    because: Sequence[Reason],
) -> tuple[str, ...]:
    """Name the third positions that the reasons against options at another position look at.

    Without an option, where the reasons hold whatever is chosen, there is no second position.
    """
    positions: set[str] = set()
    chosen = {} if option is None else {option.position: option}
    named = set(chosen)
    for other in others:
        named.add(other.position)
        settled = Settled(evaluation, {**chosen, other.position: other})
        for reason in because:
            rule = _judged(evaluation, reason)
            if rule is not None:
                positions |= settled.open_positions(rule)
            elif reason.wish is not None and reason.wish.kind in {"fixed", "keep"}:
                positions.add(reason.wish.subject)
    return tuple(p for p in evaluation.families if p in positions - named)


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
    names: dict[str, None] = {}
    for rule in rules:
        names.update(dict.fromkeys(reads_at(evaluation, rule, position)))
    return list(names)
