"""Prices per unit of limited sums (Lagrange multipliers) that bound many prices at once.

With multipliers, price and sums become one weight, whose minimum is a bound: no package that keeps
the limits is cheaper. For each option asked about, the packages seen so far say that its bound is
no higher than what they weigh; the next multipliers are those at which what they say adds up to
the most (Kelley's cutting planes), and the packages of the next pass say more.

References
----------
.. [1] G. Y. Handler and I. Zang, *A dual algorithm for the constrained shortest path problem*,
   Networks 10 (1980), 293-309: the method, for one sum and one price.
.. [2] J. E. Kelley, *The cutting-plane method for solving convex programs*, Journal of the SIAM 8
   (1960), 703-712.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    from configurator.search.optimum.weighing import Packages

    Numbers = NDArray[np.float64]

# How finely a multiplier is looked for, as steps of a doubling, and over how many times all.
STEPS = 24
ROUNDS = 3


class CuttingPlanes:
    """What packages seen say of the bounds of some options.

    Parameters
    ----------
    options
        How many options are asked about.
    limits
        How many sums are limited.
    dearest
        What no package costs more than, in parts of a minor unit.
    """

    def __init__(self, options: int, limits: int, dearest: float) -> None:
        self.dearest = dearest
        self._price = np.full((0, options), np.inf)
        self._excess = np.zeros((limits, 0, options))

    def add(self, options: NDArray[np.intp], packages: Packages, excess: Numbers, by: int) -> None:
        """Note a package of each of some options; prices count so many times."""
        price = np.full((1, self._price.shape[1]), np.inf)
        price[0, options] = packages.prices * by
        beyond = np.zeros((len(excess), 1, self._price.shape[1]))
        beyond[:, 0, options] = excess
        self._price = np.concatenate([self._price, price])
        self._excess = np.concatenate([self._excess, beyond], axis=1)

    def bounds(self, multipliers: Sequence[float]) -> Numbers:
        """Bound the bound of each option from above, at some multipliers."""
        weight = self._price + np.tensordot(np.array(multipliers), self._excess, 1)
        return np.asarray(weight.min(axis=0, initial=self.dearest))

    def best(self, begin: Sequence[float], some: NDArray[np.bool_]) -> list[float]:
        """Give the multipliers at which the bounds of some options add up to the most."""
        price, excess = self._price[:, some], self._excess[:, :, some]
        result = [float(multiplier) for multiplier in begin]
        for _ in range(ROUNDS if len(result) > 1 else 1):
            for at in range(len(result)):
                others = price
                for other, multiplier in enumerate(result):
                    if other != at:
                        others = others + multiplier * excess[other]
                result[at] = self._along(result[at], others, excess[at])
        return result

    def _along(self, now: float, others: Numbers, excess: Numbers) -> float:
        """Look for the best of one multiplier, the others as they are: the sum is concave in it."""

        def value(multiplier: float) -> float:
            least = (others + multiplier * excess).min(axis=0, initial=self.dearest)
            return float(np.maximum(least, 0.0).sum())

        least = float(np.abs(excess[excess != 0]).min(initial=np.inf))
        if not np.isfinite(least):
            return now
        # By golden section in the fourth root: good multipliers are mostly small ones.
        low, high = 0.0, (self.dearest / max(least, 1.0)) ** 0.25
        ratio = (5**0.5 - 1) / 2
        left, right = high - ratio * (high - low), low + ratio * (high - low)
        of_left, of_right = value(left**4), value(right**4)
        for _ in range(STEPS):
            if of_left >= of_right:
                high, right, of_right = right, left, of_left
                left = high - ratio * (high - low)
                of_left = value(left**4)
            else:
                low, left, of_left = left, right, of_right
                right = low + ratio * (high - low)
                of_right = value(right**4)
        best = max(((of_left, -left), (of_right, -right), (value(0.0), 0.0)))
        return (-best[1]) ** 4 if best[1] else 0.0
