"""What figures and margins come to on the vehicle as it stands."""

from __future__ import annotations

from typing import TYPE_CHECKING

from configurator.core import units
from configurator.evaluation.propagation import Propagation

if TYPE_CHECKING:
    from configurator.evaluation.propagation import UncertainMargin
    from configurator.evaluation.rule_functions import RuleFunctions
    from configurator.model.parts import Value
    from configurator.model.rules import Limit, Total


def figure_before(evaluation: RuleFunctions, name: str, *, exact: bool) -> Value:
    """Work out a figure of the vehicle as it stands; ``exact``: with nothing rounded on the way."""
    if not exact:
        return evaluation.figure(name, evaluation.fitted)
    value = Propagation.as_it_stands(evaluation).figure(name).exact
    plain = isinstance(value, bool) or not isinstance(value, int | float)
    return value if plain else units.normalise(value)


def margin_before(stands: Propagation, rule: Limit | Total) -> UncertainMargin | None:
    """Return a limit's margin on the vehicle as it stands, worked out once for an evaluation."""
    known = stands.evaluation.answers
    key = ("margin as it stands", rule.name)
    # Another bound of the same name may be asked about: a total split into its two bounds.
    if key not in known or known[key][0] is not rule:
        known[key] = rule, stands.margin(rule)
    margin: UncertainMargin | None = known[key][1]
    return margin
