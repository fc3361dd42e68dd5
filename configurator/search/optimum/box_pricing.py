"""The price of the cheapest package in a box of options, under limits put around packages."""

from __future__ import annotations

from contextlib import suppress
from typing import TYPE_CHECKING

import numpy as np

from configurator.search.circuit.labels import TooManyLabels
from configurator.search.optimum.constrained_prices import Pricing
from configurator.search.optimum.label_pricing import BEAMS
from configurator.search.optimum.weighing import Packages

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from numpy.typing import NDArray

    from configurator.search.optimum.resource_constraints import Late, LinearLimit
    from configurator.search.optimum.weighing import PricingProblem

    Flags = NDArray[np.bool_]


class BoxPricing(Pricing):
    """Prices of a box; little is left of its circuit, so that few bounds are looked for.

    Parameters
    ----------
    problem, options
        As for `Pricing`; the cheapest package of all is asked for beside.
    late
        What is decided on whole packages.
    around
        Limits that count beside those of sums.
    judged
        What is known of packages: boxes have many in common.
    """

    beams = BEAMS[-1:]
    bounds = 2
    passes = 4

    def __init__(
        self,
        problem: PricingProblem,
        options: Mapping[str, NDArray[np.intp]],
        late: Late,
        around: Sequence[LinearLimit],
        judged: dict[bytes, bool],
    ) -> None:
        super().__init__(problem, options, root=True, late=late, around=around)
        self.labelled = False
        self._judged = judged

    def kept(self, packages: Packages) -> Flags:
        """Say of each of some packages whether it keeps all that is decided on whole packages."""
        listed = np.stack(list(packages.numbers.values()), axis=1)
        keys = [package.tobytes() for package in listed]
        new = {key: at for at, key in enumerate(keys) if key not in self._judged}
        if new:
            some = np.array(list(new.values()))
            numbers = {p: own[some] for p, own in packages.numbers.items()}
            kept = super().kept(Packages(numbers, packages.prices[some])).tolist()
            self._judged.update(zip(new, kept, strict=True))
        return np.array([self._judged[key] for key in keys], np.bool_)

    def label(self) -> None:
        """Make labels: until then multipliers are looked for only."""
        waiting = self.prices.open
        if not self.used or not waiting.any():
            return
        candidates = self.nowhere()
        with suppress(TooManyLabels):
            self.of_group(waiting, candidates)
            self.candidates = candidates

    def refused(self) -> dict[str, int] | None:
        """Give the cheapest package of all that keeps limits on sums, and breaks something else."""
        candidates = self.candidates
        if candidates is None:
            return None
        numbers = {position: own[-1:] for position, own in candidates.numbers.items()}
        last = Packages(numbers, candidates.prices[-1:])
        chosen = {position: int(own[0]) for position, own in numbers.items()}
        if min(chosen.values()) < 0 or (last.excess(self.limits) > 0).any():
            return None
        return chosen
