"""Why nothing fits: the smallest set of wishes and rules that cannot hold together, in numbers.

Wishes are narrowed first, in the customer's order of preference, by replaying the circuit; then,
with those wishes fixed, the rules, whole as their authors wrote them. What is reported cannot be
met, and could be met without any one of its members; where showing that of a member took more
effort than is made, the member says so.
"""

from __future__ import annotations

import itertools
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from configurator.model.requirements import Wish, wishes_of, with_bound, with_wishes
from configurator.search.explanation.feasibility import can_hold, least_wait, nearest_value
from configurator.search.explanation.quickxplain import smallest
from configurator.search.explanation.reasons import (
    Reason,
    about_rule,
    about_sure_wish,
    about_wish,
)
from configurator.search.explanation.rule_conflicts import QUESTIONS, Study
from configurator.search.explanation.sure_conflicts import holds_as_calculated, smallest_limits
from configurator.search.optimum import option_prices, queries
from configurator.search.optimum.availability import can_be_had
from configurator.search.optimum.preparing import Question

if TYPE_CHECKING:
    from collections.abc import Sequence

    from configurator.model.jobs import Job
    from configurator.model.rules import Rule
    from configurator.search.optimum.preparing import Prepared

# Wishes that are given up together, at most.
MOST_GIVEN_UP = 3

__all__ = [
    "Reason",
    "Repair",
    "can_hold",
    "explain",
    "least_wait",
    "open_wishes",
    "repair_by",
    "repairs",
]


@dataclass(frozen=True, slots=True)
class WishConflict:
    """A smallest set of wishes that no package meets.

    Parameters
    ----------
    wishes
        Without those that are insisted on.
    met
        Sets of wishes that some package meets, as was seen on the way.
    """

    wishes: tuple[Wish, ...]
    met: tuple[frozenset[Wish], ...]


def conflicting_wishes(question: Question, insist: Sequence[Wish] = ()) -> WishConflict | None:
    """Find a smallest set of wishes that no package meets; None if the job can be met.

    Parameters
    ----------
    question, insist
        As for `explain`.
    """
    job = question.job
    wishes = open_wishes(job, insist)
    met: list[frozenset[Wish]] = []

    def holds(these: Sequence[Wish]) -> bool:
        outcome = can_be_had(question.about(with_wishes(job, these)))
        if outcome:
            met.append(frozenset(these))
        return outcome is not False

    if holds([*insist, *wishes]):
        return None
    # Preferred wishes come first in the job; QuickXplain blames the later ones where it can choose.
    conflicting = smallest(list(insist), wishes, holds)
    return WishConflict(tuple(conflicting), tuple(met))


@dataclass(frozen=True, slots=True)
class Members:
    """A smallest set of wishes and rules that cannot hold together, without its numbers so far.

    Parameters
    ----------
    question
        The case and the job.
    insist
        Wishes that were not up for discussion.
    wishes
        All that conflict, those included.
    rules
        That conflict.
    study
        Of the rules; None where they are kept as calculated, but not within usual tolerances.
    met
        Sets of wishes that some package meets.
    limits
        Without a study: of each rule whether it is shown to be needed.
    """

    question: Question
    insist: tuple[Wish, ...]
    wishes: tuple[Wish, ...]
    rules: tuple[Rule, ...]
    study: Study | None
    met: tuple[frozenset[Wish], ...]
    limits: tuple[bool, ...] = ()

    def bare(self) -> list[Reason]:
        """List the members without numbers; those that were insisted on are left out."""
        wishes = [Reason(wish) for wish in self.wishes if wish not in self.insist]
        return [*wishes, *(Reason(None, rule, within=self.study is None) for rule in self.rules)]

    def reasons(self, *, inputs: bool = True) -> list[Reason]:
        """List the members, each with its numbers; ``inputs`` as for `about_rule`."""
        if self.study is None:
            about = [about_sure_wish(self.question, wish, self.wishes) for wish in self.wishes]
            pairs = zip(self.rules, self.limits, strict=True)
            return [*about, *(Reason(None, r, needed=needed, within=True) for r, needed in pairs)]
        study, rules = self.study, list(self.rules)
        about = [
            replace(about_wish(study, wish, self.wishes, rules), needed=self._shown(wish))
            for wish in self.wishes
        ]
        about.extend(
            replace(about_rule(study, rule, rules, inputs=inputs), needed=study.needs(rule, rules))
            for rule in rules
        )
        return about

    def _shown(self, wish: Wish) -> bool:
        """Whether it is shown that the others could be met without a wish."""
        rest = frozenset(self.wishes) - {wish}
        if wish in self.insist or any(rest <= these for these in self.met):
            return True
        question = self.question
        job = with_wishes(question.job, [w for w in self.wishes if w in rest])
        return bool(can_be_had(question.about(job)))


def explain(
    question: Question, insist: Sequence[Wish] = (), questions: int = QUESTIONS
) -> list[Reason]:
    """Explain why no package meets a job.

    Parameters
    ----------
    question
        The case, prepared with the job's goal figures, and the job.
    insist
        Wishes that are not up for discussion: for *why not this part*, that part.
    questions
        How many sets of rules are searched for a package to make the conflict smaller.

    Returns
    -------
    list of Reason
        Empty if the job can be met.
    """
    conflict = conflicting_wishes(question, insist)
    if conflict is None:
        return []
    return members_of(question, insist, conflict, questions).reasons()


def members_of(
    question: Question,
    insist: Sequence[Wish],
    conflict: WishConflict,
    questions: int = QUESTIONS,
) -> Members:
    """Find a smallest set of rules that stands against wishes that conflict.

    Parameters
    ----------
    question, insist, questions
        As for `explain`.
    conflict
        What `conflicting_wishes` says of that.
    """
    bound = (*insist, *conflict.wishes)
    alone = question.about(with_wishes(question.job, bound))
    if holds_as_calculated(alone):
        limits = smallest_limits(alone)
        rules = tuple(rule for rule, _ in limits)
        needed = tuple(each for _, each in limits)
        return Members(question, tuple(insist), bound, rules, None, conflict.met, needed)
    study = Study(question.model, alone.job, questions, question.prepared.limits)
    rules = tuple(study.smallest_rules())
    return Members(question, tuple(insist), bound, rules, study, conflict.met)


def open_wishes(job: Job, insist: Sequence[Wish] = ()) -> list[Wish]:
    """Wishes of a job that are up for discussion when others are insisted on."""
    taken = {wish.subject for wish in insist if wish.kind in {"fixed", "keep"}}
    return [
        wish
        for wish in wishes_of(job)
        if wish not in insist and not (wish.kind in {"fixed", "keep"} and wish.subject in taken)
    ]


@dataclass(frozen=True, slots=True)
class Repair:
    """A smallest set of wishes to give up so that the rest can be met.

    Parameters
    ----------
    given_up
        For each wish how near to it one can stay: an SI number for goals, minor units for the
        budget, days for the wait, None where it goes altogether. Each is the nearest that can be
        had with the other wishes and with what stands before it.
    price
        Of the cheapest package that meets the rest, and all that.
    """

    given_up: tuple[tuple[Wish, float | None], ...]
    price: int


def repairs(
    question: Question, insist: Sequence[Wish] = (), needs: int | None = None
) -> list[Repair]:
    """Find all smallest sets of a few wishes whose giving up lets the rest be met.

    Parameters
    ----------
    question, insist
        As for `explain`.
    needs
        Price of the cheapest package that meets all but the budget, if it is known.

    Returns
    -------
    list of Repair
        Fewest wishes first, then the cheapest. Empty if the job can be met, or cannot be met even
        by giving up that many.
    """
    wishes = open_wishes(question.job, insist)
    ways_out: list[tuple[frozenset[Wish], Repair]] = []
    for size in range(1, MOST_GIVEN_UP + 1):
        if size == MOST_GIVEN_UP and ways_out:
            break  # three wishes are only given up where fewer do not help
        for dropped in itertools.combinations(wishes, size):
            if any(smaller <= set(dropped) for smaller, _ in ways_out):
                continue
            if needs is not None and [wish.kind for wish in dropped] == ["budget"]:
                only_money = Repair(((dropped[0], float(needs)),), needs)
                ways_out.append((frozenset(dropped), only_money))
                continue
            rest = with_wishes(question.job, [*insist, *(w for w in wishes if w not in dropped)])
            repair = repair_by(question.prepared, rest, dropped)
            if repair is not None:
                ways_out.append((frozenset(dropped), repair))
    ordered = sorted(ways_out, key=lambda item: (len(item[0]), item[1].price))
    return [repair for _, repair in ordered]


def repair_by(
    prepared: Prepared, rest: Job, dropped: Sequence[Wish], patience: int = option_prices.PATIENCE
) -> Repair | None:
    """Say what giving up some wishes brings; None if the rest of the job cannot be met either."""

    def within(price: int | None) -> bool:
        return price is not None and (rest.budget is None or price <= rest.budget)

    # The circuit alone answers most; sums over everything are looked at where it does not refuse.
    if not within(queries.cheapest_price(Question(prepared, rest))):
        return None
    price = option_prices.cheapest(Question(prepared, rest), patience).price
    if price is None or not within(price):
        return None
    near: dict[Wish, float | None] = dict.fromkeys(dropped)
    staying = rest
    for wish in dropped:
        if wish.kind == "parts within":
            near[wish] = days = least_wait(Question(prepared, staying), patience)
            if days is not None:
                staying = replace(staying, parts_within=days)
        elif wish.kind in {"at least", "at most"}:
            near[wish] = value = nearest_value(Question(prepared, staying), wish)
            if value is not None:
                staying = with_bound(staying, replace(wish, bound=value))
    if staying is not rest:
        with_them = option_prices.cheapest(Question(prepared, staying), patience).price
        if with_them is None:  # that they are had together was not settled: they go altogether
            near = dict.fromkeys(dropped)
        else:
            price = with_them
    for wish in dropped:
        if wish.kind == "budget":
            near[wish] = float(price)
    return Repair(tuple(near.items()), price)
