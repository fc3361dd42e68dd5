"""A package that keeps everything, looked for among the parts that refusing rules read.

The cheapest packages often break the same rule one after the other, with other parts each time that
the rule does not read. With other options at the positions that it does read, one is found soon; in
the order of price it may be the hundred thousandth.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from configurator.model.knowledge import references
from configurator.model.references import FigureValue, PartValue
from configurator.model.rules import Total
from configurator.search.optimum.constrained_prices import LISTED, Pricing
from configurator.search.optimum.late_rules import PackageColumns

if TYPE_CHECKING:
    from collections.abc import Mapping

    from numpy.typing import NDArray

    from configurator.evaluation.evaluator import Evaluation
    from configurator.model.rules import Rule
    from configurator.search.optimum.resource_constraints import Late
    from configurator.search.optimum.weighing import PricingProblem


def look_among_parts(
    problem: PricingProblem, late: Late, refused: Mapping[str, int]
) -> tuple[int, dict[str, int]] | None:
    """Look for a package with other options where the rules that refuse one read parts.

    Parameters
    ----------
    problem, late
        The case, and what is decided on whole packages.
    refused
        Position → option number of a package that is refused.

    Returns
    -------
    tuple or None
        Price in minor units, and position → option number, of the cheapest that was met; there may
        be cheaper ones. None where none was met.
    """
    evaluation = problem.prepared.evaluation
    positions: set[str] = set()
    for rule in _refusing(evaluation, late, refused):
        positions |= _read_directly(evaluation, rule, set())
    asked = {p: np.flatnonzero(problem.allowed[p]) for p in problem.positions if p in positions}
    if not asked:
        return None
    prices = Pricing(problem, asked, listed=LISTED).work_out()
    place = int(np.argmin(prices.known))
    if prices.known[place] >= prices.dearest:
        return None
    chosen = prices.numbers[:, place].tolist()
    return int(prices.known[place]), dict(zip(problem.positions, chosen, strict=True))


def _refusing(evaluation: Evaluation, late: Late, refused: Mapping[str, int]) -> list[Rule]:
    numbers: dict[str, NDArray[np.intp]] = {p: np.array([n], np.intp) for p, n in refused.items()}
    columns = PackageColumns(evaluation, numbers, late.joint)
    broken = [rule for rule in late.rules if not columns.verdicts(rule)[0]]
    return broken if late.sure is None else [*broken, *late.sure.unsure_of(numbers)]


def _read_directly(evaluation: Evaluation, rule: Rule, seen: set[str]) -> set[str]:
    """Name the positions that a rule reads parts of, sums over everything left aside."""
    positions: set[str] = set()
    if isinstance(rule, Total):
        return positions
    for reference in references(rule):
        if isinstance(reference, PartValue):
            positions.add(reference.position)
        elif isinstance(reference, FigureValue) and not reference.before:
            if reference.name in seen:
                continue
            seen.add(reference.name)
            deeper = evaluation.definition(reference.name)
            positions |= _read_directly(evaluation, deeper, seen)
    return positions
