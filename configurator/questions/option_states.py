"""What every option costs, and whether it is possible at all."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Literal

from configurator.core.progress import Cancelled
from configurator.search.optimum import lexicographic, option_prices, queries
from configurator.search.optimum.availability import available, can_be_had
from configurator.search.optimum.preparing import Question

if TYPE_CHECKING:
    from collections.abc import Collection

    from configurator.evaluation.evaluator import Option
    from configurator.evaluation.packages import Package
    from configurator.search.optimum.preparing import Prepared

State = Literal["available", "over budget", "impossible"]


@dataclass(frozen=True, slots=True)
class OptionState:
    """What can be said of one option of one position.

    Parameters
    ----------
    option
        The option.
    state
        ``"available"``, ``"over budget"`` or ``"impossible"``.
    price
        Of the cheapest package with it that meets everything asked for but the budget; None if
        there is none.
    if_freed
        The same if what is decided at this very position were open again; differs from ``price``
        only where a part is fixed, kept or ruled out here.
    exact, freed_exact
        Whether ``price`` and ``if_freed`` are exact; otherwise they are *at least* that.
    """

    option: Option
    state: State
    price: int | None
    if_freed: int | None
    exact: bool = True
    freed_exact: bool = True


def options(
    prepared: Prepared,
    positions: Collection[str] | None = None,
    *,
    close: bool = True,
    boxes: int | None = None,
    partial: bool = False,
) -> dict[str, list[OptionState]]:
    """Say of every option whether it is possible and what the cheapest package with it costs.

    Parameters
    ----------
    prepared
        From `ready`.
    positions
        Positions to answer for; all by default.
    close
        Whether to work on prices that rules on several sums leave open until they are exact; a
        click does not wait for that. Where lists are too long to be joined all prices stay the
        bounds they are: proving them one by one takes far too long.
    boxes
        How many boxes of options are priced before that, at most: they take longer than a click
        may. By default as many as usual if prices are worked on, else none.
    partial
        Whether a stop leaves the prices that were not reached as the lower bounds they are.
    """
    question = lexicographic.settle(Question.of(prepared))
    if boxes is None and not close:
        boxes = 0
    previews = option_prices.previews(question, positions, boxes=boxes)
    prices = {position: array.copy() for position, array in previews.prices.items()}
    exact = {position: array.copy() for position, array in previews.exact.items()}
    if close and not queries.bounds_only(question):
        try:
            for position, number, price, proven in option_prices.close(question, previews):
                prices[position][number] = price
                exact[position][number] = proven
        except Cancelled:
            if not partial:
                raise
    return {
        position: [
            OptionState(
                option,
                _state(int(prices[position][number]), question.job.budget),
                _or_none(prices[position][number]),
                _or_none(previews.if_freed[position][number]),
                bool(exact[position][number]),
                bool(previews.freed_exact[position][number]),
            )
            for number, option in enumerate(prepared.model.options[position])
        ]
        for position in prices
    }


def _or_none(price: int) -> int | None:
    return None if price < 0 else int(price)


def _state(price: int, budget: int | None) -> State:
    if price < 0:
        return "impossible"
    return "available" if budget is None or price <= budget else "over budget"


def cannot_stay(prepared: Prepared, package: Package) -> list[str]:
    """List the positions whose present part is in no package that meets the job.

    Parameters
    ----------
    prepared
        From `ready`.
    package
        Any package that meets the job: what it keeps can stay.
    """
    question = lexicographic.settle(Question.of(prepared))
    changed = [position for position, option in package.choice.items() if option.changed]
    whatever_it_costs = question.about(replace(question.job, budget=None))
    known = available(whatever_it_costs, changed)
    leaving = []
    for position in changed:
        present = prepared.evaluation.fitted[position]
        number = prepared.model.options[position].index(present)
        possible, proven = known.possible[position][number], known.proven[position][number]
        if not proven:
            kept = replace(whatever_it_costs.job, keep=(*question.job.keep, position))
            possible = can_be_had(question.about(kept)) is not False
        if not possible:
            leaving.append(position)
    return leaving
