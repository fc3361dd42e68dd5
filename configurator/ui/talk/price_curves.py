"""What each value of a figure costs: at once as far as that goes, exactly where it is asked for."""

from __future__ import annotations

import copy
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from configurator.model.parts import Missing
from configurator.model.sure_goals import shown_name
from configurator.questions import trade_offs
from configurator.questions.history import begun
from configurator.search.optimum import queries

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from configurator.core.progress import Progress
    from configurator.evaluation.evaluator import Evaluation
    from configurator.model.jobs import Direction, Goal
    from configurator.model.parts import Value
    from configurator.questions.session import Session
    from configurator.questions.trade_offs import TradeOff
    from configurator.search.optimum.levels import Level
    from configurator.ui.visit import Visit


@dataclass(frozen=True, slots=True)
class CurveLevel:
    """A value of the figure in SI, and the cheapest price at it [minor units].

    Without ``exact`` the price is *at least* that; unless it is ``known``, there may be no package.
    """

    value: float
    price: int
    exact: bool
    known: bool = True


@dataclass(frozen=True, slots=True)
class Curve:
    """Levels that can be had, in order of their values, and what their prices are.

    Parameters
    ----------
    levels
        Values with prices.
    halted
        Whether working them out was stopped before its end.
    step
        For a sum: levels better by less than that [SI] may be left out.
    on_request
        Whether it is a figure of sums, whose levels are worked out only when somebody asks.
    coming
        Whether they are still being worked out.
    """

    levels: tuple[CurveLevel, ...]
    halted: bool = False
    step: float = 0.0
    on_request: bool = False
    coming: bool = False

    @property
    def exact(self) -> bool:
        """Whether all prices are."""
        return all(level.exact for level in self.levels)


def curve_of(visit: Visit, evaluation: Evaluation, figure: str) -> Curve:
    """Give what is known of a figure's levels: exact ones once they were worked out."""
    trade_off: TradeOff | None = rest_of(visit.talk, figure).known(_known(figure))
    task = visit.tasks.get(_task(figure))
    halted = False
    if trade_off is None and task is not None and task.state == "done":
        trade_off, halted = task.result, task.halted
        if not halted:
            rest_of(visit.talk, figure).asked(_known(figure), lambda *_: trade_off)
    if trade_off is not None:
        levels = _levels(
            (p.values[0], p.price, p.exact, p.exact) for p in trade_off.levels or trade_off.front
        )
        return Curve(levels, halted=halted, step=trade_off.steps[0])
    if evaluation.late(evaluation.definition(figure)):
        return Curve((), on_request=True)
    if not levels_are_known(visit.talk, figure):
        return Curve((), coming=True)
    return Curve(
        _levels(
            (level.value, level.price, level.exact, level.known)
            for level in find_levels(visit.talk, figure)
        )
    )


def levels_are_known(talk: Session, figure: str) -> bool:
    """Whether the levels of a figure are told without working them out."""
    return rest_of(talk, figure).known(f"curve {figure}") is not None


def find_levels(talk: Session, figure: str) -> list[Level]:
    """Give the cheapest price at every level of a figure that the rest of the job leaves."""
    return rest_of(talk, figure).curve(figure)


def find_levels_beside(talk: Session, figures: Sequence[str]) -> None:
    """Work out levels of figures that have no goals: of one more of them, or of all."""
    rest_of(talk, figures[0]).curves_beside(figures)


def _levels(every: Iterable[tuple[Value, int, bool, bool]]) -> tuple[CurveLevel, ...]:
    """Keep the levels that are numbers."""
    levels = [
        CurveLevel(float(value), price, exact, known)  # type: ignore[arg-type]
        for value, price, exact, known in every
        if _is_number(value)
    ]
    return tuple(sorted(levels, key=lambda level: level.value))


def work_out(visit: Visit, figure: str) -> None:
    """Begin to work out exact prices."""
    visit.tasks.pop(_task(figure), None)
    visit.work(
        _task(figure),
        f"Working out what each level of {shown_name(figure)} costs",
        lambda talk, progress: find(talk, figure, progress),
    )


def find(talk: Session, figure: str, progress: Progress) -> TradeOff:
    """Work out exact prices; stopped, with lower bounds for those that were not reached."""
    progress.template = "{done} of up to {of} levels"
    prepared = rest_of(talk, figure).prepared()
    return trade_offs.trade_off(prepared, (figure, better_of(talk, figure)), partial=True)


def rest_of(talk: Session, figure: str) -> Session:
    """Talk about the same job without its budget and what it asks of a figure.

    That is what prices of levels hang on: they stay known while this goal is moved.
    """
    rest = copy.copy(talk)
    rest.history = begun(replace(queries.without_goal(talk.job, figure), budget=None))
    return rest


def moved_to(goal: Goal, value: float, better: Direction | None) -> Goal:
    """Move a goal to a value: its one bound, or of two the nearer.

    Examples
    --------
    >>> from configurator.model.jobs import Goal
    >>> moved_to(Goal("track", at_most=1.78), 1.7, "low").at_most
    1.7
    >>> moved = moved_to(Goal("track", at_least=1.6, at_most=1.8), 1.65, None)
    >>> moved.at_least, moved.at_most
    (1.65, 1.8)
    >>> moved_to(Goal("track", as_possible="high"), 1.65, "high").at_least
    1.65
    """
    low, high = goal.at_least, goal.at_most
    if low is not None and high is not None:
        better = "high" if abs(value - low) <= abs(value - high) else "low"
    if better == "low":
        # A bound on the other side that it would cross has to go.
        low = low if low is not None and low <= value else None
        return replace(goal, at_least=low, at_most=value, as_possible=None)
    high = high if high is not None and high >= value else None
    return replace(goal, at_least=value, at_most=high, as_possible=None)


def better_of(talk: Session, figure: str) -> Direction | None:
    """Say what is better in a figure; of a sum of which nothing says it, more is."""
    evaluation = talk.evaluation
    if figure in evaluation.trade.totals:
        return trade_offs.better_of_sum(evaluation, figure) or "high"
    return trade_offs.better_of(talk.job, figure)


def _is_number(value: Value | Missing) -> bool:
    return isinstance(value, float | int) and not isinstance(value, bool | Missing)


def _task(figure: str) -> str:
    return f"curve {figure}"


def _known(figure: str) -> str:
    return f"exact prices of {figure}"
