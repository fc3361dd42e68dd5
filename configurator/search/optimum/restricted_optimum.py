"""The cheapest package among some of the options, whatever is decided on whole packages counted.

Conditions that a job cannot express (only these options at this position) come as masks. Most of
the time the cheapest package of the circuit keeps every sum and that is the end of it.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np

from configurator.search.circuit.semirings import CHEAPEST_64
from configurator.search.optimum import (
    cost_bounded,
    k_best,
    lagrangian,
    option_prices,
    resource_constraints,
)
from configurator.search.optimum.branch_and_bound import Undecided
from configurator.search.optimum.option_prices import CheapestPackage

if TYPE_CHECKING:
    from collections.abc import Mapping

    from numpy.typing import NDArray

    from configurator.evaluation.evaluator import Option
    from configurator.model.jobs import Job
    from configurator.search.optimum.preparing import Prepared


# Packages to look at before a price is called a bound: such questions come by the dozen.
PATIENCE = 500


class Deciding:
    """Answers for the cheapest package of a job with more and more conditions.

    Parameters
    ----------
    prepared, job
        The case and the job; its budget is left aside.
    patience
        How many packages to look at without a proof, for each question.
    """

    def __init__(self, prepared: Prepared, job: Job, patience: int = PATIENCE) -> None:
        self.prepared = prepared
        self.patience = patience
        self.late = resource_constraints.late_of(prepared, job)
        self.decided_late = resource_constraints.has_late(prepared.evaluation, job, self.late)
        self._job = job
        self._known: lagrangian.Outlook | None = None

    def cheapest(
        self, job: Job, masks: Mapping[str, NDArray[np.bool_]] | None = None
    ) -> CheapestPackage:
        """Find the cheapest package of a job that asks for no less than the first one did.

        Parameters
        ----------
        job
            The job, with more wishes perhaps.
        masks
            Position → which of its options may be chosen; all where it is not named.
        """
        return cost_bounded.first_found(
            cost_bounded.around(self.prepared, self._job),
            lambda ring: self._cheapest(ring.prepared, job, masks or {}),
            lambda result: result.price,
        )

    def _cheapest(
        self, prepared: Prepared, job: Job, masks: Mapping[str, NDArray[np.bool_]]
    ) -> CheapestPackage:
        try:
            first = self._on_circuit(prepared, job, masks)
        except Undecided:
            return CheapestPackage(None, None, proven=False)
        if first is None:
            return CheapestPackage(None, None, proven=True)
        price, choice = first
        if self.keeps(job, choice):
            return CheapestPackage(price, choice, proven=True)
        if self._known is None:
            # The multipliers of the job itself bound the prices of every job that asks for more.
            self._known = lagrangian.outlook(self.prepared, self._job, self.late)
        known = self._known
        if masks and known.bound is not None:
            # Other multipliers could not be looked for: the job does not tell of masks.
            bound = replace(known.bound, costs=self._masked(known.bound.costs, masks))
            known = replace(known, job=replace(job, budget=None), bound=bound)
        package = option_prices.cheapest(prepared, job, self.patience, known)
        if package.choice is not None and not self._within(package.choice, masks):
            return CheapestPackage(None, None, proven=True)  # all that was left was masked
        if package.price is None and not package.proven:
            # Nothing was found, and nothing shows that there is nothing: a lower bound is left.
            return CheapestPackage(price, None, proven=False)
        return package

    def on_circuit(
        self, job: Job, masks: Mapping[str, NDArray[np.bool_]]
    ) -> tuple[int, dict[str, Option]] | None:
        """Find the cheapest package, what is decided on whole packages left aside."""
        return cost_bounded.first_found(
            cost_bounded.around(self.prepared, self._job),
            lambda ring: self._on_circuit(ring.prepared, job, masks),
            lambda first: None if first is None else first[0],
        )

    def _on_circuit(
        self, prepared: Prepared, job: Job, masks: Mapping[str, NDArray[np.bool_]]
    ) -> tuple[int, dict[str, Option]] | None:
        # Without masks the prices themselves: what is known of their bounds serves again.
        costs = (
            self._masked({p: seat.costs for p, seat in prepared.seats.items()}, masks)
            if masks
            else None
        )
        first = next(k_best.numbers_in_order(prepared, job, costs), None)
        if first is None or first[0] >= CHEAPEST_64.impossible:
            return None
        return first[0] + prepared.model.fixed_cost, k_best.chosen(prepared, first[1])

    def keeps(self, job: Job, choice: Mapping[str, Option]) -> bool:
        """Whether a package keeps everything that is decided on whole packages."""
        if not self.decided_late:
            return True
        return resource_constraints.keeps_late(self.prepared.evaluation, job, self.late, choice)

    def _within(self, choice: Mapping[str, Option], masks: Mapping[str, NDArray[np.bool_]]) -> bool:
        options = self.prepared.model.options
        return all(masks[p][options[p].index(choice[p])] for p in masks)

    @staticmethod
    def _masked(
        costs: Mapping[str, NDArray[np.int64]], masks: Mapping[str, NDArray[np.bool_]]
    ) -> dict[str, NDArray[np.int64]]:
        return {
            position: np.where(masks[position], each, CHEAPEST_64.impossible)
            if position in masks
            else each
            for position, each in costs.items()
        }
