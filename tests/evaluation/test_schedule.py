"""When work is done: worked out by hand, day by day."""

from __future__ import annotations

import datetime

import pytest

from configurator import testing
from configurator.evaluation.schedule import Clock, schedule_of
from configurator.questions import answers

PLUGIN = '''
"""Two parts that come at different times, and work that one of them waits for."""

from configurator.plugin import Attribute, Family, Position, operation, part

axles = Family("axles", "Axles", (Position("axle"),), (Attribute("size", "How large.", unit=""),),
               meaning="Of a test.")
lamps = Family("lamps", "Lamps", (Position("lamp"),), (Attribute("size", "How large.", unit=""),),
               meaning="Of a test.")


@operation("fit the lamp", hours=4.0)
def fit_lamp(changed: bool = part("lamp", "changed")):
    return changed


@operation("fit the axle", hours=10.0)
def fit_axle(changed: bool = part("axle", "changed")):
    return changed


@operation("aim the lamp", hours=2.0, after=("fit the lamp", "fit the axle"))
def aim_lamp(changed: bool = part("lamp", "changed")):
    return changed
'''
# The same work, and lamps are a phase after the axles.
IN_PHASES = (
    PLUGIN.replace("operation, part", "Phase, operation, part")
    .replace("hours=4.0", "hours=4.0, phase='lamps'")
    .replace("hours=10.0", "hours=10.0, phase='axles'")
    + """
first = Phase("axles", "Axles.")
then = Phase("lamps", "Lamps.", after=("axles",))
"""
)
MONDAY = datetime.date(2026, 12, 7)


def loaded(folder, text):
    path = folder / "two.py"
    path.write_text(text, encoding="utf-8")
    return testing.load([path], bundled=False)


@pytest.fixture(scope="module")
def trade(tmp_path_factory):
    return loaded(tmp_path_factory.mktemp("schedule"), PLUGIN)


def built(trade, lamp_days, axle_days, vehicles=1):
    vehicle = testing.vehicle(trade, {}, {"axle": {"size": "1"}, "lamp": {"size": "1"}})
    parts = [
        testing.part(trade, family, key, price="100 EUR", values={"size": "2"}, lead_time=days)
        for family, key, days in (("axles", "A", axle_days), ("lamps", "L", lamp_days))
    ]
    fixed = {"axle": "test/A", "lamp": "test/L"}
    case = testing.case(
        trade, vehicle, parts, rate="100 EUR", fixed=fixed, title="T", vehicles=vehicles
    )
    prepared = testing.ready(case, trade)
    (package,) = answers.find(prepared).packages
    return prepared.evaluation, package


def test_what_is_there_is_done_while_the_rest_is_on_its_way(trade):
    """Ordered on Monday: the lamp is there at once, the axle on Wednesday.

    Monday 4 hours of the lamp; Wednesday 8 and Thursday 2 hours of the axle, then 2 of aiming.
    """
    schedule = schedule_of(*built(trade, 0, 2), MONDAY)
    assert (schedule.begun, schedule.finished) == (MONDAY, datetime.date(2026, 12, 10))
    assert schedule.waits == 2
    assert schedule.last_part != ""


def test_a_phase_waits_for_those_before_it(tmp_path):
    """The lamp is there on Monday, and waits until the axle that comes on Wednesday is in."""
    schedule = schedule_of(*built(loaded(tmp_path, IN_PHASES), 0, 2), MONDAY)
    assert schedule.begun == datetime.date(2026, 12, 9)
    assert schedule.finished == datetime.date(2026, 12, 10)
    assert schedule.waits == 0


def test_a_weekend_is_passed_over(trade):
    """Parts come on Saturday 12; 16 hours of work are Monday and Tuesday."""
    schedule = schedule_of(*built(trade, 5, 5), MONDAY)
    assert schedule.begun == datetime.date(2026, 12, 14)
    assert schedule.finished == datetime.date(2026, 12, 15)


def test_vehicles_are_shared_out_among_the_lifts(trade):
    """Three vehicles of 16 hours: on one lift six days, on two lifts two vehicles on one: four."""
    evaluation, package = built(trade, 0, 0, vehicles=3)
    assert schedule_of(evaluation, package, MONDAY).finished == datetime.date(2026, 12, 14)
    assert schedule_of(evaluation, package, MONDAY, 2).finished == datetime.date(2026, 12, 10)
    assert schedule_of(evaluation, package, MONDAY, 3).finished == datetime.date(2026, 12, 8)


def test_more_lifts_never_take_longer(trade):
    evaluation, package = built(trade, 3, 1, vehicles=5)
    days = [schedule_of(evaluation, package, MONDAY, lifts).finished for lifts in range(1, 7)]
    assert days == sorted(days, reverse=True)


def test_work_without_a_lift_is_refused(trade):
    with pytest.raises(ValueError, match="lift"):
        schedule_of(*built(trade, 0, 0), MONDAY, 0)


def test_hours_go_on_the_next_day():
    clock = Clock(MONDAY, 8.0)
    clock.work(20.0)
    assert (clock.day, clock.hour) == (datetime.date(2026, 12, 9), 4.0)
    assert clock.wait_until(datetime.date(2026, 12, 12)) == 3  # a Saturday: work goes on on Monday
    assert clock.day == datetime.date(2026, 12, 14)
