"""Colours, type and elements that all drawings share.

Drawings have one ink on one ground; what is before and what is after differ by the kind of line
and by words, so that they can be read without colour and in print.
"""

from __future__ import annotations

import re
import textwrap
from dataclasses import dataclass
from xml.etree import ElementTree

from configurator.core.errors import InputError, Problem

FONT = "'Liberation Sans', 'DejaVu Sans', Arial, sans-serif"
# Width of a sign over the size of its type: a wide mean for sans-serif text.
SIGN = 0.54
# Of text on its ground (WCAG 2.2, 1.4.3, level AA).
LEAST_CONTRAST = 4.5


@dataclass(frozen=True, slots=True)
class Ink:
    """The two colours of a drawing: ``#rrggbb``, or those of the page it stands in.

    ``behind_words`` is what keeps lines from running through words, where it is not the background.
    """

    foreground: str
    background: str
    behind_words: str = ""


LIGHT = Ink("#1b1f24", "#ffffff")
DARK = Ink("#eef1f4", "#14181d")
# For a drawing that is part of a page: the colour of its text, on whatever lies behind it.
OF_PAGE = Ink("currentColor", "none", "var(--st-background-color, none)")


def ink(foreground: str, background: str) -> Ink:
    """Return colours for a drawing.

    Raises
    ------
    InputError
        If they are no colours, or text would be hard to read on the ground.

    Examples
    --------
    >>> ink("#000000", "#ffffff")
    Ink(foreground='#000000', background='#ffffff', behind_words='')
    """
    for colour in (foreground, background):
        if not re.fullmatch(r"#[0-9a-fA-F]{6}", colour):
            what = f"{colour!r} is no colour"
            raise InputError([Problem("colours", what, "write one such as #1b1f24")])
    ratio = contrast(foreground, background)
    if ratio < LEAST_CONTRAST:
        what = f"{foreground} on {background} has a contrast of {ratio:.1f} : 1"
        do = f"take colours with at least {LEAST_CONTRAST} : 1"
        raise InputError([Problem("colours", what, do)])
    return Ink(foreground, background)


def contrast(item: str, other: str) -> float:
    """Return the contrast of two colours (WCAG 2.2, definition of contrast ratio).

    Examples
    --------
    >>> contrast("#ffffff", "#000000")
    21.0
    """
    dark, light = sorted((_luminance(item), _luminance(other)))
    return (light + 0.05) / (dark + 0.05)


def _luminance(colour: str) -> float:
    channels = [int(colour[k : k + 2], 16) / 255 for k in (1, 3, 5)]
    red, green, blue = (
        c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels
    )
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def legal(text: str) -> str:
    r"""Leave out the signs that XML does not allow.

    Examples
    --------
    >>> legal("a\x00b\ufffe c")
    'ab c'
    """
    return "".join(
        c
        for c in text
        if c in "\t\n\r" or " " <= c < "\ud800" or "\ue000" <= c < "\ufffe" or c > "\uffff"
    )


def number(value: float) -> str:
    """Write a coordinate.

    Examples
    --------
    >>> number(1.50001), number(-0.0001)
    ('1.5', '0')
    """
    text = f"{value:.3f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def add(
    parent: ElementTree.Element, tag: str, text: str = "", /, **attributes: str | float
) -> ElementTree.Element:
    """Add an element; ``_`` in the name of an attribute stands for ``-``."""
    sentences = {
        key.strip("_").replace("_", "-"): legal(value) if isinstance(value, str) else number(value)
        for key, value in attributes.items()
    }
    element = ElementTree.SubElement(parent, tag, sentences)
    if text:
        element.text = legal(text)
    return element


def sheet(width: float, height: float, title: str, phrase: str, ink: Ink) -> ElementTree.Element:
    """Start a drawing of so many millimetres.

    Parameters
    ----------
    width, height
        In print [mm]; a unit of the drawing is a millimetre.
    title, phrase
        What it is, and what it shows, for those who do not see it.
    ink
        Its colours.
    """
    svg = ElementTree.Element(
        "svg",
        {
            "xmlns": "http://www.w3.org/2000/svg",
            "viewBox": f"0 0 {number(width)} {number(height)}",
            "width": f"{number(width)}mm",
            "height": f"{number(height)}mm",
            "role": "img",
            "aria-label": legal(title),
            "font-family": FONT,
            "color": ink.foreground if ink.foreground != "currentColor" else "inherit",
        },
    )
    add(svg, "title", title)
    add(svg, "desc", phrase)
    if ink.background != "none":
        add(svg, "rect", width=width, height=height, fill=ink.background)
    return svg


def write(
    parent: ElementTree.Element,
    text: str,
    at: tuple[float, float],
    ink: Ink,
    *,
    size: float = 2.6,
    anchor: str = "start",
    bold: bool = False,
    over_lines: bool = False,
) -> None:
    """Write a row of text; on a ground of its own, so that lines do not run through it.

    With ``over_lines`` the ground is a field: lines end beside the row, not between its letters.
    """
    more: dict[str, str | float] = {"font_weight": "bold"} if bold else {}
    behind = ink.behind_words or ink.background
    if behind != "none" and over_lines:
        width = text_width(text, size)
        left = at[0] - {"start": 0.0, "middle": width / 2, "end": width}[anchor]
        top = at[1] - size * 0.85
        ground = {"x": left, "y": top, "width": width, "height": size * 1.1}
        add(parent, "rect", data_ground="yes", fill=behind, **ground)
    if behind != "none":
        more |= {
            "stroke": behind,
            "stroke_width": size * 0.3,
            "stroke_linejoin": "round",
            "paint_order": "stroke",
        }
    x, y = at
    add(
        parent,
        "text",
        text,
        x=x,
        y=y,
        font_size=size,
        text_anchor=anchor,
        fill=ink.foreground,
        **more,
    )


def text_width(text: str, size: float = 2.6) -> float:
    """Estimate how wide a row of text comes out, rather too wide [mm]."""
    return len(text) * size * SIGN


def rows(text: str, width: float, size: float = 2.6) -> list[str]:
    """Break a text into rows of so many millimetres."""
    return textwrap.wrap(text, max(8, int(width / (size * SIGN)))) or [""]


def finished(svg: ElementTree.Element) -> str:
    """Return the text of a drawing."""
    return ElementTree.tostring(svg, encoding="unicode") + "\n"
