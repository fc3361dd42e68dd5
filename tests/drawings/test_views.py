"""What is measured on a drawing, times its scale, is what the figures say."""

from __future__ import annotations

import math
import re

import pytest

from configurator.core import units
from configurator.core.errors import InputError
from configurator.drawings import DARK, LIGHT, OF_PAGE, draw, for_paper, ink
from configurator.drawings.front import front_view
from configurator.drawings.ink import contrast, legal
from configurator.drawings.shapes import Circle
from configurator.drawings.side import side_view
from configurator.drawings.svg import SCALES
from configurator.evaluation.evaluator import Evaluation
from configurator.model.parts import Missing
from tests.drawings.cases import (
    JOBS,
    SVG,
    evaluation,
    off_the_sheet,
    overlapping,
    package,
    parsed,
    texts,
    titled,
    without,
)

VIEWS = ("front", "rear", "wheel", "side")
# Coordinates are written to a thousandth of a millimetre of paper.
FINE = 0.0015


def value_of(found, name, choice):
    if name == "gap between front brake and barrel":
        barrel = found.attribute(choice["wheels"], "barrel diameter")
        return barrel / 2 - found.attribute(choice["front brakes"], "envelope radius")
    attribute, of, position = name.partition(" of the ")
    if of:
        return found.attribute(choice[position], attribute)
    if name in found.trade.figures:
        return found.figure(name, choice)
    return found.case.vehicle.values[name]


def dimensions(root):
    """Figure → length of its line on paper [mm]; what is asked is kept apart."""
    found, asked = {}, {}
    for group in root.iter(f"{SVG}g"):
        line = group.find(f"{SVG}line")
        if "data-figure" in group.attrib and line is not None:
            x1, y1, x2, y2 = (float(line.attrib[key]) for key in ("x1", "y1", "x2", "y2"))
            into = asked if "data-asked" in group.attrib else found
            into[group.attrib["data-figure"]] = math.hypot(x2 - x1, y2 - y1)
    return found, asked


def drawn(root, of="after"):
    (group,) = [g for g in root.iter(f"{SVG}g") if g.attrib.get("data-of") == of]
    return group


def paths(root, name, of="after"):
    return [p for p in drawn(root, of) if p.attrib["data-part"] == name]


def numbers(path):
    return [float(n) for n in re.findall(r"-?\d+(?:\.\d+)?", path.attrib["d"])]


def ground(root):
    return numbers(paths(root, "ground")[0])[1]


@pytest.mark.parametrize("job", JOBS)
@pytest.mark.parametrize("view", VIEWS)
@pytest.mark.parametrize("scale", [None, 25])
def test_dimensions_times_the_scale_are_the_figures(job, view, scale):
    found, choice = evaluation(job), package(job)
    drawing = draw(found, choice, view, scale=scale)
    assert scale in (None, drawing.scale)
    lengths, asked = dimensions(parsed(drawing))
    assert len(lengths) >= 5
    for name, length in lengths.items():
        real = units.from_si(value_of(found, name, choice), "mm")
        assert length * drawing.scale == pytest.approx(abs(real), abs=FINE * drawing.scale), name
    goals = {g.figure: g for g in found.case.job.goals}
    for name, length in asked.items():
        bound = goals[name].at_most or goals[name].at_least
        assert length * drawing.scale == pytest.approx(bound * 1000, abs=FINE * drawing.scale)


@pytest.mark.parametrize("job", JOBS)
@pytest.mark.parametrize("last", [False, True])
def test_an_axle_is_drawn_to_scale(job, last):
    found, choice = evaluation(job), package(job, last)
    drawing = draw(found, choice, "front")
    root, n = parsed(drawing), drawing.scale
    level, fine = ground(root), FINE * n * 2
    # The differential is a half circle that starts at the height of its middle.
    start = numbers(paths(root, "differential")[0])
    guard = found.attribute(choice["front diff guard"], "hangs below") * 1000
    lowest = (level - start[1] - start[2]) * n
    clearance = found.figure("clearance under front differential", choice) * 1000
    assert lowest == pytest.approx(clearance + guard, abs=fine)
    # A tyre from outside: from the start of its lower edge to the end, with both round corners.
    x, _, end, corner = numbers(paths(root, "tyre")[0])[:4]
    wide = (end - x + 2 * corner) * n
    assert wide == pytest.approx(found.figure("section width on the rim", choice) * 1000, abs=fine)
    # Disc of the wheel: its inner side is the mounting face, the offset outboard of the middle.
    (disc,) = paths(root, "wheel disc")
    face = numbers(disc)[0]
    lengths = [numbers(p) for p in paths(root, "rim")]
    middle = (lengths[0][0] + lengths[0][2]) / 2
    offset = found.attribute(choice["wheels"], "offset") * 1000
    assert offset or not last
    assert (face - middle) * n == pytest.approx(offset, abs=fine)
    rim = found.attribute(choice["wheels"], "rim width") * 1000
    assert (lengths[0][2] - lengths[0][0]) * n == pytest.approx(rim, abs=fine)


def box_of(view, name):
    """Left, bottom, right and top of everything of a name [mm]."""
    points = []
    for shape in view.shapes:
        if shape.name == name and isinstance(shape, Circle):
            (x, y), r = shape.centre, shape.radius
            points += [(x - r, y - r), (x + r, y + r)]
        elif shape.name == name:
            points += shape.points
    xs, ys = [x for x, _ in points], [y for _, y in points]
    return min(xs), min(ys), max(xs), max(ys)


def millimetres_of(found, choice):
    """Read a figure, a measure, or an attribute of a part, in millimetres."""

    def read(name, position=""):
        if position:
            value = found.attribute(choice[position], name)
        else:
            value = value_of(found, name, choice)
        return 0.0 if isinstance(value, Missing) else value * 1000

    return read


@pytest.mark.parametrize("job", JOBS)
@pytest.mark.parametrize("last", [False, True])
@pytest.mark.parametrize("axle", ["front", "rear"])
def test_every_part_of_an_axle_has_its_size(job, last, axle):
    found, choice = evaluation(job), package(job, last)
    of = millimetres_of(found, choice)
    view = front_view(found, choice, axle)
    middle, radius = of(f"{axle} track") / 2, of(f"{axle} static radius")
    height, face = of(f"{axle} axle height"), middle + of("offset", "wheels")
    own = face - of("added width", f"{axle} hub reductions")
    rim, barrel = of("rim diameter", "wheels") / 2, of("barrel diameter", "wheels") / 2
    half, brake = of("rim width", "wheels") / 2, of("envelope radius", f"{axle} brakes")
    wide = of("section width on the rim") / 2
    expected = {
        "tyre": (-middle - wide, 0.0, middle + wide, radius + of("tyre diameter") / 2),
        "rim": (middle - half, radius - rim, middle + half, radius + rim),
        "wheel disc": (
            face,
            radius - barrel,
            face + of("pad thickness", "wheels"),
            radius + barrel,
        ),
        "brake": (middle - half, radius - brake, face, radius + brake),
    }
    rims = [s for s in view.shapes if s.name == "rim"]
    assert min(y for s in rims for _, y in s.points if y > radius) == pytest.approx(radius + barrel)
    arch = of(f"{axle} width over arches") / 2 + of("stands out", f"{axle} arch extensions")
    assert box_of(view, "arch")[2:] == pytest.approx((arch, radius + of(f"{axle} arch room")))
    if found.case.vehicle.values.get(f"{axle} suspension") != "independent":
        tube = of("tube diameter", f"{axle} axle") / 2
        expected["axle tube"] = (wide - middle, height - tube, own, height + tube)
    if choice[f"{axle} hub reductions"].part.key != "none":
        beside = middle - wide - 30.0
        low = of(f"clearance under {axle} hub reduction")
        expected["hub box"] = (beside, low, face, height)
    names = {shape.name for shape in view.shapes}
    assert ("hub box" in names) == ("hub box" in expected)
    assert ("axle tube" in names) == ("axle tube" in expected)
    for name, box in expected.items():
        assert box_of(view, name) == pytest.approx(box, abs=1e-6), name


@pytest.mark.parametrize("job", JOBS)
@pytest.mark.parametrize("last", [False, True])
def test_every_part_of_the_side_has_its_size(job, last):
    found, choice = evaluation(job), package(job, last)
    of = millimetres_of(found, choice)
    view = side_view(found, choice)
    base = of("wheelbase")
    brakes = [s for s in view.shapes if s.name == "brake"]
    assert [s.radius for s in brakes] == pytest.approx(
        [of("envelope radius", "front brakes"), of("envelope radius", "rear brakes")]
    )
    length = of("sill length") / 2
    sill = (
        base / 2 - length,
        of("clearance beside the sill"),
        base / 2 + length,
        of("door sill height"),
    )
    assert box_of(view, "sill") == pytest.approx(sill)
    assert box_of(view, "entry")[1] == pytest.approx(of("entry height"))
    for axle, x, sign in (("front", 0.0, -1), ("rear", base, 1)):
        left, low, right, high = box_of(view, f"{axle} hard point")
        rise = of(f"{axle} hard point height") + of(f"{axle} body rise")
        assert (left + right) / 2 == pytest.approx(x + sign * of(f"{axle} hard point distance"))
        assert (low + high) / 2 == pytest.approx(rise)
        low, high = box_of(view, f"{axle} axle line")[1::2]
        assert high - low >= of(f"{axle} axle height") - of(f"{axle} static radius")
    left, low, right, high = box_of(view, "running clearance")
    assert ((left + right) / 2, (low + high) / 2) == pytest.approx(
        (base / 2, of("running clearance"))
    )


@pytest.mark.parametrize("job", JOBS)
def test_the_side_is_drawn_to_scale(job):
    found, choice = evaluation(job), package(job)
    drawing = draw(found, choice, "side")
    root, n = parsed(drawing), drawing.scale
    level = ground(root)
    rims = [c for c in drawn(root) if c.attrib["data-part"] == "rim"]
    at = [(float(c.attrib["cx"]), level - float(c.attrib["cy"])) for c in rims]
    wheelbase = found.case.vehicle.values["wheelbase"] * 1000
    assert (at[1][0] - at[0][0]) * n == pytest.approx(wheelbase, abs=2 * FINE * n)
    for (_, height), axle in zip(at, ("front", "rear"), strict=True):
        radius = found.figure(f"{axle} static radius", choice) * 1000
        assert height * n == pytest.approx(radius, abs=2 * FINE * n)
    diameter = found.figure("tyre diameter", choice) * 1000
    assert 2 * numbers(paths(root, "tyre")[0])[2] * n == pytest.approx(diameter, abs=4 * FINE * n)


@pytest.mark.parametrize("job", JOBS)
@pytest.mark.parametrize("last", [False, True])
def test_ramps_touch_the_tyre_and_the_hard_point(job, last):
    """Plane geometry: a tangent's distance from the centre is the radius."""
    found, choice = evaluation(job), package(job, last)
    view = side_view(found, choice)
    wheelbase = found.case.vehicle.values["wheelbase"] * 1000
    checked = 0
    for name, axle, x in (
        ("approach angle", "front", 0.0),
        ("departure angle", "rear", wheelbase),
    ):
        angle = found.figure(name, choice)
        ramps = [s for s in view.shapes if s.name == name]
        if angle is Missing.NOT_FITTED:
            assert not ramps
            continue
        ((foot, tip),) = [s.points for s in ramps]
        steep = math.atan2(tip[1] - foot[1], abs(tip[0] - foot[0]))
        assert steep == pytest.approx(angle, abs=1e-9)
        radius = found.figure(f"{axle} static radius", choice) * 1000
        ahead = abs(x - foot[0])
        away = ahead * math.sin(steep) + radius * math.cos(steep)
        assert away == pytest.approx(radius, abs=1e-6)
        sign = -1 if axle == "front" else 1
        values = found.case.vehicle.values
        height = values[f"{axle} hard point height"] + found.figure(f"{axle} body rise", choice)
        point = x + sign * values[f"{axle} hard point distance"] * 1000, height * 1000
        # The angle is rounded down by a tenth of a degree at most, so the point is just above.
        reach = math.hypot(point[0] - foot[0], point[1])
        above = (point[1] - (abs(point[0] - foot[0])) * math.tan(steep)) * math.cos(steep)
        assert -1e-6 <= above <= reach * math.radians(0.11)
        checked += 1
    assert checked
    (one, other) = [s.points for s in view.shapes if s.name == "breakover angle"]
    slopes = [math.atan2(p[1][1], abs(p[1][0] - p[0][0])) for p in (one, other)]
    assert sum(slopes) == pytest.approx(found.figure("breakover angle", choice), abs=1e-9)


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
        found = re.fullmatch(r"M([-\d.]+) ([-\d.]+)V([-\d.]+)", path.attrib["d"])
        if found:
            x, one, other = map(float, found.groups())
            upright.append((x, min(one, other), max(one, other)))
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
    found, choice = evaluation(JOBS[1]), package(JOBS[1])
    for width in (170.0, 250.0, 400.0):
        drawing = draw(found, choice, view, width=width)
        root = parsed(drawing)
        assert root.attrib["width"] == f"{width:g}mm"
        box = [float(n) for n in root.attrib["viewBox"].split()]
        assert box[:3] == [0.0, 0.0, width]
        assert root.attrib["height"] == f"{box[3]:g}mm"
        said = f"Scale 1:{drawing.scale} when printed {width:.0f} mm wide"
        assert any(said in t.text for t in root.iter(f"{SVG}text"))
        larger = [one for one in SCALES if one < drawing.scale]
        if larger:
            with pytest.raises(InputError, match="smaller scale"):
                draw(found, choice, view, width=width, scale=larger[-1])


@pytest.mark.parametrize(("system", "unit"), [(None, "mm"), ("imperial", "in")])
def test_the_bar_is_as_long_as_it_says(system, unit):
    drawing = draw(evaluation(JOBS[1]), package(JOBS[1]), "side", system=system)
    (bar,) = [g for g in parsed(drawing).iter(f"{SVG}g") if "data-bar" in g.attrib]
    length, said = bar.attrib["data-bar"].split()
    assert said == unit
    drawn_length = re.search(r"h([\d.]+)", bar.find(f"{SVG}path").attrib["d"])
    real = units.from_si(units.to_si(float(length), unit), "mm")
    assert float(drawn_length[1]) * drawing.scale == pytest.approx(real, abs=0.1)


def test_before_is_dashed_and_after_is_solid():
    root = parsed(draw(evaluation(JOBS[1]), package(JOBS[1]), "front"))
    for of, dashed in (("before", True), ("after", False)):
        for path in paths(root, "tyre", of):
            assert ("stroke-dasharray" in path.attrib) is dashed
    words = " ".join(t.text for t in root.iter(f"{SVG}text"))
    assert "Solid: with the package. Dashed and dotted: as it stands." in words
    assert " → " in words


def test_apart_shows_the_vehicle_as_it_stands_and_then():
    found, choice = evaluation(JOBS[1]), package(JOBS[1])
    root = parsed(draw(found, choice, "front", arrangement="apart"))
    words = [t.text for t in root.iter(f"{SVG}text")]
    assert words.index("as it stands") < words.index("with the package")
    lengths = [g for g in root.iter(f"{SVG}g") if g.attrib.get("data-figure") == "front track"]
    before, after = (float(g.attrib["data-value"]) for g in lengths if "data-asked" not in g.attrib)
    assert before == found.figure("front track", found.fitted)
    assert after == found.figure("front track", choice)


def test_a_vehicle_without_a_package_is_drawn_alone():
    found = evaluation(JOBS[1])
    root = parsed(draw(found, found.fitted, "side"))
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
    one = {"front": front_view, "side": side_view}[view]
    whole, poorer = (one(e, package(job)) for e in (evaluation(job), without(job, measure)))
    assert gone in {s.name for s in whole.shapes}
    assert gone not in {s.name for s in poorer.shapes}
    assert len(poorer.not_drawn) > len(whole.not_drawn)
    assert "not known" in " ".join(poorer.not_drawn)
    drawing = draw(without(job, measure), package(job), view)
    said = " ".join("".join(parsed(drawing).itertext()).split())
    assert "Not drawn: " in said


def test_a_point_within_reach_of_the_tyre_has_no_ramp_and_that_is_said():
    found = without(JOBS[1])
    found.case.vehicle.values.update({"front hard point distance": 0.3})
    view = side_view(Evaluation(found.case, found.trade), package(JOBS[1]))
    assert "approach angle" not in {shape.name for shape in view.shapes}
    assert "no approach angle: the tyre meets every ramp before the body does" in view.remarks
    assert "departure angle" in {shape.name for shape in view.shapes}


def test_without_the_load_on_the_axle_nothing_is_placed():
    found = without(JOBS[1], "laden front axle load")
    drawing = draw(found, package(JOBS[1]), "front")
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
    said = root.find(f"{SVG}desc").text
    for figure in dimensions(root)[0]:
        value = evaluation(JOBS[1]).figure(figure, package(JOBS[1]))
        assert f"{value * 1000:.0f} mm" in said


def test_colours_stand_out_and_others_are_refused():
    for one in (LIGHT, DARK):
        assert contrast(one.foreground, one.background) >= 4.5
        assert ink(one.foreground, one.background) == one
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
