"""What the last questions left on a circuit, for the next."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from configurator.model.jobs import Job
    from configurator.search.circuit.cost_shifting import Shift
    from configurator.search.circuit.semirings import Values


@dataclass(slots=True)
class Lately:
    """What the last questions left on a circuit: the next one mostly differs in one wish.

    What is kept is replaced, never changed: questions asked at the same time each start from a
    whole one.

    Parameters
    ----------
    prices
        Of the forward pass in prices.
    weighed
        Of the forward pass by other weights, and before it what these were and how many times
        the cost of shared work counted.
    limited
        Of the forward pass in prices and sums.
    narrowed, certain
        What jobs leave of wide tables (`price_ceiling`), and what is sure; latest last.
    shifts
        What raised the bounds of a circuit that is not exact, the latest last; before each the
        job, and as above what other weights it was for.
    """

    prices: list[Values | None] | None = None
    weighed: tuple[Any, int, list[Values | None]] | None = None
    limited: list[Values | None] | None = None
    shifts: tuple[tuple[Job, Any, int, Shift], ...] = ()
    narrowed: tuple[Any, ...] = ()
    certain: tuple[Any, ...] = ()
