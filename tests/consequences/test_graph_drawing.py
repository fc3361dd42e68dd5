"""The drawing of what choices force: sound XML, nothing over anything, readable on paper."""

from __future__ import annotations

import io
import random
import re
from itertools import combinations, pairwise
from xml.etree import ElementTree

import networkx
import pytest
from hypothesis import given
from hypothesis import strategies as st

from configurator.consequences import graph_drawing as drawing
from configurator.consequences import graph_wrapping
from configurator.consequences.graph_drawing import draw, paper_scale, sentences
from configurator.consequences.graph_layout import crossings, lay_out, spaced
from configurator.consequences.upgrade_graph import (
    Box,
    Edge,
    Picture,
    as_dot,
    as_graphml,
    as_networkx,
    rounds,
    shortened,
)
from configurator.drawings.ink import legal

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
    found = {}
    for node in root.iter(f"{SVG}g"):
        if "data-position" in node.attrib:
            rect = node.find(f"{SVG}rect")
            x, y, w, h = (float(rect.attrib[k]) for k in ("x", "y", "width", "height"))
            found[node.attrib["data-position"]] = (x, y, x + w, y + h)
    return found


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


@pytest.mark.parametrize("name", PICTURES)
def test_boxes_stand_apart_and_on_the_sheet(name):
    root = parsed(PICTURES[name])
    width, height = float(root.attrib["width"]), float(root.attrib["height"])
    found = rectangles(root)
    assert set(found) == {box.name for box in PICTURES[name].boxes}
    for left, top, right, bottom in found.values():
        assert left >= 0
        assert top >= 0
        assert right <= width
        assert bottom <= height
    for one, other in combinations(found.values(), 2):
        apart = (
            one[2] < other[0] or other[2] < one[0] or one[3] + 4 < other[1] or other[3] + 4 < one[1]
        )
        assert apart


@pytest.mark.parametrize("name", PICTURES)
def test_lines_pass_no_box(name):
    root = parsed(PICTURES[name])
    boxes = rectangles(root)
    drawn = 0
    for path in root.iter(f"{SVG}path"):
        if not path.attrib["class"].startswith("line"):
            continue
        drawn += 1
        for x, y in points(path.attrib["d"]):
            for place, (left, top, right, bottom) in boxes.items():
                inside = left + 0.2 < x < right - 0.2 and top - 1 < y < bottom + 1
                assert not inside, place
    in_set = {p for group in PICTURES[name].sets for p in group}
    between = [line for line in PICTURES[name].lines if not {line.source, line.target} <= in_set]
    assert drawn == len(between)


@pytest.mark.parametrize("name", PICTURES)
def test_labels_stay_in_their_boxes(name):
    root = parsed(PICTURES[name])
    for node in root.iter(f"{SVG}g"):
        if "data-position" not in node.attrib:
            continue
        left, top, right, bottom = rectangles(root)[node.attrib["data-position"]]
        for text in node.iter(f"{SVG}text"):
            bold = text.attrib["class"] == "name"
            size = drawing.NAME_SIZE if bold else graph_wrapping.TEXT_SIZE
            # A wide mean of a sans-serif face, wider still in bold.
            length = len(text.text) * size * (0.58 if bold else 0.53)
            x, y = float(text.attrib["x"]), float(text.attrib["y"])
            assert left < x
            assert x + length <= right + 2
            assert top < y - size * 0.7
            assert y < bottom


def test_sets_are_framed():
    root = parsed(PICTURES["round"])
    (frame,) = [r for r in root.iter(f"{SVG}rect") if r.attrib["class"] == "frame"]
    x, y, w, h = (float(frame.attrib[k]) for k in ("x", "y", "width", "height"))
    for name, (left, top, right, bottom) in rectangles(root).items():
        inside = x < left and right < x + w and y < top and bottom < y + h
        assert inside == (name in "abc")


@pytest.mark.parametrize("name", [name for name in PICTURES if len(PICTURES[name].boxes) > 8])
def test_forty_boxes_can_be_read_on_a_sheet_of_paper(name):
    scale = paper_scale(draw(PICTURES[name]))
    assert scale * graph_wrapping.TEXT_SIZE >= 2.0  # mm: type of 5.7 points
    assert scale * graph_wrapping.TEXT_SIZE <= 12.0


def marks(root):
    """The numbers in the marks that lines run into, and in those they come out of."""
    left, right = [], []
    where = {}
    for rect in root.iter(f"{SVG}rect"):
        if rect.attrib["class"] == "mark":
            x, y, width = (float(rect.attrib[k]) for k in ("x", "y", "width"))
            where[round(x + width / 2, 0), round(y, 0)] = x
    boxes = rectangles(root).values()
    for text in root.iter(f"{SVG}text"):
        at = round(float(text.attrib["x"]), 0), round(float(text.attrib["y"]) - 13.2, 0)
        near = [x for (mx, my), x in where.items() if abs(mx - at[0]) + abs(my - at[1]) <= 2]
        if near and re.fullmatch(r"[0-9 ]+", text.text):
            rightmost = all(near[0] > box[0] for box in boxes)
            (right if rightmost else left).extend(int(n) for n in text.text.split())
    return left, right


def test_a_line_that_goes_on_in_another_row_has_the_same_number_there():
    for name in ("twelve ranks", "a chain of 25"):
        picture = PICTURES[name]
        plan = graph_wrapping.planned(lay_out(picture, {b.name: 62.0 for b in picture.boxes}), 3)
        leaves, enters = set(plan.numbers.values()), set()
        for found in plan.entering.values():
            enters |= set(found)
        assert leaves == enters == set(range(1, len(leaves) + 1))
    left, right = marks(parsed(PICTURES["a chain of 25"]))
    assert left == right == [1, 2, 3, 4]


DEEP = {"sixty boxes": layered(5, 60, 14), "ninety boxes": layered(7, 90, 6), "chain": chain(60)}


@pytest.mark.parametrize("name", DEEP)
def test_sheets_can_be_read_and_hold_every_box_once(name):
    picture = DEEP[name]
    sheets = [ElementTree.fromstring(one) for one in drawing.draw_pages(picture)]
    assert all(
        paper_scale(one) * graph_wrapping.TEXT_SIZE >= 2.0 for one in drawing.draw_pages(picture)
    )
    found = [place for sheet in sheets for place in rectangles(sheet)]
    assert sorted(found) == sorted(box.name for box in picture.boxes)
    for k, sheet in enumerate(sheets, 1):
        boxes = rectangles(sheet)
        assert sheet.find(f"{SVG}title").text.endswith(
            f"sheet {k} of {len(sheets)}" if len(sheets) > 1 else picture.title
        )
        for path in sheet.iter(f"{SVG}path"):
            if not path.attrib["class"].startswith("line"):
                continue
            for x, y in points(path.attrib["d"]):
                assert not any(
                    left + 0.2 < x < right - 0.2 and top - 1 < y < bottom + 1
                    for left, top, right, bottom in boxes.values()
                )
        for rect in sheet.iter(f"{SVG}rect"):
            if rect.attrib["class"] != "mark":
                continue
            x, y, w, h = (float(rect.attrib[k]) for k in ("x", "y", "width", "height"))
            assert x >= 0
            assert x + w <= float(sheet.attrib["width"])
            assert not any(
                x < right and left < x + w and y < bottom and top < y + h
                for left, top, right, bottom in boxes.values()
            )


def test_a_picture_that_fits_one_sheet_is_one_sheet():
    (page,) = drawing.draw_pages(PICTURES["eight"])
    assert ElementTree.fromstring(page).find(f"{SVG}title").text == PICTURES["eight"].title


@pytest.mark.parametrize("seed", range(6))
def test_ordering_does_not_add_crossings(seed):
    picture = layered(seed)
    heights = {box.name: 40.0 for box in picture.boxes}
    layout = lay_out(picture, heights)
    # Count on the drawing itself, between the ends of lines of neighbouring ranks.
    order = [[] for _ in range(layout.ranks)]
    for name, spot in sorted(layout.spots.items(), key=lambda one: one[1].y):
        order[spot.rank].append((name, -1))
    links = [
        ((line.source, -1), (line.target, -1))
        for line in picture.lines
        if layout.spots[line.target].rank - layout.spots[line.source].rank == 1
    ]
    declared = [sorted(row, key=lambda slot: names_of(40).index(slot[0])) for row in order]
    assert crossings(order, links) <= crossings(declared, links)


@given(
    st.lists(st.floats(-1e3, 1e3), min_size=1, max_size=12),
    st.lists(st.floats(0, 50), min_size=12, max_size=12),
)
def test_spacing_keeps_order_and_distance(wanted, gaps):
    apart = gaps[: len(wanted) - 1]
    found = spaced(wanted, apart)
    assert len(found) == len(wanted)
    for one, other, distance in zip(found, found[1:], apart, strict=False):
        assert other - one >= distance - 1e-6
    # Least squares leaves the mean where it was wanted.
    assert sum(found) == pytest.approx(sum(wanted), abs=1e-6)


HOSTILE = '<script>alert("1")</script>&amp;]]>\x00\x1b[31m\ufffe"\'\\ ='


@pytest.mark.parametrize("interactive", [False, True])
def test_catalog_text_is_text_and_nothing_else(interactive):
    boxes = (Box("hub", (HOSTILE,), True), Box(HOSTILE, (HOSTILE,), False))
    picture = Picture(HOSTILE, boxes, (Edge("hub", HOSTILE, (HOSTILE,), True),), ())
    svg = draw(picture, interactive=interactive)
    root = ElementTree.fromstring(svg)
    known = {"svg", "title", "desc", "style", "rect", "text", "g", "path"}
    assert {element.tag.removeprefix(SVG) for element in root.iter()} == known
    assert not any(key.startswith("on") for e in root.iter() for key in e.attrib)
    assert "http" not in svg.replace('"http://www.w3.org/2000/svg"', "")
    assert root.find(f"{SVG}title").text == legal(HOSTILE)
    graph = networkx.read_graphml(io.BytesIO(as_graphml(picture).encode()))
    assert len(graph) == 2
    assert '"' not in re.sub(r'\\.|"(?:\\.|[^"\\])*"', "", as_dot(picture))


def test_the_same_is_said_in_words():
    picture = PICTURES["round"]
    root = parsed(picture)
    assert root.attrib["role"] == "img"
    title, desc = root.find(f"{SVG}title"), root.find(f"{SVG}desc")
    assert root.attrib["aria-labelledby"] == title.attrib["id"]
    assert root.attrib["aria-describedby"] == desc.attrib["id"]
    for sentence in sentences(picture):
        assert sentence in desc.text
    assert "a, b, c come as a set." in desc.text
    assert "c forces d" in desc.text


def test_boxes_can_take_the_focus_where_a_page_listens():
    root = parsed(PICTURES["eight"], interactive=True)
    assert root.attrib["role"] == "group"
    nodes = [g for g in root.iter(f"{SVG}g") if "data-position" in g.attrib]
    assert len(nodes) == 8
    for node in nodes:
        assert (node.attrib["tabindex"], node.attrib["role"]) == ("0", "button")
        assert node.attrib["aria-label"].startswith(node.attrib["data-position"])


def luminance(colour):
    """Relative luminance (WCAG 2.2, definition)."""
    channels = [int(colour[k : k + 2], 16) / 255 for k in (1, 3, 5)]
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


@pytest.mark.parametrize("theme", ["light", "dark"])
def test_text_and_lines_stand_out(theme):
    style = parsed(PICTURES["eight"], theme=theme).find(f"{SVG}style").text
    # Written out, for readers that know no variables.
    assert "@media" not in style
    assert "var(" not in style
    light, dark = parsed(PICTURES["eight"]).find(f"{SVG}style").text.split("@media")
    of_theme = light if theme == "light" else dark
    colours = dict(re.findall(r"--([\w-]+): (#\w{6});", of_theme))
    assert set(re.findall(r"#\w{6}", style)) == set(colours.values())

    def contrast(one, other):
        light, dark = sorted((luminance(colours[one]), luminance(colours[other])), reverse=True)
        return (light + 0.05) / (dark + 0.05)

    for text, ground in (
        ("ink", "paper"),
        ("ink", "box"),
        ("ink", "chosen"),
        ("soft", "box"),
        ("soft", "chosen"),
        ("soft", "paper"),
        ("frame", "paper"),
    ):
        assert contrast(text, ground) >= 4.5, (text, ground)
    for mark in ("line", "edge", "chosen-edge", "frame"):
        assert contrast(mark, "paper") >= 3.0, mark


def test_the_theme_follows_the_reader_unless_told_and_paper_is_light():
    style = parsed(PICTURES["eight"]).find(f"{SVG}style").text
    assert "@media screen and (prefers-color-scheme: dark)" in style
    assert style.index("#ffffff") < style.index("@media")


def test_the_same_picture_every_time():
    assert draw(layered(5)) == draw(layered(5))


def test_other_programs_get_the_same_graph():
    picture = PICTURES["layered"]
    graph = networkx.read_graphml(io.BytesIO(as_graphml(picture).encode()))
    assert set(graph) == {box.name for box in picture.boxes}
    assert set(graph.edges) == {(line.source, line.target) for line in picture.lines}
    assert all(data["because"] == "a rule" for _, _, data in graph.edges(data=True))
    assert as_networkx(picture).graph["name"] == picture.title
    assert as_dot(picture).count(" -> ") == len(picture.lines)


def test_leaving_out_indirect_lines_loses_no_way():
    for seed in range(20):
        chance = random.Random(seed)
        names = "abcdefg"
        lines = [
            Edge(a, b, (), chance.random() < 0.4, tuple("x" * chance.randint(1, 3)))
            for a in names
            for b in names
            if a != b and chance.random() < 0.3
        ]
        kept = shortened(lines)
        assert [line for line in lines if line.direct] == [line for line in kept if line.direct]
        before = networkx.DiGraph((line.source, line.target) for line in lines)
        after = networkx.DiGraph((line.source, line.target) for line in kept)
        after.add_nodes_from(before)
        for one in before:
            assert networkx.descendants(before, one) == networkx.descendants(after, one)
