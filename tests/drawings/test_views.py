"""What is measured on a drawing, times its scale, is what the figures say."""

from __future__ import annotations

import math

import pytest

from configurator.core import units
from configurator.drawings import draw
from configurator.drawings.front import front_view
from configurator.drawings.shapes import Circle
from configurator.drawings.side import side_view
from configurator.model.parts import Missing
from tests.drawings.cases import (
    JOBS,
    VIEWS,
    dimensions,
    drawn,
    evaluation,
    ground,
    numbers,
    package,
    parsed,
    paths_of,
)

# Coordinates are written to a thousandth of a millimetre of paper.
FINE = 0.0015


def value_of(judged, name, choice):
    if name == "gap between front brake and barrel":
        barrel = judged.attribute(choice["wheels"], "barrel diameter")
        return barrel / 2 - judged.attribute(choice["front brakes"], "envelope radius")
    attribute, of, position = name.partition(" of the ")
    if of:
        return judged.attribute(choice[position], attribute)
    if name in judged.trade.figures:
        return judged.figure(name, choice)
    return judged.case.vehicle.values[name]


@pytest.mark.parametrize("job", JOBS)
@pytest.mark.parametrize("view", VIEWS)
@pytest.mark.parametrize("scale", [None, 25])
def test_dimensions_times_the_scale_are_the_figures(job, view, scale):
    judged, choice = evaluation(job), package(job)
    drawing = draw(judged, choice, view, scale=scale)
    assert scale in (None, drawing.scale)
    lengths, asked = dimensions(parsed(drawing))
    assert len(lengths) >= 5
    for name, length in lengths.items():
        real = units.from_si(value_of(judged, name, choice), "mm")
        assert length * drawing.scale == pytest.approx(abs(real), abs=FINE * drawing.scale), name
    goals = {g.figure: g for g in judged.case.job.goals}
    for name, length in asked.items():
        bound = goals[name].at_most or goals[name].at_least
        assert length * drawing.scale == pytest.approx(bound * 1000, abs=FINE * drawing.scale)


@pytest.mark.parametrize("job", JOBS)
@pytest.mark.parametrize("last", [False, True])
def test_an_axle_is_drawn_to_scale(job, last):
    judged, choice = evaluation(job), package(job, last)
    drawing = draw(judged, choice, "front")
    root, n = parsed(drawing), drawing.scale
    level, fine = ground(root), FINE * n * 2
    # The differential is a half circle that starts at the height of its middle.
    start = numbers(paths_of(root, "differential")[0])
    guard = judged.attribute(choice["front diff guard"], "hangs below") * 1000
    lowest = (level - start[1] - start[2]) * n
    clearance = judged.figure("clearance under front differential", choice) * 1000
    assert lowest == pytest.approx(clearance + guard, abs=fine)
    # A tyre from outside: from the start of its lower edge to the end, with both round corners.
    x, _, end, corner = numbers(paths_of(root, "tyre")[0])[:4]
    wide = (end - x + 2 * corner) * n
    assert wide == pytest.approx(judged.figure("section width on the rim", choice) * 1000, abs=fine)
    # Disc of the wheel: its inner side is the mounting face, the offset outboard of the middle.
    (disc,) = paths_of(root, "wheel disc")
    face = numbers(disc)[0]
    lengths = [numbers(p) for p in paths_of(root, "rim")]
    middle = (lengths[0][0] + lengths[0][2]) / 2
    offset = judged.attribute(choice["wheels"], "offset") * 1000
    assert offset or not last
    assert (face - middle) * n == pytest.approx(offset, abs=fine)
    rim = judged.attribute(choice["wheels"], "rim width") * 1000
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


def millimetres_of(judged, choice):
    """Read a figure, a measure, or an attribute of a part, in millimetres."""

    def read(name, position=""):
        if position:
            value = judged.attribute(choice[position], name)
        else:
            value = value_of(judged, name, choice)
        return 0.0 if isinstance(value, Missing) else value * 1000

    return read


@pytest.mark.parametrize("job", JOBS)
@pytest.mark.parametrize("last", [False, True])
@pytest.mark.parametrize("axle", ["front", "rear"])
def test_every_part_of_an_axle_has_its_size(job, last, axle):
    judged, choice = evaluation(job), package(job, last)
    of = millimetres_of(judged, choice)
    view = front_view(judged, choice, axle)
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
    if judged.case.vehicle.values.get(f"{axle} suspension") != "independent":
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
    judged, choice = evaluation(job), package(job, last)
    of = millimetres_of(judged, choice)
    view = side_view(judged, choice)
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
    judged, choice = evaluation(job), package(job)
    drawing = draw(judged, choice, "side")
    root, n = parsed(drawing), drawing.scale
    level = ground(root)
    rims = [c for c in drawn(root) if c.attrib["data-part"] == "rim"]
    at = [(float(c.attrib["cx"]), level - float(c.attrib["cy"])) for c in rims]
    wheelbase = judged.case.vehicle.values["wheelbase"] * 1000
    assert (at[1][0] - at[0][0]) * n == pytest.approx(wheelbase, abs=2 * FINE * n)
    for (_, height), axle in zip(at, ("front", "rear"), strict=True):
        radius = judged.figure(f"{axle} static radius", choice) * 1000
        assert height * n == pytest.approx(radius, abs=2 * FINE * n)
    diameter = judged.figure("tyre diameter", choice) * 1000
    assert 2 * numbers(paths_of(root, "tyre")[0])[2] * n == pytest.approx(
        diameter, abs=4 * FINE * n
    )


@pytest.mark.parametrize("job", JOBS)
@pytest.mark.parametrize("last", [False, True])
def test_ramps_touch_the_tyre_and_the_hard_point(job, last):
    """Plane geometry: a tangent's distance from the centre is the radius."""
    judged, choice = evaluation(job), package(job, last)
    view = side_view(judged, choice)
    wheelbase = judged.case.vehicle.values["wheelbase"] * 1000
    checked = 0
    for name, axle, x in (
        ("approach angle", "front", 0.0),
        ("departure angle", "rear", wheelbase),
    ):
        angle = judged.figure(name, choice)
        ramps = [s for s in view.shapes if s.name == name]
        if angle is Missing.NOT_FITTED:
            assert not ramps
            continue
        ((foot, tip),) = [s.points for s in ramps]
        steep = math.atan2(tip[1] - foot[1], abs(tip[0] - foot[0]))
        assert steep == pytest.approx(angle, abs=1e-9)
        radius = judged.figure(f"{axle} static radius", choice) * 1000
        ahead = abs(x - foot[0])
        away = ahead * math.sin(steep) + radius * math.cos(steep)
        assert away == pytest.approx(radius, abs=1e-6)
        sign = -1 if axle == "front" else 1
        values = judged.case.vehicle.values
        height = values[f"{axle} hard point height"] + judged.figure(f"{axle} body rise", choice)
        point = x + sign * values[f"{axle} hard point distance"] * 1000, height * 1000
        # The angle is rounded down by a tenth of a degree at most, so the point is just above.
        reach = math.hypot(point[0] - foot[0], point[1])
        above = (point[1] - (abs(point[0] - foot[0])) * math.tan(steep)) * math.cos(steep)
        assert -1e-6 <= above <= reach * math.radians(0.11)
        checked += 1
    assert checked
    (left, other) = [s.points for s in view.shapes if s.name == "breakover angle"]
    slopes = [math.atan2(p[1][1], abs(p[1][0] - p[0][0])) for p in (left, other)]
    assert sum(slopes) == pytest.approx(judged.figure("breakover angle", choice), abs=1e-9)
