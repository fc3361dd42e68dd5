"""What figures come to on the vehicle as it stands."""

from __future__ import annotations

from typing import TYPE_CHECKING

from configurator.core import units
from configurator.evaluation.propagation import Propagation

if TYPE_CHECKING:
    from configurator.evaluation.rule_functions import RuleFunctions
    from configurator.model.parts import Value


def figure_before(evaluation: RuleFunctions, name: str, *, exact: bool) -> Value:
    """Work out a figure of the vehicle as it stands; ``exact``: with nothing rounded on the way."""
    if not exact:
        return evaluation.figure(name, evaluation.fitted)
    value = Propagation.as_it_stands(evaluation).figure(name).exact
    plain = isinstance(value, bool) or not isinstance(value, int | float)
    return value if plain else units.normalise(value)
