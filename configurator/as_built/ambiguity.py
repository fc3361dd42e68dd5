"""What measurements cannot tell: assumptions that answer alike, and differences left over."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from configurator.as_built.diagnosis import measurable, sensitivity, tolerance_of

if TYPE_CHECKING:
    from collections.abc import Mapping

    from configurator.as_built.diagnosis import Compared, Explained, Findings
    from configurator.evaluation.evaluator import Evaluation, Option


@dataclass(frozen=True, slots=True)
class Alike:
    """Two assumptions that move what was measured in the same way.

    ``telling`` is the figure, not yet measured, that would tell them apart best; None if none of
    those that can be measured would.
    """

    first: Explained
    other: Explained
    telling: str | None


def alike(
    findings: Findings, evaluation: Evaluation, choice: Mapping[str, Option]
) -> tuple[Alike, ...]:
    """Find the pairs of assumptions that these measurements cannot tell apart.

    Each is put off by as much as is usual; if the other, corrected by least squares, then leaves
    every measured figure within its tolerance, either may be the one. Assumptions that cannot be
    seen, see `unseen`, are in no pair.

    Parameters
    ----------
    findings
        What came of measuring.
    evaluation, choice
        Of the package.
    """
    hidden = {hidden_one.assumption.name for hidden_one in unseen(findings)}
    seen = [
        explanation
        for explanation in findings.explained
        if explanation.assumption.name not in hidden
    ]
    moved = [_moved(item, findings) for item in seen]
    groups = []
    for first, earlier in enumerate(seen):
        for second in range(first + 1, len(seen)):
            this, that = moved[first], moved[second]
            if _covers(this, that) and _covers(that, this):
                telling = _telling(findings, evaluation, choice, (earlier, seen[second]))
                groups.append(Alike(earlier, seen[second], telling))
    return tuple(groups)


def unseen(findings: Findings) -> tuple[Explained, ...]:
    """List assumptions that, off by as much as is usual, move no figure beyond its tolerance."""
    return tuple(
        explanation
        for explanation in findings.explained
        if np.abs(_moved(explanation, findings)).max(initial=0.0) < 1
    )


def left_over(
    findings: Findings, explained: Explained | None
) -> tuple[tuple[Compared, float], ...]:
    """List the figures that still differ after a correction, with what is left, in SI.

    Parameters
    ----------
    findings
        What came of measuring.
    explained
        The correction; None for none.
    """
    rest = [
        (
            comparison,
            comparison.measured
            - (comparison.expected if explained is None else explained.after[comparison.figure]),
        )
        for comparison in findings.compared
    ]
    return tuple((other, left) for other, left in rest if abs(left) > other.tolerance * (1 + 1e-9))


def unmoved(findings: Findings) -> tuple[Compared, ...]:
    """List the figures that differ and that none of the assumptions moves."""
    return tuple(
        comparison
        for comparison in findings.compared
        if not comparison.agrees
        and all(
            abs(it.answers[comparison.figure] * it.assumption.usual) < 1e-3 * comparison.tolerance
            for it in findings.explained
        )
    )


def _moved(explained: Explained, findings: Findings) -> np.ndarray:
    """How far the figures move, in tolerances, where an assumption is off by what is usual."""
    return np.array(
        [
            explained.answers[it.figure] * explained.assumption.usual / it.tolerance
            for it in findings.compared
        ]
    )


def _covers(moved: np.ndarray, by: np.ndarray) -> bool:
    """Whether one, put right by the other, leaves every figure within its tolerance."""
    share = float(moved @ by / (by @ by))
    return bool(np.abs(moved - share * by).max() <= 1)


def _telling(
    findings: Findings,
    evaluation: Evaluation,
    choice: Mapping[str, Option],
    pair: tuple[Explained, Explained],
) -> str | None:
    """Find the figure that differs most between two assumptions that answer alike so far."""
    done = {comparison.figure for comparison in findings.compared}
    names = [
        quantity.figure
        for quantity in measurable(evaluation, choice)
        if quantity.figure not in done
    ]
    if not names:
        return None
    tolerances = {
        quantity.figure: tolerance_of(quantity, float(evaluation.figure(quantity.figure, choice)))  # type: ignore[arg-type]
        for quantity in measurable(evaluation, choice)
        if quantity.figure in names
    }
    weight = np.array([1 / tolerances[name] for name in names])
    further = [
        np.array(list(sensitivity(evaluation, choice, member.assumption, names).values()))
        * weight
        * member.assumption.usual
        for member in pair
    ]
    this, that = (_moved(member, findings) for member in pair)
    share = float(this @ that / (that @ that))
    apart = np.abs(further[0] - share * further[1])
    best = int(np.nanargmax(apart)) if np.isfinite(apart).any() else -1
    return names[best] if best >= 0 and apart[best] > 1 else None
