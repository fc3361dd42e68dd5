"""What several vehicles may share: the same tyre, wheel or absorber on all of them.

Each vehicle's exact prices per option add up over the vehicles: of one shared position the cheapest
common part is read off the sums. Of several positions, the first is fixed to its parts in the order
of those sums, which are lower bounds for what follows, until no part can be cheaper any more.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from configurator.core.errors import FitwrightError
from configurator.questions import answers
from configurator.questions.case_cache import posed

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from configurator.model.jobs import Job
    from configurator.search.optimum.preparing import Prepared

# Choices that are returned beside the cheapest.
ALTERNATIVES = 4


@dataclass(frozen=True, slots=True)
class FleetVehicle:
    """A vehicle of a fleet.

    Parameters
    ----------
    name
        For words: the title of its job.
    prepared
        Its job, ready for questions.
    count
        How many of it there are.
    """

    name: str
    prepared: Prepared
    count: int = 1


@dataclass(frozen=True, slots=True)
class SharedChoice:
    """The same part at some positions of all vehicles.

    Parameters
    ----------
    parts
        Position → key of the part.
    prices
        Of each vehicle's cheapest package with them, one of each [minor units].
    price
        Of all vehicles together [minor units].
    proven
        Whether all prices are exact.
    """

    parts: Mapping[str, str]
    prices: tuple[int, ...]
    price: int
    proven: bool


@dataclass(frozen=True, slots=True)
class SharingAnswer:
    """What sharing costs.

    Parameters
    ----------
    choices
        The cheapest common choices; empty if there is none.
    apart
        Price of each vehicle's own cheapest package [minor units]; None where nothing fits it.
    apart_price
        Of all vehicles, each with its own cheapest package [minor units]; None as above.
    """

    choices: tuple[SharedChoice, ...]
    apart: tuple[int | None, ...]
    apart_price: int | None

    @property
    def cost(self) -> int | None:
        """What sharing costs more than each vehicle's own cheapest package [minor units]."""
        if not self.choices or self.apart_price is None:
            return None
        return self.choices[0].price - self.apart_price


def cheapest_shared(fleet: Sequence[FleetVehicle], positions: Sequence[str]) -> SharingAnswer:
    """Find the cheapest parts that all vehicles of a fleet may share at some positions.

    Parameters
    ----------
    fleet
        The vehicles; their jobs are in one currency.
    positions
        Where the same part is to be, each a position of every vehicle. Budgets are left aside.

    Raises
    ------
    FitwrightError
        If there is no vehicle, no position, or jobs are in several currencies.
    """
    if not fleet or not positions:
        message = "a fleet needs vehicles, and positions that they share"
        raise FitwrightError(message)
    currencies = {vehicle.prepared.evaluation.case.job.currency for vehicle in fleet}
    if len(currencies) > 1:
        message = f"the jobs are in several currencies: {', '.join(sorted(currencies))}"
        raise FitwrightError(message)
    jobs = [replace(vehicle.prepared.evaluation.case.job, budget=None) for vehicle in fleet]
    apart = tuple(
        answers.cheapest(posed(vehicle.prepared, job)).price
        for vehicle, job in zip(fleet, jobs, strict=True)
    )
    search = _SharingSearch(fleet, positions)
    search.go({}, jobs)
    known = [price for price in apart if price is not None]
    whole = len(known) == len(fleet)
    total = sum(v.count * p for v, p in zip(fleet, known, strict=True)) if whole else None
    return SharingAnswer(tuple(search.best), apart, total)


class _SharingSearch:
    """Depth first over the shared positions, the cheapest sums first."""

    def __init__(self, fleet: Sequence[FleetVehicle], positions: Sequence[str]) -> None:
        self.fleet, self.positions = fleet, positions
        self.best: list[SharedChoice] = []

    def go(self, parts: Mapping[str, str], jobs: Sequence[Job]) -> None:
        """Try all parts of the next position that may yet be among the best."""
        position = self.positions[len(parts)]
        for choice in self._sums(parts, jobs, position):
            if len(self.best) > ALTERNATIVES and choice.price >= self.best[-1].price:
                return  # sums are lower bounds: what follows is dearer still
            if len(choice.parts) == len(self.positions):
                self.best = sorted([*self.best, choice], key=_rank)[: ALTERNATIVES + 1]
                continue
            key = choice.parts[position]
            self.go(
                choice.parts,
                [replace(job, fixed={**job.fixed, position: key}) for job in jobs],
            )

    def _sums(
        self, parts: Mapping[str, str], jobs: Sequence[Job], position: str
    ) -> list[SharedChoice]:
        """Add up what each common part of a position costs on all vehicles, the cheapest first."""
        priced: list[dict[str, tuple[int, bool]]] = []
        for vehicle, job in zip(self.fleet, jobs, strict=True):
            states = answers.options(posed(vehicle.prepared, job), [position])[position]
            priced.append(
                {
                    state.option.key: (state.price, state.exact)
                    for state in states
                    if state.price is not None and state.option.changed
                }
            )
        common = set.intersection(*(set(each) for each in priced))
        choices = []
        for key in common:
            prices = tuple(each[key][0] for each in priced)
            total = sum(v.count * p for v, p in zip(self.fleet, prices, strict=True))
            proven = all(each[key][1] for each in priced)
            choices.append(SharedChoice({**parts, position: key}, prices, total, proven))
        return sorted(choices, key=_rank)


def _rank(choice: SharedChoice) -> tuple[int, tuple[str, ...]]:
    return choice.price, tuple(choice.parts.values())
