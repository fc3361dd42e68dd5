"""Charts say what the figures say, at round steps, in both systems of units."""

from __future__ import annotations

import math
import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from configurator.core import units
from configurator.core.errors import InputError
from configurator.drawings import draw
from configurator.drawings.axes import in_rows, tick_words, ticks
from configurator.drawings.speed_chart import speeds_of
from tests.drawings.cases import (
    JOBS,
    SVG,
    evaluation,
    off_the_sheet,
    overlapping,
    package,
    parsed,
    without,
)

SYSTEMS = (None, "imperial")


@given(st.floats(-1e6, 1e6, allow_nan=False), st.floats(1e-3, 1e6), st.integers(3, 12))
def test_steps_are_round_and_reach_over_everything(low, length, most):
    marks = ticks(low, low + length, most)
    assert 2 <= len(marks) <= most + 2
    assert marks[0] <= low + 1e-6 * length
    assert marks[-1] >= low + length - 1e-6 * length
    step = marks[1] - marks[0]
    leading = step / 10 ** math.floor(math.log10(step) + 1e-6)
    assert round(leading, 3) in (1.0, 2.0, 5.0, 10.0)


def test_one_value_alone_has_an_axis_round_it():
    marks = ticks(300.0, 300.0)
    assert marks[0] < 300.0 < marks[-1]
    assert tick_words(marks[1])


@given(st.lists(st.tuples(st.floats(0, 100), st.floats(1, 30)), max_size=12))
def test_names_cover_neither_each_other_nor_the_lines_up_to_them(given_spans):
    spans = sorted((start, start + length) for start, length in given_spans)
    rows = in_rows(spans)
    assert sorted(set(rows)) == list(range(max(rows, default=-1) + 1))
    for k, (_, end) in enumerate(spans):
        for j in range(k + 1, len(spans)):
            # A line runs from the field up to where its name starts, through all lower rows.
            assert rows[j] < rows[k] or end <= spans[j][0]


def axis(root, anchor):
    """How a coordinate is turned into the number its axis shows, from its first and last step."""
    group = next(g for g in root.iter(f"{SVG}g") if "data-axes" in g.attrib)
    lines = [p.attrib["d"] for p in group if "V" in p.attrib["d"] and "H" not in p.attrib["d"]]
    if anchor == "end":
        lines = [p.attrib["d"] for p in group if "H" in p.attrib["d"] and "V" not in p.attrib["d"]]
    k = 0 if anchor == "middle" else 1
    places = [float(re.findall(r"-?[\d.]+", d)[k]) for d in lines]
    shown = [
        float(t.text)
        for t in root.iter(f"{SVG}text")
        if t.attrib["text-anchor"] == anchor and re.fullmatch(r"-?[\d.]+", t.text)
    ]
    assert len(places) == len(shown) >= 3
    slope = (shown[-1] - shown[0]) / (places[-1] - places[0])
    return lambda at: shown[0] + (at - places[0]) * slope


@pytest.mark.parametrize("job", JOBS)
@pytest.mark.parametrize("system", SYSTEMS)
def test_the_top_gear_passes_through_the_speed_at_cruise(job, system):
    judged, choice = evaluation(job), package(job)
    drawing = draw(judged, choice, "speeds", system=system)
    root = parsed(drawing)
    across, up = axis(root, "middle"), axis(root, "end")
    road = "mph" if system else "km/h"
    cruise = units.from_si(judged.constants["condition: cruising speed"], road)
    for of, text in (("before", judged.fitted), ("after", choice)):
        (group,) = [g for g in root.iter(f"{SVG}g") if g.attrib.get("data-of") == of]
        lines = {line.attrib["data-gear"]: line for line in group}
        assert list(lines)[:3] == ["lowest gear, low range", "lowest gear", "second gear"]
        assert list(lines)[-1] == "top gear"
        x1, y1, x2, y2 = (float(lines["top gear"].attrib[k]) for k in ("x1", "y1", "x2", "y2"))
        assert (across(x1), up(y1)) == pytest.approx((0.0, 0.0), abs=0.01)
        rpm = cruise * up(y2) / across(x2)
        real = units.from_si(judged.figure("engine speed at cruise", text), "rpm")
        # The figure is rounded to 10 rpm.
        assert rpm == pytest.approx(real, abs=5.5)
    assert overlapping(root) == []
    assert off_the_sheet(root) == []


def test_a_gear_ends_at_the_highest_engine_speed_or_at_the_end_of_the_axis():
    judged, choice = evaluation(JOBS[1]), package(JOBS[1])
    root = parsed(draw(judged, choice, "speeds"))
    up = axis(root, "end")
    limit = units.from_si(judged.case.vehicle.values["highest engine speed"], "rpm")
    ends = {
        line.attrib["data-gear"]: up(float(line.attrib["y2"]))
        for line in root.iter(f"{SVG}line")
        if "data-gear" in line.attrib
    }
    assert ends["lowest gear"] == pytest.approx(limit, abs=1.0)
    assert ends["top gear"] < limit


def test_the_box_is_what_was_asked():
    job = "hut-track-wagon"
    judged = evaluation(job)
    root = parsed(draw(judged, package(job), "speeds"))
    across, up = axis(root, "middle"), axis(root, "end")
    (box,) = [r for r in root.iter(f"{SVG}rect") if "data-goal" in r.attrib]
    x, y, width, height = (float(box.attrib[k]) for k in ("x", "y", "width", "height"))
    (goal,) = [g for g in judged.case.job.goals if g.figure == "engine speed at cruise"]
    assert up(y) == pytest.approx(units.from_si(goal.at_most, "rpm"), abs=1.0)
    assert up(y + height) == pytest.approx(units.from_si(goal.at_least, "rpm"), abs=1.0)
    assert across(x + width / 2) == pytest.approx(100.0, abs=0.1)


@pytest.mark.parametrize("system", SYSTEMS)
def test_every_gear_that_has_a_ratio_is_drawn(system):
    judged, choice = evaluation("hut-track-wagon"), package("hut-track-wagon")
    speeds = speeds_of(judged, choice)
    assert [gear.name for gear in speeds.gears] == [
        "lowest gear, low range",
        "lowest gear",
        "second gear",
        "third gear",
        "fourth gear",
        "fifth gear",
        "top gear",
    ]
    assert speeds.not_drawn == ()
    root = parsed(draw(judged, choice, "speeds", system=system))
    assert overlapping(root) == []
    assert off_the_sheet(root) == []


def test_gears_without_a_ratio_are_named():
    job, choice = JOBS[1], package(JOBS[1])
    between = [f"{name} gear ratio" for name in ("second", "third", "fourth", "fifth")]
    gap = speeds_of(without(job, "third gear ratio"), choice)
    assert gap.not_drawn == ("third gear ratio: not known",)
    speeds = speeds_of(without(job, *between), choice)
    assert "gears between the lowest and the top one: no ratios of them" in speeds.not_drawn
    poorer = speeds_of(without(job, *between, "top gear ratio"), choice)
    assert "top gear ratio: not known" in poorer.not_drawn
    assert [g.name for g in poorer.gears] == ["lowest gear, low range", "lowest gear"]


@pytest.mark.parametrize("job", JOBS)
def test_every_gear_of_the_demos_vehicles_is_drawn_and_each_turns_slower_than_the_one_below(job):
    speeds = speeds_of(evaluation(job), package(job))
    assert speeds.not_drawn == ()
    assert len(speeds.gears) >= 6
    slopes = [gear.slope for gear in speeds.gears]
    assert slopes == sorted(slopes, reverse=True)


def test_without_the_engine_there_is_no_chart_but_a_reason():
    drawing = draw(without(JOBS[1], "highest engine speed"), package(JOBS[1]), "speeds")
    assert not drawing.drawn
    assert "highest engine speed: not known" in "".join(parsed(drawing).itertext())


def test_a_chart_has_no_scale():
    with pytest.raises(InputError, match="no scale"):
        draw(evaluation(JOBS[1]), package(JOBS[1]), "speeds", scale=20)
    with pytest.raises(InputError, match="too narrow"):
        draw(evaluation(JOBS[1]), package(JOBS[1]), "speeds", width=50.0)
