"""The drawing of what choices force: sound XML, nothing over anything, readable on paper."""

from __future__ import annotations

import io
import re
from itertools import combinations
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
)
from configurator.drawings.ink import legal
from tests.consequences.pictures import (
    PICTURES,
    SVG,
    chain,
    layered,
    names_of,
    parsed,
    points,
    rectangles,
)


@pytest.mark.parametrize("name", PICTURES)
def test_boxes_stand_apart_and_on_the_sheet(name):
    root = parsed(PICTURES[name])
    width, height = float(root.attrib["width"]), float(root.attrib["height"])
    boxes = rectangles(root)
    assert set(boxes) == {box.name for box in PICTURES[name].boxes}
    for left, top, right, bottom in boxes.values():
        assert left >= 0
        assert top >= 0
        assert right <= width
        assert bottom <= height
    for box, other in combinations(boxes.values(), 2):
        apart = (
            box[2] < other[0] or other[2] < box[0] or box[3] + 4 < other[1] or other[3] + 4 < box[1]
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
    style = root.find(f"{SVG}style").text
    for node in root.iter(f"{SVG}g"):
        if "data-position" not in node.attrib:
            continue
        left, top, right, bottom = rectangles(root)[node.attrib["data-position"]]
        for text in node.iter(f"{SVG}text"):
            bold = text.attrib["class"] == "name"
            rule = rf"\.{text.attrib['class']} {{[^}}]*font-size: ([0-9.]+)px"
            size = float(re.search(rule, style)[1])
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
        for entering in plan.entering.values():
            enters |= set(entering)
        assert leaves == enters == set(range(1, len(leaves) + 1))
    left, right = marks(parsed(PICTURES["a chain of 25"]))
    assert left == right == [1, 2, 3, 4]


DEEP = {"sixty boxes": layered(5, 60, 14), "ninety boxes": layered(7, 90, 6), "chain": chain(60)}


@pytest.mark.parametrize("name", DEEP)
def test_sheets_can_be_read_and_hold_every_box_once(name):
    picture = DEEP[name]
    sheets = [ElementTree.fromstring(page) for page in drawing.draw_pages(picture)]
    assert all(
        paper_scale(page) * graph_wrapping.TEXT_SIZE >= 2.0 for page in drawing.draw_pages(picture)
    )
    drawn = [place for sheet in sheets for place in rectangles(sheet)]
    assert sorted(drawn) == sorted(box.name for box in picture.boxes)
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
    for name, spot in sorted(layout.spots.items(), key=lambda entry: entry[1].y):
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
    placed = spaced(wanted, apart)
    assert len(placed) == len(wanted)
    for left, other, distance in zip(placed, placed[1:], apart, strict=False):
        assert other - left >= distance - 1e-6
    # Least squares leaves the mean where it was wanted.
    assert sum(placed) == pytest.approx(sum(wanted), abs=1e-6)


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
