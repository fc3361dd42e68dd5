"""Work that is done once, in an order that can be kept, and the cautions that go with changes."""

from __future__ import annotations

import pytest

from configurator.evaluation.work_plan import precedence
from configurator.model.knowledge import Trade
from configurator.plugin import AXLES


def test_every_job_named_as_earlier_exists(trade: Trade):
    named = {before for operation in trade.operations.values() for before in operation.after}
    assert named - set(trade.operations) == set()


def test_the_order_of_work_can_be_kept(trade: Trade):
    before = precedence(trade.operations.values(), trade.phases)

    def comes_before(earlier: str, later: str) -> bool:
        return earlier in before[later]

    assert comes_before(
        "weld on the front reinforcement", "set up the front crown wheel and pinion"
    )
    assert comes_before(
        "take out the front crown wheel and pinion", "weld on the front reinforcement"
    )
    drawn, put_back = (
        "draw the rear half-shafts and hang the brakes aside",
        "put the rear half-shafts back and try the brakes",
    )
    assert comes_before(drawn, "take out the rear crown wheel and pinion")
    assert comes_before("set up the rear crown wheel and pinion", put_back)
    assert comes_before("fit the front brakes", "bleed the front brakes")
    assert comes_before("bleed the rear brakes", "bed in and measure the rear brakes")
    assert comes_before("fit the track rod", "set toe and caster")
    assert comes_before("exchange the front springs", "set toe and caster")
    assert comes_before("set toe and caster", "fit and set the speedometer calibration")


@pytest.mark.parametrize(
    ("gears", "axle", "locker", "welds", "needed"),
    [
        (False, False, False, 0.0, False),
        (True, False, False, 0.0, True),
        (False, False, True, 0.0, True),
        (False, False, False, 1.0, True),
        (True, True, True, 1.0, True),
    ],
)
def test_gears_come_out_for_gears_axle_lock_and_welding(
    trade: Trade, gears: bool, axle: bool, locker: bool, welds: float, needed: bool
):
    job = trade.operations["take out the front crown wheel and pinion"]
    assert job(gears, axle, locker, welds) is needed


@pytest.mark.parametrize(
    ("opened", "gears", "locker", "welds", "drawn"),
    [
        (0.0, False, False, 0.0, 0.0),
        (0.0, True, False, 0.0, 1.0),
        (0.0, False, True, 0.0, 1.0),
        (0.0, False, False, 1.0, 1.0),
        (1.0, True, True, 1.0, 0.0),  # new half-shafts, hubs or an axle: the brakes come off anyway
    ],
)
def test_the_same_half_shafts_are_drawn_where_gears_come_out(
    trade: Trade, opened: float, gears: bool, locker: bool, welds: float, drawn: float
):
    assert trade.figures["rear half-shafts drawn"](opened, gears, locker, welds) == drawn


def test_only_a_new_welded_truss_is_welded(trade: Trade):
    welds = trade.figures["front housing welds"]
    assert welds(True, True) == 1.0
    assert welds(True, False) == 0.0
    assert welds(False, True) == 0.0
    clamp = trade.operations["clamp on the front reinforcement"]
    assert clamp(True, True, False)
    assert not clamp(True, False, False)


def test_air_locks_need_a_compressor_that_reaches_their_pressure(trade: Trade):
    has_air = trade.fits["the front diff lock has air"]
    assert has_air("air", 8.5e5, 7e5)
    assert not has_air("air", 5.5e5, 7e5)
    assert not has_air("air", None, 7e5)
    assert has_air("electric", None, 7e5)


def test_arches_are_folded_or_cut_not_both(trade: Trade):
    fold = trade.operations["fold the front arch edges"]
    cut = trade.operations["cut and seal the front arches"]
    for room in (0.0, 0.015, 0.030, 0.050):
        assert not (fold(True, room) and cut(True, room))
    assert fold(True, 0.015)
    assert cut(True, 0.030)
    assert not fold(True, 0.0)


# Their time is in that of taking the gears out and setting them up.
WITHIN_OTHERS = {
    f"{what} the {axle} half-shafts {more}"
    for axle in AXLES
    for what, more in (("draw", "and hang the brakes aside"), ("put", "back and try the brakes"))
}


def test_every_job_has_a_place_and_a_time(trade: Trade):
    operations = trade.operations.values()
    assert all(operation.station for operation in operations)
    assert {operation.name for operation in operations if operation.hours == 0.0} == WITHIN_OTHERS


def test_figures_are_no_approval_whatever_is_fitted(trade: Trade):
    assert trade.cautions["these figures are no approval"]() is True


def test_dangerous_changes_name_who_must_approve(trade: Trade):
    for name in (
        "the brakes were changed",
        "the steering was changed",
        "the front axle was changed or welded",
        "the rear hub reductions carry the wheels",
        "the suspension was changed",
    ):
        caution = trade.cautions[name]
        assert "engineer" in caution.approve
        assert caution.inspect


def test_cautions_follow_what_is_changed(trade: Trade):
    brakes = trade.cautions["the brakes were changed"]
    assert not brakes(0.0, 0.0, False, False, False)
    assert brakes(1.0, 0.0, False, False, False)
    assert brakes(0.0, 0.0, True, False, False)
    assert brakes(0.0, 0.0, False, False, True), "another hose opens the circuit"
    assert trade.cautions["the vehicle tips earlier than it did"](1.00, 1.09)
    assert not trade.cautions["the vehicle tips earlier than it did"](1.10, 1.09)
    assert trade.cautions["there is less payload than before"](610.0, 720.0)


@pytest.mark.parametrize("changed", ["hub reductions", "axle", "half-shafts", "brakes"])
@pytest.mark.parametrize("axle", ["front", "rear"])
def test_brakes_that_come_off_are_bled_and_measured(trade: Trade, axle: str, changed: str):
    behind = {"hub reductions": 0, "axle": 1, "half-shafts": 2}
    flags = [number == behind.get(changed) for number in range(3)]
    opened = trade.figures[f"{axle} wheel ends opened"](*flags)
    assert opened == (changed != "brakes")
    worked_on = trade.figures[f"{axle} brakes worked on"](opened, changed == "brakes")
    assert worked_on == 1.0
    assert trade.operations[f"unbolt the {axle} brakes and bolt them on again"](opened) == (
        changed != "brakes"
    )
    assert trade.operations[f"bleed the {axle} brakes"](worked_on)
    assert trade.operations[f"bed in and measure the {axle} brakes"](worked_on)
    front, rear = (worked_on, 0.0) if axle == "front" else (0.0, worked_on)
    assert trade.operations["set the parking brake and try it on a slope"](rear) == (axle == "rear")
    assert trade.cautions["the brakes were changed"](front, rear, False, False, False)


def test_nothing_is_bled_where_nothing_is_touched(trade: Trade):
    opened = trade.figures["front wheel ends opened"](False, False, False)
    worked_on = trade.figures["front brakes worked on"](opened, False)
    assert not trade.operations["bleed the front brakes"](worked_on)
    assert not trade.operations["bed in and measure the front brakes"](worked_on)
    both = trade.operations["bleed both circuits and measure all brakes"]
    assert both(True)
    assert not both(False)


def test_steps_are_bolted_on_or_taken_off_not_both(trade: Trade):
    on, off = trade.operations["bolt on the steps"], trade.operations["take off the steps"]
    assert on(True, True)
    assert not off(True, True)
    assert off(True, False)
    assert not on(True, False)
    assert not on(False, True)


def test_hub_boxes_take_their_own_oil(trade: Trade):
    # two boxes of 0.4 litre; where the list says nothing, of 0.7
    oil = trade.figures["front hub oil"]
    assert oil(0.4e-3, 0.7e-3) == pytest.approx(0.8e-3)
    assert oil(None, 0.7e-3) == pytest.approx(1.4e-3)


def test_work_waits_for_the_phases_before_it_at_its_own_axle(trade: Trade):
    before = precedence(trade.operations.values(), trade.phases)
    bleeding = before["bleed the front brakes"]
    assert "fit the front hub reductions" in bleeding
    assert "fit the rear hub reductions" not in bleeding
    measuring = before["bed in and measure the rear brakes"]
    assert "bleed the rear brakes" in measuring
    assert "bleed the rear brakes" in before["bleed both circuits and measure all brakes"]
