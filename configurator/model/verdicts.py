"""Numbers held against bounds, and rounded as their figures say."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import TYPE_CHECKING, Any

from configurator.core import units
from configurator.model.parts import Missing

if TYPE_CHECKING:
    from configurator.model.rules import Figure

# Two SI numbers closer than this share are the same number; keeps 29.5 in = 749.3 mm in limits too.
TOLERANCE = 1e-9
# A number that is off a step of its figure by more than this share of a step does not lie on it.
OFF_STEP = 1e-6


@dataclass(frozen=True, slots=True)
class Verdict:
    """What a limit or fit says about one package.

    ``holds`` is None where the rule does not apply or was not checked; ``unknown`` names what was
    missing in the second case. For limits ``has`` and ``needs`` are SI numbers.
    """

    holds: bool | None
    has: float | None = None
    needs: float | None = None
    at_least: bool = True
    unknown: str = ""


def judge(has: Any, at_least: Any, at_most: Any, unknown: str = "a value") -> Verdict:
    """Hold a number against its bounds; the tighter one is reported.

    ``unknown`` names what is missing where the number or a bound is not known.
    """
    if has is None or has is Missing.NOT_FITTED or Missing.NOT_FITTED in (at_least, at_most):
        return Verdict(None)
    if has is Missing.UNKNOWN or Missing.UNKNOWN in (at_least, at_most):
        return Verdict(None, unknown=unknown)
    has = float(has)
    low = None if at_least is None else has - at_least
    high = None if at_most is None else at_most - has
    if low is None and high is None:
        return Verdict(None, has=has)
    lower = high is None or (low is not None and low <= high)
    needs = at_least if lower else at_most
    return Verdict(keeps(has, at_least, at_most), has, float(needs), at_least=lower)


def keeps(has: Any, at_least: Any, at_most: Any) -> bool | None:
    """Whether a number keeps its bounds; None where that cannot be said."""
    if has is None or isinstance(has, Missing):
        return None
    if isinstance(at_least, Missing) or isinstance(at_most, Missing):
        return None
    if at_least is not None and has < at_least - TOLERANCE * max(1.0, abs(at_least)):
        return False
    return not (at_most is not None and has > at_most + TOLERANCE * max(1.0, abs(at_most)))


def rounded(rule: Figure, value: float) -> float:
    """Round a figure to its resolution, towards the side it declares."""
    if not rule.resolution:
        return units.normalise(value)
    step = resolution_in_si(rule.unit, rule.resolution)
    steps = value / step
    near = round(steps)
    # A value that already lies on a step must stay there, whatever the last bit says.
    if abs(steps - near) > OFF_STEP and rule.rounding != "nearest":
        near = int(steps // 1) + (1 if rule.rounding == "up" else 0)
    return units.normalise(near * step)


@cache
def resolution_in_si(unit: str, resolution: float) -> float:
    """Return a step of a figure in SI (a difference, so without the offset of a temperature)."""
    return units.to_si(resolution, unit) - units.to_si(0.0, unit)
