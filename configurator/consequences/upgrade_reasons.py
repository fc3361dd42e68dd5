"""Why a choice and an option at another position cannot be together, and what those rules read."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from configurator.consequences.rule_reach import Settled
from configurator.consequences.shared_properties import reads_at
from configurator.model.knowledge import checked_rules, references
from configurator.model.requirements import Wish
from configurator.model.rules import Limit, Total
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
    from configurator.search.explanation.conflicts import Members, WishConflict
    from configurator.search.optimum.availability import Availability
    from configurator.search.optimum.preparing import Prepared


# Packages looked at for options that rules on several sums leave open: what nothing rules out
# counts as possible, and few of them are ruled out by looking.
LISTED = 60


def pick_of(option: Option) -> Wish:
    """Return the wish for an option."""
    return Wish("fixed", option.position, part=option.key)


@dataclass(frozen=True, slots=True)
class Why:
    """A smallest set of reasons against options.

    Parameters
    ----------
    because
        The reasons, their numbers perhaps left out so far.
    anyway
        Whether they hold whatever is chosen.
    members
        What works out the numbers, where they are left out.
    """

    because: tuple[Reason, ...]
    anyway: bool
    members: Members | None = None

    @property
    def bounded(self) -> bool:
        """Whether a bound on a number, not a fit alone, is among the reasons."""
        return any(
            isinstance(reason.rule, Limit | Total)
            or (reason.wish is not None and reason.wish.kind in {"at least", "at most"})
            for reason in self.because
        )


class Reasons:
    """Says why options cannot be there, and remembers what does not hang on the choice.

    Parameters
    ----------
    prepared
        The case.
    inputs
        Whether reasons say what the inputs of their rules can be.
    """

    def __init__(self, prepared: Prepared, *, inputs: bool = True) -> None:
        self.prepared, self.inputs = prepared, inputs
        self._known: dict[Hashable, Why] = {}
        self._numbers: dict[int, tuple[Members, tuple[Reason, ...]]] = {}
        self._before: dict[Hashable, Availability] = {}
        self._wishes: dict[Hashable, WishConflict | None] = {}
        # What `further_kinds` knows.
        self.of_kinds: dict[Hashable, Why | None] = {}
        self.of_attributes: dict[Hashable, bool] = {}
        self._through: dict[Hashable, tuple[str, ...]] = {}

    def without_choice(self, job: Job, asked: Mapping[str, Sequence[int]]) -> Availability:
        """Say which of some options are possible without the choice: several choices ask alike."""
        key = (key_of(job), tuple((p, tuple(numbers)) for p, numbers in asked.items()))
        if key not in self._before:
            question = Question(self.prepared, job)
            self._before[key] = available(question, list(asked), LISTED, asked)
        return self._before[key]

    def wishes_against(self, job: Job, option: Option | None, other: Option) -> tuple[Wish, ...]:
        """Name a smallest set of wishes against an option, beside another if one is given."""
        conflict = self._conflict(job, (other,) if option is None else (option, other))
        return () if conflict is None else conflict.wishes

    def _conflict(self, job: Job, options: Sequence[Option]) -> WishConflict | None:
        key = key_of_options(job, options)
        if key not in self._wishes:
            insist = [pick_of(option) for option in options]
            question = Question(self.prepared, job)
            self._wishes[key] = conflicts.conflicting_wishes(question, insist)
        return self._wishes[key]

    def against(self, job: Job, option: Option | None, other: Option) -> Why:
        """Say why an option cannot be there: a smallest set of rules and wishes.

        Parameters
        ----------
        job
            What is asked for.
        option
            Beside what it cannot be; None where it cannot be there whatever is chosen elsewhere.
        other
            The option.
        """
        options = (other,) if option is None else (option, other)
        key = key_of_options(job, options)
        if key not in self._known:
            conflict = self._conflict(job, options)
            if conflict is None:
                self._known[key] = Why((), option is None)
            else:
                insist = [pick_of(item) for item in options]
                members = conflicts.members_of(Question(self.prepared, job), insist, conflict)
                self._known[key] = Why(tuple(members.bare()), option is None, members)
        return self._known[key]

    def numbers(self, why: Why) -> tuple[Reason, ...]:
        """Give reasons with their numbers."""
        members = why.members
        if members is None:
            return why.because
        if id(members) not in self._numbers:
            every = members.reasons(inputs=self.inputs)
            reasons = tuple(reason for reason in every if reason.wish not in members.insist)
            self._numbers[id(members)] = members, reasons  # no other gets its identity
        return self._numbers[id(members)][1]

    def through(
        self, option: Option | None, others: Sequence[Option], because: Sequence[Reason]
    ) -> tuple[str, ...]:
        """Name the third positions that reasons look at: see `through`."""
        rules = tuple((reason.wish, reason.rule and reason.rule.name) for reason in because)
        seen = tuple((item.position, item.key) for item in others)
        key = (option and (option.position, option.key), seen, rules)
        if key not in self._through:
            self._through[key] = through(self.prepared.evaluation, option, others, because)
        return self._through[key]


def key_of_options(job: Job, options: Sequence[Option | None]) -> Hashable:
    """Return what is equal for the same options in equal jobs, and can be looked up."""
    return (key_of(job), tuple(option and (option.position, option.key) for option in options))


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
