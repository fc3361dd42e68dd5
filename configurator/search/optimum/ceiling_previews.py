"""Prices of options where tables are too wide: exact up to a ceiling, bounds beyond."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np

from configurator.search.optimum import queries
from configurator.search.optimum.preparing import Question
from configurator.search.optimum.price_ceiling import narrowed
from configurator.search.optimum.resource_constraints import has_late, late_of

if TYPE_CHECKING:
    from collections.abc import Callable, Collection

    from numpy.typing import NDArray

    from configurator.search.optimum.price_ceiling import Within


def previews(
    question: Question,
    positions: Collection[str] | None,
    exact_previews: Callable[[Question], queries.Previews],
    dearer: float | None = None,
) -> queries.Previews:
    """Price every option where tables are too wide to be joined.

    Parameters
    ----------
    question, positions
        As for `queries.previews`.
    exact_previews
        Prices the options of these positions on a circuit that is exact.
    dearer
        How many times the bound on the cheapest package prices need be exact; as far as that takes
        little by default.
    """
    tables = narrowed(question)
    within = None if tables is None else tables.latest(dearer)
    bounds = queries.previews(question, positions, raised=within is None)
    late = late_of(question)
    if has_late(question.evaluation, question.job, replace(late, loose=False)):
        exact = {position: array < 0 for position, array in bounds.prices.items()}
        freed = {position: array < 0 for position, array in bounds.if_freed.items()}
        bounds = replace(bounds, exact=exact, freed_exact=freed)
    if within is None or tables is None:
        return bounds
    raised = {}
    for position, least in bounds.prices.items():
        own = tables.option_bounds(position)
        raised[position] = np.where((least < 0) | (own < 0), -1, np.maximum(least, own))
    cheapest = bounds.cheapest
    if cheapest is not None:
        cheapest = max(cheapest, tables.least)
    bounds = replace(bounds, prices=raised, cheapest=cheapest)
    inside = Question(replace(within.prepared, model=question.model), question.job)
    return merged(question, bounds, exact_previews(inside), within)


def merged(
    question: Question, bounds: queries.Previews, inside: queries.Previews, within: Within
) -> queries.Previews:
    """Put prices of options together: exact up to a ceiling, bounds beyond.

    Parameters
    ----------
    question
        Whose prices.
    bounds
        Of the case, for the job; an option that no package has, as is proven, costs -1.
    inside, within
        Prices of what costs up to a ceiling.
    """
    strict, exact = {}, {}
    freed, freed_exact = dict(bounds.if_freed), dict(bounds.freed_exact)
    beyond = None if within.ceiling is None else within.ceiling + 1
    for position, least in bounds.prices.items():
        strict[position], exact[position] = _up_to(
            least, inside.prices[position], inside.exact[position], beyond
        )
        if queries.allowed(question.model, question.job, position) is None:
            freed[position], freed_exact[position] = strict[position], exact[position]
    cheapest = bounds.cheapest
    if beyond is None or (inside.cheapest is not None and inside.cheapest < beyond):
        cheapest = inside.cheapest
    elif cheapest is not None:
        cheapest = max(cheapest, beyond)
    if any(not (prices >= 0).any() for prices in strict.values()):
        cheapest = None
    return queries.Previews(cheapest, strict, freed, exact, freed_exact)


def _up_to(
    bounds: NDArray[np.int64],
    prices: NDArray[np.signedinteger],
    proven: NDArray[np.bool_],
    beyond: int | None,
) -> tuple[NDArray[np.int64], NDArray[np.bool_]]:
    """Take prices where they are below a ceiling, and raise the bounds of all others to it."""
    if beyond is None:
        return np.where(bounds < 0, -1, prices).astype(np.int64), proven | (bounds < 0)
    below = (prices >= 0) & (prices < beyond)
    least = np.where(below, prices, beyond)
    known = np.where(bounds < 0, -1, np.maximum(bounds, least))
    return known.astype(np.int64), (below & proven) | (bounds < 0)
