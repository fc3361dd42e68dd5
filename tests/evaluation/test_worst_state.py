"""In which state a package comes closest to a limit, and what decides a figure."""

from __future__ import annotations

from math import radians

import pytest

from configurator.evaluation.packages import margins_of
from configurator.evaluation.worst_state import decisive_figure, only_state, worst_state
from configurator.wording.margin_words import margin_words, value_words
from tests.plugins.packages import TRADE, package

JOINT = "the front propshaft joint at the gearbox turns freely in travel"
HUBS = {"front hub reductions": "HC-60-F", "rear hub reductions": "HC-60-R"}


@pytest.mark.parametrize(
    ("gearbox", "when"),
    [
        # The shaft slopes 17 degrees with the axle 90 mm down, 0.2 with it 95 mm up.
        (3, "at full droop"),
        (12, "at full bump"),
    ],
)
def test_the_worse_of_two_states_is_named(gearbox, when):
    level = {"front gearbox flange slope": radians(gearbox)}
    evaluation, choice = package("brennhall-tarn", measures=level)
    assert worst_state(evaluation, TRADE.limits[JOINT], choice, "") == when
    (margin,) = (m for m in margins_of(evaluation, choice) if m.rule.name == JOINT)
    assert margin_words(margin).startswith(
        f"Front propshaft, angle left at the gearbox in travel, {when}: "
    )


def test_a_state_that_the_name_says_is_not_said_twice():
    evaluation, choice = package("brennhall-tarn")
    for name in (
        "the front brake hoses reach with the wheel hanging",
        "the front springs carry the permitted axle load",
        "the front wheels lock before the rear ones fully laden",
    ):
        assert worst_state(evaluation, TRADE.limits[name], choice, name) == ""


def test_what_is_judged_fully_laden_says_so():
    evaluation, choice = package("brennhall-tarn")
    for name in ("the front wheel bearings bear the wheels", "the drag link does not buckle"):
        assert worst_state(evaluation, TRADE.limits[name], choice, name) == "fully laden"
        assert only_state(TRADE, TRADE.limits[name], name) == "fully laden"
    still = TRADE.limits["the front wheels keep enough caster"]
    assert worst_state(evaluation, still, choice, "") == ""


def test_full_lock_to_either_side_is_one_state():
    """The sentence does not say so, what a table calls the number does."""
    rule = TRADE.limits["the tyres clear the front arches ahead and behind"]
    assert only_state(TRADE, rule, rule.name) == "at full lock"
    assert only_state(TRADE, rule, rule.quantity) == ""
    joint = TRADE.limits[JOINT]
    assert only_state(TRADE, joint, joint.name) == ""


def test_what_hangs_lowest_under_an_axle_is_named():
    name = "clearance under front axle"
    evaluation, with_hubs = package("brennhall-tarn", HUBS)
    # 132 mm below the axle line, which is 60 above the wheel centre, against 99 below it
    assert decisive_figure(evaluation, name, with_hubs) == "clearance under front hub reduction"
    assert value_words(evaluation, name, with_hubs, "290 mm") == (
        "290 mm (clearance under front hub reduction)"
    )
    assert decisive_figure(evaluation, name, evaluation.fitted) == ""
    assert value_words(evaluation, "front track", with_hubs, "1650 mm") == "1650 mm"
