"""The cheapest package among some of the options, whatever is decided on whole packages counted.

Conditions that a job cannot express (only these options at this position) come as masks. Most of
the time the cheapest package of the circuit keeps every sum and that is the end of it.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from configurator.search.optimum import k_best, option_prices, queries, resource_constraints
from configurator.search.optimum.branch_and_bound import Undecided
from configurator.search.optimum.cheapest_package import CheapestPackage
from configurator.search.optimum.preparing import Question
from configurator.search.optimum.weighing import masked_costs

if TYPE_CHECKING:
    from collections.abc import Mapping

    from configurator.evaluation.evaluator import Option
    from configurator.model.jobs import Job
    from configurator.search.optimum.weighing import Masks


# Packages to look at before a price is called a bound: such questions come by the dozen.
PATIENCE = 500


class Deciding:
    """Answers for the cheapest package of a job with more and more conditions.

    Parameters
    ----------
    question
        The case and the job; its budget is left aside.
    patience
        How many packages to look at without a proof, for each question.
    """

    def __init__(self, question: Question, patience: int = PATIENCE) -> None:
        self.prepared = question.prepared
        self.patience = patience
        self.late = resource_constraints.late_of(question)
        self.decided_late = resource_constraints.has_late(
            question.evaluation, question.job, self.late
        )

    def cheapest(self, job: Job, masks: Masks | None = None) -> CheapestPackage:
        """Find the cheapest package of a job that asks for no less than the first one did.

        Parameters
        ----------
        job
            The job, with more wishes perhaps.
        masks
            Position → which of its options may be chosen; all where it is not named.
        """
        if self.prepared.loose is None:
            return option_prices.cheapest(Question(self.prepared, job), self.patience, masks)
        try:
            first = self.on_circuit(job, masks or {})
        except Undecided:
            return CheapestPackage(None, None, proven=False)
        if first is None:
            return CheapestPackage(None, None, proven=True)
        price, choice = first
        if self.keeps(job, choice):
            return CheapestPackage(price, choice, proven=True, least=price)
        if masks:  # of these, packages are not listed further
            return CheapestPackage(None, None, proven=False, least=price)
        package = option_prices.cheapest(Question(self.prepared, job), self.patience)
        return package if package.proven else CheapestPackage(None, None, False, price)

    def on_circuit(self, job: Job, masks: Masks) -> tuple[int, dict[str, Option]] | None:
        """Find the cheapest package, what is decided on whole packages left aside."""
        # Without masks the prices themselves: what is known of their bounds serves again.
        costs = masked_costs(self.prepared, masks)
        first = next(k_best.numbers_in_order(Question(self.prepared, job), costs), None)
        if first is None or first[0] >= queries.IMPOSSIBLE:
            return None
        return first[0] + self.prepared.model.fixed_cost, k_best.chosen(self.prepared, first[1])

    def keeps(self, job: Job, choice: Mapping[str, Option]) -> bool:
        """Whether a package keeps everything that is decided on whole packages."""
        if not self.decided_late:
            return True
        return resource_constraints.keeps_late(self.prepared.evaluation, job, self.late, choice)
