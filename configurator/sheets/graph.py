"""The drawing of what choices force: an SVG for screen and paper, light and dark.

It is built as a tree of elements, so that catalog text can never become markup.
"""

from __future__ import annotations

import re
import textwrap
from typing import TYPE_CHECKING, Literal
from xml.etree import ElementTree

from configurator.forced_graph import legal
from configurator.forced_layout import lay_out

if TYPE_CHECKING:
    from configurator.forced_graph import Box, Line, Picture
    from configurator.forced_layout import Layout, Route

Theme = Literal["auto", "light", "dark"]

WIDTH = 196.0  # of a box
BETWEEN = 64.0  # ranks
MARGIN = 18.0
PADDING = 7.0
ROW = 16.0  # from one row of text to the next
NAME_SIZE, TEXT_SIZE = 13.5, 12.0
# Signs that fit a row: 0.53 of the size of the type is a wide mean for sans-serif text, and names
# are bold.
NAME_SIGNS, TEXT_SIGNS = 24, 28
MOST_ROWS = 4
TITLE = 30.0
KEY = 26.0
# A4 without 10 mm of margin on each side [mm].
PAPER = (277.0, 190.0)

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
.frame { fill: none; stroke: var(--frame); stroke-width: 1.5; stroke-dasharray: 2 3; }
.set { fill: var(--frame); font-size: 12px; }
.node:focus { outline: none; }
.node:focus .box { stroke-width: 4; }
"""


def draw(picture: Picture, *, theme: Theme = "auto", interactive: bool = False) -> str:
    """Draw a picture.

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
        An SVG file; its size is that of the screen, in px of CSS. `paper_scale` says how it prints.
    """
    rows = {box.name: _rows(box) for box in picture.boxes}
    heights = {name: 2 * PADDING + ROW * len(lines) for name, lines in rows.items()}
    layout = lay_out(picture, heights)
    width, height = _size(layout)
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
    _add(svg, "title", {"id": "picture-title"}, picture.title)
    _add(svg, "desc", {"id": "picture-text"}, " ".join(sentences(picture)))
    _add(svg, "style", {}, _style(theme))
    _add(svg, "rect", {"class": "sheet", "width": _n(width), "height": _n(height)})
    _add(
        svg,
        "text",
        {"class": "title", "x": _n(MARGIN), "y": _n(MARGIN + 14)},
        textwrap.shorten(picture.title, max(24, int(width / 9)), placeholder=" …"),
    )
    for frame in layout.frames:
        x, y = _left(frame.rank) - 7, _top() + frame.y
        box = {
            "x": _n(x),
            "y": _n(y),
            "width": _n(WIDTH + 14),
            "height": _n(frame.height),
            "rx": "8",
        }
        _add(svg, "rect", {"class": "frame", **box})
        _add(svg, "text", {"class": "set", "x": _n(x + 8), "y": _n(y + 15)}, "come as a set")
    for route in layout.routes:
        _line(svg, layout, route)
    for box_ in picture.boxes:
        _box(svg, layout, box_, rows[box_.name], interactive=interactive)
    _legend(svg, picture, height)
    return ElementTree.tostring(svg, encoding="unicode") + "\n"


def sentences(picture: Picture) -> list[str]:
    """Say the same in words: every line, its reasons, every set.

    Examples
    --------
    >>> from configurator.forced_graph import Line, Picture
    >>> sentences(Picture("", (), (Line("hub", "nuts", ("the thread fits",), True),), ()))
    ['hub forces nuts, because the thread fits.']
    """
    return [
        *(line_words(line) for line in picture.lines),
        *(f"{', '.join(group)} come as a set." for group in picture.sets),
    ]


def line_words(line: Line) -> str:
    """Say one line with its reasons."""
    way = "" if line.direct else f" by way of {', '.join(line.through)}"
    because = f", because {'; '.join(line.because)}" if line.because else ""
    return f"{line.source} forces {line.target}{way}{because}."


def paper_scale(svg: str) -> float:
    """Millimetres on A4 for one unit of a drawing, upright or across, whichever is larger.

    Examples
    --------
    >>> from configurator.forced_graph import Box, Picture
    >>> paper_scale(draw(Picture("one", (Box("hub", (), True),), (), ()))) > 0.5
    True
    """
    root = ElementTree.fromstring(svg)
    width, height = (float(root.attrib[key]) for key in ("width", "height"))
    across = min(PAPER[0] / width, PAPER[1] / height)
    upright = min(PAPER[1] / width, PAPER[0] / height)
    return max(across, upright)


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


def _size(layout: Layout) -> tuple[float, float]:
    ranks = max(layout.ranks, 1)
    width = 2 * MARGIN + ranks * WIDTH + (ranks - 1) * BETWEEN
    return width, _top() + layout.height + KEY + MARGIN


def _top() -> float:
    return MARGIN + TITLE


def _left(rank: int) -> float:
    return MARGIN + rank * (WIDTH + BETWEEN)


def _line(svg: ElementTree.Element, layout: Layout, route: Route) -> None:
    start, end = layout.spots[route.line.source], layout.spots[route.line.target]
    x, y = _left(start.rank) + WIDTH, _top() + start.y + start.height / 2
    path = [f"M{_n(x)} {_n(y)}"]
    for rank, passing in route.passes:
        path.append(_curve(x, y, _left(rank), _top() + passing))
        x, y = _left(rank) + WIDTH, _top() + passing
        path.append(f"H{_n(x)}")
    tip, height = _left(end.rank), _top() + end.y + end.height / 2
    path.append(_curve(x, y, tip - 7, height))
    group = _add(svg, "g", {})
    _add(group, "title", {}, line_words(route.line))
    kind = "line" if route.line.direct else "line indirect"
    _add(group, "path", {"class": kind, "d": "".join(path)})
    head = f"M{_n(tip)} {_n(height)}l-8 -4v8z"
    _add(group, "path", {"class": "head", "d": head})


def _curve(x: float, y: float, to_x: float, to_y: float) -> str:
    half = (to_x - x) / 2
    return f"C{_n(x + half)} {_n(y)} {_n(to_x - half)} {_n(to_y)} {_n(to_x)} {_n(to_y)}"


def _box(
    svg: ElementTree.Element, layout: Layout, box: Box, rows: list[str], *, interactive: bool
) -> None:
    spot = layout.spots[box.name]
    x, y = _left(spot.rank), _top() + spot.y
    attributes = {"class": "node chosen" if box.chosen else "node", "data-position": box.name}
    said = "; ".join((box.name, *box.lines))
    if interactive:
        attributes.update({"tabindex": "0", "role": "button", "aria-label": said})
    group = _add(svg, "g", attributes)
    _add(group, "title", {}, said)
    place = {"x": _n(x), "y": _n(y), "width": _n(WIDTH), "height": _n(spot.height), "rx": "5"}
    _add(group, "rect", {"class": "box", **place})
    names = len(textwrap.wrap(box.name, NAME_SIGNS)[:2])
    for number, text in enumerate(rows):
        at = {"x": _n(x + PADDING), "y": _n(y + PADDING + 12 + number * ROW)}
        _add(group, "text", {"class": "name" if number < names else "row", **at}, text)


def _legend(svg: ElementTree.Element, picture: Picture, height: float) -> None:
    said = ["bold frame: chosen", "arrow: forces"]
    if any(not line.direct for line in picture.lines):
        said.append("dashed: by way of other positions")
    at = {"class": "row", "x": _n(MARGIN), "y": _n(height - MARGIN)}
    _add(svg, "text", at, " · ".join(said))


def _style(theme: Theme) -> str:
    def colours(table: dict[str, str]) -> str:
        return "svg { " + " ".join(f"--{key}: {value};" for key, value in table.items()) + " }"

    if theme != "auto":
        return colours(_DARK if theme == "dark" else _LIGHT) + _RULES
    # Paper is light whatever the screen is.
    dark = f"@media screen and (prefers-color-scheme: dark) {{ {colours(_DARK)} }}"
    return f"{colours(_LIGHT)}\n{dark}{_RULES}"


def _add(
    parent: ElementTree.Element, tag: str, attributes: dict[str, str], text: str = ""
) -> ElementTree.Element:
    element = ElementTree.SubElement(parent, tag, {k: legal(v) for k, v in attributes.items()})
    if text:
        element.text = legal(text)
    return element


def _n(number: float) -> str:
    return f"{number:.1f}".rstrip("0").rstrip(".")
