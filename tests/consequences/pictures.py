"""Pictures of what choices need, for the tests of their drawing."""

from __future__ import annotations

import random
import re
from itertools import pairwise
from xml.etree import ElementTree

from configurator.consequences.graph_drawing import draw
from configurator.consequences.upgrade_graph import (
    Box,
    Edge,
    Picture,
    rounds,
)

SVG = "{http://www.w3.org/2000/svg}"
LONG = "rear lateral Panhard rod and brace"


def boxes_of(names, chosen=1):
    return tuple(
        Box(
            name,
            ("All-terrain tyre with a long title (demo/XX-1)",)
            if k % 2
            else ("PCD 165.1 mm", "offset at least 19 mm"),
            k < chosen,
        )
        for k, name in enumerate(names)
    )


def picture_of(edges, names, title="forced"):
    lines = tuple(Edge(a, b, ("a rule",), k % 3 != 0, ("x",)) for k, (a, b) in enumerate(edges))
    return Picture(title, boxes_of(names), lines, rounds(edges))


def names_of(count):
    return [f"{LONG} {k}" if k % 7 == 0 else f"position {k}" for k in range(count)]


def layered(seed, count=40, depth=5):
    """A picture of so many boxes, no deeper than a real one, with long lines and a round."""
    chance = random.Random(seed)
    names = names_of(count)
    rank = {name: min(depth - 1, k * depth // count) for k, name in enumerate(names)}
    edges = set()
    for name in names:
        earlier = [other for other in names if rank[other] < rank[name]]
        for other in chance.sample(earlier, min(len(earlier), chance.choice((1, 1, 2)))):
            edges.add((other, name))
    edges |= {(names[-1], names[-2]), (names[-2], names[-1])}
    return picture_of(sorted(edges), names)


def star(count=40):
    names = names_of(count)
    return picture_of([(names[0], name) for name in names[1:]], names)


def chain(count):
    names = names_of(count)
    return picture_of(list(pairwise(names)), names)


PICTURES = {
    "twelve ranks": layered(4, 40, 12),
    "nine ranks": layered(6, 30, 9),
    "a chain of twelve": chain(12),
    "a chain of 25": chain(25),
    "layered": layered(1),
    "layered too": layered(2),
    "star": star(),
    "eight": layered(3, 8, 3),
    "one": picture_of([], ["hub"]),
    "none": Picture("nothing", (), (), ()),
    "round": picture_of([("a", "b"), ("b", "c"), ("c", "a"), ("c", "d")], ["a", "b", "c", "d"]),
}


def parsed(picture, **more):
    return ElementTree.fromstring(draw(picture, **more))


def rectangles(root):
    """Name → (left, top, right, bottom) of every box."""
    result = {}
    for node in root.iter(f"{SVG}g"):
        if "data-position" in node.attrib:
            rect = node.find(f"{SVG}rect")
            x, y, w, h = (float(rect.attrib[k]) for k in ("x", "y", "width", "height"))
            result[node.attrib["data-position"]] = (x, y, x + w, y + h)
    return result


def points(path):
    """Points along a path of M, C and H, close to each other."""
    x = y = 0.0
    for letter, text in re.findall(r"([MCH])([^MCHl]*)", path):
        numbers = [float(n) for n in text.split()]
        if letter == "M":
            x, y = numbers
            yield x, y
        elif letter == "H":
            for k in range(21):
                yield x + (numbers[0] - x) * k / 20, y
            x = numbers[0]
        else:
            ends = [(x, y), *zip(numbers[::2], numbers[1::2], strict=True)]
            for k in range(41):
                t = k / 40
                weights = ((1 - t) ** 3, 3 * t * (1 - t) ** 2, 3 * t * t * (1 - t), t**3)
                yield tuple(
                    sum(w * end[i] for w, end in zip(weights, ends, strict=True)) for i in (0, 1)
                )
            x, y = ends[-1]
