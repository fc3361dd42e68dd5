"""Price against figures: each level that can be reached, and what is not beaten by anything.

The levels of one figure, each with the cheapest price, are one backward pass of the circuit. For
two figures that pass is run once per level of the one that has fewer. Where sums over everything
count, those prices are lower bounds; the points on the front are then made exact one by one until
no point of the front is a bound any more, which proves the rest to be beaten too.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from configurator.core.progress import Cancelled, report
from configurator.model.jobs import Goal
from configurator.search.optimum import queries
from configurator.search.optimum.levels import levels_of
from configurator.search.optimum.restricted_optimum import PATIENCE, Deciding

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from configurator.model.jobs import Direction, Job
    from configurator.model.parts import Value
    from configurator.search.optimum.preparing import Question


@dataclass(frozen=True, slots=True)
class Point:
    """A level of one figure or of several, and the price of the cheapest package that has it.

    Parameters
    ----------
    values
        One value per figure, in SI.
    price
        In minor units.
    exact
        Whether that is the cheapest price; otherwise the search ran out of patience, and the price
        is a lower bound.
    """

    values: tuple[Value, ...]
    price: int
    exact: bool = True


def levels(
    question: Question,
    figures: Sequence[str],
    *,
    partial: bool = False,
    close: bool = True,
) -> list[Point]:
    """Give the cheapest price at every reachable level of one or two figures.

    The job's own bounds on these figures are left aside, and so is its budget.

    Parameters
    ----------
    prepared
        The case, with the figures kept as goals.
    job
        Whose other wishes count.
    figures
        One or two names.
    partial
        Whether a stop leaves the prices that were not reached as lower bounds.
    close
        Whether prices that are lower bounds are made exact.

    Returns
    -------
    list of Point
        In order of the values.
    """
    free = _without(question.job, figures)
    deciding = Deciding(question.about(free), PATIENCE)
    if len(figures) == 1:
        every = levels_of(question.about(free), figures[0])
        points = [Point((level.value,), level.price, level.exact) for level in every]
    else:
        points = _bounds(question.about(free), figures)
        if deciding.decided_late:
            points = [replace(point, exact=False) for point in points]
    known = {point.values: point for point in points}
    if deciding.decided_late:
        try:
            for number, point in enumerate(sorted(points, key=_in_order) if close else ()):
                report(number, len(points))
                if point.values not in known or point.exact:
                    continue
                exact = _exact(deciding, free, figures, point)
                if exact is not None:
                    known[point.values] = exact
                    continue
                del known[point.values]
                if len(figures) == 1:
                    _strike_beyond(deciding, free, figures[0], point, known)
        except Cancelled:
            if not partial:
                raise
    return sorted(known.values(), key=_in_order)


def _in_order(point: Point) -> tuple[tuple[bool, float, str], ...]:
    return tuple(_order(value) for value in point.values)


def _strike_beyond(
    deciding: Deciding,
    job: Job,
    figure: str,
    point: Point,
    known: dict[tuple[Value, ...], Point],
) -> None:
    """Where a level cannot be had, ask once whether any higher one can."""
    higher = [values for values in known if _known(values) and values > point.values]
    if len(higher) < 2:
        return
    goal = Goal(figure, at_least=float(point.values[0]))  # type: ignore[arg-type]
    cheapest = deciding.cheapest(replace(job, goals=(*job.goals, goal)))
    if cheapest.price is None and cheapest.proven:
        for values in higher:
            del known[values]


def front(
    question: Question,
    figures: Sequence[tuple[str, Direction | None]],
    patience: int = PATIENCE,
    *,
    partial: bool = False,
    close: bool = True,
) -> list[Point]:
    """Give the levels that nothing beats: any other is dearer or worse, or both.

    Parameters
    ----------
    question, patience, partial, close
        As for `levels`.
    figures
        One or two names, each with what is better: ``"high"``, ``"low"``, or None where each level
        is compared with itself only. Packages whose figures are not known are left out.

    Returns
    -------
    list of Point
        In order of price.
    """
    names = [name for name, _ in figures]
    better = [direction for _, direction in figures]
    free = _without(question.job, names)
    deciding = Deciding(question.about(free), patience)
    points = {p.values: p for p in _bounds(question.about(free), names) if _known(p.values)}
    closed: set[tuple[Value, ...]] = set(() if deciding.decided_late else points)
    alone: dict[tuple[str, Value], Point | None] = {}
    try:
        while close and _closes(deciding, free, figures, points, closed, alone):
            pass
    except Cancelled:
        if not partial:
            raise
    return [
        point if point.values in closed else replace(point, exact=False)
        for point in not_beaten(points.values(), better)
    ]


def _closes(
    deciding: Deciding,
    job: Job,
    figures: Sequence[tuple[str, Direction | None]],
    points: dict[tuple[Value, ...], Point],
    closed: set[tuple[Value, ...]],
    alone: dict[tuple[str, Value], Point | None],
) -> bool:
    """Make the points on the front exact that are not; False where all of them were."""
    names = [name for name, _ in figures]
    open_points = not_beaten(points.values(), [direction for _, direction in figures])
    waiting = [point for point in open_points if point.values not in closed]
    for point in waiting:
        if len(names) > 1 and _raised(deciding, job, names, point, points, alone):
            continue  # something may beat it now
        exact = _exact(deciding, job, names, point)
        closed.add(point.values)
        if exact is None:
            del points[point.values]
        else:
            points[point.values] = exact
    return bool(waiting)


def _raised(
    deciding: Deciding,
    job: Job,
    figures: Sequence[str],
    point: Point,
    points: dict[tuple[Value, ...], Point],
    alone: dict[tuple[str, Value], Point | None],
) -> bool:
    """Raise prices to what one figure's value costs by itself, or strike off what cannot be.

    That is one question for a whole row of points. Returns whether the point itself was changed.
    """
    for number, (figure, value) in enumerate(zip(figures, point.values, strict=True)):
        if (figure, value) in alone:
            continue
        row = [p for p in points.values() if p.values[number] == value]
        least = min(p.price for p in row) if row else 0
        single = _exact(deciding, job, [figure], Point((value,), least))
        alone[figure, value] = single
        for other in row:
            if single is None:
                del points[other.values]
            elif single.price > other.price:
                points[other.values] = replace(other, price=single.price)
        if points.get(point.values) != point:
            return True
    return points.get(point.values) != point


def not_beaten(points: Iterable[Point], better: Sequence[Direction | None]) -> list[Point]:
    """Keep the points that no other one equals or beats in price and in every figure.

    Points with a value that is not known are left out.

    Examples
    --------
    >>> points = [Point((1.0,), 50), Point((2.0,), 40), Point((3.0,), 90)]
    >>> [point.values for point in not_beaten(points, ["high"])]
    [(2.0,), (3.0,)]
    """
    every = [point for point in points if _known(point.values)]
    if not every:
        return []
    # Smaller is better in every column; one without a direction beats nothing but itself.
    columns = []
    for number, direction in enumerate(better):
        column = np.array([float(point.values[number]) for point in every])  # type: ignore[arg-type]
        columns.append(-column if direction == "high" else column)
        if direction is None:
            columns.append(-column)
    prices = np.array([point.price for point in every], np.float64)
    matrix = np.stack([prices, *columns], axis=1)
    kept: list[int] = []
    # In this order no point is beaten by a later one.
    for row in np.lexsort(matrix.T[::-1]).tolist():
        if not kept or not (matrix[kept] <= matrix[row]).all(axis=1).any():
            kept.append(row)
    return [every[row] for row in kept]


def _without(job: Job, figures: Sequence[str]) -> Job:
    for figure in figures:
        job = queries.without_goal(job, figure)
    return job


def _known(values: tuple[Value, ...]) -> bool:
    return all(_is_number(value) for value in values)


def _is_number(value: Value) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool)


def _order(value: Value) -> tuple[bool, float, str]:
    if _is_number(value):
        return (False, float(value), "")  # type: ignore[arg-type]
    return (True, 0.0, str(value))


def _exact(deciding: Deciding, job: Job, figures: Sequence[str], point: Point) -> Point | None:
    """Count what is decided on whole packages; None if no package is left at this level."""
    if not _known(point.values):
        return replace(point, exact=False)
    goals = [
        Goal(figure, at_least=float(value), at_most=float(value))  # type: ignore[arg-type]
        for figure, value in zip(figures, point.values, strict=True)
    ]
    cheapest = deciding.cheapest(replace(job, goals=(*job.goals, *goals)))
    if cheapest.price is None and cheapest.proven:
        return None
    # The best found is no lower bound: what the circuit says, is.
    if cheapest.price is None or not cheapest.proven:
        return replace(point, exact=False)
    return Point(point.values, cheapest.price, True)


def _bounds(question: Question, figures: Sequence[str]) -> list[Point]:
    """Read the levels off the circuit: exact but for what is decided on whole packages."""
    prepared = question.prepared
    model, semiring = question.model, prepared.semiring
    moving = [figure for figure in dict.fromkeys(figures) if figure in model.goal_tables]
    weighed = queries.weigh(question)
    if not weighed.possible:
        return []
    shift = queries.shift_for(question, weighed)
    lists = {figure: queries.goal_values(prepared, figure) for figure in moving}
    bounds: list[tuple[dict[str, Value], int]] = []

    def read(given: dict[str, Value], last: str) -> None:
        number = model.goal_tables[last]
        price, above = queries.priced(prepared, weighed, {number}, shift)
        if price >= semiring.impossible:
            return
        bounds.extend(
            ({**given, last: value}, int(price))
            for value, price in zip(lists[last], above[number].tolist(), strict=True)
            if price < semiring.impossible
        )

    if not moving:
        price = queries.cheapest_price(question)
        bounds = [] if price is None else [({}, price - model.fixed_cost)]
    elif len(moving) == 1:
        read({}, moving[0])
    else:
        fewer, more = sorted(moving, key=lambda figure: len(lists[figure]))
        number = model.goal_tables[fewer]
        for row, value in enumerate(lists[fewer]):
            mask = np.full(len(lists[fewer]), semiring.impossible, semiring.dtype)
            mask[row] = 0
            weighed.weights[number] = mask
            read({fewer: value}, more)
    cheapest: dict[tuple[Value, ...], int] = {}
    for known, price in bounds:
        values = tuple(known[f] if f in known else model.fixed_figures[f] for f in figures)
        cheapest[values] = min(price, cheapest.get(values, price))
    return [Point(values, price + model.fixed_cost) for values, price in cheapest.items()]
