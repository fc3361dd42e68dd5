"""What is taken off a price: the job's discount, and rounding down as the workshop does."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from configurator.evaluation.evaluator import Evaluation


def discounted(price: int, share: float, step: int) -> tuple[int, int]:
    """Return what a discount and rounding down take off a price [minor units].

    Examples
    --------
    >>> discounted(12345, 0.1, 100)
    (1234, 11)
    """
    discount = int(price * share)
    rounding = (price - discount) % step if step else 0
    return discount, rounding


def reduced(evaluation: Evaluation, price: int) -> int:
    """Return what is left of a price after both [minor units]."""
    case = evaluation.case
    return price - sum(discounted(price, case.job.discount, case.workshop.round_to))
