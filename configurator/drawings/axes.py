"""The axes of charts: round steps in the units of the reader."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from configurator.drawings.ink import add, number, text_width, write

if TYPE_CHECKING:
    from collections.abc import Sequence
    from xml.etree.ElementTree import Element

    from configurator.drawings.ink import Ink
    from configurator.drawings.reader import NumberWriter
    from configurator.drawings.shapes import Point

SIZE, TITLE = 2.6, 3.4
MOST_STEPS = 8


@dataclass(frozen=True, slots=True)
class Axis:
    """One axis: what it shows, in the unit shown, at round steps from ``low`` to ``high``."""

    title: str
    ticks: tuple[float, ...]

    @property
    def low(self) -> float:
        """Where it starts."""
        return self.ticks[0]

    @property
    def high(self) -> float:
        """Where it ends."""
        return self.ticks[-1]


def ticks(low: float, high: float, most: int = MOST_STEPS) -> tuple[float, ...]:
    """Return steps of 1, 2 or 5 times a power of ten that reach from low to high.

    Parameters
    ----------
    low, high
        In the unit shown.
    most
        So many steps at most.

    Examples
    --------
    >>> ticks(0.0, 4500.0)
    (0.0, 1000.0, 2000.0, 3000.0, 4000.0, 5000.0)
    >>> ticks(11.1, 12.8)
    (11.0, 11.5, 12.0, 12.5, 13.0)
    """
    if not high > low:
        room = abs(low) * 0.05 or 1.0
        low, high = low - room, high + room
    power = 10.0 ** math.floor(math.log10((high - low) / most))
    for factor in (1, 2, 5, 10, 20, 50):
        step = factor * power
        first, last = math.floor(low / step + 1e-9), math.ceil(high / step - 1e-9)
        if last - first <= most:
            break
    # From whole numbers of steps, so that 0.3 does not come out as 0.30000000000000004.
    digits = max(0, -math.floor(math.log10(step)))
    return tuple(round(k * step, digits) for k in range(first, last + 1))


def tick_words(value: float) -> str:
    """Write the number of a step.

    Examples
    --------
    >>> tick_words(2000.0), tick_words(11.5), tick_words(-0.0)
    ('2000', '11.5', '0')
    """
    text = f"{value:.6f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text


@dataclass(frozen=True, slots=True)
class Plot:
    """The field between two axes [mm on paper]."""

    across: Axis
    up: Axis
    left: float
    top: float
    width: float
    height: float

    def at(self, x: float, y: float) -> Point:
        """Return where a point lies on paper."""
        return (
            self.left + (x - self.across.low) / (self.across.high - self.across.low) * self.width,
            self.top + self.height - (y - self.up.low) / (self.up.high - self.up.low) * self.height,
        )


def draw_axes(
    svg: Element, plot: Plot, ink: Ink, above: float = 0.0, write_number: NumberWriter = str
) -> None:
    """Draw both axes with their steps and a faint grid; ``above`` the field other words stand."""
    bottom, right = plot.top + plot.height, plot.left + plot.width
    group = add(svg, "g", data_axes="yes", fill="none", stroke=ink.foreground)
    for value in plot.across.ticks:
        x = plot.at(value, plot.up.low)[0]
        grid = f"M{number(x)} {number(plot.top)}V{number(bottom)}"
        add(group, "path", d=grid, stroke_width=0.1, stroke_opacity="0.4")
        write(
            svg, write_number(tick_words(value)), (x, bottom + 3.8), ink, size=SIZE, anchor="middle"
        )
    for value in plot.up.ticks:
        y = plot.at(plot.across.low, value)[1]
        grid = f"M{number(plot.left)} {number(y)}H{number(right)}"
        add(group, "path", d=grid, stroke_width=0.1, stroke_opacity="0.4")
        at = (plot.left - 1.4, y + 0.9)
        write(svg, write_number(tick_words(value)), at, ink, size=SIZE, anchor="end")
    frame = f"M{number(plot.left)} {number(plot.top)}V{number(bottom)}H{number(right)}"
    add(group, "path", d=frame, stroke_width=0.35)
    write(svg, plot.across.title, (right, bottom + 8.0), ink, size=SIZE, anchor="end")
    write(svg, plot.up.title, (2.0, plot.top - 2.2 - above), ink, size=SIZE)


def left_margin(up: Axis, write_number: NumberWriter = str) -> float:
    """How much the numbers of an upright axis need [mm]."""
    return max(text_width(write_number(tick_words(tick)), SIZE) for tick in up.ticks) + 4.0


def in_rows(spans: Sequence[tuple[float, float]]) -> list[int]:
    """Give names over a field the lowest row where they cover neither each other nor the lines up.

    Parameters
    ----------
    spans
        Start and end of each name; a line goes up to its start. In order of the starts.

    Examples
    --------
    The first one stands higher, as the line to the second would run through it:

    >>> in_rows([(0.0, 10.0), (5.0, 15.0), (20.0, 30.0)])
    [1, 0, 0]
    """
    starts: list[float] = []
    rows: list[int] = []
    for start, end in reversed(spans):
        row = next((k for k, taken in enumerate(starts) if end <= min(starts[k:])), len(starts))
        if row == len(starts):
            starts.append(start)
        starts[row] = start
        rows.append(row)
    return rows[::-1]
