"""What it costs that a goal is sure, goal by goal, and what can be promised where none can."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from configurator.core.progress import Cancelled
from configurator.evaluation.how_sure import goals_within
from configurator.evaluation.packages import make_package
from configurator.model.jobs import Goal
from configurator.model.sure_goals import lowered_goal, sure_figure, sure_name, sure_value
from configurator.questions import kept_outcomes
from configurator.questions.certainty_price import options_within, price_of_certainty
from configurator.questions.certainty_records import GoalCertainty
from configurator.search.optimum import levels, lexicographic, option_prices, preparing, queries
from configurator.search.optimum.constrained_prices import LISTED
from configurator.search.optimum.preparing import Question
from configurator.search.optimum.verification import meets

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from configurator.evaluation.evaluator import Evaluation, Option
    from configurator.evaluation.how_sure import GoalWithin
    from configurator.model.jobs import Job
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
    promised = {
        side: _as_good(evaluation, choice, item, side)
        for item in goals_within(evaluation, choice, job.goals)
        if item.grade == "calculated" and not item.goal.sure and item.goal.as_possible is None
        for side in _one_sided(item.goal)
        if not _keeps(item.value, item.within, side)
    }
    if not promised:
        return []
    plain = lexicographic.settle(Question(prepared, job)).job
    pricing = _Pricing(prepared, plain, promised, make_package(evaluation, choice).price)
    priced: list[GoalCertainty] = []
    try:
        for goal in promised:
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
    promised
        The goals, each to be sure → the bound that is met by all that promises as much of it as
        the cheapest package does.
    price
        Of the cheapest package as calculated, in minor units.
    """

    def __init__(
        self, prepared: Prepared, job: Job, promised: Mapping[Goal, Goal], price: int
    ) -> None:
        self._prepared = prepared
        self._job = job
        asked = list(promised)
        names = [part.figure for goal in asked for part in lowered_goal(goal)]
        self._figures = list(dict.fromkeys([*queries.goal_figures(job), *names]))
        # All options are asked at once, and all goals of one case, unless tables are too wide.
        rows = sum(table.rows for table in prepared.model.tables)
        small = prepared.loose is None and rows <= prepared.limits.narrowed_rows
        self._ceilings = [] if small else [int(price * dearer) for dearer in DEARER]
        self._together = asked if small else []
        # What promises less than that package is not asked for. With both sides of a figure each
        # is asked of what the other one rules out.
        about = [goal.figure for goal in asked]
        near = {goal: least for goal, least in promised.items() if about.count(goal.figure) == 1}
        self._near = near if small else {}
        self._ready: dict[int, Prepared] = {}
        self._free: dict[tuple[Goal, ...], Prepared] = {}

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
        ready = self._free_of(self._together or [goal])
        package = self._cheapest(ready, goal)
        if package.price is not None or not package.proven:
            return GoalCertainty(goal, package.price, package.proven)
        promised = _promised(Question(ready, free), goal)
        least = self._near.get(goal)
        if least is None or (promised.promised is not None and meets(least, promised.promised)):
            return promised
        # That package does not promise as much: what does may have been left out.
        self._near = {}
        return _promised(Question(self._free_of(self._together), free), goal)

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
        near = tuple(self._near.values())
        key = (*goals, *near)
        if key not in self._free:
            free = self._job
            for goal in goals:
                free = queries.without_goal(free, goal.figure)
            self._free[key] = self._ready_for(free, near=near)
        return self._free[key]

    def _ready_for(
        self,
        job: Job,
        allowed: Mapping[str, Sequence[int]] | None = None,
        near: Sequence[Goal] = (),
    ) -> Prepared:
        return preparing.prepare(
            self._prepared.evaluation,
            self._figures,
            allowed=allowed,
            near=near,
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
    best = _best_in_tables(question, name, goal)
    if best is not None:
        return best
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


def _best_in_tables(question: Question, name: str, goal: Goal) -> GoalCertainty | None:
    """Promise the best that tables have, where a package keeps all else with it; None if none."""
    if question.prepared.loose is not None:
        return None
    values = [v for v, _ in queries.curve(question, name) if isinstance(v, int | float)]
    if not values:
        return None
    high = goal.at_least is not None
    value = float(max(values) if high else min(values))
    bound = Goal(name, value, None) if high else Goal(name, None, value)
    job = replace(question.job, goals=(*question.job.goals, bound))
    package = option_prices.cheapest(question.about(job), LISTED)
    if package.price is None or not package.proven:
        return None
    return GoalCertainty(goal, None, True, value, package.price)


def _as_good(
    evaluation: Evaluation, choice: Mapping[str, Option], item: GoalWithin, side: Goal
) -> Goal:
    """Give the bound, as calculated, that all packages meet which promise as much as this one."""
    base = evaluation.definition(side.figure)
    value = evaluation.figure(side.figure, choice)
    value = float(value) if isinstance(value, int | float) else item.value
    if side.at_least is not None:
        least = sure_value(sure_figure(base, "least"), value, item.value, item.within)
        return replace(side, at_least=min(least, side.at_least), sure=False)
    most = sure_value(sure_figure(base, "most"), value, item.value, item.within)
    return replace(side, at_most=max(most, side.at_most or most), sure=False)


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
