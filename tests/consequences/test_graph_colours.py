"""Colours, themes and other programs: the same picture, readable in each."""

from __future__ import annotations

import io
import random
import re

import networkx
import pytest

from configurator.consequences.graph_drawing import draw
from configurator.consequences.upgrade_graph import (
    Edge,
    as_dot,
    as_graphml,
    as_networkx,
    shortened,
)
from tests.consequences.pictures import PICTURES, SVG, layered, parsed


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

    def contrast(first, other):
        light, dark = sorted((luminance(colours[first]), luminance(colours[other])), reverse=True)
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
        for colour in before:
            assert networkx.descendants(before, colour) == networkx.descendants(after, colour)
