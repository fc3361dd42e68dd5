"""Two assumptions that together explain what none explains by itself."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import combinations
from typing import TYPE_CHECKING

import numpy as np

from configurator.as_built.diagnosis import Supposed

if TYPE_CHECKING:
    from collections.abc import Mapping

    from configurator.as_built.assumptions import Assumption
    from configurator.as_built.diagnosis import Explained, Findings
    from configurator.evaluation.evaluator import Evaluation, Option

# Two corrections put any two figures right: a third must bear them out.
FEWEST = 3
# Two that are nearly alike would be set against each other, each by far too much: the sine of the
# angle between what they move.
APART = 0.2


@dataclass(frozen=True, slots=True)
class Together:
    """Two assumptions with the corrections that fit best, in SI or as a share.

    ``left`` is the root of the mean of squares of what is left, in tolerances.
    """

    corrections: tuple[tuple[Assumption, float], ...]
    left: float

    @property
    def name(self) -> str:
        """Both in words."""
        return " and ".join(correction.name for correction, _ in self.corrections)


def together(
    findings: Findings, evaluation: Evaluation, choice: Mapping[str, Option]
) -> tuple[Together, ...]:
    """Find pairs of assumptions that explain every figure, each with a correction of usual size.

    Asked only where no single one does. Both corrections are found at once, by least squares, each
    figure weighted by its tolerance; the package is then worked out with both.

    Parameters
    ----------
    findings
        What came of measuring.
    evaluation, choice
        Of the package.

    Returns
    -------
    tuple of Together
        The one that leaves least first.
    """
    if findings.verdict != "none" or len(findings.compared) < FEWEST:
        return ()
    joint = [
        explanation
        for pair in combinations(findings.explained, 2)
        if (explanation := _both(findings, evaluation, choice, pair)) is not None
    ]
    return tuple(sorted(joint, key=lambda item: item.left))


def _both(
    findings: Findings,
    evaluation: Evaluation,
    choice: Mapping[str, Option],
    pair: tuple[Explained, Explained],
) -> Together | None:
    weight = 1 / np.array([comparison.tolerance for comparison in findings.compared])
    measured = np.array([comparison.measured for comparison in findings.compared])
    moved = np.array([[member.answers[it.figure] for it in findings.compared] for member in pair]).T
    moved = moved * weight[:, None] * np.array([member.assumption.usual for member in pair])
    lengths = np.linalg.norm(moved, axis=0)
    if not lengths.all() or np.count_nonzero(np.abs(moved).max(axis=1) > 0.05) < FEWEST:
        return None
    cosine = float(moved[:, 0] @ moved[:, 1] / (lengths[0] * lengths[1]))
    if 1 - cosine**2 < APART**2:
        return None
    first, second = (member.assumption for member in pair)
    shares = np.zeros(2)
    left = weight * (measured - np.array([comparison.expected for comparison in findings.compared]))
    for _ in range(3):
        shares = shares + np.linalg.lstsq(moved, left, rcond=None)[0]
        # Far from fitting, or too much to be usual: no need to work it out.
        if np.abs(shares).max() > 1.5:
            return None
        corrections = tuple(
            (item, float(share * item.usual))
            for item, share in zip((first, second), shares, strict=True)
        )
        supposed = Supposed(evaluation, choice, further=corrections)
        values = [supposed.figure(comparison.figure, choice) for comparison in findings.compared]
        if not all(isinstance(value, int | float) for value in values):
            return None
        left = weight * (measured - np.array(values, dtype=float))
    if np.abs(left).max() > 1 + 1e-9 or np.abs(shares).max() > 1:
        return None
    return Together(corrections, float(np.sqrt(np.mean(left**2))))
