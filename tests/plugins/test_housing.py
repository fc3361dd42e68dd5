"""Housing reinforcement, steps and guards; worked by hand."""

from __future__ import annotations

import pytest

from configurator.model.knowledge import Trade


def test_housing_reserve(trade: Trade):
    # tube 76.2 x 6.35: 22 490 mm3; 8 kN springs 350 mm inboard: 2800 N.m, 124.5 MPa
    modulus = trade.figures["front housing section modulus"](0.0762, 0.00635, 0.0)
    assert modulus == pytest.approx(22_490e-9, rel=1e-3)
    load = 2 * 8000.0 / 9.80665
    moment = trade.figures["front housing bending moment"](1.6, 0.8, 0.9, load, 0.0)
    assert moment == pytest.approx(2800.0)
    # yield 350 MPa, dynamic factor 2: 350 / 249
    reserve = trade.figures["front housing reserve"](moment, modulus, 350e6, 2.0)
    assert reserve == pytest.approx(350 / (2 * 124.5), rel=1e-3)


def test_wide_track_and_tall_tyres_bend_more_and_a_truss_helps(trade: Trade):
    moment = trade.figures["front housing bending moment"]
    base = moment(1.57, 0.776, 0.72, 1400.0, 0.15)
    # 50 mm further out on each side: 0.05 m x 6865 N
    assert moment(1.67, 0.776, 0.72, 1400.0, 0.15) - base == pytest.approx(343.2, abs=0.1)
    assert moment(1.57, 0.889, 0.72, 1400.0, 0.15) > base
    modulus = trade.figures["front housing section modulus"]
    assert modulus(0.0762, 0.008, 14e-6) - modulus(0.0762, 0.008, 0.0) == pytest.approx(14e-6)


def test_a_truss_fits_one_tube_and_needs_room(trade: Trade):
    fits = trade.fits["the front reinforcement fits the tube"]
    assert fits(0.0762, 0.0762)
    assert not fits(0.0826, 0.0762)
    assert trade.limits["the front reinforcement has room above it"](
        0.062, 0.045, 0.0
    ) == pytest.approx(0.017)


def test_a_step_shortens_the_climb_and_takes_clearance(trade: Trade):
    assert trade.figures["entry height"](0.640, 0.180) == pytest.approx(0.460)
    beside = trade.figures["clearance beside the sill"]
    assert beside(0.100, 0.330, 0.0, 0.0) == pytest.approx(0.430)
    assert beside(0.100, 0.330, 0.095, 0.030) == pytest.approx(0.335)
    assert not trade.fits["steps and sill guards go together"](True, False)
    assert trade.fits["steps and sill guards go together"](False, False)


def test_guards_fit_what_they_are_shaped_for(trade: Trade):
    assert trade.fits["the front diff guard fits the housing"](
        frozenset({"RG200", "RG205"}), "RG205"
    )
    hub = trade.fits["the rear hub reduction guards fit the boxes"]
    assert hub(0.118, 0.118)
    assert not hub(0.118, 0.108)
    assert not hub(0.118, None)


def test_strips_cover_the_tread(trade: Trade):
    beyond = trade.figures["front tyre beyond the arch"]
    assert beyond(1.976, 1.850, 0.0) == pytest.approx(0.063)
    assert beyond(1.976, 1.850, 0.050) == pytest.approx(0.013)
