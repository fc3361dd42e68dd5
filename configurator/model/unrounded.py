"""Figures as they are, beside what they are rounded to.

A figure is rounded to the side that is safe for the rules of the trade. The law has a side of its
own: what must be approved above 8 % is 8.23 % and not the 7.7 that a rounded diameter makes of it.
So local rules read figures that are not rounded, nor those behind them.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from configurator.model.references import FigureValue
from configurator.model.rules import Figure

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from configurator.model.references import Reference
    from configurator.model.rules import Total

NOT_ROUNDED = ", not rounded"


def unrounded_figures(
    name: str, figures: Mapping[str, Figure], totals: Mapping[str, Total]
) -> tuple[str, dict[str, Figure]]:
    """Make the figures that a figure hangs on once more, without any rounding.

    Parameters
    ----------
    name
        Of a figure or total.
    figures, totals
        What there is.

    Returns
    -------
    str
        Name under which the figure is not rounded; its own where nothing behind it is.
    dict
        The figures that were made, by name.
    """
    made: dict[str, Figure] = {}

    def exact(name: str) -> str:
        if name in totals or name not in figures:
            return name  # a sum is not rounded
        renamed = f"{name}{NOT_ROUNDED}"
        if renamed in made:
            return renamed
        figure = figures[name]
        inputs = tuple(
            replace(item, reference=_renamed(item.reference, exact)) for item in figure.inputs
        )
        if inputs == figure.inputs and not figure.resolution:
            return name
        made[renamed] = replace(figure, name=renamed, inputs=inputs, resolution=0.0)
        return renamed

    return exact(name), made


def _renamed(reference: Reference, exact: Callable[[str], str]) -> Reference:
    if isinstance(reference, FigureValue):
        return replace(reference, name=exact(reference.name))
    return reference
