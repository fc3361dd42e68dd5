"""Small random problems with limits that no sum says: ratios and products of sums and of figures.

Their bounds are drawn so that many packages break them, the cheapest with many options among them.
"""

from __future__ import annotations

import random
from dataclasses import replace
from typing import TYPE_CHECKING

from configurator.evaluation.evaluator import Evaluation
from configurator.model.references import FigureValue, Input
from configurator.model.rules import Figure, Limit
from tests.search.random_cases import RandomCase, make

if TYPE_CHECKING:
    from collections.abc import Callable

KEPT = "keeps its balance"


def _share(moment, mass, own):
    return (moment + 3.0 * own) / (mass + abs(moment) + 50.0)


def _beside(moment, mass, own):
    return own - max(moment, 1.0) / mass


def _lever(moment, mass, own):
    return moment * mass / 100.0 + own * own - 2.0 * mass


def _height(moment, mass, own):
    height = moment / mass
    return height + (0.1 if own > 3.0 else 0.2) * height if own >= 0.0 else -own


FUNCTIONS: tuple[Callable[..., object], ...] = (_share, _beside, _lever, _height)


def with_late_limits(seed: int, given: RandomCase | None = None) -> RandomCase:
    """Add a figure of sums, and a limit on it, to a random case."""
    given = given or make(seed, sums=True)
    chance = random.Random(f"late {seed}")
    trade = given.trade
    own = chance.choice([name for name in trade.figures if name.startswith("g")])
    function = chance.choice(FUNCTIONS)
    inputs = tuple(
        Input(parameter, FigureValue(name))
        for parameter, name in (("moment", "moment"), ("mass", "mass"), ("own", own))
    )
    resolution = chance.choice((0.0, 0.0, 0.01, 0.5))
    rounding = chance.choice(("down", "up", "nearest"))
    balance = Figure("balance", "", function, inputs, resolution, rounding)
    trade = replace(trade, figures={**trade.figures, "balance": balance})
    evaluation = Evaluation(given.case, trade)
    drawn = (
        {p: chance.choice(evaluation.options(p)) for p in evaluation.families} for _ in range(40)
    )
    values = sorted(v for c in drawn if isinstance(v := evaluation.figure("balance", c), float))
    kept = Limit(KEPT, "", lambda has: has, (Input("has", FigureValue("balance")),), concerns="law")
    if not values:
        kept = replace(kept, at_least=0.0)
    elif chance.random() < 0.5:
        kept = replace(kept, at_least=values[int(len(values) * chance.choice((0.5, 0.7, 0.9)))])
    else:
        kept = replace(kept, at_most=values[int(len(values) * chance.choice((0.1, 0.3, 0.5)))])
    if chance.random() < 0.3:  # held against a figure of parts
        has = (Input("has", FigureValue(own)),)
        kept = replace(kept, inputs=has, at_least=FigureValue("balance"), at_most=None)
    trade = replace(trade, limits={**trade.limits, KEPT: kept})
    return RandomCase(trade, given.case)
