"""Price against sums and figures: the labels of the root are the front, every step of it exact.

A sum beside the price is one more number of each label; a figure is one too, for its value stands
on one row of each package. What a package breaks that labels do not tell is made up for by boxes:
of each part of the plane where such a package would be next, the cheapest is asked for by itself.

References
----------
.. [1] K. Klamroth, R. Lacour and D. Vanderpooten, *On the representation of the search region in
   multi-objective optimization*, European Journal of Operational Research 245 (2015), 767-778: the
   boxes.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from configurator.core.progress import report
from configurator.model.jobs import Goal
from configurator.model.verdicts import TOLERANCE
from configurator.search.circuit.labels import (
    TooManyLabels,
)
from configurator.search.optimum import option_prices, queries
from configurator.search.optimum.preparing import Question
from configurator.search.optimum.root_labels import RootFront, number_of, root_front, sign_of

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    from configurator.model.jobs import Direction
    from configurator.search.optimum.preparing import Prepared

    Amounts = NDArray[np.int64]
    Rows = NDArray[np.intp]
    Objective = tuple[str, Direction]

# Boxes that are asked about by themselves before the rest of a front is called a bound.
MOST_BOXES = 400
# Packages that are looked at for each of them.
PATIENCE = 2000


@dataclass(frozen=True, slots=True)
class FrontPackage:
    """A package that no other equals or beats in price and in every objective.

    Parameters
    ----------
    values
        Of the objectives, in SI.
    price
        In minor units.
    exact
        Whether no package as good is cheaper; otherwise the price is a lower bound of those.
    """

    values: tuple[float, ...]
    price: int
    exact: bool = True


def front(
    question: Question,
    objectives: Sequence[Objective],
    steps: Sequence[float] | None = None,
) -> list[FrontPackage]:
    """Give all packages that nothing beats in price and some sums and figures.

    The job's own bounds on them count, its budget does not. Packages of which one is not known are
    left out.

    Parameters
    ----------
    question
        The case, and whose goals count.
    objectives
        Names of sums or goal figures, each with what is better in it.
    steps
        By how much [SI] a level is better than the one before, where packages are looked for one by
        one; nothing smaller is then told apart. 0 for all, which is the default.

    Returns
    -------
    list of FrontPackage
        In order of price.
    """
    prepared = question.prepared
    totals = question.evaluation.trade.totals
    if not prepared.circuit.nodes or not all(
        name in totals or _known_values(prepared, name) for name, _ in objectives
    ):
        return []
    boxes = _Boxes(question, objectives, steps or (0.0,) * len(objectives))
    if prepared.loose is None and prepared.circuit.rows <= prepared.limits.label_rows:
        try:
            boxes.labels = root_front(question, objectives)
        except TooManyLabels:
            boxes.labels = None
    return boxes.front()


class _Boxes:
    """Parts of the plane of objectives in which the next package of a front may lie."""

    def __init__(
        self, question: Question, objectives: Sequence[Objective], steps: Sequence[float]
    ) -> None:
        self.question, self.objectives = question, objectives
        self.signs = [sign_of(better) for _, better in objectives]
        self.steps = steps
        self.labels: RootFront | None = None

    def front(self) -> list[FrontPackage]:
        """Split boxes by the cheapest package in each, until all are empty."""
        if self.labels is not None and self.labels.kept.all():
            every = zip(self.labels.prices.tolist(), self.labels.values.T.tolist(), strict=True)
            return self._undominated([(price, tuple(values), True) for price, values in every])
        waiting: list[tuple[float, ...]] = [(math.inf,) * len(self.signs)]
        seen: set[tuple[float, ...]] = set()
        empty: list[tuple[float, ...]] = []
        points: list[tuple[int, tuple[float, ...], bool]] = []
        asked = 0
        while waiting:
            report(len(points), len(points) + len(waiting))
            box = waiting.pop()
            if box in seen or any(_within(box, other) for other in empty):
                continue
            seen.add(box)
            point = self._of_labels(box)
            if point is None:
                if asked == MOST_BOXES:
                    break
                asked += 1
                point = self._asked(box)
            price, values, exact = point
            if price < 0:
                empty.append(box)
                continue
            points.append(point)
            if not values or (not exact and values == box):
                continue  # whether anything lies here is open
            waiting.extend(
                (*box[:at], self._before(at, value), *box[at + 1 :])
                for at, value in enumerate(values)
            )
        return self._undominated(points)

    def _before(self, at: int, value: float) -> float:
        """Give the level that what is better than a value must have, less being better."""
        return value - max(self.steps[at], 3 * TOLERANCE * max(1.0, abs(value)))

    def _of_labels(self, box: tuple[float, ...]) -> tuple[int, tuple[float, ...], bool] | None:
        """Read the cheapest package of a box off the labels; None if they do not tell."""
        if self.labels is None:
            return None
        inside = np.ones(len(self.labels.prices), np.bool_)
        for own, most in zip(self.labels.values, box, strict=True):
            inside &= own <= most + TOLERANCE * max(1.0, abs(most)) if math.isfinite(most) else True
        numbers = np.flatnonzero(inside | ~np.isfinite(self.labels.values).all(axis=0))
        if not len(numbers):
            return -1, (), True
        first = int(
            numbers[np.lexsort((~self.labels.kept[numbers], self.labels.prices[numbers]))[0]]
        )
        if not self.labels.kept[first]:
            return None
        return int(self.labels.prices[first]), tuple(self.labels.values[:, first].tolist()), True

    def _asked(self, box: tuple[float, ...]) -> tuple[int, tuple[float, ...], bool]:
        goals = []
        for (name, better), most in zip(self.objectives, box, strict=True):
            if not math.isfinite(most):
                goals.append(_known_goal(self.question.prepared, name))
            elif better == "high":
                goals.append(Goal(name, at_least=-most))
            else:
                goals.append(Goal(name, at_most=most))
        job = replace(
            self.question.job,
            goals=(*self.question.job.goals, *(g for g in goals if g is not None)),
        )
        package = option_prices.cheapest(self.question.about(job), PATIENCE)
        if package.choice is None or package.price is None:
            if package.proven:
                return -1, (), True
            finite = all(map(math.isfinite, box))
            return package.least, box if finite else (), False
        figures = [
            number_of(self.question.evaluation.figure(name, package.choice))
            for name, _ in self.objectives
        ]
        values = tuple(sign * value for sign, value in zip(self.signs, figures, strict=True))
        price = package.price if package.proven else max(package.least, 0)
        return price, values, package.proven

    def _undominated(
        self, points: Sequence[tuple[int, tuple[float, ...], bool]]
    ) -> list[FrontPackage]:
        kept: list[tuple[int, tuple[float, ...], bool]] = []
        for point in sorted(set(points)):
            price, values, _ = point
            beaten = any(
                sure and cost <= price and _within(other, values) for cost, other, sure in kept
            )
            if values and not beaten:
                kept.append(point)
        return [
            FrontPackage(
                tuple(sign * value + 0.0 for sign, value in zip(self.signs, values, strict=True)),
                price,
                exact,
            )
            for price, values, exact in kept
        ]


def _within(box: Sequence[float], other: Sequence[float]) -> bool:
    return all(a <= b for a, b in zip(box, other, strict=True))


def _known_goal(prepared: Prepared, name: str) -> Goal | None:
    """Ask for any value of a figure: packages of which it is not known are left out."""
    if name in prepared.evaluation.trade.totals:
        return Goal(name, at_least=-1e9)
    values = _known_values(prepared, name)
    return Goal(name, at_least=min(values)) if name in prepared.model.goal_tables else None


def _known_values(prepared: Prepared, name: str) -> list[float]:
    """List the values of a figure that are numbers."""
    fixed = prepared.model.fixed_figures
    every = [fixed[name]] if name in fixed else queries.goal_values(prepared, name)
    return [number for number in map(number_of, every) if not math.isnan(number)]
