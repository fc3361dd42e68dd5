"""Measures that nobody gave: what is assumed, who reads it, and what it moves."""

from __future__ import annotations

import pytest

from configurator import testing
from configurator.core.progress import Progress, followed
from configurator.evaluation.assumed import assumed_of, usual_values, with_measure
from configurator.model.vehicles import Measure
from configurator.questions import answers
from configurator.questions.assumed_bounds import prices_at_bounds
from configurator.wording.assumed_words import assumed_headline, assumed_record, assumed_words
from configurator.wording.style import English

PLUGIN = '''
"""Jacks for a load that is seldom weighed."""

from configurator.plugin import Attribute, Family, Measure, Position, figure, limit, part, vehicle

jacks = Family(
    "jacks", "Jacks", (Position("jack", "rear body"),),
    (Attribute("capacity", "What it lifts.", "kg"),), optional=True, meaning="Lift a wheel.",
)
load = Measure(
    "load on the jack", "Half of an axle.", "on the scale", "kg", default=1000.0,
    usual=(800.0, 1500.0),
)
ground = Measure(
    "ground", "What it stands on.", "look", kind="text", choices=("hard", "sand"),
    default="hard", usual=("sand",),
)
unread = Measure("colour", "For people.", "look", kind="text", default="red")


@figure("capacity left", unit="kg", meaning="Beyond the load.", source="definition")
def left(capacity: float = part("jack", "capacity"), load: float = vehicle("load on the jack")):
    return capacity - load


@limit("the jack lifts the load", unit="kg", at_least=vehicle("load on the jack"),
       because="it would tip", source="geometry")
def lifts(capacity: float = part("jack", "capacity")):
    return capacity


@limit("the jack does not sink", unit="kg", at_most=3000.0, because="sand gives", source="none")
def sinks(capacity: float = part("jack", "capacity"), ground: str = vehicle("ground")):
    return 2 * capacity if ground == "sand" else capacity
'''


@pytest.fixture(scope="module")
def trade(tmp_path_factory):
    path = tmp_path_factory.mktemp("plugins") / "jacks.py"
    path.write_text(PLUGIN, encoding="utf-8")
    return testing.load([path], bundled=False)


def case_of(trade, figures=None, **job):
    parts = [
        testing.part(trade, "jacks", number, price=price, values={"capacity": capacity})
        for number, price, capacity in (
            ("J-12", "80 EUR", "1200 kg"),
            ("J-20", "120 EUR", "2000 kg"),
        )
    ]
    wanted = {"goals": {"capacity left": {"at_least": "50 kg"}}, **job}
    return testing.case(trade, testing.vehicle(trade, figures), parts, **wanted)


def test_what_was_assumed_and_what_comes_of_it(trade):
    """1200 kg lift 1000 with 200 to spare, but not 1500; twice 1200 is below 3000."""
    prepared = testing.ready(case_of(trade), trade)
    answer = answers.find(prepared)
    package = testing.assert_package(prepared, {"jack": "J-12"}, price="80 EUR")
    load, ground = assumed_of(prepared.evaluation, answer.job, package.choice)
    assert (load.measure.name, load.value) == ("load on the jack", 1000.0)
    assert (load.rules, load.figures) == (("the jack lifts the load",), ("capacity left",))
    low, high = load.bounds
    assert (low.value, low.holds) == (800.0, True)
    assert (high.value, high.breaks, high.misses) == (
        1500.0,
        ("the jack lifts the load",),
        ("capacity left",),
    )
    assert (ground.measure.name, ground.bounds[0].value) == ("ground", "sand")
    assert ground.bounds[0].holds
    assert assumed_headline([load, ground]) == (
        "2 measures assumed; the package does not hold everywhere in the usual range of "
        "load on the jack."
    )


def test_what_the_answer_would_be_at_the_bounds(trade):
    """At 1500 kg only the jack for 120 EUR is left; on sand it sinks, and the small one holds."""
    prepared = testing.ready(case_of(trade), trade)
    package = testing.assert_package(prepared, {"jack": "J-12"})
    assumed = assumed_of(prepared.evaluation, prepared.evaluation.case.job, package.choice)
    progress = Progress("{done} of {of}")
    with followed(progress):
        prices = prices_at_bounds(prepared, assumed, keep=False)
    assert prices == {
        ("load on the jack", 800.0): 8_000,
        ("load on the jack", 1500.0): 12_000,
        ("ground", "sand"): 8_000,
    }
    assert progress.words == "2 of 3"
    lines = assumed_words(assumed, English("EUR"), prices)
    assert lines[0] == (
        "load on the jack: 1,000 kg assumed, not measured (on the scale). Used for: the jack "
        "lifts the load, the goal capacity left. With 800 kg, this package still holds. The "
        "cheapest package there costs 80.00 EUR. With 1,500 kg, this package breaks: the jack "
        "lifts the load; and misses: capacity left. The cheapest package there costs 120.00 EUR."
    )
    assert "ground: “hard” assumed, not measured" in lines[1]
    assert "With “sand”, this package still holds." in lines[1]
    record = assumed_record(assumed, "EUR", prices=prices)[0]
    assert record["usual"][1]["cheapest"] == {"amount": "120.00", "currency": "EUR"}
    assert (record["value"], record["unit"], record["source"]) == (1000.0, "kg", "default")


def test_where_nothing_fits_no_package_is_said_to_hold(trade):
    prepared = testing.ready(case_of(trade), trade)
    package = testing.assert_package(prepared, {"jack": "J-12"})
    assumed = assumed_of(prepared.evaluation, prepared.evaluation.case.job, package.choice)
    style = English("EUR")
    lines = assumed_words(assumed, style, package=False)
    assert not any("this package" in line for line in lines)
    assert lines[-1].startswith("Whether anything fits at the usual bounds")
    prices = {("load on the jack", 800.0): 8_000, ("load on the jack", 1500.0): None}
    lines = assumed_words(assumed, style, prices, package=False)
    assert "With 800 kg, the cheapest package costs 80.00 EUR." in lines[0]
    assert "With 1,500 kg, nothing fits either." in lines[0]


def test_where_nothing_fits_at_a_bound_that_is_said(trade):
    prepared = testing.ready(case_of(trade, fixed={"jack": "test/J-12"}), trade)
    package = testing.assert_package(prepared, {"jack": "J-12"})
    assumed = assumed_of(prepared.evaluation, prepared.evaluation.case.job, package.choice)
    prices = prices_at_bounds(prepared, assumed, keep=False)
    assert prices["load on the jack", 1500.0] is None
    assert "Nothing fits there." in assumed_words(assumed, English("EUR"), prices)[0]


def test_what_was_not_worked_out_is_said(trade):
    prepared = testing.ready(case_of(trade), trade)
    package = testing.assert_package(prepared, {})
    assumed = assumed_of(prepared.evaluation, prepared.evaluation.case.job, package.choice)
    assert "was not worked out" in assumed_words(assumed, English("EUR"))[-1]
    assert "cheapest" not in assumed_record(assumed, "EUR")[0]["usual"][0]


def test_what_was_given_is_not_assumed(trade):
    measured = case_of(trade, measured={"load on the jack": "1000 kg"})
    in_the_file = case_of(trade, {"load on the jack": "1000 kg", "ground": "hard"})
    for case, names in ((measured, ["ground"]), (in_the_file, [])):
        prepared = testing.ready(case, trade)
        choice = testing.assert_package(prepared, {}).choice
        assumed = assumed_of(prepared.evaluation, case.job, choice)
        assert [item.measure.name for item in assumed] == names


def test_what_no_rule_of_the_package_reads_is_left_out(trade):
    prepared = testing.ready(case_of(trade, goals={}), trade)
    evaluation = prepared.evaluation
    # Nothing is fitted: no rule applies, and nothing is assumed for it.
    assert assumed_of(evaluation, evaluation.case.job, evaluation.fitted) == []


def test_a_case_with_another_measure_assumes_it_no_more(trade):
    case = with_measure(case_of(trade), "load on the jack", 1500.0)
    assert case.vehicle.values["load on the jack"] == 1500.0
    assert "load on the jack" not in case.vehicle.assumed


def test_usual_values_are_in_si():
    slope = Measure("slope", "", "", unit="deg", default=0.0, usual=(-90.0, 0.0))
    assert usual_values(slope) == [pytest.approx(-1.5707963)]
    assert usual_values(Measure("carried", "", "", kind="whole", default=5, usual=(4, 5))) == [4]
