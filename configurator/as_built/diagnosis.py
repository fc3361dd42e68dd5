"""What was promised against what was measured, and which assumption explains the difference.

A package is worked out from assumptions: how far the tyres roll, how high the wheel centres stand,
what the parts weigh. When the finished vehicle is measured, each assumption is tried by itself: it
is changed until the figures come as close to the measurements as they can, by least squares, each
figure weighted by its tolerance. How the figures answer to an assumption is found by working the
package out again with it changed; no formula is written down a second time.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Literal

import numpy as np

from configurator.as_built.assumptions import ASSUMPTIONS, MEASURABLE
from configurator.evaluation.evaluator import Evaluation
from configurator.model.references import ConditionValue

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from configurator.as_built.assumptions import Assumption, Measurable
    from configurator.evaluation.evaluator import Option
    from configurator.model.knowledge import Trade
    from configurator.model.parts import Value


@dataclass(frozen=True, slots=True)
class Compared:
    """A figure promised and measured, in SI.

    ``promised`` is rounded to the safe side, as customers are told it; ``expected`` is the same
    before rounding, which is what a measurement should come near to.
    """

    figure: str
    unit: str
    promised: float
    expected: float
    measured: float
    tolerance: float

    @property
    def difference(self) -> float:
        """Measured less expected."""
        return self.measured - self.expected

    @property
    def agrees(self) -> bool:
        """Whether they agree within the tolerance."""
        return abs(self.difference) <= self.tolerance * (1 + 1e-9)


@dataclass(frozen=True, slots=True)
class Explained:
    """How well one assumption explains the differences.

    Parameters
    ----------
    assumption
        The assumption.
    correction
        That fits best, in SI or as a share.
    spread
        One standard error of it, if every tolerance were one standard error.
    left
        Root of the mean of squares of what is left, in tolerances; `before` without correction.
    before
        The same before.
    every
        Whether every figure then agrees within its tolerance.
    after
        Figure → promised with the correction, in SI.
    answers
        Figure → how far it moves for one of the correction: its sensitivity, in SI.
    """

    assumption: Assumption
    correction: float
    spread: float
    left: float
    before: float
    every: bool
    after: Mapping[str, float]
    answers: Mapping[str, float]

    @property
    def corrections(self) -> tuple[tuple[Assumption, float], ...]:
        """What to suppose: this assumption with its correction."""
        return ((self.assumption, self.correction),)

    @property
    def usual(self) -> bool:
        """Whether the correction is of a usual size."""
        return abs(self.correction) <= self.assumption.usual

    @property
    def share(self) -> float:
        """Share of the squared differences that it explains, 0 to 1."""
        return 1 - (self.left / self.before) ** 2 if self.before else 0.0


@dataclass(frozen=True, slots=True)
class Findings:
    """What came of measuring.

    Parameters
    ----------
    compared
        In the order they were given.
    explained
        Assumptions that move one of the figures, the one that leaves least first.
    verdict
        ``"agrees"``: nothing to explain; ``"one"``: a single assumption explains all;
        ``"several"``: more than one does, and these measurements do not tell them apart;
        ``"none"``: no single one does.
    """

    compared: tuple[Compared, ...]
    explained: tuple[Explained, ...]
    verdict: Literal["agrees", "one", "several", "none"]

    @property
    def best(self) -> tuple[Explained, ...]:
        """Those that explain every figure within its tolerance and are of a usual size."""
        sound = [
            explanation for explanation in self.explained if explanation.every and explanation.usual
        ]
        return tuple(
            candidate for candidate in sound if candidate.left <= sound[0].left + TOLD_APART
        )


# Remaining differences closer than this, in tolerances, do not tell two assumptions apart.
TOLD_APART = 0.25


class Supposed(Evaluation):
    """An evaluation in which an assumption is corrected; figures are not rounded.

    Parameters
    ----------
    real
        The evaluation as it is.
    assumption, correction
        What to suppose; None for nothing.
    choice
        Of the package.
    further
        More assumptions with their corrections, to suppose at once.
    """

    def __init__(
        self,
        real: Evaluation,
        choice: Mapping[str, Option],
        assumption: Assumption | None = None,
        correction: float = 0.0,
        further: Sequence[tuple[Assumption, float]] = (),
    ) -> None:
        # Local rules are in the trade already; they are no figures, but would be added again.
        super().__init__(replace(real.case, local_rules=None), unrounded(real.trade))
        first = () if assumption is None else ((assumption, correction),)
        self._supposed = (*first, *further)
        # An assumption about what stays was off before as well.
        self._both = {
            item.name
            for item, _ in self._supposed
            if not any(it in choice and choice[it].changed for it in item.positions)
        }

    def figure(
        self, name: str, choice: Mapping[str, Option], seen: dict[str, Value] | None = None
    ) -> Value:
        """Work out a figure as supposed."""
        if seen is not None and name in seen:
            return seen[name]
        value = plain = super().figure(name, choice, seen)
        for item, correction in self._supposed:
            if name not in item.figures or not isinstance(value, int | float):
                continue
            if item.way == "scale what was fitted":
                before = super().figure(name, self.fitted)
                if isinstance(before, int | float) and isinstance(plain, int | float):
                    value += (plain - before) * correction
            elif choice is self.fitted and item.name not in self._both:
                continue
            elif item.way == "scale":
                value *= 1 + correction
            else:
                value += correction
        if seen is not None:
            seen[name] = value
        return value


def unrounded(trade: Trade) -> Trade:
    """Take the rounding from every figure, so that small changes show."""
    figures = {name: replace(figure, resolution=0.0) for name, figure in trade.figures.items()}
    return replace(trade, figures=figures)


def measurable(evaluation: Evaluation, choice: Mapping[str, Option]) -> list[Measurable]:
    """List what can be measured on a package: figures that are known and apply."""
    known = {**evaluation.trade.figures, **evaluation.trade.totals}
    return [
        quantity
        for quantity in MEASURABLE
        if quantity.figure in known
        and isinstance(evaluation.figure(quantity.figure, choice), int | float)
    ]


def tolerance_of(quantity: Measurable, expected: float) -> float:
    """Return the tolerance of a figure in SI."""
    return abs(expected) * quantity.tolerance if quantity.relative else quantity.tolerance


def compare(
    evaluation: Evaluation, choice: Mapping[str, Option], values: Mapping[str, float]
) -> list[Compared]:
    """Set measured values against what was promised.

    Parameters
    ----------
    evaluation, choice
        Of the package.
    values
        Figure → measured value in SI; figures of `measurable` only.

    Raises
    ------
    KeyError
        If a figure is none of them.
    """
    known = {quantity.figure: quantity for quantity in measurable(evaluation, choice)}
    exact = Supposed(evaluation, choice)
    comparisons = []
    for name, value in values.items():
        promised, expected = evaluation.figure(name, choice), exact.figure(name, choice)
        if not isinstance(promised, int | float) or not isinstance(expected, int | float):
            raise KeyError(name)
        unit, tolerance = evaluation.definition(name).unit, tolerance_of(known[name], expected)
        comparisons.append(Compared(name, unit, promised, expected, value, tolerance))
    return comparisons


def explain(
    evaluation: Evaluation,
    choice: Mapping[str, Option],
    compared: Sequence[Compared],
    assumptions: Sequence[Assumption] = ASSUMPTIONS,
) -> Findings:
    """Find which single assumption explains the differences best."""
    tried = [
        explanation
        for assumption in assumptions
        if (explanation := _explained(evaluation, choice, compared, assumption)) is not None
    ]
    tried.sort(key=lambda item: (round(item.left, 9), abs(item.correction) / item.assumption.usual))
    findings = Findings(tuple(compared), tuple(tried), "none")
    if all(comparison.agrees for comparison in compared):
        return replace(findings, verdict="agrees")
    best = findings.best
    return replace(findings, verdict="several" if len(best) > 1 else "one" if best else "none")


def _explained(
    evaluation: Evaluation,
    choice: Mapping[str, Option],
    compared: Sequence[Compared],
    assumption: Assumption,
) -> Explained | None:
    if not set(assumption.figures) <= {*evaluation.trade.figures, *evaluation.trade.totals}:
        return None
    names = [comparison.figure for comparison in compared]
    measured = np.array([comparison.measured for comparison in compared])
    weight = 1 / np.array([comparison.tolerance for comparison in compared])

    def figures(correction: float) -> np.ndarray:
        return _figures(evaluation, choice, assumption, correction, names)

    correction, start = 0.0, figures(0.0)
    now = start
    slope = (figures(assumption.step) - now) / assumption.step
    if not np.isfinite(slope).all() or np.abs(slope * weight * assumption.usual).max() < 0.05:
        return None
    for _ in range(4):
        step = float(np.sum(weight**2 * slope * (measured - now)) / np.sum(weight**2 * slope**2))
        correction += step
        now = figures(correction)
        if not np.isfinite(now).all():
            return None
        if abs(step) < assumption.step * 1e-4:
            break
        slope = (figures(correction + assumption.step) - now) / assumption.step
        if not np.isfinite(slope).all() or not np.any(slope):
            return None
    before, left = (weight * (measured - item) for item in (start, now))
    return Explained(
        assumption,
        correction,
        float(1 / np.sqrt(np.sum(weight**2 * slope**2))),
        float(np.sqrt(np.mean(left**2))),
        float(np.sqrt(np.mean(before**2))),
        bool(np.all(np.abs(left) <= 1 + 1e-9)),
        dict(zip(names, (float(value) for value in now), strict=True)),
        dict(zip(names, (float(change) for change in slope), strict=True)),
    )


def sensitivity(
    evaluation: Evaluation,
    choice: Mapping[str, Option],
    assumption: Assumption,
    names: Sequence[str],
) -> dict[str, float]:
    """Return how far figures move for one of an assumption's correction, in SI.

    The package is worked out with the assumption as it is and with it off by its step.
    """
    start, moved = (
        _figures(evaluation, choice, assumption, correction, names)
        for correction in (0.0, assumption.step)
    )
    slope = (moved - start) / assumption.step
    return dict(zip(names, (float(change) for change in slope), strict=True))


def _figures(
    evaluation: Evaluation,
    choice: Mapping[str, Option],
    assumption: Assumption,
    correction: float,
    names: Sequence[str],
) -> np.ndarray:
    supposed = Supposed(evaluation, choice, assumption, correction)
    figures = [supposed.figure(name, choice) for name in names]
    return np.array([float(v) if isinstance(v, int | float) else math.nan for v in figures])


def at_cruise(evaluation: Evaluation, engine_speed: float, road_speed: float) -> float:
    """Turn an engine speed at any road speed into that at the job's cruising speed.

    Without slip the two are in proportion (geometry).

    Parameters
    ----------
    evaluation
        Of the job.
    engine_speed
        Measured [rad/s].
    road_speed
        True speed at which it was measured [m/s].

    Returns
    -------
    float
        Engine speed at cruise [rad/s].

    Raises
    ------
    KeyError
        If nobody knows a cruising speed.
    """
    cruise = evaluation.constant(ConditionValue("cruising speed"))
    if not isinstance(cruise, int | float):
        name = "cruising speed"
        raise KeyError(name)
    return engine_speed * cruise / road_speed
