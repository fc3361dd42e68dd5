"""Tyre rules; expected numbers from the sources that each test names, or worked by hand."""

from __future__ import annotations

import pytest

from configurator.model.knowledge import Trade


def test_rolling_circumference_is_305_of_the_diameter_unless_the_maker_measured_it(trade: Trade):
    circumference = trade.figures["rolling circumference"]
    # ETRTO, 3.05 times the overall diameter: 3.05 x 830.8 mm = 2533.9 mm
    assert circumference(0.8308, None) == pytest.approx(2.5339, abs=5e-5)
    assert circumference(0.8308, 2.540) == 2.540


def test_half_an_inch_more_rim_spreads_the_tyre_by_5_mm(trade: Trade):
    # UN Regulation No. 30, 6.1.1.1: 0.4 x 12.7 mm = 5.08 mm
    on_rim = trade.figures["section width on the rim"]
    assert on_rim(0.285, 0.2159, 0.2286) == pytest.approx(0.29008)


def test_a_loaded_tyre_stands_lower_than_half_its_diameter(trade: Trade):
    # Rhyne 2005: 285/70R17 at 240 kPa has 311.5 kN/m; 800 kg press it down by 25.2 mm
    radius = trade.figures["front static radius"]
    estimated = radius(0.8308, 0.285, 1600.0, 240e3, 0.76, 0.255, None)
    assert estimated == pytest.approx(0.4154 - 0.0252, abs=1e-4)


def test_a_radius_that_was_measured_counts_and_moves_the_estimate_of_other_tyres(trade: Trade):
    radius = trade.figures["rear static radius"]
    estimated = radius(0.8308, 0.285, 1600.0, 240e3, 0.8308, 0.285, None)
    # The tyres that are on it: as measured, to the last bit, whatever the estimate says.
    assert radius(0.8308, 0.285, 1600.0, 240e3, 0.8308, 0.285, 0.381) == 0.381
    # Others: off their estimate by as much, so that the body rises as two estimates say.
    before = radius(0.76, 0.255, 1600.0, 240e3, 0.76, 0.255, None)
    other = radius(0.8308, 0.285, 1600.0, 240e3, 0.76, 0.255, before - 0.009)
    assert other == pytest.approx(estimated - 0.009)
    # Nobody knows which tyres it was measured on: it tells nothing of others.
    assert radius(0.8308, 0.285, 1600.0, 240e3, None, None, 0.381) == estimated


def test_a_passenger_tyre_counts_a_tenth_less(trade: Trade):
    carry = trade.limits["the tyres carry the permitted rear axle load"]
    # 49 CFR 571.110 S4.2.2.2: two tyres of load index 116 carry 2 x 1250 / 1.10 = 2272.7 kg
    assert carry(116, "passenger") == pytest.approx(2272.7, abs=0.05)
    assert carry(121, "light truck") == 2900.0


def test_h_is_faster_than_u(trade: Trade):
    fast = trade.limits["the tyres may run the vehicle's top speed"]
    assert fast("H") > fast("U") > fast("Q") == pytest.approx(160 / 3.6)


def test_a_17_inch_tyre_goes_on_no_16_inch_rim(trade: Trade):
    goes_on = trade.fits["the tyre goes on the rim"]
    assert goes_on(0.4318, 0.4318)
    assert not goes_on(0.4318, 0.4064)
