"""What a figure costs: the cheapest price at every level that can be reached, as a chart."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from itertools import pairwise
from typing import TYPE_CHECKING

from configurator.core import units
from configurator.core.errors import InputError, Problem
from configurator.core.money import exponent
from configurator.drawings.axes import TITLE, Axis, Plot, draw_axes, left_margin, ticks
from configurator.drawings.ink import LIGHT, add, finished, number, rows, sheet, text_width, write
from configurator.drawings.speed_chart import FIELD, LEAST_WIDTH, ROW
from configurator.drawings.svg import PAPER_WIDTH, Drawing
from configurator.wording.quantities import money_words, unit_in, words

if TYPE_CHECKING:
    from collections.abc import Sequence
    from xml.etree.ElementTree import Element

    from configurator.drawings.ink import Ink
    from configurator.model.jobs import Direction
    from configurator.wording.quantities import System

DOT = 0.8


@dataclass(frozen=True, slots=True)
class ChartLevel:
    """A value of the figure in SI, and the cheapest price at it [minor units].

    Without ``exact`` the price is *at least* that.
    """

    value: float
    price: int
    exact: bool = True


def draw_trade_off(
    levels: Sequence[ChartLevel],
    *,
    figure: str,
    unit: str,
    currency: str,
    better: Direction | None = None,
    present: ChartLevel | None = None,
    budget: int | None = None,
    width: float = PAPER_WIDTH,
    ink: Ink = LIGHT,
    system: System | None = None,
    listens: bool = False,
) -> Drawing:
    """Draw prices against a figure.

    Parameters
    ----------
    levels
        What can be reached, in any order.
    figure, unit
        Name of the figure, and the unit it is declared in.
    currency
        Of the prices.
    better
        With ``"high"`` a line shows the cheapest price of *at least* each value, with ``"low"``
        of *at most*.
    present
        Where the package at hand stands.
    budget
        Drawn as a line [minor units].
    width
        In print [mm].
    ink
        Colours.
    system
        Units.
    listens
        Whether levels take the focus and a click, for a page. Each has ``data-value`` (in SI, as
        ``repr`` writes it, so that it can be read back exactly) and ``data-price``.

    Raises
    ------
    InputError
        If there is no level, or the paper is too narrow.
    """
    if not levels:
        raise InputError([Problem(figure, "no level of it can be reached", "ask why nothing fits")])
    if width < LEAST_WIDTH:
        what = f"{width:g} mm of paper are too narrow for a chart"
        raise InputError([Problem("width", what, f"take {LEAST_WIDTH:g} mm or more")])
    levels = sorted(levels, key=lambda level: (level.value, level.price))
    shown = unit_in(unit, system)
    every = [*levels, *([present] if present else [])]
    values = [units.from_si(level.value, shown) for level in every]
    prices = [_major(level.price, currency) for level in every]
    if budget is not None:
        prices.append(_major(budget, currency))
    across = Axis(f"{figure} [{shown}]" if shown else figure, ticks(min(values), max(values)))
    up = Axis(f"price [{currency}]", ticks(min(0.0, *prices), max(prices)))
    title = f"What {figure} costs"
    titles = rows(title, width - 4, TITLE)
    left, top = left_margin(up), 9.0 + 4.6 * len(titles)
    right = 6.0 if budget is None else text_width("budget") + 2.0
    plot = Plot(across, up, left, top, width - left - right, FIELD)
    notes = _notes(levels, better, present, unit, currency, system)
    lines = [row for note in notes for row in rows(note, width - 4)]
    height = top + FIELD + 13.0 + ROW * len(lines)
    text = "; ".join(_level_words(level, unit, currency, system) for level in levels)
    svg = sheet(width, height, title, f"{' '.join(notes)} {text}.", ink, listens=listens)
    for k, line in enumerate(titles):
        write(svg, line, (2.0, 5.6 + 4.6 * k), ink, size=TITLE, bold=True)
    draw_axes(svg, plot, ink)
    if budget is not None:
        _budget(svg, plot, budget, currency, ink)
    places = [plot.at(units.from_si(v.value, shown), _major(v.price, currency)) for v in levels]
    if better is not None:
        _steps(svg, places, better, ink)
    _dots(
        svg, plot, levels, places, ink, listens=listens, unit=unit, currency=currency, system=system
    )
    if present is not None:
        at = plot.at(units.from_si(present.value, shown), _major(present.price, currency))
        _present(svg, at, ink)
    for k, line in enumerate(lines):
        write(svg, line, (2.0, top + FIELD + 13.0 + ROW * k), ink)
    return Drawing(title, finished(svg), width, height, 0, ())


def _major(price: int, currency: str) -> float:
    return float(Decimal(price).scaleb(-exponent(currency)))


def _level_words(level: ChartLevel, unit: str, currency: str, system: System | None) -> str:
    least = "" if level.exact else "at least "
    return f"{words(level.value, unit, system)}: {least}{money_words(level.price, currency)}"


def _steps(
    svg: Element, places: Sequence[tuple[float, float]], better: Direction, ink: Ink
) -> None:
    """Draw the cheapest price of *at least* (or *at most*) each value: a line of steps."""
    order = list(reversed(places)) if better == "high" else list(places)
    # On paper a larger height is a lower price.
    (x, best), *others = order
    path = f"M{number(x)} {number(best)}"
    for at, height in others:
        path += f"H{number(at)}"
        if height > best:
            best = height
            path += f"V{number(best)}"
    add(
        svg,
        "path",
        data_line="cheapest",
        d=path,
        fill="none",
        stroke=ink.foreground,
        stroke_width=0.3,
    )


def _dots(
    svg: Element,
    plot: Plot,
    levels: Sequence[ChartLevel],
    places: Sequence[tuple[float, float]],
    ink: Ink,
    *,
    listens: bool,
    unit: str,
    currency: str,
    system: System | None,
) -> None:
    edges = [plot.left - 2.0]
    edges += [(pair[0] + other[0]) / 2 for pair, other in pairwise(places)]
    edges.append(plot.left + plot.width + 2.0)
    for k, (level, (x, y)) in enumerate(zip(levels, places, strict=True)):
        text = _level_words(level, unit, currency, system)
        group = add(
            svg,
            "g",
            data_value=repr(level.value),
            data_price=str(level.price),
        )
        add(group, "title", text)
        if listens:
            for key, value in (("tabindex", "0"), ("role", "button"), ("aria-label", text)):
                group.set(key, value)
            # What can be hit is the whole strip, not the dot alone.
            add(
                group,
                "rect",
                x=edges[k],
                y=plot.top,
                width=edges[k + 1] - edges[k],
                height=plot.height,
                fill=ink.foreground,
                fill_opacity="0",
            )
        add(
            group,
            "circle",
            cx=x,
            cy=y,
            r=DOT,
            fill=ink.foreground if level.exact else "none",
            stroke=ink.foreground,
            stroke_width=0.3,
        )


def _present(svg: Element, at: tuple[float, float], ink: Ink) -> None:
    x, y = at
    group = add(svg, "g", data_present="yes")
    diamond = f"M{number(x)} {number(y - 2.6)}l2.6 2.6l-2.6 2.6l-2.6 -2.6Z"
    add(group, "path", d=diamond, fill="none", stroke=ink.foreground, stroke_width=0.5)


def _budget(svg: Element, plot: Plot, budget: int, currency: str, ink: Ink) -> None:
    y = plot.at(plot.across.low, _major(budget, currency))[1]
    group = add(svg, "g", data_budget=str(budget), fill="none", stroke=ink.foreground)
    path = f"M{number(plot.left)} {number(y)}H{number(plot.left + plot.width)}"
    add(group, "path", d=path, stroke_width=0.3, stroke_dasharray="3.2 0.8 0.5 0.8")
    write(svg, "budget", (plot.left + plot.width + 0.8, y + 0.9), ink)


def _notes(
    levels: Sequence[ChartLevel],
    better: Direction | None,
    present: ChartLevel | None,
    unit: str,
    currency: str,
    system: System | None,
) -> list[str]:
    notes = ["Each dot is the cheapest package at exactly this value."]
    if any(not level.exact for level in levels):
        notes.append("Hollow: at least this price.")
    if better is not None:
        bound = "at least" if better == "high" else "at most"
        notes.append(f"Line: the cheapest package with {bound} this value.")
    if present is not None:
        notes.append(f"Diamond: this package, {_level_words(present, unit, currency, system)}.")
    return notes
