"""The sheet of a drawing: its words, scale, colours, and what was not measured."""

from __future__ import annotations

import re

import pytest

from configurator.core import units
from configurator.core.errors import InputError
from configurator.drawings import DARK, LIGHT, OF_PAGE, draw, for_paper, ink
from configurator.drawings.front import front_view
from configurator.drawings.ink import contrast, legal
from configurator.drawings.side import side_view
from configurator.drawings.svg import SCALES
from configurator.evaluation.evaluator import Evaluation
from tests.drawings.cases import (
    JOBS,
    SVG,
    VIEWS,
    dimensions,
    evaluation,
    ground,
    off_the_sheet,
    overlapping,
    package,
    parsed,
    paths_of,
    texts,
    titled,
    without,
)


@pytest.mark.parametrize("job", JOBS)
@pytest.mark.parametrize("view", VIEWS)
@pytest.mark.parametrize("system", [None, "imperial"])
@pytest.mark.parametrize("arrangement", ["together", "apart"])
def test_words_cover_no_words_and_stay_on_the_sheet(job, view, system, arrangement):
    drawing = draw(evaluation(job), package(job), view, system=system, arrangement=arrangement)
    root = parsed(drawing)
    assert overlapping(root) == []
    assert off_the_sheet(root) == []


@pytest.mark.parametrize("job", JOBS)
def test_no_upright_line_of_a_dimension_runs_through_words_over_the_ground(job):
    root = parsed(draw(evaluation(job), package(job), "side"))
    upright = []
    for path in root.iterfind(f".//{SVG}g[@data-figure]/{SVG}path"):
        match = re.fullmatch(r"M([-\d.]+) ([-\d.]+)V([-\d.]+)", path.attrib["d"])
        if match:
            x, start, other = map(float, match.groups())
            upright.append((x, min(start, other), max(start, other)))
    assert len(upright) >= 6
    # As wide as the widest of the fonts that are asked for comes out.
    crossed = [
        (text, x)
        for text, (left, top, right, bottom) in texts(root, sign=0.6)
        for x, start, end in upright
        if bottom < ground(root)
        and left + 0.2 < x < right - 0.2
        and start < bottom - 0.3
        and end > top + 0.3
    ]
    assert crossed == []


@pytest.mark.parametrize("view", VIEWS)
def test_the_scale_stated_is_that_of_the_paper(view):
    judged, choice = evaluation(JOBS[1]), package(JOBS[1])
    for width in (170.0, 250.0, 400.0):
        drawing = draw(judged, choice, view, width=width)
        root = parsed(drawing)
        assert root.attrib["width"] == f"{width:g}mm"
        box = [float(n) for n in root.attrib["viewBox"].split()]
        assert box[:3] == [0.0, 0.0, width]
        assert root.attrib["height"] == f"{box[3]:g}mm"
        text = f"Scale 1:{drawing.scale} when printed {width:.0f} mm wide"
        assert any(text in t.text for t in root.iter(f"{SVG}text"))
        larger = [scale for scale in SCALES if scale < drawing.scale]
        if larger:
            with pytest.raises(InputError, match="smaller scale"):
                draw(judged, choice, view, width=width, scale=larger[-1])


@pytest.mark.parametrize(("system", "unit"), [(None, "mm"), ("imperial", "in")])
def test_the_bar_is_as_long_as_it_says(system, unit):
    drawing = draw(evaluation(JOBS[1]), package(JOBS[1]), "side", system=system)
    (bar,) = [g for g in parsed(drawing).iter(f"{SVG}g") if "data-bar" in g.attrib]
    length, shown_unit = bar.attrib["data-bar"].split()
    assert shown_unit == unit
    drawn_length = re.search(r"h([\d.]+)", bar.find(f"{SVG}path").attrib["d"])
    real = units.from_si(units.to_si(float(length), unit), "mm")
    assert float(drawn_length[1]) * drawing.scale == pytest.approx(real, abs=0.1)


def test_before_is_dashed_and_after_is_solid():
    root = parsed(draw(evaluation(JOBS[1]), package(JOBS[1]), "front"))
    for of, dashed in (("before", True), ("after", False)):
        for path in paths_of(root, "tyre", of):
            assert ("stroke-dasharray" in path.attrib) is dashed
    words = " ".join(t.text for t in root.iter(f"{SVG}text"))
    assert "Solid: with the package. Dashed and dotted: as it stands." in words
    assert " → " in words


def test_apart_shows_the_vehicle_as_it_stands_and_then():
    judged, choice = evaluation(JOBS[1]), package(JOBS[1])
    root = parsed(draw(judged, choice, "front", arrangement="apart"))
    words = [t.text for t in root.iter(f"{SVG}text")]
    assert words.index("as it stands") < words.index("with the package")
    lengths = [g for g in root.iter(f"{SVG}g") if g.attrib.get("data-figure") == "front track"]
    before, after = (float(g.attrib["data-value"]) for g in lengths if "data-asked" not in g.attrib)
    assert before == judged.figure("front track", judged.fitted)
    assert after == judged.figure("front track", choice)


def test_a_vehicle_without_a_package_is_drawn_alone():
    judged = evaluation(JOBS[1])
    root = parsed(draw(judged, judged.fitted, "side"))
    assert [g.attrib["data-of"] for g in root.iter(f"{SVG}g") if "data-of" in g.attrib] == ["after"]
    assert "→" not in "".join(root.itertext())


@pytest.mark.parametrize(
    ("view", "measure", "gone"),
    [
        ("front", "front width over arches", "arch"),
        ("side", "front hard point height", "front hard point"),
        ("side", "sill length", "sill"),
        ("side", "body underside height", "breakover angle"),
    ],
)
def test_what_was_not_measured_is_left_out_and_listed(view, measure, gone):
    job = JOBS[1]
    make_view = {"front": front_view, "side": side_view}[view]
    whole, poorer = (make_view(e, package(job)) for e in (evaluation(job), without(job, measure)))
    assert gone in {s.name for s in whole.shapes}
    assert gone not in {s.name for s in poorer.shapes}
    assert len(poorer.not_drawn) > len(whole.not_drawn)
    assert "not known" in " ".join(poorer.not_drawn)
    drawing = draw(without(job, measure), package(job), view)
    text = " ".join("".join(parsed(drawing).itertext()).split())
    assert "Not drawn: " in text


def test_a_point_within_reach_of_the_tyre_has_no_ramp_and_that_is_said():
    unmeasured = without(JOBS[1])
    unmeasured.case.vehicle.values.update({"front hard point distance": 0.3})
    view = side_view(Evaluation(unmeasured.case, unmeasured.trade), package(JOBS[1]))
    assert "approach angle" not in {shape.name for shape in view.shapes}
    assert "no approach angle: the tyre meets every ramp before the body does" in view.remarks
    assert "departure angle" in {shape.name for shape in view.shapes}


def test_without_the_load_on_the_axle_nothing_is_placed():
    unmeasured = without(JOBS[1], "laden front axle load")
    drawing = draw(unmeasured, package(JOBS[1]), "front")
    assert not drawing.drawn
    assert "front static radius: not known" in drawing.not_drawn
    assert "front static radius: not known" in "".join(parsed(drawing).itertext())


def test_every_measure_may_be_missing():
    job = JOBS[1]
    for measure in evaluation(job).case.vehicle.values:
        for view in VIEWS:
            parsed(draw(without(job, measure), package(job), view))


HOSTILE = '<script>alert("1")</script>&amp;]]>\x00\x1b[31m\ufffe"\'\\ =' + "w" * 300


@pytest.mark.parametrize("view", [*VIEWS, "speeds"])
def test_text_of_catalogs_is_text_and_nothing_else(view):
    drawing = draw(titled(JOBS[1], HOSTILE), package(JOBS[1]), view)
    root = parsed(drawing)
    known = {"svg", "title", "desc", "rect", "text", "g", "path", "circle", "line"}
    assert {element.tag.removeprefix(SVG) for element in root.iter()} <= known
    assert not any(key.startswith("on") for e in root.iter() for key in e.attrib)
    assert "http" not in drawing.svg.replace('"http://www.w3.org/2000/svg"', "")
    assert root.find(f"{SVG}title").text.startswith(legal(HOSTILE))
    assert off_the_sheet(root) == []


def test_the_same_is_said_in_words():
    drawing = draw(evaluation(JOBS[1]), package(JOBS[1]), "front")
    root = parsed(drawing)
    assert root.attrib["role"] == "img"
    assert root.attrib["aria-label"] == root.find(f"{SVG}title").text == drawing.title
    text = root.find(f"{SVG}desc").text
    for figure in dimensions(root)[0]:
        value = evaluation(JOBS[1]).figure(figure, package(JOBS[1]))
        assert f"{value * 1000:.0f} mm" in text


def test_colours_stand_out_and_others_are_refused():
    for theme in (LIGHT, DARK):
        assert contrast(theme.foreground, theme.background) >= 4.5
        assert ink(theme.foreground, theme.background) == theme
    with pytest.raises(InputError, match="contrast"):
        ink("#888888", "#ffffff")
    with pytest.raises(InputError, match="no colour"):
        ink('"/><script>', "#ffffff")
    drawing = draw(evaluation(JOBS[1]), package(JOBS[1]), "front", ink=OF_PAGE)
    assert set(re.findall(r"#[0-9a-f]{6}", drawing.svg)) == set()
    colours = set(re.findall(r'(?:fill|stroke)="([^"]+)"', drawing.svg))
    # Words have a ground in the colour of the page, where the page says which that is.
    assert colours == {"none", "currentColor", "var(--st-background-color, none)"}


def test_only_the_two_colours_are_used():
    drawing = draw(evaluation(JOBS[1]), package(JOBS[1]), "side", ink=DARK)
    used = set(re.findall(r"#[0-9a-fA-F]{6}", drawing.svg))
    assert used == {DARK.foreground, DARK.background}


def test_paper_gets_every_view_at_its_scale():
    drawings = for_paper(evaluation(JOBS[1]), package(JOBS[1]))
    assert [d.width for d in drawings] == [170.0] * 4
    assert [d.scale > 0 for d in drawings] == [True, True, True, False]
    assert all(d.drawn and d.height < 257 for d in drawings)
    with pytest.raises(InputError, match="too narrow"):
        for_paper(evaluation(JOBS[1]), package(JOBS[1]), width=40.0)


@pytest.mark.parametrize("job", JOBS)
def test_words_over_the_body_stand_on_a_field_of_their_own(job):
    """In a language with long words they lie over the outline: its lines end beside them."""
    long_words = {"text": lambda text: text.replace("approach", "Böschungswinkel vorn")}
    root = parsed(draw(evaluation(job), package(job), "side", **long_words))
    rows = [
        (field, words)
        for group in root.iterfind(f".//{SVG}g[@data-figure]")
        for field, words in zip(
            group.iterfind(f"{SVG}rect[@data-ground]"), group.iterfind(f"{SVG}text"), strict=False
        )
    ]
    assert any("Böschungswinkel" in (words.text or "") for _, words in rows)
    for field, words in rows:
        left, width = float(field.attrib["x"]), float(field.attrib["width"])
        x = float(words.attrib["x"])
        assert left - 0.1 <= x <= left + width + 0.1
        assert width >= 0.5 * len(words.text or "") * float(words.attrib["font-size"])
