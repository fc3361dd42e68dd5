"""Price against a sum over everything beside a figure, or another sum: a staircase for each level.

The loosest level of the figure comes first. What was found there is the cheapest at a stricter
level too, as long as it has it; so only steps whose package does not are searched for anew, and
levels that change nothing are passed over. Of another sum, levels are climbed in steps as well.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

from configurator.model.jobs import Goal
from configurator.search.optimum import queries
from configurator.search.pareto import epsilon_constraint
from configurator.search.pareto.fronts import Point, not_beaten

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable

    from configurator.model.jobs import Direction, Job
    from configurator.search.optimum.preparing import Prepared
    from configurator.search.pareto.epsilon_constraint import Climb, Reached


@dataclass(frozen=True, slots=True)
class _Known:
    """What was asked for, and what came of it; figures count so that more is better.

    ``level`` is what was asked of the figure, ``has`` what the package found comes to.
    """

    level: float
    asked: float
    reached: Reached | None
    has: float = 0.0

    def answers(self, level: float, asked: float, sign: float) -> bool:
        """Whether a stricter question has the same answer."""
        if self.level > level or self.asked > asked:
            return False
        if self.reached is None:
            return True
        value = self.reached.value
        if not self.reached.proven or value is None:
            return False
        return self.has >= level and sign * value >= asked


def front(
    prepared: Prepared,
    job: Job,
    figure: tuple[str, Direction],
    total: tuple[str, Direction],
    steps: tuple[float, float],
    patience: int = epsilon_constraint.PATIENCE,
    *,
    partial: bool = False,
    report: Callable[[int, int], None] | None = None,
) -> list[Point]:
    """Give the levels of a figure and a sum that nothing beats, each with the cheapest price.

    The job's own bounds on both and its budget are left aside; its other wishes count, and so do
    the limits of the rules. Packages in which one of the two is not known are left out.

    Parameters
    ----------
    prepared, job, patience
        As for `configurator.search.pareto.epsilon_constraint.staircase`.
    figure, total
        Name, and what is better. The figure may be a sum too.
    steps
        By how much [SI] levels of each are better than those before, at least; 0 for all. That of
        a figure which is no sum does not count.
    partial
        Whether Ctrl-C ends the search, so that what was found is given.
    report
        Called with how many levels of the figure are done, and of how many.

    Returns
    -------
    list of Point
        In order of price, the figure's value first. With a step, one as cheap and as good in the
        figure may be better in the sum by less than that. Where a level is not exact, no package
        as good is cheaper, and nothing is known of what is better still.
    """
    name, better = figure
    sign = 1.0 if better == "high" else -1.0
    free = queries.without_goal(job, name)
    climb = epsilon_constraint.begin(prepared, free, total[0], total[1], steps[1], patience)
    if climb is None:
        return []
    levels: _Listed | _Climbed
    if name in prepared.evaluation.trade.totals:
        beside = queries.without_goal(free, total[0])
        other = epsilon_constraint.begin(prepared, beside, name, better, steps[0], patience)
        if other is None:
            return []
        levels = _Climbed(other)
    else:
        levels = _Listed(sorted({sign * value for value in _values(prepared, name)}))
    search = _SumFrontSearch(climb, name, sign, levels.worst)
    try:
        level = levels.first()
        while level is not None:
            if report is not None:
                report(*levels.progress(level))
            points = search.climbed(level)
            if not points:
                break
            # Every step of this level has those up to here too.
            level = levels.after(level, min(point.has for point in points))
    except KeyboardInterrupt:
        if not partial:
            raise
        search.halt()
    return _not_beaten(search.points.values(), search.open, (better, total[1]))


@dataclass(frozen=True, slots=True)
class _Listed:
    """The levels of a figure, worst first; figures count so that more is better."""

    levels: list[float]

    @property
    def worst(self) -> float:
        return min(self.levels, default=0.0)

    def first(self) -> float | None:
        return next(iter(self.levels), None)

    def after(self, _: float, passed: float) -> float | None:
        return next((level for level in self.levels if level > passed), None)

    def progress(self, level: float) -> tuple[int, int]:
        return self.levels.index(level), len(self.levels)


@dataclass(frozen=True, slots=True)
class _Climbed:
    """The levels of a sum, in steps."""

    climb: Climb

    @property
    def worst(self) -> float:
        return self.climb.worst

    def first(self) -> float | None:
        return self.climb.first

    def after(self, level: float, passed: float) -> float | None:
        if passed <= level:  # no package was found that shows how far to go
            return level + self.climb.stride
        return self.climb.after(self.climb.sign * passed)

    def progress(self, level: float) -> tuple[int, int]:
        return self.climb.progress(self.climb.sign * level)


def _values(prepared: Prepared, figure: str) -> list[float]:
    fixed = prepared.model.fixed_figures
    every = [fixed[figure]] if figure in fixed else queries.goal_values(prepared, figure)
    return [
        float(value)
        for value in every
        if isinstance(value, int | float) and not isinstance(value, bool)
    ]


def _not_beaten(
    points: Iterable[Point], without: Iterable[Point], better: tuple[Direction, Direction]
) -> list[Point]:
    """Keep what says something: of packages found those that no exact one beats.

    A bound strikes off no package. Of levels ``without`` a package, those of which a bound at a
    looser level does not say as much already.
    """
    every = list(points)
    exact = not_beaten((point for point in every if point.exact), better)
    bounds = [
        point for point in every if not point.exact and point in not_beaten([*exact, point], better)
    ]
    signs = [1.0 if better_point == "high" else -1.0 for better_point in better]

    def looser(item: Point, other: Point) -> bool:
        pairs = zip(signs, item.values, other.values, strict=True)
        return all(sign * a <= sign * b for sign, a, b in pairs)  # type: ignore[operator]

    for point in without:
        text = any(looser(bound, point) and bound.price >= point.price for bound in bounds)
        if not text and point in not_beaten([*exact, point], better):
            bounds.append(point)
    return sorted([*exact, *bounds], key=lambda point: point.price)


class _SumFrontSearch:
    """Packages found so far, and what is known of them."""

    def __init__(self, climb: Climb, figure: str, sign: float, worst: float) -> None:
        self.climb, self.figure, self.sign, self.worst = climb, figure, sign, worst
        self.points: dict[tuple[float, float], Point] = {}
        # Levels of which it is open whether there is any package; looser ones come first.
        self.open: list[Point] = []
        self._known: list[_Known] = []
        self._last: tuple[float, float] | None = None

    def climbed(self, level: float) -> list[_Known]:
        """Climb with a level of the figure; what is known already is not searched for."""
        steps: list[_Known] = []
        asked = self.climb.first
        while True:
            point = self._asked(level, asked)
            if point.reached is None:
                return steps
            if point.reached.value is None:
                if steps or self.points:
                    values = (
                        self.sign * max(level, self.worst),
                        self.climb.sign * max(asked, self.climb.worst),
                    )
                    self.open.append(Point(values, point.reached.price, exact=False))
                if steps:
                    steps.append(point)
                return steps
            self._note(point.has, point.reached, point.reached.value)
            steps.append(point)
            asked = self.climb.after(point.reached.value)

    def _asked(self, level: float, asked: float) -> _Known:
        for earlier in self._known:
            if earlier.answers(level, asked, self.climb.sign):
                return earlier
        limit = self.sign * level
        goal = Goal(self.figure, limit, None) if self.sign > 0 else Goal(self.figure, None, limit)
        reached = self.climb.cheapest(asked, [goal])
        has = level
        if reached is not None and not reached.proven:  # nothing is cheaper than what asks for less
            looser = (k.reached for k in self._known if k.level <= level and k.asked <= asked)
            least = max(
                (looser_level.price for looser_level in looser if looser_level is not None),
                default=0,
            )
            reached = replace(reached, price=max(reached.price, least))
        if reached is not None and reached.choice is not None:
            value: Any = self.climb.prepared.evaluation.figure(self.figure, reached.choice)
            has = self.sign * float(value)
        self._known.append(_Known(level, asked, reached, has))
        return self._known[-1]

    def _note(self, has: float, reached: Reached, value: float) -> None:
        self._last = (self.sign * has, value)
        earlier = self.points.get(self._last)
        if earlier is None or (reached.proven, -reached.price) > (earlier.exact, -earlier.price):
            self.points[self._last] = Point(self._last, reached.price, reached.proven)

    def halt(self) -> None:
        """Mark the last package found: what lies beyond it is not known."""
        if self._last is not None:
            self.points[self._last] = replace(self.points[self._last], exact=False)
