"""What each value of a figure costs: at once as far as that goes, exactly where it is asked for."""

from __future__ import annotations

import copy
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import streamlit as st

from configurator.drawings import OF_PAGE, trade_off_chart
from configurator.model.parts import Missing
from configurator.questions import edits, trade_offs
from configurator.questions.history import begun
from configurator.search.optimum import queries
from configurator.ui import pictures
from configurator.ui.safe_text import plain
from configurator.wording.price_bounds import why_at_least
from configurator.wording.quantities import words
from configurator.wording.sentences import goal_words

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable

    from configurator.evaluation.evaluator import Evaluation
    from configurator.model.jobs import Direction, Goal
    from configurator.model.parts import Value
    from configurator.questions.session import Session
    from configurator.questions.trade_offs import TradeOff
    from configurator.ui.visit import Visit


@dataclass(frozen=True, slots=True)
class Curve:
    """Levels that can be had, in order of their values, and what their prices are.

    Parameters
    ----------
    levels
        Values with prices.
    counted
        Whether limits on sums over the whole vehicle are counted in the prices.
    halted
        Whether working them out was stopped before its end.
    step
        For a sum: levels better by less than that [SI] may be left out.
    """

    levels: tuple[trade_off_chart.ChartLevel, ...]
    counted: bool
    halted: bool = False
    step: float = 0.0

    @property
    def exact(self) -> bool:
        """Whether all prices are."""
        return all(level.exact for level in self.levels)


def curve_of(visit: Visit, evaluation: Evaluation, figure: str) -> Curve:
    """Give what is known of a figure's levels: exact ones once they were worked out."""
    found: TradeOff | None = rest_of(visit.talk, figure).known(_known(figure))
    task = visit.tasks.get(_task(figure))
    halted = False
    if found is None and task is not None and task.state == "done":
        found, halted = task.result, task.halted
        if not halted:
            rest_of(visit.talk, figure).asked(_known(figure), lambda *_: found)
    if found is not None:
        levels = _levels((p.values[0], p.price, p.exact) for p in found.levels or found.front)
        return Curve(levels, counted=True, halted=halted, step=found.steps[0])
    if evaluation.late(evaluation.definition(figure)):
        return Curve((), counted=True)
    counted = visit.talk.curves_are_exact
    return Curve(
        _levels((one.value, one.price, counted) for one in visit.talk.curve(figure)), counted
    )


def _levels(every: Iterable[tuple[Value, int, bool]]) -> tuple[trade_off_chart.ChartLevel, ...]:
    """Keep the levels that are numbers."""
    found = [
        trade_off_chart.ChartLevel(float(value), price, exact)  # type: ignore[arg-type]
        for value, price, exact in every
        if _is_number(value)
    ]
    return tuple(sorted(found, key=lambda level: level.value))


def show(visit: Visit, evaluation: Evaluation, goal: Goal, curve: Curve) -> None:
    """Draw what each value costs, where somebody asks for it."""
    figure = goal.figure
    if figure in evaluation.trade.totals and not curve.levels:
        _offer(visit, figure, "Work out what each level costs")
        return
    if len(curve.levels) < 2 or not st.checkbox(
        "Draw what each value costs", key=f"curve {figure}"
    ):
        return
    found = visit.talk.cheapest()
    present = None
    if found.choice is not None and found.price is not None:
        has = evaluation.figure(figure, found.choice)
        if _is_number(has):
            present = trade_off_chart.ChartLevel(float(has), found.price)  # type: ignore[arg-type]
    better = better_of(visit.talk, figure)
    drawn = trade_off_chart.draw_trade_off(
        curve.levels,
        figure=figure,
        unit=evaluation.definition(figure).unit,
        currency=visit.job.currency,
        better=better,
        present=present,
        budget=visit.job.budget,
        ink=OF_PAGE,
        system=visit.system,
        listens=True,
    )

    def chosen(told: str) -> None:
        value = next((one.value for one in curve.levels if repr(one.value) == told), None)
        if value is not None:  # a page may be older than the curve
            moved = moved_to(goal, value, better)
            said = f"ask for {goal_words(evaluation, moved, visit.system)}"
            visit.change(edits.with_goal(visit.job, moved), said)

    pictures.show(drawn.svg, key=f"curve of {figure}", width_mm=drawn.width, chosen=chosen)
    st.caption(plain(f"{_said(curve, evaluation, figure, visit)} A click on a dot asks for it."))
    if not curve.counted or curve.halted:
        _offer(visit, figure, "Work it out exactly")


def _said(curve: Curve, evaluation: Evaluation, figure: str, visit: Visit) -> str:
    if curve.halted:
        return "Stopped: prices of hollow dots, and what lies beyond, were not worked out."
    if not curve.counted:
        return f"These prices are lower bounds: {why_at_least(visit.talk.prepared())}."
    said = (
        "These prices are exact."
        if curve.exact
        else "These prices are exact, but for hollow dots, which stayed open: at least that."
    )
    if curve.step:
        unit = evaluation.definition(figure).unit
        step = words(curve.step, unit, visit.system)
        said += f" Levels less than {step} better than one shown may be left out."
    return said


def _offer(visit: Visit, figure: str, label: str) -> None:
    task = visit.tasks.get(_task(figure))
    if task is not None and task.state == "running":
        st.caption("It is being worked out: how far that is stands at the top of the page.")
        return
    if task is not None and task.state != "done":
        st.write("Stopped." if task.error is None else plain(str(task.error)))
    wait = "some seconds up to a minute"
    if visit.talk.prepared().loose is not None:
        wait = "some seconds up to minutes for each of them, as these lists are long"
    st.button(
        label,
        key=f"exact curve {figure}",
        on_click=work_out,
        args=(visit, figure),
        help="Finds the cheapest package for every level, with all limits counted. Takes "
        f"{wait}; you can go on meanwhile, and stop it.",
    )


def work_out(visit: Visit, figure: str) -> None:
    """Begin to work out exact prices."""
    visit.tasks.pop(_task(figure), None)
    visit.work(
        _task(figure),
        f"Working out what each level of {figure} costs",
        lambda talk, say: find(talk, figure, say),
    )


def find(talk: Session, figure: str, say: Callable[[str], None]) -> TradeOff:
    """Work out exact prices; stopped, with lower bounds for those that were not reached."""
    return trade_offs.trade_off(
        rest_of(talk, figure).prepared(),
        (figure, better_of(talk, figure)),
        partial=True,
        report=lambda done, of: say(f"{done} of up to {of} levels"),
    )


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
    evaluation = talk.prepared().evaluation
    if figure in evaluation.trade.totals:
        return trade_offs.better_of_sum(evaluation, figure) or "high"
    return trade_offs.better_of(talk.job, figure)


def _is_number(value: Value | Missing) -> bool:
    return isinstance(value, float | int) and not isinstance(value, bool | Missing)


def _task(figure: str) -> str:
    return f"curve {figure}"


def _known(figure: str) -> str:
    return f"exact prices of {figure}"
