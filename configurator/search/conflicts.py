"""Why nothing fits: the smallest set of wishes and rules that cannot hold together, in numbers.

Wishes are narrowed first, in the customer's order of preference, by replaying the circuit; then,
with those wishes fixed, the rules, whole as their authors wrote them. What is reported cannot be
met, and could be met without any one of its members.

References
----------
.. [1] U. Junker, *QuickXplain: preferred explanations and relaxations for over-constrained
   problems*, AAAI 2004.
"""

from __future__ import annotations

import itertools
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

import numpy as np

from configurator.evaluation import judge
from configurator.parts import Missing
from configurator.rules import FigureValue, Limit
from configurator.search import queries, totals
from configurator.search.referee import meets
from configurator.spans import order
from configurator.trade import checked_rules
from configurator.wishes import Wish, wishes_of, with_wishes

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence

    from configurator.evaluation import Evaluation, Option
    from configurator.jobs import Job
    from configurator.rules import Rule
    from configurator.search.queries import Prepared

# How many broken rules are taken up at once: more make fewer but wider problems.
AT_ONCE = 3
# How many values of an input a reason lists before it says "and more".
SHOWN = 6


@dataclass(frozen=True, slots=True)
class Reason:
    """A member of a conflict, with its numbers.

    Parameters
    ----------
    wish, rule
        Exactly one of them is given.
    has, needs
        SI numbers (minor units for the budget): the best that the other members of the conflict
        leave, and what is asked. None where there is no number.
    unit
        In which they are shown.
    at_least
        Whether ``needs`` is a lower bound.
    inputs
        For rules: what each input can be while the other members hold, as
        ``(input, (value, ...), how many more)``.
    """

    wish: Wish | None = None
    rule: Rule | None = None
    has: float | None = None
    needs: float | None = None
    unit: str = ""
    at_least: bool = True
    inputs: tuple[tuple[str, tuple[Any, ...], int], ...] = ()


def smallest(
    background: Sequence[Any], members: Sequence[Any], holds: Callable[[list[Any]], bool]
) -> list[Any]:
    """Find a smallest set of members that cannot hold with the background (QuickXplain).

    Parameters
    ----------
    background
        What is not up for discussion.
    members
        In order of preference: the first are kept out of the conflict last.
    holds
        Whether a list of them can hold together; must be monotone.

    Returns
    -------
    list
        A conflict that is minimal: without any one member, the rest can hold. Empty if the
        background alone cannot; None is never returned.

    Examples
    --------
    >>> smallest([], [1, 2, 3, 4], lambda these: not {2, 4} <= set(these))
    [2, 4]
    """

    def narrow(given: list[Any], added: bool, among: list[Any]) -> list[Any]:
        if added and not holds(given):
            return []
        if len(among) == 1:
            return among
        middle = len(among) // 2
        first, second = among[:middle], among[middle:]
        of_second = narrow(given + first, bool(first), second)
        of_first = narrow(given + of_second, bool(of_second), first)
        return of_first + of_second

    if not holds(list(background)):
        return []
    return narrow(list(background), False, list(members)) if members else []


def can_hold(prepared: Prepared, job: Job) -> bool:
    """Whether some package meets all wishes of a job, the budget included.

    Where sums over everything leave that undecided, it is taken as possible: what is reported as a
    conflict is proven.
    """
    price = queries.cheapest_price(prepared, job)
    if price is None or (job.budget is not None and price > job.budget):
        return False
    if not totals.has_late(prepared.evaluation, job, totals.late_of(prepared, job)):
        return True
    found = totals.cheapest(prepared, job)
    if found.price is None or job.budget is None or found.price <= job.budget:
        return found.price is not None or not found.proven
    return not found.proven


def explain(prepared: Prepared, job: Job, insist: Sequence[Wish] = ()) -> list[Reason]:
    """Explain why no package meets a job.

    Parameters
    ----------
    prepared
        The case, prepared with the job's goal figures.
    job
        The job.
    insist
        Wishes that are not up for discussion: for *why not this part*, that part.

    Returns
    -------
    list of Reason
        Empty if the job can be met.
    """
    wishes = open_wishes(job, insist)
    if can_hold(prepared, with_wishes(job, [*insist, *wishes])):
        return []
    # Preferred wishes come first in the job; QuickXplain blames the later ones where it can choose.
    conflicting = smallest(
        list(insist), wishes, lambda these: can_hold(prepared, with_wishes(job, these))
    )
    bound = [*insist, *conflicting]
    study = _Study(prepared.evaluation, with_wishes(job, bound))
    rules = study.smallest_rules()
    reasons = [study.about_wish(wish, bound, rules) for wish in bound]
    reasons.extend(study.about_rule(rule, rules) for rule in rules)
    return reasons


def open_wishes(job: Job, insist: Sequence[Wish] = ()) -> list[Wish]:
    """Wishes of a job that are up for discussion when others are insisted on."""
    taken = {wish.subject for wish in insist if wish.kind in {"fixed", "keep"}}
    return [
        wish
        for wish in wishes_of(job)
        if wish not in insist and not (wish.kind in {"fixed", "keep"} and wish.subject in taken)
    ]


class _Study:
    """A job with few wishes, and any few of the rules."""

    def __init__(self, evaluation: Evaluation, job: Job) -> None:
        self.evaluation = evaluation
        self.job = job
        self.every = checked_rules(evaluation.trade)
        self._known: dict[frozenset[str], Mapping[str, Option] | None] = {}
        # Packages met so far, each with the rules it breaks: one that breaks none of a set of rules
        # answers for that set without a search.
        self._met: list[tuple[Mapping[str, Option], frozenset[str]]] = []

    def prepared(
        self, rules: Sequence[Rule], job: Job, figures: Sequence[str] = (), soft: str = ""
    ) -> Prepared:
        """Tables of these rules only, over the parts that the job's picks leave."""
        names = list(dict.fromkeys([*queries.goal_figures(job), *figures]))
        return queries.prepare(
            self.evaluation,
            names,
            rules=rules,
            allowed=queries.picks(self.evaluation, job),
            cut=[goal for goal in job.goals if goal.figure not in figures],
            work=job.budget is not None,
            soft=soft,
        )

    def witness(self, rules: Sequence[Rule]) -> Mapping[str, Option] | None:
        """Find a package that meets the wishes and these rules; None if there is none."""
        names = frozenset(rule.name for rule in rules)
        if names not in self._known:
            for choice, broken in self._met:
                if not broken & names:
                    return choice
            found = totals.cheapest(self.prepared(rules, self.job), self.job)
            over = (
                found.price is not None
                and self.job.budget is not None
                and found.price > self.job.budget
            )
            self._known[names] = None if over else found.choice
            if found.choice is not None and not over:
                self._met.append(
                    (found.choice, frozenset(r.name for r in self.broken(found.choice)))
                )
        return self._known[names]

    def broken(self, choice: Mapping[str, Option]) -> list[Rule]:
        """Rules that a package breaks."""
        return [rule for rule in self.every if self.evaluation.verdict(rule, choice).holds is False]

    def smallest_rules(self) -> list[Rule]:
        """Find a smallest set of rules that the wishes cannot be met with.

        All rules at once make wide tables, few make narrow ones. So the set is grown: a package
        that keeps the rules gathered so far shows which further rules it breaks, until no package
        is left.
        """
        gathered: list[Rule] = []
        while True:
            choice = self.witness(gathered)
            if choice is None:
                break
            broken = self.broken(choice)
            if not broken:
                return []  # only where sums left the search undecided
            gathered.extend(self._most_telling(broken, gathered))
        order = {rule.name: number for number, rule in enumerate(self.every)}
        gathered.sort(key=lambda rule: order[rule.name])
        return smallest([], gathered, lambda these: self.witness(these) is not None)

    def _most_telling(self, broken: Sequence[Rule], gathered: Sequence[Rule]) -> list[Rule]:
        """Take the broken rules that reach what is spoken of already, and fewest positions."""
        spoken: set[str] = {wish.subject for wish in wishes_of(self.job)}
        for goal in self.job.goals:
            spoken |= self.evaluation.reach_of(FigureValue(goal.figure))
        for rule in gathered:
            spoken |= self.evaluation.reach(rule)

        def far(rule: Rule) -> tuple[bool, bool, int, str]:
            reach = self.evaluation.reach(rule)
            return (self.evaluation.late(rule), not reach & spoken, len(reach), rule.name)

        return sorted(broken, key=far)[:AT_ONCE]

    # -- numbers --------------------------------------------------------------------------------

    def about_wish(self, wish: Wish, wishes: Sequence[Wish], rules: Sequence[Rule]) -> Reason:
        """Say how far a wish could be met with the rest of the conflict."""
        others = with_wishes(self.job, [other for other in wishes if other != wish])
        if wish.kind in {"at least", "at most"}:
            at_least = wish.kind == "at least"
            unit = self.evaluation.definition(wish.subject).unit
            has = self._reachable(wish, others, rules)
            return Reason(wish, None, has, wish.bound, unit, at_least)
        if wish.kind == "budget":
            free = self.prepared(rules, replace(others, budget=0))
            price = totals.cheapest(free, others).price
            has = None if price is None else float(price)
            return Reason(wish, None, has, wish.bound, "", at_least=False)
        return Reason(wish)

    def _reachable(self, wish: Wish, others: Job, rules: Sequence[Rule]) -> float | None:
        """Return the value nearest to what a goal asks that the rest of the conflict leaves."""
        if self.evaluation.late(self.evaluation.definition(wish.subject)):
            return None
        free = self.prepared(rules, others, [wish.subject])
        return nearest_value(free, others, wish)

    def about_rule(self, rule: Rule, rules: Sequence[Rule]) -> Reason:
        """Say how near the rest of the conflict comes to a rule."""
        if self.evaluation.late(rule) or not self.evaluation.reach(rule):
            choice = self.witness([other for other in rules if other.name != rule.name])
            verdict = self.evaluation.verdict(rule, choice or {})
            unit = getattr(rule, "unit", "")
            return Reason(None, rule, verdict.has, verdict.needs, unit, verdict.at_least)
        soft = self.prepared(rules, self.job, soft=rule.name)
        number = soft.model.rule_tables[rule.name]
        if not soft.circuit.nodes:
            return Reason(None, rule)
        origins = soft.circuit.leaf_rows[number]
        shortfalls = np.array([soft.model.shortfalls[rows[0]] for rows in origins])
        inputs = self._inputs(rule, [soft.model.soft_values[r] for rows in origins for r in rows])
        if not isinstance(rule, Limit):
            return Reason(None, rule, inputs=inputs)
        # Every row that is left is in some package, so the least shortfall can be had.
        arguments = soft.model.soft_values[int(origins[int(np.argmin(shortfalls))][0])]
        at_least, at_most = arguments[len(rule.inputs) :]
        has = self.evaluation.call(rule, arguments[: len(rule.inputs)])
        verdict = judge(has, at_least, at_most)
        return Reason(None, rule, verdict.has, verdict.needs, rule.unit, verdict.at_least, inputs)

    @staticmethod
    def _inputs(
        rule: Rule, seen: Sequence[Sequence[Any]]
    ) -> tuple[tuple[str, tuple[Any, ...], int], ...]:
        """List what each input of a rule can be while the other members of the conflict hold."""
        named = [(k, one.reference) for k, one in enumerate(rule.inputs)]
        if isinstance(rule, Limit):
            named.extend(
                (len(rule.inputs) + k, bound)
                for k, bound in enumerate((rule.at_least, rule.at_most))
                if bound is not None and not isinstance(bound, int | float)
            )
        found = []
        for k, reference in named:
            values = list(dict.fromkeys(row[k] for row in seen if not isinstance(row[k], Missing)))
            values.sort(key=order)
            found.append((str(reference), tuple(values[:SHOWN]), max(0, len(values) - SHOWN)))
        return tuple(found)


def nearest_value(prepared: Prepared, job: Job, wish: Wish) -> float | None:
    """Return the value nearest to what a goal asks that a job's other wishes leave."""
    if prepared.evaluation.late(prepared.evaluation.definition(wish.subject)):
        return None
    other_bound = [goal for goal in job.goals if goal.figure == wish.subject]
    values = [
        float(level.value)
        for level in queries.curve(prepared, job, wish.subject)
        if isinstance(level.value, float | int)
        and (job.budget is None or level.price <= job.budget)
        and all(meets(goal, level.value) for goal in other_bound)
    ]
    if not values:
        return None
    return max(values) if wish.kind == "at least" else min(values)


@dataclass(frozen=True, slots=True)
class Repair:
    """A smallest set of wishes to give up so that the rest can be met.

    Parameters
    ----------
    given_up
        For each wish how near to it one could stay: an SI number for goals (the nearest value that
        can be had with the other wishes), minor units for the budget, None otherwise.
    price
        Of the cheapest package that meets the rest.
    """

    given_up: tuple[tuple[Wish, float | None], ...]
    price: int


def repairs(
    prepared: Prepared, job: Job, insist: Sequence[Wish] = (), most: int = 3
) -> list[Repair]:
    """Find all smallest sets of at most ``most`` wishes whose giving up lets the rest be met.

    Returns
    -------
    list of Repair
        Fewest wishes first, then the cheapest. Empty if the job can be met, or cannot be met even
        by giving up that many.
    """
    wishes = open_wishes(job, insist)
    found: list[tuple[frozenset[Wish], Repair]] = []
    for size in range(1, most + 1):
        if size == most and found:
            break  # three wishes are only given up where fewer do not help
        for dropped in itertools.combinations(wishes, size):
            if any(smaller <= set(dropped) for smaller, _ in found):
                continue
            rest = with_wishes(job, [*insist, *(w for w in wishes if w not in dropped)])
            price = queries.cheapest_price(prepared, rest)
            if price is None or (rest.budget is not None and price > rest.budget):
                continue
            price = totals.cheapest(prepared, rest).price
            if price is None or (rest.budget is not None and price > rest.budget):
                continue
            kept = tuple((wish, _stay_near(prepared, rest, wish, price)) for wish in dropped)
            found.append((frozenset(dropped), Repair(kept, price)))
    ordered = sorted(found, key=lambda one: (len(one[0]), one[1].price))
    return [repair for _, repair in ordered]


def _stay_near(prepared: Prepared, rest: Job, wish: Wish, price: int) -> float | None:
    if wish.kind == "budget":
        return float(price)
    return nearest_value(prepared, rest, wish) if wish.kind in {"at least", "at most"} else None
