"""Steering links, damper and Panhard rods; worked by hand."""

from __future__ import annotations

import math

import pytest

from configurator.model.knowledge import Trade


def test_a_rut_pushes_ahead_of_the_axle(trade: Trade):
    # a wall as high as the radius touches at the height of the hub: lever = radius
    lever = trade.figures["rut lever"]
    assert lever(0.800, 0.400) == pytest.approx(0.400)
    # 762 mm tyre, 150 mm rut: sqrt(0.15 x 0.612) = 303 mm; and it grows with the tyre
    assert lever(0.762, 0.150) == pytest.approx(0.303, abs=5e-4)
    assert lever(0.889, 0.150) > lever(0.762, 0.150)
    assert lever(0.100, 0.150) == 0.0


def test_steering_torque_grows_with_tyre_width_and_scrub(trade: Trade):
    torque = trade.figures["steering torque"]
    base = torque(0.303, 0.010, 0.245, 1400.0, 0.7)
    assert torque(0.330, 0.010, 0.245, 1400.0, 0.7) > base
    assert torque(0.303, 0.060, 0.245, 1400.0, 0.7) > base
    assert torque(0.303, 0.010, 0.315, 1400.0, 0.7) > base
    assert torque(0.303, -0.060, 0.245, 1400.0, 0.7) == torque(0.303, 0.060, 0.245, 1400.0, 0.7)
    assert trade.figures["steering link load"](1700.0, 0.17) == pytest.approx(10_000.0)


def test_an_alloy_rod_of_the_same_size_buckles_earlier(trade: Trade):
    # 38.1 mm, 1.1 m: steel tube with 6.35 mm wall 138.8 kN, solid 7075-T6 60.5 kN
    bears = trade.figures["track rod buckling load"]
    assert bears(0.0381, 0.00635, 205e9, 480e6, 1.1) == pytest.approx(138.8e3, rel=2e-3)
    assert bears(0.0381, 0.01905, 71.7e9, 503e6, 1.1) == pytest.approx(60.5e3, rel=5e-3)


def test_a_rock_bends_a_thin_link(trade: Trade):
    # 38.1 x 6.35 mm: Z = 4357 mm3; 480 MPa give 2091 N m, 4 M / L over 1.1 m 7605 N
    for link in ("track rod", "drag link"):
        bears = trade.figures[f"{link} bending load"]
        assert bears(0.0381, 0.00635, 480e6, 1.1) == pytest.approx(7605, rel=1e-3)
        # twice as long, half as much; a solid rod of the same size bears more
        assert bears(0.0381, 0.00635, 480e6, 2.2) == pytest.approx(7605 / 2, rel=1e-3)
        assert bears(0.0381, 0.01905, 480e6, 1.1) > bears(0.0381, 0.00635, 480e6, 1.1)
    # 18 % of half of 1400 kg: 1236 N
    assert trade.figures["knock on a steering link"](1400.0, 0.18) == pytest.approx(1235.6, abs=0.1)


def test_wide_axles_need_long_links(trade: Trade):
    needed = trade.figures["track rod length needed"]
    assert needed(1.330, 1.660, 1.610) == pytest.approx(1.380)
    # a level drag link: half of what the axle is wider
    drag_link = trade.figures["drag link length needed"]
    assert drag_link(0.900, 0.0, 0.0, 1.660, 1.610) == pytest.approx(0.925)
    reaches = trade.fits["the track rod reaches from arm to arm"]
    assert reaches(1.315, 1.360, 1.330)
    assert not reaches(1.315, 1.360, 1.380)


def test_only_added_load_needs_more_damping(trade: Trade):
    needed = trade.figures["steering damping needed"]
    # 2,000 N m on an arm of 160 mm push 12,500 N
    assert needed(2_000.0, 0.160, 13_000.0, 350.0, 0.3, 500.0) == 350.0
    assert needed(2_000.0, 0.160, 12_000.0, 350.0, 0.3, 500.0) == 350.0, "nobody feels so little"
    assert needed(2_000.0, 0.160, 11_000.0, 350.0, 0.3, 500.0) == pytest.approx(650.0)
    fits = trade.fits["the steering damper fits its mounts"]
    assert fits("clamp", "eye and stem")
    assert not fits("two eyes", "eye and stem")


def test_a_lift_pulls_a_fixed_link_to_one_side(trade: Trade):
    # level link of 850 mm, lift 75: sqrt(850^2 + 75^2) = 853.3
    needed = trade.figures["front Panhard rod length needed"](0.075, 0.850, 0.0)
    assert needed == pytest.approx(0.8533, abs=1e-4)
    aside = trade.limits["the front axle stands in the middle"]
    assert aside(needed, 0.850, 0.850) == pytest.approx(0.0033, abs=1e-4)
    assert aside(needed, 0.840, 0.900) == 0.0


def test_the_front_link_takes_the_push_of_the_drag_link(trade: Trade):
    # 0.8 x 1000 kg x g = 7845 N
    load = trade.figures["front Panhard rod load"]
    assert load(11_500.0, 1000.0, 0.8) == pytest.approx(7845.3 + 11_500.0, abs=0.5)
    assert trade.figures["rear Panhard rod load"](1000.0, 0.8) == pytest.approx(7845.3, abs=0.5)
    # 40/36 mm pipe over 1.2 m, E 210 GPa: 62.2 kN (Gere, Mechanics of Materials, 7th ed., 11.4-2)
    bears = trade.figures["front Panhard rod buckling load"](0.040, 0.002, 600e6, 1.2, 210e9)
    assert bears == pytest.approx(62.2e3, rel=5e-3)


def test_a_brace_needs_a_link_and_a_link_stays(trade: Trade):
    assert not trade.fits["the rear Panhard rod brace has a link to brace"](True, False)
    assert not trade.fits["the rear axle keeps its Panhard rod"](True, False)
    assert trade.fits["the rear axle keeps its Panhard rod"](False, False)
    assert math.isclose(trade.limits["the front Panhard rod bracket holds"](0.025, 24e3, 6e3), 30e3)
