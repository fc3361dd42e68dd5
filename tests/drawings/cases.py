"""The demo vehicles, each with a handful of parts changed by hand: no search is needed."""

from __future__ import annotations

import math
import re
from dataclasses import replace
from functools import cache
from xml.etree import ElementTree

from configurator.core import paths
from configurator.evaluation.evaluator import Evaluation
from configurator.files import job_files
from tests import bundled

VIEWS = ("front", "rear", "wheel", "side")
SVG = "{http://www.w3.org/2000/svg}"
JOBS = tuple(sorted(p.stem for p in (paths.catalogs() / "demo" / "jobs").glob("*.toml")))
CHANGED = (
    "tyres",
    "wheels",
    "front hub reductions",
    "rear hub reductions",
    "front springs",
    "rear springs",
    "rear crown wheel and pinion",
    "front diff guard",
    "steps",
)


@cache
def trade():
    return bundled.trade()


@cache
def evaluation(job):
    path = paths.catalogs() / "demo" / "jobs" / f"{job}.toml"
    return Evaluation(job_files.read_case(path, trade()), trade())


@cache
def package(job, last=False):
    """A choice that need not meet any rule: the first or last part of some positions."""
    judged = evaluation(job)
    chosen = dict(judged.fitted)
    for position in CHANGED:
        options = [o for o in judged.options(position) if o.changed and o.pieces]
        if options:
            chosen[position] = options[-1 if last else 0]
    return chosen


def without(job, *measures):
    """The same vehicle with some measures not taken."""
    case = evaluation(job).case
    values = {name: v for name, v in case.vehicle.values.items() if name not in measures}
    return Evaluation(replace(case, vehicle=replace(case.vehicle, values=values)), trade())


def titled(job, title):
    case = evaluation(job).case
    return Evaluation(replace(case, vehicle=replace(case.vehicle, title=title)), trade())


def parsed(drawing):
    return ElementTree.fromstring(drawing.svg)


def texts(root, sign=0.48):
    """Every row of text with the box it covers, by default rather too narrow than too wide [mm].

    ``sign`` is the width of a sign over the size of its type.
    """
    result = []
    for text in root.iter(f"{SVG}text"):
        size = float(text.attrib["font-size"])
        wide = sign * size * len(text.text)
        x, y = float(text.attrib["x"]), float(text.attrib["y"])
        left = x - {"start": 0.0, "middle": wide / 2, "end": wide}[text.attrib["text-anchor"]]
        result.append((text.text, (left, y - 0.7 * size, left + wide, y + 0.1 * size)))
    return result


def overlapping(root):
    texts_drawn = texts(root)
    return [
        (placed, other)
        for k, (placed, a) in enumerate(texts_drawn)
        for other, b in texts_drawn[k + 1 :]
        if a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]
    ]


def off_the_sheet(root):
    _, _, width, height = map(float, root.attrib["viewBox"].split())
    return [
        text
        for text, (left, top, right, bottom) in texts(root)
        if left < 0 or top < 0 or right > width or bottom > height
    ]


def dimensions(root):
    """Figure → length of its line on paper [mm]; what is asked is kept apart."""
    drawn, asked = {}, {}
    for group in root.iter(f"{SVG}g"):
        line = group.find(f"{SVG}line")
        if "data-figure" in group.attrib and line is not None:
            x1, y1, x2, y2 = (float(line.attrib[key]) for key in ("x1", "y1", "x2", "y2"))
            into = asked if "data-asked" in group.attrib else drawn
            into[group.attrib["data-figure"]] = math.hypot(x2 - x1, y2 - y1)
    return drawn, asked


def drawn(root, of="after"):
    (group,) = [g for g in root.iter(f"{SVG}g") if g.attrib.get("data-of") == of]
    return group


def paths_of(root, name, of="after"):
    return [p for p in drawn(root, of) if p.attrib["data-part"] == name]


def numbers(path):
    return [float(n) for n in re.findall(r"-?\d+(?:\.\d+)?", path.attrib["d"])]


def ground(root):
    return numbers(paths_of(root, "ground")[0])[1]
