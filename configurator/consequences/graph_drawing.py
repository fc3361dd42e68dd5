"""The drawing of what choices force: an SVG for screen and paper, light and dark.

It is built as a tree of elements, so that catalog text can never become markup.
"""

from __future__ import annotations

import re
import textwrap
from itertools import pairwise
from typing import TYPE_CHECKING, Literal
from xml.etree import ElementTree

from configurator.consequences.graph_layout import TALLEST, lay_out
from configurator.consequences.graph_wrapping import (
    MARGIN,
    MARK,
    SIGN,
    WIDTH,
    mark_words,
    one_sheet,
    scale_on_paper,
    several_sheets,
    stops,
)
from configurator.drawings.ink import add, finished, number

if TYPE_CHECKING:
    from configurator.consequences.graph_layout import Route
    from configurator.consequences.graph_wrapping import Plan
    from configurator.consequences.upgrade_graph import Box, Edge, Picture

Theme = Literal["auto", "light", "dark"]

PADDING = 7.0
ROW = 16.0  # from one row of text to the next
# Signs that fit a row: 0.53 of the size of the type is a wide mean for sans-serif text, and names
# are bold.
NAME_SIGNS, TEXT_SIGNS = 24, 28
MOST_ROWS = 4
# From a box to the mark where a line goes on elsewhere.
STUB = 12.0

# Contrast of text with what it stands on is at least 4.5 : 1 (WCAG 2.2, 1.4.3), of lines 3 : 1.
_LIGHT = {
    "paper": "#ffffff",
    "ink": "#1b1f24",
    "soft": "#4a525c",
    "box": "#f2f4f7",
    "edge": "#6b7480",
    "chosen": "#dde9f7",
    "chosen-edge": "#1f5f9e",
    "line": "#5b6570",
    "frame": "#8a5a00",
}
_DARK = {
    "paper": "#14181d",
    "ink": "#eef1f4",
    "soft": "#b9c1ca",
    "box": "#232a32",
    "edge": "#8d97a3",
    "chosen": "#1c3550",
    "chosen-edge": "#7db4ea",
    "line": "#9aa4b0",
    "frame": "#e0ad52",
}
_RULES = """
text { fill: var(--ink); font-family: system-ui, "Liberation Sans", "DejaVu Sans", sans-serif; }
.sheet { fill: var(--paper); }
.name { font-weight: 600; font-size: 13.5px; }
.row { fill: var(--soft); font-size: 12px; }
.title { font-weight: 600; font-size: 16px; }
.box { fill: var(--box); stroke: var(--edge); stroke-width: 1; }
.chosen .box { fill: var(--chosen); stroke: var(--chosen-edge); stroke-width: 2; }
.line { fill: none; stroke: var(--line); stroke-width: 1.4; }
.indirect { stroke-dasharray: 5 4; }
.head { fill: var(--line); }
.mark { fill: var(--paper); stroke: var(--line); stroke-width: 1.2; }
.frame { fill: none; stroke: var(--frame); stroke-width: 1.5; stroke-dasharray: 2 3; }
.set { fill: var(--frame); font-size: 12px; }
.node:focus { outline: none; }
.node:focus .box { stroke-width: 4; }
"""


def draw(picture: Picture, *, theme: Theme = "auto", interactive: bool = False) -> str:
    """Draw a picture on one sheet; a deep one in several rows, so that it can be read on A4.

    Parameters
    ----------
    picture
        Boxes, lines and sets.
    theme
        ``"auto"`` follows the reader's system.
    interactive
        Whether boxes take the focus, for a page that listens; each then has ``data-position``.

    Returns
    -------
    str
        An SVG file; its size is that of the screen, in px of CSS. `paper_scale` says how it prints;
        where one sheet of A4 is too small for it, `draw_pages` takes more.
    """
    rows = {box.name: _rows(box) for box in picture.boxes}
    plan = one_sheet(lay_out(picture, _heights(rows)))
    return _sheet(picture, plan, rows, theme, picture.title, interactive=interactive)


def draw_pages(picture: Picture, *, theme: Theme = "light") -> list[str]:
    """Draw a picture on as few sheets of A4 as can be read, with type of 2 mm or more.

    Parameters
    ----------
    picture
        Boxes, lines and sets.
    theme
        Of paper.

    Returns
    -------
    list of str
        SVG files. Lines that go on elsewhere carry a number at both ends.
    """
    rows = {box.name: _rows(box) for box in picture.boxes}
    plans: list[Plan] | None = None
    for tallest in range(TALLEST, 0, -3):
        layout = lay_out(picture, _heights(rows), tallest=tallest)
        plans = several_sheets(layout)
        if plans is not None:
            break
    # A set of very many boxes stands in one rank whatever is tried.
    plans = plans or [one_sheet(lay_out(picture, _heights(rows)))]
    of = f" of {len(plans)}" if len(plans) > 1 else ""
    return [
        _sheet(
            picture, plan, rows, theme, f"{picture.title}, sheet {k}{of}" if of else picture.title
        )
        for k, plan in enumerate(plans, 1)
    ]


def _heights(rows: dict[str, list[str]]) -> dict[str, float]:
    return {name: 2 * PADDING + ROW * len(lines) for name, lines in rows.items()}


def _sheet(
    picture: Picture,
    plan: Plan,
    rows: dict[str, list[str]],
    theme: Theme,
    title: str,
    *,
    interactive: bool = False,
) -> str:
    layout, width, height = plan.layout, plan.width, plan.height
    svg = ElementTree.Element(
        "svg",
        {
            "xmlns": "http://www.w3.org/2000/svg",
            "viewBox": f"0 0 {_n(width)} {_n(height)}",
            "width": _n(width),
            "height": _n(height),
            # An image has no parts to a screen reader; where boxes take the focus it needs them.
            "role": "group" if interactive else "img",
            "aria-labelledby": "picture-title",
            "aria-describedby": "picture-text",
        },
    )
    add(svg, "title", title, **{"id": "picture-title"})
    add(svg, "desc", " ".join(sentences(picture)), **{"id": "picture-text"})
    add(svg, "style", _style(theme))
    add(svg, "rect", **{"class": "sheet", "width": _n(width), "height": _n(height)})
    add(
        svg,
        "text",
        textwrap.shorten(title, max(24, int(width / 9)), placeholder=" …"),
        **{"class": "title", "x": _n(MARGIN), "y": _n(MARGIN + 14)},
    )
    for frame in layout.frames:
        if plan.row(frame.rank) not in plan.shown:
            continue
        x, y = plan.x(frame.rank) - 7, plan.y(frame.rank, frame.y)
        box = {
            "x": _n(x),
            "y": _n(y),
            "width": _n(WIDTH + 14),
            "height": _n(frame.height),
            "rx": "8",
        }
        add(svg, "rect", **{"class": "frame", **box})
        add(svg, "text", "come as a set", **{"class": "set", "x": _n(x + 8), "y": _n(y + 15)})
    for route in layout.routes:
        _line(svg, plan, route)
    _marks(svg, plan)
    for box_ in picture.boxes:
        if plan.row(layout.spots[box_.name].rank) in plan.shown:
            _box(svg, plan, box_, rows[box_.name], interactive=interactive)
    _legend(svg, picture, plan)
    return finished(svg)


def sentences(picture: Picture) -> list[str]:
    """Say the same in words: every line, its reasons, every set.

    Examples
    --------
    >>> from configurator.consequences.upgrade_graph import Edge, Picture
    >>> sentences(Picture("", (), (Edge("hub", "nuts", ("the thread fits",), True),), ()))
    ['hub forces nuts, because the thread fits.']
    """
    return [
        *(line_words(line) for line in picture.lines),
        *(f"{', '.join(group)} come as a set." for group in picture.sets),
    ]


def line_words(line: Edge) -> str:
    """Say one line with its reasons."""
    way = "" if line.direct else f" by way of {', '.join(line.through)}"
    because = f", because {'; '.join(line.because)}" if line.because else ""
    return f"{line.source} forces {line.target}{way}{because}."


def paper_scale(svg: str) -> float:
    """Millimetres on A4 for one unit of a drawing, upright or across, whichever is larger.

    Examples
    --------
    >>> from configurator.consequences.upgrade_graph import Box, Picture
    >>> paper_scale(draw(Picture("one", (Box("hub", (), True),), (), ()))) > 0.5
    True
    """
    root = ElementTree.fromstring(svg)
    return scale_on_paper(*(float(root.attrib[key]) for key in ("width", "height")))


def _rows(box: Box) -> list[str]:
    rows = textwrap.wrap(box.name, NAME_SIGNS)[:2]
    rest: list[str] = []
    for line in box.lines:
        # A number and its unit stay on one row.
        joined = re.sub(r"(\d) (?=\S{1,4}$)", "\\1\N{NO-BREAK SPACE}", line)
        rest.extend(textwrap.wrap(joined, TEXT_SIGNS) or [""])
    if len(rest) > MOST_ROWS:
        rest = [*rest[: MOST_ROWS - 1], f"{rest[MOST_ROWS - 1][: TEXT_SIGNS - 2]} …"]
    return [*rows, *rest]


def _line(svg: ElementTree.Element, plan: Plan, route: Route) -> None:
    """Draw a line; where it goes on in another row, from mark to mark."""
    path: list[str] = []
    reached = stops(plan.layout, route)
    for (rank, at), (following, to) in pairwise(reached):
        row, next_row = plan.row(rank), plan.row(following)
        last = following == reached[-1][0]
        tip = plan.x(following) - (7 if last else 0)
        if row in plan.shown:
            x, y = plan.x(rank) + WIDTH, plan.y(rank, at)
            if not path:
                path.append(f"M{_n(x)} {_n(y)}")
            if row == next_row:
                path.append(_curve(x, y, tip, plan.y(following, to)))
            else:
                path.append(f"H{_n(x + STUB)}")
        if row != next_row and next_row in plan.shown:
            start, y = plan.x(following) - STUB, plan.y(following, to)
            path.append(f"M{_n(start)} {_n(y)}H{_n(tip)}")
        if not last and next_row in plan.shown:
            path.append(f"H{_n(plan.x(following) + WIDTH)}")
    if not path:
        return
    group = add(svg, "g")
    add(group, "title", line_words(route.line))
    kind = "line" if route.line.direct else "line indirect"
    add(group, "path", **{"class": kind, "d": "".join(path)})
    rank, at = reached[-1]
    if plan.row(rank) in plan.shown:
        head = f"M{_n(plan.x(rank))} {_n(plan.y(rank, at))}l-8 -4v8z"
        add(group, "path", **{"class": "head", "d": head})


def _marks(svg: ElementTree.Element, plan: Plan) -> None:
    """Draw the numbered marks where lines leave a row and enter another."""
    layout = plan.layout
    leaving: dict[tuple[str, int], tuple[int, float]] = {}
    entering: dict[tuple[str, int], float] = {}
    for route in layout.routes:
        source, target = route.line.source, route.line.target
        for (rank, at), (following, to) in pairwise(stops(layout, route)):
            if plan.row(rank) != plan.row(following):
                leaving[source, plan.row(rank)] = rank, at
                passes = layout.spots[target].rank != following
                entering[f"past {source}" if passes else target, following] = to
    for key, (rank, at) in leaving.items():
        if plan.row(rank) in plan.shown:
            x = plan.x(rank) + WIDTH + STUB
            _mark(svg, (plan.numbers[key],), x, plan.y(rank, at), leaves=True)
    for (place, rank), at in entering.items():
        if plan.row(rank) in plan.shown:
            numbers = plan.entering[place, rank]
            _mark(svg, numbers, plan.x(rank) - STUB, plan.y(rank, at), leaves=False)


def _mark(
    svg: ElementTree.Element, numbers: tuple[int, ...], x: float, y: float, *, leaves: bool
) -> None:
    mark_text = mark_words(numbers)
    wide = len(mark_text) * SIGN + MARK / 2
    left = x if leaves else x - wide
    place = {"x": _n(left), "y": _n(y - MARK / 2), "width": _n(wide), "height": _n(MARK)}
    add(svg, "rect", **{"class": "mark", "rx": _n(MARK / 2), **place})
    at = {"class": "row", "text-anchor": "middle", "x": _n(left + wide / 2), "y": _n(y + 4.2)}
    add(svg, "text", mark_text, **at)


def _curve(x: float, y: float, to_x: float, to_y: float) -> str:
    half = (to_x - x) / 2
    return f"C{_n(x + half)} {_n(y)} {_n(to_x - half)} {_n(to_y)} {_n(to_x)} {_n(to_y)}"


def _box(
    svg: ElementTree.Element, plan: Plan, box: Box, rows: list[str], *, interactive: bool
) -> None:
    spot = plan.layout.spots[box.name]
    x, y = plan.x(spot.rank), plan.y(spot.rank, spot.y)
    attributes = {"class": "node chosen" if box.chosen else "node", "data-position": box.name}
    phrase = "; ".join((box.name, *box.lines))
    if interactive:
        attributes.update({"tabindex": "0", "role": "button", "aria-label": phrase})
    group = add(svg, "g", **attributes)
    add(group, "title", phrase)
    place = {"x": _n(x), "y": _n(y), "width": _n(WIDTH), "height": _n(spot.height), "rx": "5"}
    add(group, "rect", **{"class": "box", **place})
    names = len(textwrap.wrap(box.name, NAME_SIGNS)[:2])
    for row, text in enumerate(rows):
        at = {"x": _n(x + PADDING), "y": _n(y + PADDING + 12 + row * ROW)}
        add(group, "text", text, **{"class": "name" if row < names else "row", **at})


def _legend(svg: ElementTree.Element, picture: Picture, plan: Plan) -> None:
    text = ["bold frame: chosen", "arrow: forces"]
    if any(not line.direct for line in picture.lines):
        text.append("dashed: by way of other positions")
    if plan.numbers:
        text.append("number: goes on at the same number")
    at = {"class": "row", "x": _n(MARGIN), "y": _n(plan.height - MARGIN)}
    add(svg, "text", " · ".join(text), **at)


def _style(theme: Theme) -> str:
    def colours(table: dict[str, str]) -> str:
        return "svg { " + " ".join(f"--{key}: {value};" for key, value in table.items()) + " }"

    if theme != "auto":
        # Written out: many readers of SVG outside browsers know no variables.
        table = _DARK if theme == "dark" else _LIGHT
        return re.sub(r"var\(--([\w-]+)\)", lambda match: table[match[1]], _RULES)
    # Paper is light whatever the screen is.
    dark = f"@media screen and (prefers-color-scheme: dark) {{ {colours(_DARK)} }}"
    return f"{colours(_LIGHT)}\n{dark}{_RULES}"


def _n(value: float) -> str:
    """Write a coordinate; a tenth of a unit is finer than any screen."""
    return number(round(value, 1))
