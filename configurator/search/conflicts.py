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
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np

from configurator.evaluation import judge
from configurator.parts import Missing
from configurator.problem import Model, make_model, order
from configurator.rules import Limit, Total
from configurator.search import queries
from configurator.search.circuit import answer, forward
from configurator.search.plan import make_circuit
from configurator.search.referee import meets, permitted
from configurator.search.semirings import CHEAPEST_64, Least
from configurator.search.tables import Table, select
from configurator.trade import checked_rules
from configurator.wishes import Wish, wishes_of, with_wishes

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from configurator.evaluation import Evaluation
    from configurator.jobs import Job
    from configurator.rules import Rule
    from configurator.search.queries import Prepared

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
        SI numbers (minor units for the budget): the best that the other members of the conflict leave,
        and what is asked. None where there is no number.
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
        A conflict that is minimal: without any one member, the rest can hold. Empty if the background
        alone cannot; None is never returned.

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
    """Whether some package meets all wishes of a job, the budget included."""
    price = queries.cheapest_price(prepared, job)
    return price is not None and (job.budget is None or price <= job.budget)


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
    wishes = [wish for wish in wishes_of(job) if wish not in insist]
    fixed_here = {wish.subject for wish in insist if wish.kind == "fixed"}
    wishes = [w for w in wishes if not (w.kind in {"fixed", "keep"} and w.subject in fixed_here)]
    if can_hold(prepared, with_wishes(job, [*insist, *wishes])):
        return []
    # Preferred wishes come first in the job; QuickXplain blames the later ones where it can choose.
    conflicting = smallest(
        list(insist), wishes, lambda these: can_hold(prepared, with_wishes(job, these))
    )
    bound = [*insist, *conflicting]
    study = _Study(prepared.evaluation, with_wishes(job, bound))
    rules = smallest([], study.rules, study.holds)
    reasons = [study.about_wish(wish, bound, rules) for wish in bound]
    reasons.extend(study.about_rule(rule, rules) for rule in rules)
    return reasons


class _Study:
    """A job with few wishes, in tables of which any rules can be left out."""

    def __init__(self, evaluation: Evaluation, job: Job) -> None:
        self.evaluation = evaluation
        self.job = job
        self.every = [r for r in checked_rules(evaluation.trade) if not evaluation.late(r)]
        self.model = self._model(job, self.every)
        # Rules of no part at all, and rules that cut nothing off, cannot be part of a conflict
        # unless they are broken outright.
        self.rules = [
            r for r in self.every if r.name in self.model.rule_tables or r.name in self.model.broken
        ]
        self._known: dict[frozenset[str], bool] = {}

    def _model(self, job: Job, rules: Sequence[Rule], soft: str = "") -> Model:
        allowed = {
            position: [
                n for n, o in enumerate(self.evaluation.options(position)) if permitted(job, o)
            ]
            for position in self.evaluation.families
        }
        return make_model(
            self.evaluation,
            queries.goal_figures(job),
            rules=rules,
            allowed=allowed,
            work=job.budget is not None,
            apart=True,
            soft=soft,
        )

    def holds(self, rules: Sequence[Rule]) -> bool:
        """Whether the wishes can be met with these rules."""
        names = frozenset(rule.name for rule in rules)
        if names not in self._known:
            self._known[names] = self._holds(names)
        return self._known[names]

    def _holds(self, names: frozenset[str]) -> bool:
        if names & set(self.model.broken):
            return False
        tables = self.tables(self.model, names, self.job)
        if tables is None:
            return False
        circuit = make_circuit([table for _, table in tables], self.model.sizes, tries=1)
        if not circuit.nodes:
            return False
        if self.job.budget is None:
            return True
        weights = {}
        for leaf, (number, _) in enumerate(tables):
            costs = self.costs(number)
            if costs is not None:
                weights[leaf] = costs[circuit.leaf_rows[leaf]]
        price = answer(forward(circuit, weights, CHEAPEST_64), CHEAPEST_64)
        return bool(price + self.model.fixed_cost <= self.job.budget)

    def costs(self, number: int) -> Any:
        """Weights in minor units of a table's rows, if it has any."""
        model = self.model
        if number in model.work_costs:
            return model.work_costs[number]
        for position, mine in model.position_tables.items():
            if mine == number:
                costs = model.costs[position]
                return np.array([costs[c[0]] for c in model.classes[position]], np.int64)
        return None

    def tables(
        self, model: Model, names: frozenset[str], job: Job
    ) -> list[tuple[int, Table]] | None:
        """Tables in force, goals cut to what is asked; None if a goal cannot be met at all."""
        without = {n for name, n in model.rule_tables.items() if name not in names}
        cuts: dict[int, Any] = {}
        for goal in job.goals:
            if goal.figure in model.fixed_figures:
                if not meets(goal, model.fixed_figures[goal.figure]):
                    return None
                continue
            number = model.goal_tables[goal.figure]
            values = model.values[model.tables[number].variables[0]]
            cuts[number] = np.array([meets(goal, value) for value in values], np.bool_)
        found = []
        for number, table in enumerate(model.tables):
            if number in without:
                continue
            found.append((number, select(table, cuts[number]) if number in cuts else table))
        return found

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
            free = queries.prepare(self.evaluation, queries.goal_figures(others), rules=rules)
            price = queries.cheapest_price(free, others)
            has = None if price is None else float(price)
            return Reason(wish, None, has, wish.bound, "", at_least=False)
        return Reason(wish)

    def _reachable(self, wish: Wish, others: Job, rules: Sequence[Rule]) -> float | None:
        """Return the value nearest to what a goal asks that the rest of the conflict leaves."""
        figures = [*queries.goal_figures(others), wish.subject]
        free = queries.prepare(self.evaluation, list(dict.fromkeys(figures)), rules=rules)
        other_bound = tuple(goal for goal in others.goals if goal.figure == wish.subject)
        levels = [
            level.value
            for level in queries.curve(free, others, wish.subject)
            if isinstance(level.value, float | int)
            and (others.budget is None or level.price <= others.budget)
            and all(meets(goal, level.value) for goal in other_bound)
        ]
        if not levels:
            return None
        return float(max(levels) if wish.kind == "at least" else min(levels))

    def about_rule(self, rule: Rule, rules: Sequence[Rule]) -> Reason:
        """Say how near the rest of the conflict comes to a rule."""
        others = [other for other in rules if other.name != rule.name]
        has = needs = None
        at_least = True
        if isinstance(rule, Limit):
            has, needs, at_least = self._nearest(rule, rules)
        inputs = self._inputs(rule, others)
        unit = rule.unit if isinstance(rule, Limit | Total) else ""
        return Reason(None, rule, has, needs, unit, at_least, inputs)

    def _nearest(
        self, rule: Limit, rules: Sequence[Rule]
    ) -> tuple[float | None, float | None, bool]:
        model = self._model(self.job, rules, soft=rule.name)
        names = frozenset(other.name for other in rules)
        tables = self.tables(model, names, self.job)
        if tables is None or rule.name not in model.rule_tables:
            verdict = self.evaluation.verdict(rule, {}) if not self.evaluation.reach(rule) else None
            if verdict is None:
                return None, None, True
            return verdict.has, verdict.needs, verdict.at_least
        circuit = make_circuit([table for _, table in tables], model.sizes, tries=1)
        if not circuit.nodes:
            return None, None, True
        soft = model.rule_tables[rule.name]
        leaf = next(k for k, (number, _) in enumerate(tables) if number == soft)
        rows = circuit.leaf_rows[leaf]
        shortfall = model.shortfalls[rows]
        semiring = Least()
        values = forward(circuit, {leaf: shortfall}, semiring)
        row = int(rows[int(np.argmin(shortfall))])
        if not np.isfinite(answer(values, semiring)):
            return None, None, True
        arguments = model.soft_values[row]
        has = self.evaluation.call(rule, arguments[: len(rule.inputs)])
        at_least, at_most = arguments[len(rule.inputs) :]
        verdict = judge(has, at_least, at_most)
        return verdict.has, verdict.needs, verdict.at_least

    def _inputs(
        self, rule: Rule, others: Sequence[Rule]
    ) -> tuple[tuple[str, tuple[Any, ...], int], ...]:
        """List what each input of a rule can be while the other members of the conflict hold."""
        model = self._model(self.job, [*others, rule], soft=rule.name)
        names = frozenset(other.name for other in [*others, rule])
        tables = self.tables(model, names, self.job)
        if tables is None or rule.name not in model.rule_tables:
            return ()
        circuit = make_circuit([table for _, table in tables], model.sizes, tries=1)
        if not circuit.nodes:
            return ()
        soft = model.rule_tables[rule.name]
        leaf = next(k for k, (number, _) in enumerate(tables) if number == soft)
        seen = [model.soft_values[int(row)] for row in circuit.leaf_rows[leaf]]
        found = []
        named = [(k, one.reference) for k, one in enumerate(rule.inputs)]
        if isinstance(rule, Limit):
            named.extend(
                (len(rule.inputs) + k, bound)
                for k, bound in enumerate((rule.at_least, rule.at_most))
                if bound is not None and not isinstance(bound, int | float)
            )
        for k, reference in named:
            values = list(dict.fromkeys(row[k] for row in seen if not isinstance(row[k], Missing)))
            values.sort(key=order)
            found.append((str(reference), tuple(values[:SHOWN]), max(0, len(values) - SHOWN)))
        return tuple(found)


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
    taken = {wish.subject for wish in insist if wish.kind == "fixed"}
    wishes = [
        w
        for w in wishes_of(job)
        if w not in insist and not (w.kind in {"fixed", "keep"} and w.subject in taken)
    ]
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
            kept = tuple((wish, _stay_near(prepared, rest, wish, price)) for wish in dropped)
            found.append((frozenset(dropped), Repair(kept, price)))
    ordered = sorted(found, key=lambda one: (len(one[0]), one[1].price))
    return [repair for _, repair in ordered]


def _stay_near(prepared: Prepared, rest: Job, wish: Wish, price: int) -> float | None:
    if wish.kind == "budget":
        return float(price)
    if wish.kind not in {"at least", "at most"}:
        return None
    other_bound = [goal for goal in rest.goals if goal.figure == wish.subject]
    values = [
        float(level.value)
        for level in queries.curve(prepared, rest, wish.subject)
        if isinstance(level.value, float | int)
        and (rest.budget is None or level.price <= rest.budget)
        and all(meets(goal, level.value) for goal in other_bound)
    ]
    if not values:
        return None
    return max(values) if wish.kind == "at least" else min(values)
