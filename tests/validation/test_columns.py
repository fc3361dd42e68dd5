"""Buckling of struts.

Gere, Mechanics of Materials, 7th ed., problem 11.4-2: steel pipe 40/36 mm, 1.2 m, 210 GPa, four
kinds of ends; printed to three figures, tolerance 0.5 %.
Shigley, 10th ed., 4-12 and 4-13 (from memory) for the rest, worked out apart from this program
and rounded to 0.1 kN: tolerance 0.3 %. Moduli: 7075 71.7 and 6061 68.9 GPa (from memory).
"""

import pytest

from configurator.formulas.rods import (
    PINNED_ENDS,
    buckling_load,
    euler_load,
    johnson_load,
    slenderness_ratio,
    transition_slenderness,
    tube_buckling_load,
)
from configurator.formulas.sections import radius_of_gyration, tube_area, tube_second_moment


@pytest.mark.parametrize(
    ("ends", "constant", "printed"),
    [
        ("pinned", 1.0, 62.2),
        ("fixed and free", 0.25, 15.6),
        ("fixed and pinned", 1 / 0.699**2, 127.0),
        ("fixed", 4.0, 249.0),
    ],
)
def test_gere_11_4_2(ends, constant, printed):
    second_moment = tube_second_moment(0.040, 0.036)
    assert second_moment * 1e12 == pytest.approx(43.22e3, rel=5e-4)  # printed to four figures
    load = euler_load(second_moment, 1.2, 210e9, constant)
    assert load / 1e3 == pytest.approx(printed, rel=0.005)


def gyration(outer, inner):
    return radius_of_gyration(tube_second_moment(outer, inner), tube_area(outer, inner))


def test_slender_link_takes_euler():
    outer, inner, length = 0.0381, 0.0254, 1.1
    assert slenderness_ratio(length, gyration(outer, inner)) == pytest.approx(96.1, abs=0.05)
    assert transition_slenderness(205e9, 480e6, PINNED_ENDS.value) == pytest.approx(91.8, abs=0.05)
    load = buckling_load(outer, inner, length, 205e9, 480e6, PINNED_ENDS.value)
    assert load / 1e3 == pytest.approx(138.8, rel=0.002)
    # Near the transition the curves lie close together: Johnson would say 137.5.
    area = tube_area(outer, inner)
    johnson = johnson_load(area, gyration(outer, inner), length, 205e9, 480e6, 1.0)
    assert johnson / 1e3 == pytest.approx(137.5, rel=0.002)


@pytest.mark.parametrize(
    ("outer", "wall", "length", "strength", "expected"),
    [
        (0.0381, 0.00635, 1.1, 480e6, 138.8),  # slender: Euler
        (0.03175, 0.00305, 0.6, 435e6, 97.3),  # stout: Johnson
        (0.0381, 0.01905, 1.1, 480e6, None),  # solid: the wall reaches the middle
    ],
)
def test_a_tube_by_its_wall_bears_what_it_bears_by_its_bore(
    outer, wall, length, strength, expected
):
    load = tube_buckling_load(outer, wall, length, 205e9, strength)
    if expected is None:
        expected = buckling_load(outer, 0.0, length, 205e9, strength, 1.0) / 1e3
    assert load / 1e3 == pytest.approx(expected, rel=0.003)


def test_stout_link_takes_johnson():
    outer, inner, length = 0.03175, 0.02565, 0.6
    assert slenderness_ratio(length, gyration(outer, inner)) == pytest.approx(58.8, abs=0.05)
    assert transition_slenderness(205e9, 435e6, 1.0) == pytest.approx(96.4, abs=0.1)
    load = buckling_load(outer, inner, length, 205e9, 435e6, 1.0)
    assert load / 1e3 == pytest.approx(97.3, rel=0.003)
    euler = euler_load(tube_second_moment(outer, inner), length, 205e9, 1.0)
    assert euler / 1e3 == pytest.approx(160.9, rel=0.003)
    assert euler != pytest.approx(load, rel=0.5)


@pytest.mark.parametrize(
    ("alloy", "youngs_modulus", "yield_strength", "expected"),
    [("7075-T6", 71.7e9, 503e6, 60.5), ("6061-T6", 68.9e9, 276e6, 58.1)],
)
def test_a_stronger_alloy_buckles_as_early(alloy, youngs_modulus, yield_strength, expected):
    load = buckling_load(0.0381, 0.0, 1.1, youngs_modulus, yield_strength, 1.0)
    assert load / 1e3 == pytest.approx(expected, rel=0.005)


def test_the_curves_meet_at_half_the_yield_strength():
    """Shigley 4-13: the parabola touches Euler's curve where the stress is half of yield."""
    area, k = tube_area(0.040, 0.030), gyration(0.040, 0.030)
    length = transition_slenderness(205e9, 350e6, 1.0) * k
    euler = euler_load(tube_second_moment(0.040, 0.030), length, 205e9, 1.0)
    johnson = johnson_load(area, k, length, 205e9, 350e6, 1.0)
    assert euler == pytest.approx(area * 350e6 / 2, rel=1e-9)
    assert johnson == pytest.approx(area * 350e6 / 2, rel=1e-9)
