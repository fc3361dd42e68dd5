"""Prices of options that are bounds at first, and are made exact one by one behind the answer."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np

from configurator.questions.option_states import options
from configurator.search.optimum import option_prices, queries

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence
    from collections.abc import Set as AbstractSet

    from configurator.questions.option_states import OptionState, State
    from configurator.search.optimum.preparing import Prepared, Question

    States = dict[str, list[OptionState]]

# Known of a job once boxes of options were priced for what is a minimum price at the click.
BOXED = "prices by boxes"
# Known of a job: positions and numbers of the options that were looked at.
CLOSED = "closed prices"


def priced_by_boxes(prepared: Prepared, states: States) -> States:
    """Give states of options with the prices exact that so many boxes decide as others wait for."""
    if all(state.exact and state.freed_exact for each in states.values() for state in each):
        return states
    priced = options(prepared, close=False, boxes=prepared.limits.behind_boxes)
    return {
        position: [
            by_boxes if by_boxes.exact or not state.exact else state
            for state, by_boxes in zip(each, priced[position], strict=True)
        ]
        for position, each in states.items()
    }


def not_exact(
    states: Mapping[str, Sequence[OptionState]], closed: AbstractSet[tuple[str, int]]
) -> queries.Previews:
    """Give which prices are bounds that were not looked at yet.

    Parameters
    ----------
    states
        Of all options.
    closed
        Position and number of the options that were looked at.
    """
    prices = {
        position: np.array([-1 if s.price is None else s.price for s in each], np.int64)
        for position, each in states.items()
    }
    exact = {
        position: np.array([s.exact or (position, n) in closed for n, s in enumerate(each)])
        for position, each in states.items()
    }
    return queries.Previews(None, prices, {}, exact, {})


def closed_one_by_one(
    question: Question,
    states: States,
    closed: set[tuple[str, int]],
    patience: int,
    first: tuple[str, int] | None,
) -> Iterator[int]:
    """Make prices exact, the cheapest first; states and what was looked at are kept up to date.

    Parameters
    ----------
    question
        The job, settled.
    states, closed
        As for `not_exact`.
    patience
        How many packages to look at for each.
    first
        Position and number of the option that comes first.

    Yields
    ------
    int
        How many are still to do.
    """
    open_prices = not_exact(states, closed)
    todo = sum(int((~exact).sum()) for exact in open_prices.exact.values())
    given = option_prices.close(question, open_prices, patience, first=first)
    for done, (position, number, price, proven) in enumerate(given, 1):
        states[position][number] = replace(
            states[position][number],
            price=None if price < 0 else price,
            state=_state(price, question.job.budget),
            exact=proven,
        )
        closed.add((position, number))
        yield todo - done


def _state(price: int, budget: int | None) -> State:
    if price < 0:
        return "impossible"
    return "available" if budget is None or price <= budget else "over budget"
