"""Mass, axle loads, stability; worked by hand and against NHTSA's definition."""

from __future__ import annotations

import math

import pytest

from configurator.model.knowledge import Trade
from configurator.wording.felt import FELT
from tests.plugins.packages import package


def test_five_tyres_weigh_five_times_one(trade: Trade):
    assert trade.totals["vehicle mass"](24.0, 5) == 120.0
    assert trade.totals["payload left"](24.0, 5) == -120.0


@pytest.mark.parametrize("place", ["front axle", "rear axle", "wheels", "front body", "middle", ""])
def test_what_one_axle_does_not_carry_the_other_does(trade: Trade, place: str):
    front = trade.totals["front axle load"](30.0, 5, place, 2.8)
    rear = trade.totals["rear axle load"](30.0, 5, place, 2.8)
    assert front + rear == pytest.approx(150.0)


def test_a_mass_behind_the_rear_axle_takes_load_off_the_front(trade: Trade):
    # 200 kg at 1.2 wheelbases: 240 kg on the rear, -40 kg on the front axle
    assert trade.totals["rear axle load"](200.0, 1, "rear body", 2.6) == pytest.approx(240.0)
    assert trade.totals["front axle load"](200.0, 1, "rear body", 2.6) == pytest.approx(-40.0)


def test_the_spare_rides_at_the_rear(trade: Trade):
    # four tyres of 20 kg: half each; the fifth at 1.2 wheelbases adds 24 kg at the rear
    rear = trade.totals["rear axle load"]
    assert rear(20.0, 4, "wheels", 2.8) == pytest.approx(40.0)
    assert rear(20.0, 5, "wheels", 2.8) == pytest.approx(64.0)


def test_two_of_five_wheels_are_below_the_springs_of_an_axle(trade: Trade):
    below = trade.totals["front mass below the springs"]
    assert below(20.0, 5, "wheels", False) == pytest.approx(40.0)
    # a set of nuts is one piece for all four wheels: half of it to each axle
    assert below(1.4, 1, "wheels", False) == pytest.approx(0.7)
    assert below(30.0, 2, "front axle", False) == pytest.approx(60.0)
    assert below(30.0, 2, "front axle", True) == 0.0
    assert below(30.0, 2, "rear axle", False) == 0.0


def test_centre_of_gravity_rises_with_body_and_axles(trade: Trade):
    # 2300 kg, 1800 kg of it sprung, up by 100 mm, everything up another 40 mm: 78.3 + 40 mm
    sprung = trade.figures["sprung centre of gravity height"]
    height = trade.figures["centre of gravity height"]
    moment = trade.figures["axle moment"]
    on_springs = sprung(0.700, 2300.0, 250.0, 250.0, 0.390, 0.390)
    before = height(2300.0, 500.0, moment(250.0, 250.0, 0.390, 0.390), on_springs, 0.0)
    after = height(2300.0, 500.0, moment(250.0, 250.0, 0.430, 0.430), on_springs, 0.140)
    assert before == pytest.approx(0.700)
    assert after - before == pytest.approx(0.1183, abs=5e-5)


def test_static_stability_factor(trade: Trade):
    # half the track over the height (NHTSA, 68 FR 59249): 1.60 / (2 x 0.75)
    assert trade.figures["static stability factor"](1.60, 0.75) == pytest.approx(1.0667, abs=1e-4)
    assert math.degrees(trade.figures["side slope that tips it"](1.60, 0.75)) == pytest.approx(
        46.85, abs=0.01
    )
    # 1.20 m ahead of the rear axle, 0.85 m high: 54.69 degrees
    uphill = trade.figures["uphill slope that tips it"](1.40, 0.85, 2.60)
    assert math.degrees(uphill) == pytest.approx(54.69, abs=0.01)


def test_only_what_sits_above_the_springs_loads_them(trade: Trade):
    # 60 kg more on the axle, 20 kg of it below the springs: 40 kg on two springs, 196 N each
    load = trade.figures["rear spring load"](4800.0, 1330.0, 1270.0, 290.0, 270.0, 1.0)
    assert load == pytest.approx(4800.0 + 20 * 9.80665)
    # a spring that moves 0.62 of what the wheel does carries 1 / 0.62 as much of it
    load = trade.figures["rear spring load"](4800.0, 1330.0, 1270.0, 290.0, 270.0, 0.62)
    assert load == pytest.approx(4800.0 + 20 * 9.80665 / 0.62)


def test_a_higher_centre_of_gravity_wants_more_braking_in_front(trade: Trade):
    ideal = trade.figures["ideal front share of braking when finished"]
    # 0.8 g x 50 mm over a wheelbase of 2.6 m is 1.5 %
    low = ideal(2.6, 1200.0, 1300.0, 0.80, 0.8 * 9.80665)
    high = ideal(2.6, 1200.0, 1300.0, 0.85, 0.8 * 9.80665)
    assert high - low == pytest.approx(0.8 * 0.05 / 2.6, rel=1e-3)


def test_what_may_still_be_loaded_is_counted_from_the_mass_as_used():
    """3050 kg permitted, 2450 weighed, 28 bolted on: 572 kg, not the 852 of an empty one."""
    evaluation, choice = package("brennhall-tarn", {"spare carrier": "SG-SW880"})
    assert evaluation.figure("payload left", choice) == pytest.approx(880 - 28)
    assert evaluation.figure("load still allowed", choice) == pytest.approx(3050 - 2450 - 28)
    assert FELT["load still allowed"] == "Load still allowed now (from the mass as used)"
    assert "payload left" not in FELT
