"""How a deep picture of what is forced is broken into rows of ranks, as text is into lines.

Where a line goes on in a later row, both ends carry the same number in a round mark, as on flow
charts (ISO 5807, connector; title from memory).
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from configurator.consequences.graph_layout import Layout, Route

WIDTH = 196.0  # of a box
BETWEEN = 64.0  # ranks
MARGIN = 18.0
TITLE = 30.0
KEY = 26.0
BETWEEN_ROWS = 30.0
# Of a sheet with marks: what its key needs.
LEAST_WIDTH = 720.0
MARK = 18.0  # height of the mark of a connection
SIGN = 7.5  # width of a digit in it
LANE = 8.0
# A4 without 10 mm of margin on each side [mm].
PAPER = (277.0, 190.0)
TEXT_SIZE = 12.0
# Height of type that can be read on paper [mm]: 5.7 points.
LEAST_TYPE = 2.0


@dataclass(frozen=True, slots=True)
class Plan:
    """Where the ranks of a layout go on a sheet.

    Parameters
    ----------
    layout
        All of the picture.
    per_row
        Ranks in a row.
    shown
        The rows on this sheet.
    tops
        Row → what is added to a height of the layout.
    left
        Where the first rank of a row starts.
    width, height
        Of the sheet.
    numbers
        Source of a line, row that it leaves → number of the connection.
    entering
        Target, or source that passes on; rank where lines enter a row → their numbers.
    """

    layout: Layout
    per_row: int
    shown: range
    tops: Mapping[int, float]
    left: float
    width: float
    height: float
    numbers: Mapping[tuple[str, int], int]
    entering: Mapping[tuple[str, int], tuple[int, ...]]

    def row(self, rank: int) -> int:
        """Return the row of a rank."""
        return rank // self.per_row

    def x(self, rank: int) -> float:
        """Return where a rank starts."""
        return self.left + (rank % self.per_row) * (WIDTH + BETWEEN)

    def y(self, rank: int, height: float) -> float:
        """Return where a height of the layout lies."""
        return self.tops[self.row(rank)] + height


def stops(layout: Layout, route: Route) -> list[tuple[int, float]]:
    """Return rank and height of every stop of a line, its ends included."""
    start, end = layout.spots[route.line.source], layout.spots[route.line.target]
    return [
        (start.rank, start.y + start.height / 2),
        *route.passes,
        (end.rank, end.y + end.height / 2),
    ]


def planned(layout: Layout, rows: int = 1, only: range | None = None) -> Plan:
    """Plan a sheet.

    Parameters
    ----------
    layout
        Of the whole picture.
    rows
        Into how many rows it is broken at most, as even as can be.
    only
        The rows on this sheet; all by default.
    """
    ranks = max(layout.ranks, 1)
    per_row = -(-ranks // rows)
    count = -(-ranks // per_row)
    shown = range(count) if only is None else only
    numbers, entering = _connections(layout, per_row)
    wide = max((_wide(result) for result in entering.values()), default=0.0)
    extra = wide + 12.0 if count > 1 else 0.0
    leaving = MARK + 14.0 + 2 * SIGN if count > 1 else 0.0
    tops: dict[int, float] = {}
    y = MARGIN + TITLE
    for row in shown:
        low, high = _reach(layout, per_row, row)
        tops[row] = y - low
        y += high - low + BETWEEN_ROWS
    bottom = y - BETWEEN_ROWS if shown else y
    left = MARGIN + extra
    width = left + per_row * WIDTH + (per_row - 1) * BETWEEN + leaving + MARGIN
    if count > 1:
        width = max(width, LEAST_WIDTH)
    return Plan(
        layout,
        per_row,
        shown,
        tops,
        left,
        width,
        bottom + KEY + MARGIN,
        numbers,
        entering,
    )


def _wide(numbers: tuple[int, ...]) -> float:
    return len(mark_words(numbers)) * SIGN + MARK / 2


def mark_words(numbers: tuple[int, ...]) -> str:
    """Write the numbers of a mark.

    Examples
    --------
    >>> mark_words((1, 12))
    '1 12'
    """
    return " ".join(str(number) for number in numbers)


def _connections(
    layout: Layout, per_row: int
) -> tuple[dict[tuple[str, int], int], dict[tuple[str, int], tuple[int, ...]]]:
    numbers: dict[tuple[str, int], int] = {}
    entering: dict[tuple[str, int], tuple[int, ...]] = {}
    # From row to row, and within each from top to bottom.
    for rank, _, route in sorted(_breaks(layout, per_row), key=lambda item: item[:2]):
        source, target = route.line.source, route.line.target
        number = numbers.setdefault((source, rank // per_row), len(numbers) + 1)
        end = layout.spots[target].rank
        # A line that passes the next rank enters it on the trunk of its source.
        place = (target if end == rank + 1 else f"past {source}", rank + 1)
        stored = entering.get(place, ())
        if number not in stored:
            entering[place] = tuple(sorted((*stored, number)))
    return numbers, entering


def _breaks(layout: Layout, per_row: int) -> Iterator[tuple[int, float, Route]]:
    """Give every rank after which a line goes on in the next row, and the height there."""
    for route in layout.routes:
        for (rank, at), (following, _) in pairwise(stops(layout, route)):
            if rank // per_row != following // per_row:
                yield rank, at, route


def _reach(layout: Layout, per_row: int, row: int) -> tuple[float, float]:
    """Return the lowest and highest height that a row uses."""
    heights: list[float] = []
    for spot in layout.spots.values():
        if spot.rank // per_row == row:
            heights += [spot.y, spot.y + spot.height]
    for frame in layout.frames:
        if frame.rank // per_row == row:
            heights += [frame.y, frame.y + frame.height]
    for route in layout.routes:
        for rank, at in route.passes:
            if rank // per_row == row:
                heights += [at - LANE / 2, at + LANE / 2]
    return min(heights, default=0.0), max(heights, default=0.0)


def scale_on_paper(width: float, height: float) -> float:
    """Millimetres on A4 for one unit, upright or across, whichever is larger."""
    across = min(PAPER[0] / width, PAPER[1] / height)
    upright = min(PAPER[1] / width, PAPER[0] / height)
    return max(across, upright)


def readable(plan: Plan) -> bool:
    """Whether its text can be read on A4."""
    return scale_on_paper(plan.width, plan.height) * TEXT_SIZE >= LEAST_TYPE


def one_sheet(layout: Layout) -> Plan:
    """Plan all of a picture on one sheet: the fewest rows that can be read on A4.

    Where none can, the one that comes out largest; `several_sheets` can then be read.
    """
    ranks = max(layout.ranks, 1)
    plans = [planned(layout, rows) for rows in range(1, ranks + 1)]
    return next(
        (plan for plan in plans if readable(plan)),
        max(plans, key=lambda plan: scale_on_paper(plan.width, plan.height)),
    )


def several_sheets(layout: Layout) -> list[Plan] | None:
    """Plan a picture on the fewest sheets of A4 on which it can be read; None if it cannot."""
    whole = one_sheet(layout)
    if readable(whole):
        return [whole]
    ranks = max(layout.ranks, 1)
    for rows in range(2, ranks + 1):
        per_row = -(-ranks // rows)
        count = -(-ranks // per_row)
        plans = [planned(layout, rows, range(row, row + 1)) for row in range(count)]
        if all(readable(plan) for plan in plans):
            return _together(layout, rows, count)
    return None


def _together(layout: Layout, rows: int, count: int) -> list[Plan]:
    """Put as many rows on each sheet as can be read on it."""
    plans = []
    start = 0
    while start < count:
        end = start + 1
        while end < count and readable(planned(layout, rows, range(start, end + 1))):
            end += 1
        plans.append(planned(layout, rows, range(start, end)))
        start = end
    return plans
