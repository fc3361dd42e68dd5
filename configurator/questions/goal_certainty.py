"""What it costs that a goal is sure, goal by goal, and what can be promised where none can."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from configurator.core.progress import Cancelled
from configurator.evaluation.how_sure import goals_within
from configurator.evaluation.packages import make_package
from configurator.model.sure_goals import lowered_goal, sure_name
from configurator.questions import kept_outcomes
from configurator.questions.certainty_price import options_within, price_of_certainty
from configurator.questions.certainty_records import GoalCertainty
from configurator.search.optimum import levels, lexicographic, option_prices, preparing, queries
from configurator.search.optimum.preparing import Question

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from configurator.evaluation.evaluator import Option
    from configurator.model.jobs import Goal, Job
    from configurator.questions.certainty_records import CertaintyPrice
    from configurator.search.optimum.cheapest_package import CheapestPackage
    from configurator.search.optimum.preparing import Prepared

# How much dearer than the package a goal's certainty is taken to be: what is dearer is looked at
# only where none is found.
DEARER = (1.1, 1.5)


def certainty_in_full(prepared: Prepared) -> tuple[CertaintyPrice, list[GoalCertainty]]:
    """Give what certainty costs as a whole, and for each goal that is met as calculated.

    What was worked out before is read from disk.
    """
    evaluation, limits = prepared.evaluation, prepared.limits
    known = kept_outcomes.look_up(evaluation, limits) if prepared.keep else None
    if known is not None:
        return known.certainty, known.goals
    price = price_of_certainty(prepared)
    choice = price.in_grade(evaluation.case.job.sure).choice
    goals = [] if choice is None else goal_certainties(prepared, choice)
    if prepared.keep:
        kept_outcomes.keep(evaluation, limits, price, goals)
    return price, goals


def goal_certainties(
    prepared: Prepared, choice: Mapping[str, Option], *, partial: bool = False
) -> list[GoalCertainty]:
    """Price certainty for each goal that a package meets as calculated only.

    Parameters
    ----------
    prepared
        From `answers.ready`; made ready anew for what these goals come to at the least and most.
    choice
        The package, such as the cheapest as calculated.
    partial
        Whether a stop gives the goals that were reached by then.
    """
    evaluation = prepared.evaluation
    job = replace(evaluation.case.job, budget=None)
    asked = [
        side
        for item in goals_within(evaluation, choice, job.goals)
        if item.grade == "calculated" and not item.goal.sure and item.goal.as_possible is None
        for side in _one_sided(item.goal)
        if not _keeps(item.value, item.within, side)
    ]
    if not asked:
        return []
    plain = lexicographic.settle(Question(prepared, job)).job
    pricing = _Pricing(prepared, plain, asked, make_package(evaluation, choice).price)
    priced: list[GoalCertainty] = []
    try:
        for goal in asked:
            priced.append(pricing.priced(goal))
    except Cancelled:
        if not partial:
            raise
    return priced


class _Pricing:
    """What certainty of some goals costs, looked for among more and more of the options.

    Parameters
    ----------
    prepared
        The case, as calculated.
    job
        Its job, settled, the budget left aside.
    asked
        The goals, each to be sure.
    price
        Of the cheapest package as calculated, in minor units.
    """

    def __init__(self, prepared: Prepared, job: Job, asked: Sequence[Goal], price: int) -> None:
        self._prepared = prepared
        self._job = job
        names = [part.figure for goal in asked for part in lowered_goal(goal)]
        self._figures = list(dict.fromkeys([*queries.goal_figures(job), *names]))
        # All options are asked at once, and all goals of one case, unless tables are too wide.
        rows = sum(table.rows for table in prepared.model.tables)
        small = prepared.loose is None and rows <= prepared.limits.narrowed_rows
        self._ceilings = [] if small else [int(price * dearer) for dearer in DEARER]
        self._together = list(asked) if small else []
        self._ready: dict[int, Prepared] = {}
        self._free: dict[frozenset[str], Prepared] = {}

    def priced(self, goal: Goal) -> GoalCertainty:
        """Price certainty of a goal; where it cannot be had, say what can be promised."""
        ceilings = iter(self._ceilings)
        ceiling = next(ceilings, None)
        while ceiling is not None:
            package = self._cheapest(self._within(ceiling), goal)
            if not package.proven:
                return GoalCertainty(goal, package.price, proven=False)
            if package.price is None:
                ceiling = next(ceilings, None)
            elif package.price <= ceiling:
                return GoalCertainty(goal, package.price, proven=True)
            else:  # no cheaper one has an option that costs more than this
                ceiling = package.price
        # Its own bounds left aside, so that what can be promised is read off the same case.
        free = queries.without_goal(self._job, goal.figure)
        ready = self._free_of([goal, *self._together])
        package = self._cheapest(ready, goal)
        if package.price is not None or not package.proven:
            return GoalCertainty(goal, package.price, package.proven)
        return _promised(Question(ready, free), goal)

    def _cheapest(self, ready: Prepared, goal: Goal) -> CheapestPackage:
        job = replace(self._job, goals=(*self._job.goals, goal))
        return option_prices.cheapest(Question(ready, job))

    def _within(self, ceiling: int) -> Prepared:
        """Make the case ready with the options that are in some package up to a price."""
        if ceiling not in self._ready:
            allowed = options_within(self._prepared, self._job, ceiling)
            self._ready[ceiling] = self._ready_for(self._job, allowed)
        return self._ready[ceiling]

    def _free_of(self, goals: Sequence[Goal]) -> Prepared:
        """Make the case ready with the bounds on what some goals are about left aside."""
        figures = frozenset(goal.figure for goal in goals)
        if figures not in self._free:
            free = self._job
            for figure in figures:
                free = queries.without_goal(free, figure)
            self._free[figures] = self._ready_for(free)
        return self._free[figures]

    def _ready_for(self, job: Job, allowed: Mapping[str, Sequence[int]] | None = None) -> Prepared:
        return preparing.prepare(
            self._prepared.evaluation,
            self._figures,
            allowed=allowed,
            within=replace(job, sure=False),  # known orders are of tables with all their marks
            sure=job.sure,
            keep=True,
            limits=self._prepared.limits,
        )


def _promised(question: Question, goal: Goal) -> GoalCertainty:
    """Say of a goal that no package meets surely what can be promised instead."""
    name = sure_name(goal.figure, "least" if goal.at_least is not None else "most")
    if question.evaluation.late(question.evaluation.definition(name)):
        return GoalCertainty(goal, None, proven=True)
    reached = [
        (float(level.value), level.price)
        for level in levels.levels_of(question, name)
        if level.known and isinstance(level.value, int | float)
    ]
    if not reached:
        return GoalCertainty(goal, None, proven=True)
    value = max(reached)[0] if goal.at_least is not None else min(reached)[0]
    price = min(price for reached_value, price in reached if reached_value == value)
    return GoalCertainty(goal, None, True, value, price)


def _one_sided(goal: Goal) -> list[Goal]:
    """Take the bounds of a goal one by one, each to be sure."""
    sides = []
    if goal.at_least is not None:
        sides.append(replace(goal, at_most=None, sure=True))
    if goal.at_most is not None:
        sides.append(replace(goal, at_least=None, sure=True))
    return sides


def _keeps(value: float, within: float, goal: Goal) -> bool:
    """Whether a value that may be off by so much meets one side of a goal."""
    if goal.at_least is not None:
        return value - within >= goal.at_least
    return goal.at_most is None or value + within <= goal.at_most
