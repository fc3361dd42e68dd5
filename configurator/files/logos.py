"""Read a shop's logo: a PNG or an SVG that loads nothing, runs nothing and refers to nothing."""

from __future__ import annotations

import re
import struct
from typing import TYPE_CHECKING
from xml.etree.ElementTree import ParseError

from defusedxml import ElementTree
from defusedxml.common import DefusedXmlException

from configurator.core.text import shown
from configurator.model.stationery import Logo

if TYPE_CHECKING:
    from pathlib import Path
    from xml.etree.ElementTree import Element

    from configurator.core.text import Report

LARGEST_FILE = 1_000_000  # bytes
MOST_PIXELS = 4000  # on a side
# W3C, Portable Network Graphics (second edition), 5.2 and 11.2.2.
PNG_SIGNATURE = b"\x89PNG\r\n\x1a\n"
# What draws: W3C, Scalable Vector Graphics 1.1 (second edition); no script, no image, no text
# that needs a font from elsewhere.
DRAWS = frozenset(
    [
        "svg",
        "g",
        "defs",
        "title",
        "desc",
        "metadata",
        "path",
        "rect",
        "circle",
        "ellipse",
        "line",
        "polyline",
        "polygon",
        "use",
        "symbol",
        "clipPath",
        "mask",
        "linearGradient",
        "radialGradient",
        "stop",
        "text",
        "tspan",
        "style",
    ]
)
_SVG = "{http://www.w3.org/2000/svg}"
_LOADS = re.compile(r"url\(\s*['\"]?(?!#)|@import|expression\s*\(|javascript:", re.IGNORECASE)


def read_logo(path: Path, where: str, report: Report) -> Logo | None:
    """Read a logo.

    Parameters
    ----------
    path
        A file whose name ends in ``.png`` or ``.svg``.
    where
        What to call it in messages.
    report
        Takes the problems.

    Returns
    -------
    Logo or None
        None, and a problem, if it cannot be read or could do more than be looked at.
    """
    kind = path.suffix.lower()
    if kind not in (".png", ".svg"):
        report.error(
            where, f"{shown(path.name)} is no picture that is read", "name a PNG or an SVG"
        )
        return None
    if not path.is_file():
        report.error(where, f"there is no file {shown(path.name)}", "put it beside workshop.toml")
        return None
    with path.open("rb") as stream:
        data = stream.read(LARGEST_FILE + 1)
    if len(data) > LARGEST_FILE:
        report.error(where, "the logo is larger than 1 MB", "save it smaller")
        return None
    flaw = _png_flaw(data) if kind == ".png" else _svg_flaw(data)
    if flaw:
        report.error(where, f"{shown(path.name)}: {flaw}", "save it anew as a plain PNG or SVG")
        return None
    return Logo("png" if kind == ".png" else "svg", data)


def _png_flaw(data: bytes) -> str:
    """Say what is wrong with a PNG; empty if nothing is.

    Examples
    --------
    >>> _png_flaw(b"GIF89a")
    'it is no PNG'
    """
    if not data.startswith(PNG_SIGNATURE) or data[12:16] != b"IHDR" or len(data) < 33:
        return "it is no PNG"
    width, height = struct.unpack(">II", data[16:24])
    if not (0 < width <= MOST_PIXELS and 0 < height <= MOST_PIXELS):
        return f"it has {width} x {height} pixels, more than {MOST_PIXELS} on a side"
    return "" if b"IEND" in data[-12:] else "it is cut off"


def _svg_flaw(data: bytes) -> str:
    """Say what is wrong with an SVG; empty if nothing is.

    Examples
    --------
    >>> _svg_flaw(b'<svg xmlns="http://www.w3.org/2000/svg"><script/></svg>')
    "it has a 'script' in it"
    """
    try:
        root = ElementTree.fromstring(data, forbid_dtd=True)
    except (ParseError, DefusedXmlException, ValueError, LookupError) as problem:
        return f"it is no plain SVG ({type(problem).__name__})"
    if root.tag != f"{_SVG}svg":
        return "it is no SVG"
    for element in root.iter():
        flaw = _element_flaw(element)
        if flaw:
            return flaw
    return ""


def _element_flaw(element: Element) -> str:
    tag = str(element.tag)
    name = tag.rpartition("}")[2]
    if tag.startswith("{") and not tag.startswith(_SVG):
        return ""  # an editor's own notes draw nothing
    if name not in DRAWS:
        return f"it has a {name!r} in it"
    for key, value in element.attrib.items():
        plain = key.rpartition("}")[2].lower()
        if plain.startswith("on"):
            return f"it reacts ({plain})"
        if plain == "href" and not value.startswith("#"):
            return "it refers to another file"
        if _LOADS.search(value):
            return "it loads something"
    if name == "style" and _LOADS.search(element.text or ""):
        return "its style loads something"
    return ""
