"""Links, shafts, hoses, springs and tyres that move, by an independent way to each number.

Sources, beside each block: integer triples and quadruples of Euclid and of Diophantus (from
memory), geometry and rotations of sympy and scipy, numerical integration and minimisation of
scipy, unit conversions of pint. Nothing here repeats a formula of the project. Tolerance: 1 in
1,000,000 of what the library gives, or half the last digit that is printed.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
import sympy
from scipy.integrate import quad
from scipy.optimize import minimize_scalar
from scipy.spatial.transform import Rotation

from configurator.core import units
from configurator.formulas import cardan_joints, driveshafts, steering, suspension_travel

SAME = 1e-6

# Euclid, Elements, X, lemma 1 to proposition 29: sides of right-angled triangles in whole numbers.
TRIPLES = [(3, 4, 5), (5, 12, 13), (8, 15, 17), (7, 24, 25), (20, 21, 29), (12, 35, 37)]
# Whole numbers whose squares add up to a square (Diophantus, Arithmetica; from memory).
QUADRUPLES = [(1, 2, 2, 3), (2, 3, 6, 7), (1, 4, 8, 9), (4, 4, 7, 9), (2, 6, 9, 11), (3, 4, 12, 13)]


@pytest.mark.parametrize(("drop", "level", "length"), TRIPLES)
def test_a_level_shaft_that_drops_becomes_the_long_side(drop, level, length):
    """A shaft that lay level, its axle dropped: the third side of Euclid's triangle."""
    drawn_out = driveshafts.length_after_drop(level / 10, 0.0, drop / 10)
    assert drawn_out == pytest.approx(length / 10, rel=SAME)
    slope = driveshafts.slope_after_drop(level / 10, 0.0, drop / 10)
    # The angle at a corner, from the three sides: sympy's law of cosines.
    triangle = sympy.Triangle(sss=(level, drop, length))
    (angle,) = (
        value
        for value in triangle.angles.values()
        if abs(float(sympy.sin(value)) - drop / length) < SAME
    )
    assert slope == pytest.approx(float(angle), rel=SAME)


@pytest.mark.parametrize(
    ("length", "slope", "drop"), [(0.62, 9.0, -0.12), (0.94, 7.0, -0.08), (0.58, -4.0, 0.09)]
)
def test_the_shortest_shaft_by_minimisation(length, slope, drop):
    """scipy.optimize.minimize_scalar over the way of the axle, from full bump to far down."""
    level, down = length * math.cos(math.radians(slope)), length * math.sin(math.radians(slope))
    least = minimize_scalar(
        lambda moved: math.hypot(level, down + moved), bounds=(drop, drop + 0.4), method="bounded"
    )
    at_bump = math.hypot(level, down + drop)
    shortest = driveshafts.shortest_length(length, math.radians(slope), drop)
    assert shortest == pytest.approx(min(least.fun, at_bump), rel=1e-5)


@pytest.mark.parametrize(
    ("length", "drop", "travel"),
    [(0.90, 0.1128, 0.050), (0.86, 0.095, 0.050), (0.90, 0.0, 0.060), (1.05, 0.18, 0.10)],
)
def test_the_swing_of_a_link_by_integration(length, drop, travel):
    """scipy.integrate.quad of its slope, tan, over the way of the axle."""

    def sideways(height: float) -> float:
        return math.tan(math.asin((drop - height) / length))

    way, _ = quad(sideways, 0.0, travel)
    assert suspension_travel.link_swing(length, drop, travel) == pytest.approx(way, rel=SAME)


@pytest.mark.parametrize(
    ("length", "slope", "wider", "drop"),
    [(0.90, 4.0, 0.0, 0.1628), (0.90, 4.0, 0.020, 0.1128), (0.88, 3.0, -0.015, 0.10)],
)
def test_a_link_between_two_points_of_sympy(length, slope, wider, drop):
    start = sympy.Point(0, 0)
    there = sympy.Point(length, 0).rotate(sympy.rad(slope))
    end = sympy.Point(there.x + wider, drop)
    exact = float(start.distance(end))
    assert steering.link_length(length, math.radians(slope), wider, drop) == pytest.approx(
        exact, rel=SAME
    )
    assert steering.link_drop(length, math.radians(slope)) == pytest.approx(
        float(there.y), rel=SAME
    )


@pytest.mark.parametrize(("degrees", "tangent"), [(1, 0.017455), (2, 0.034921), (5, 0.087489)])
def test_bump_steer_and_axle_turn_in_a_table_of_tangents(degrees, tangent):
    """Tangents to six places, as in any table (Abramowitz & Stegun, table 4.10, from memory)."""
    steered = steering.bump_steer(0.170 * tangent, 0.170)
    assert math.degrees(steered) == pytest.approx(degrees, abs=5e-5)
    turned = suspension_travel.axle_turn(0.900 * tangent, 0.900)
    assert math.degrees(turned) == pytest.approx(degrees, abs=5e-5)


@pytest.mark.parametrize(("down", "out", "along", "length"), QUADRUPLES)
def test_a_hose_is_the_diagonal_of_a_box(down, out, along, length):
    """Level and straight ahead before, a box of whole numbers afterwards, in units of 40 mm."""
    unit = 0.040
    bridged = suspension_travel.hose_reach(along * unit, 0.0, 0.0, down * unit, out * unit)
    assert bridged == pytest.approx(length * unit, rel=SAME)


@pytest.mark.parametrize(
    ("lower", "track", "spacing"),
    [(0.030, 1.600, 0.800), (0.055, 1.570, 0.720), (0.040, 1.650, 0.780), (0.080, 1.740, 0.900)],
)
def test_the_rise_of_a_wheel_on_a_line_of_sympy(lower, track, spacing):
    """An axle as a line through its stop on one side and the hanging absorber on the other."""
    stop, hanging = sympy.Point(spacing / 2, 0), sympy.Point(-spacing / 2, -lower)
    (wheel,) = sympy.Line(stop, hanging).intersection(
        sympy.Line(sympy.Point(track / 2, 0), sympy.Point(track / 2, 1))
    )
    rise = suspension_travel.wheel_rise_in_twist(lower, track, spacing)
    assert rise == pytest.approx(float(wheel.y), rel=SAME)


TYRES = [
    # radius, edge, lock: mm, mm, degrees
    (420, 236, 36.0),
    (447, 217, 36.0),
    (404, 190, 20.0),
    (510, 288, 30.5),
    (388, 60, 36.0),
]


@pytest.mark.parametrize(("radius", "edge", "lock"), TYRES)
def test_the_sweep_of_a_tyre_by_turning_its_corners(radius, edge, lock):
    """scipy.spatial.transform.Rotation of the corners of a box, in steps of 0.01 degrees."""
    angles = np.arange(0.0, lock + 1e-9, 0.01)
    turns = Rotation.from_euler("z", angles[:, np.newaxis], degrees=True)
    # x outboard, y ahead: the outer edge swings ahead one way, the inner one inboard
    outer = turns.apply([edge / 1000, radius / 1000, 0.0])
    other = turns.apply([edge / 1000, -radius / 1000, 0.0])
    farthest = max(np.abs(outer[:, 1]).max(), np.abs(other[:, 1]).max())
    ahead = steering.tyre_sweep_ahead(radius / 1000, edge / 1000, math.radians(lock))
    assert ahead == pytest.approx(farthest, abs=2e-6)
    inner = turns.apply([-edge / 1000, radius / 1000, 0.0])
    inboard = steering.tyre_sweep_inboard(radius / 1000, edge / 1000, math.radians(lock))
    assert inboard == pytest.approx(-inner[:, 0].min(), abs=2e-6)


@pytest.mark.parametrize(
    ("newton", "per_millimetre", "free"), [(4500, 25, 455), (8600, 70, 420), (4800, 27, 470)]
)
def test_a_spring_in_pounds_and_inches(newton, per_millimetre, free):
    """The same spring in pounds-force and inches: conversions of pint."""
    quantity = units.registry.Quantity
    rate = quantity(per_millimetre, "N/mm").to("lbf/inch").magnitude
    load = quantity(newton, "N").to("lbf").magnitude
    inches = quantity(free, "mm").to("inch").magnitude - load / rate
    length = suspension_travel.spring_length(free / 1000, newton, per_millimetre * 1000)
    assert length == pytest.approx(quantity(inches, "inch").to("m").magnitude, rel=SAME)


@pytest.mark.parametrize("ratio", [0.55, 0.62, 0.8])
def test_load_and_gap_of_a_spring_by_its_energy(ratio):
    """Virtual work: the derivative of a spring's energy by the way of the wheel (sympy)."""
    way, rate = sympy.symbols("way rate", positive=True)
    energy = rate * (sympy.Rational(str(ratio)) * way) ** 2 / 2
    at_wheel = float(sympy.diff(energy, way).subs({rate: 70_000, way: 0.1}))
    on_spring = float(70_000 * sympy.Rational(str(ratio)) * sympy.Rational("0.1"))
    assert suspension_travel.load_on_spring(at_wheel, ratio) == pytest.approx(on_spring, rel=SAME)
    gap = suspension_travel.seat_gap(0.275, 0.1, ratio)
    assert gap - 0.275 == pytest.approx(on_spring / 70_000, rel=SAME)


@pytest.mark.parametrize(("rpm", "printed"), [(1500, 7.3), (1600, 6.9), (1700, 6.5)])
def test_residual_angles_of_a_makers_table(rpm, printed):
    """Largest angle of a single joint, a propshaft maker's table (read once): about 400 rad/s2."""
    permitted = cardan_joints.permitted_residual_angle(
        rpm * math.pi / 30, cardan_joints.EXCITATION_LIMIT.value
    )
    assert math.degrees(permitted) == pytest.approx(printed, rel=0.02)
