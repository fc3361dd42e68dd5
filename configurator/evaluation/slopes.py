"""Slopes of a rule's function to either side of a point, as propagation of errors takes them."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from configurator.core.errors import PluginError

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence

# Slopes to either side that differ by more than this share of the steeper one make a kink.
BENT = 0.05


def one_sided_slopes(
    function: Callable[[tuple[Any, ...]], Any],
    values: tuple[Any, ...],
    number: int,
    width: float,
    here: float,
) -> list[float]:
    """Return the slopes of a function to either side in one of its inputs, where there are some.

    Parameters
    ----------
    function
        Of all its values.
    values, number
        Where, and which of the values is moved.
    width
        How far it is moved to either side.
    here
        What the function gives there.

    Examples
    --------
    >>> one_sided_slopes(lambda v: max(0.0, v[0]), (0.0,), 0, 0.5, 0.0)
    [1.0, -0.0]
    """
    slopes = []
    for step in (width, -width) if width else ():
        there = beyond(function, (*values[:number], values[number] + step, *values[number + 1 :]))
        if there is not None:
            slopes.append((there - here) / step)
    return slopes


def is_bent(slopes: Sequence[float]) -> bool:
    """Whether a function has a kink where these are its slopes to either side.

    Examples
    --------
    >>> is_bent([1.0, -1.0]), is_bent([1.0, 1.02]), is_bent([1.0])
    (True, False, False)
    """
    steepest = max((abs(slope) for slope in slopes), default=0.0)
    return len(slopes) > 1 and abs(slopes[0] - slopes[1]) > BENT * steepest


def moved_together(
    function: Callable[[tuple[Any, ...]], Any],
    values: tuple[Any, ...],
    ways: Mapping[int, float],
    widths: Mapping[int, float],
    here: float,
) -> float:
    """Return the effect of a source that reaches a function by several of its inputs.

    At a kink these do not add up: of two figures of which the greater counts, one source moves
    both, and the greater only once. So all are moved at once, as wide as one of them may be off.

    Parameters
    ----------
    function, values, here
        As for `one_sided_slopes`.
    ways, widths
        Number of an input → the source's effect on it, and how far the input may be off.

    Examples
    --------
    >>> both = {0: 0.1, 1: 0.1}
    >>> moved_together(lambda v: max(v), (2.0, 2.0), both, {0: 0.1, 1: 0.1}, 2.0)
    0.10000000000000009
    """
    scale = min(widths[number] / abs(effect) for number, effect in ways.items())
    effects = [0.0]
    for step in (scale, -scale):
        moved = list(values)
        for number, effect in ways.items():
            moved[number] += step * effect
        there = beyond(function, tuple(moved))
        if there is not None:
            effects.append((there - here) / step)
    return max(effects, key=abs)


def beyond(function: Callable[[tuple[Any, ...]], Any], moved: tuple[Any, ...]) -> float | None:
    """Ask a function beside where a package is; None where it gives no number."""
    try:
        there = function(moved)
    except PluginError:  # beyond where the function is defined: the other side says it
        return None
    number = isinstance(there, int | float) and not isinstance(there, bool)
    return float(there) if number else None
