"""What a figure costs: a level of it, or of two, against the cheapest package that has it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from configurator.core.errors import InputError, Problem
from configurator.model.parts import Missing
from configurator.model.sure_goals import name_asked, parted
from configurator.search.optimum import label_fronts, lexicographic, queries
from configurator.search.optimum.preparing import Question
from configurator.search.optimum.weighing import PricingProblem, reach
from configurator.search.pareto import fronts

if TYPE_CHECKING:
    from collections.abc import Sequence

    from configurator.evaluation.evaluator import Evaluation
    from configurator.model.jobs import Direction, Job
    from configurator.search.optimum.preparing import Prepared
    from configurator.search.pareto.fronts import Point

# Steps into which the reach of a sum is divided, alone and beside another sum: levels that are
# better by less are left out.
STEPS = 200
STEPS_BESIDE = 40
# In which a reach is worked out: thousandths of a sum's SI unit.
GRAMS = 1000


@dataclass(frozen=True, slots=True)
class TradeOff:
    """What a figure costs, or two figures together.

    Parameters
    ----------
    figures
        One or two, each with what is better; None where that is not known.
    levels
        For one figure every level that can be reached, in order of its value; else empty.
    front
        The levels that nothing beats, the cheapest first.
    steps
        One for each figure: levels of a sum over everything that are less than that [SI] better
        than one in the front may be left out of it. 0 for other figures, of which none are.
    """

    figures: tuple[tuple[str, Direction | None], ...]
    levels: tuple[Point, ...]
    front: tuple[Point, ...]
    steps: tuple[float, ...]


def trade_off(
    prepared: Prepared,
    *figures: tuple[str, Direction | None],
    partial: bool = False,
    close: bool = True,
) -> TradeOff:
    """Set a figure, or two, against the price.

    The job's bounds on these figures and its budget are left aside; its other wishes count.

    Parameters
    ----------
    prepared
        From `answers.ready`, with these figures.
    figures
        One or two, each with what is better: ``"high"``, ``"low"``, or None for `better_of`.
    partial
        Whether a stop leaves the prices that were not reached as the lower bounds they are; it ends
        a trade-off with a sum.
    close
        Whether prices that are lower bounds are made exact. Where lists are too long to be joined
        that takes a proof for each level: `queries.bounds_only`. Sums over everything always are.

    Raises
    ------
    InputError
        If a figure is not known, was not prepared, or hangs on sums over the whole vehicle, which
        can be asked about themselves.
    """
    evaluation = prepared.evaluation
    asked = evaluation.case.job
    figures = tuple(_as_known(asked, *each) for each in figures)
    sums = [name for name, _ in figures if name in evaluation.trade.totals]
    problems = []
    for name, _ in figures:
        if name in sums:
            continue
        if not can_be_traded(evaluation, name):
            what = "it is not known, or hangs on sums over the whole vehicle"
            problems.append(Problem(name, what, "set another figure against the price"))
        elif name not in prepared.model.goal_tables and name not in prepared.model.fixed_figures:
            problems.append(Problem(name, "it was not prepared", "name it to ready(figures=...)"))
    if problems:
        raise InputError(problems)
    if sums:
        return _sum_off(prepared, figures, sums)
    directed = tuple((name, better or better_of(asked, name)) for name, better in figures)
    names = [name for name, _ in directed]
    about = {parted(name)[0] for name in names}
    free = replace(asked, goals=tuple(g for g in asked.goals if parted(g.figure)[0] not in about))
    question = lexicographic.settle(Question(prepared, free))
    if len(names) > 1:
        points = fronts.front(question, directed, partial=partial, close=close)
        return TradeOff(directed, (), tuple(points), (0.0,) * len(names))
    every = fronts.levels(question, names, partial=partial, close=close)
    front = fronts.not_beaten(every, [better for _, better in directed])
    return TradeOff(directed, tuple(every), tuple(front), (0.0,))


def _as_known(job: Job, figure: str, better: Direction | None) -> tuple[str, Direction | None]:
    """Name a figure as the job's goal on it is asked: what it comes to at the least, or most."""
    return name_asked(job, figure, better or better_of(job, figure)), better


def _sum_off(
    prepared: Prepared,
    figures: Sequence[tuple[str, Direction | None]],
    sums: Sequence[str],
) -> TradeOff:
    """Set a sum over everything against the price: by itself, beside a figure or another sum."""
    evaluation = prepared.evaluation
    job = evaluation.case.job
    directed: list[tuple[str, Direction]] = []
    for name, better in figures:
        known = better_of_sum(evaluation, name) if name in sums else better_of(job, name)
        if better is None and known is None:
            what = "neither the job nor a limit tells what is better in it"
            raise InputError([Problem(name, what, "say whether high or low is better")])
        directed.append((name, better or known))  # type: ignore[arg-type]
        job = queries.without_goal(job, name)
    question = lexicographic.settle(Question(prepared, job))
    most = STEPS if len(sums) == 1 else STEPS_BESIDE
    steps = tuple(step_for(question, name, most) if name in sums else 0.0 for name, _ in figures)
    packages = label_fronts.front(question, directed, steps)
    points = [fronts.Point(package.values, package.price, package.exact) for package in packages]
    return TradeOff(tuple(directed), (), tuple(_apart(points, steps)), steps)


def step_for(question: Question, total: str, steps: int) -> float:
    """Give the step [SI] that divides the reach of a sum into so many; 0 where it has none."""
    evaluation = question.evaluation
    rule = evaluation.trade.totals[total]
    shares = {}
    for position, options in question.model.options.items():
        each = [evaluation.share(rule, option) for option in options]
        known = [0 if isinstance(value, Missing) else round(value * GRAMS) for value in each]
        shares[position] = np.array(known, np.int64)
    ends = reach(PricingProblem(question), shares)
    return 0.0 if ends is None else (ends[1] - ends[0]) / GRAMS / steps


def _apart(points: Sequence[Point], steps: Sequence[float]) -> list[Point]:
    """Leave out points that are better by less than a step than one that costs no more."""
    kept: list[Point] = []
    for point in points:
        near = any(
            package.exact
            and all(
                abs(float(a) - float(b)) < step or a == b  # type: ignore[arg-type]
                for a, b, step in zip(package.values, point.values, steps, strict=True)
            )
            for package in kept
        )
        if not near or not point.exact:
            kept.append(point)
    return kept


def better_of_sum(evaluation: Evaluation, total: str) -> Direction | None:
    """Say what the job takes to be better in a sum, or else what the sum's own limit does."""
    rule = evaluation.trade.totals[total]
    text = better_of(evaluation.case.job, total)
    if text is not None or (rule.at_least is None) == (rule.at_most is None):
        return text
    return "low" if rule.at_least is None else "high"


def can_be_traded(evaluation: Evaluation, figure: str) -> bool:
    """Whether all levels of a figure can be read off: not one of sums over the whole vehicle."""
    base, _ = parted(figure)
    return base in evaluation.trade.figures and not evaluation.late(evaluation.definition(figure))


def better_of(job: Job, figure: str) -> Direction | None:
    """Say what a job takes to be better in a figure; None if it has no goal on it, or a band."""
    for goal in job.goals:
        if goal.figure == parted(figure)[0]:
            if goal.as_possible is not None:
                return goal.as_possible
            if (goal.at_least is None) != (goal.at_most is None):
                return "low" if goal.at_least is None else "high"
    return None
