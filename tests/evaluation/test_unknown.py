"""What is not known: followed back to the measure or column, for rules and for goals."""

from __future__ import annotations

import random
from dataclasses import replace

import pytest

from configurator import testing
from configurator.core.errors import InputError
from configurator.evaluation.evaluator import Evaluation
from configurator.evaluation.packages import not_checked
from configurator.evaluation.unknown import (
    Gap,
    gaps_of,
    measures_to_take,
    never_known,
)
from configurator.model.knowledge import checked_rules, rules_reading
from configurator.model.parts import Missing
from configurator.model.references import FigureValue
from configurator.wording.unchecked import unchecked_headline, unchecked_words
from tests import bundled

PICKUP = "norvane-plover"


@pytest.fixture(scope="module")
def trade():
    return bundled.trade()


@pytest.fixture(scope="module")
def lists(trade):
    return testing.demo_parts(trade)


def evaluation_without(trade, lists, *measures, key=PICKUP, **job):
    demo = testing.demo_vehicle(trade, key)
    values = {name: value for name, value in demo.values.items() if name not in measures}
    return Evaluation(testing.case(trade, replace(demo, values=values), lists, **job), trade)


def packages(evaluation, number=6):
    chance = random.Random(3)
    options = {position: evaluation.options(position) for position in evaluation.families}
    yield evaluation.fitted
    for _ in range(number):
        yield {position: chance.choice(of) for position, of in options.items()}


def test_a_gap_names_the_measure_and_not_the_figure_between(trade, lists):
    evaluation = evaluation_without(trade, lists, "front spring load")
    rule = trade.limits["the front shocks do not top out before droop"]
    assert gaps_of(evaluation, rule, evaluation.fitted) == (Gap("measure", "front spring load"),)
    unchecked = not_checked(evaluation, evaluation.fitted)
    missing = [item for item in unchecked if item.gaps]
    assert len(missing) > 10
    assert {item.why for item in missing} == {"measure front spring load"}


def test_one_missing_measure_is_one_line(trade, lists):
    """Not one for each of the rules that wait for it."""
    evaluation = evaluation_without(trade, lists, "front spring load")
    unchecked = not_checked(evaluation, evaluation.fitted)
    rules = [item for item in unchecked if item.gaps]
    lines = unchecked_words(unchecked, trade)
    about = [line for line in lines if "front spring load" in line]
    assert len(about) == 1
    assert trade.measures["front spring load"].how in about[0]
    assert f"and {len(rules) - 3} more" in about[0]
    headline = unchecked_headline(unchecked)
    assert headline.startswith(f"{len(rules)} rules were not checked: ")
    assert "springs (" in headline


def test_bounds_are_named_as_well(trade, lists):
    """*not known: its bound* helped nobody."""
    evaluation = evaluation_without(trade, lists, "required deceleration")
    rule = trade.limits["the brakes stop the laden vehicle within the permitted pedal force"]
    # The default stands for it: take that away, too.
    evaluation.constants.pop("vehicle: required deceleration")
    verdict = evaluation.verdict(rule, evaluation.fitted)
    assert verdict.unknown == "vehicle: required deceleration"
    assert gaps_of(evaluation, rule, evaluation.fitted) == (
        Gap("measure", "required deceleration"),
    )


def test_what_a_measure_was_taken_with_is_said(trade, lists):
    evaluation = evaluation_without(trade, lists)
    rule = trade.limits["the front propshaft joints bear their angle"]
    option = evaluation.fitted["front axle"]
    values = {**option.part.values, "mounts": "of somebody's own"}
    other = replace(option, part=replace(option.part, values=values), changed=True)
    gaps = gaps_of(evaluation, rule, {**evaluation.fitted, "front axle": other})
    assert set(gaps) == {
        Gap("taken with", "front propshaft length", "front axle"),
        Gap("taken with", "front propshaft slope", "front axle"),
    }
    assert str(gaps[0]) == (
        "measure front propshaft length again: it was taken with another part as front axle"
    )


def test_a_column_that_a_list_leaves_out_is_named(trade, lists):
    evaluation = evaluation_without(trade, lists)
    option = evaluation.fitted["tyres"]
    part = replace(option.part, values={**option.part.values, "mass": Missing.UNKNOWN})
    choice = {**evaluation.fitted, "tyres": replace(option, part=part, changed=True)}
    (gap,) = gaps_of(evaluation, trade.totals["vehicle mass"], choice)
    assert gap == Gap("part", "tyres: mass", option.part.title)


def test_every_gap_can_be_closed_by_a_person(trade, lists):
    """Take each measure away: whatever is not known then, names that measure and nothing else."""
    whole = evaluation_without(trade, lists)
    reading, rules = rules_reading(trade), checked_rules(trade)
    for measure in sorted(whole.case.vehicle.values):
        if trade.measures[measure].default is not None or measure == "wheels carried":
            continue
        evaluation = evaluation_without(trade, lists, measure)
        for choice in packages(evaluation, 1):
            for rule in (rule for rule in rules if rule.name in reading.get(measure, ())):
                # What that package does not know anyway is somebody else's: a rod on leaf springs.
                if evaluation.verdict(rule, choice).unknown and not (
                    whole.verdict(rule, choice).unknown
                ):
                    gaps = gaps_of(evaluation, rule, choice)
                    assert gaps == (Gap("measure", measure),), (measure, rule.name, gaps)


def test_a_figure_is_never_known_exactly_where_no_package_knows_it(trade, lists):
    """Held against packages put together by chance, for each measure that is taken away."""
    whole = evaluation_without(trade, lists)
    figures = [*trade.figures, *trade.totals]
    for measure in ("front spring load", "laden mass", "wheelbase", "pedal ratio", "top speed"):
        assert measure in whole.case.vehicle.values
        evaluation = evaluation_without(trade, lists, measure)
        for figure in figures:
            values = [evaluation.figure(figure, choice) for choice in packages(evaluation, 3)]
            if never_known(evaluation, figure):
                # As it stands a sum is where it starts; once a part changes, nobody knows it.
                assert all(isinstance(value, Missing) for value in values[1:]), (measure, figure)
            elif all(value is Missing.UNKNOWN for value in values):
                # Each of these packages lacks something of its own, such as a mass in a list.
                rule = evaluation.definition(figure)
                gaps = gaps_of(evaluation, rule, evaluation.fitted)
                assert Gap("measure", measure) not in gaps or takes_missing(trade, rule), figure
        assert never_known(whole, "front ride frequency") == ()


def takes_missing(trade, rule):
    """Whether a figure behind a rule decides itself what comes of something missing."""
    if any(item.takes_missing for item in rule.inputs):
        return True
    read = [item.reference for item in rule.inputs if isinstance(item.reference, FigureValue)]
    known = {**trade.figures, **trade.totals}
    return any(takes_missing(trade, known[reference.name]) for reference in read)


def test_a_goal_that_only_asking_shows_to_be_unknown(trade, lists):
    """A solid axle needs no lift to say that its differential stays; an independent one does."""
    goals = {"front differential lift": {"at_most": "50 mm"}}
    solid = evaluation_without(trade, lists, "front spring load", goals=goals)
    assert never_known(solid, "front differential lift") == ()
    assert testing.ready(solid.case, trade).model.fixed_figures is not None
    hanging = evaluation_without(
        trade, lists, "front spring load", key="orrest-wheatear", goals=goals
    )
    with pytest.raises(InputError, match="cannot be worked out; measure front spring load"):
        testing.ready(hanging.case, trade)


def test_a_goal_that_cannot_be_worked_out_ends_at_once(trade, lists):
    goals = {"front ride frequency": {"at_most": "1.6 Hz"}, "crawl ratio": {"at_least": "20"}}
    evaluation = evaluation_without(
        trade, lists, "front spring load", "idle speed", "lowest gear ratio", goals=goals
    )
    with pytest.raises(InputError) as caught:
        testing.ready(evaluation.case, trade)
    ride, crawl = caught.value.problems
    assert ride.where.endswith("goal 'front ride frequency'")
    assert ride.what == crawl.what == "cannot be worked out"
    assert ride.do.startswith("measure front spring load (half of what the front axle weighs")
    assert "rules wait for it as well" in ride.do
    assert crawl.do.startswith("measure lowest gear ratio (maker's data")


def test_those_that_unlock_most_come_first(trade, lists):
    evaluation = evaluation_without(trade, lists, "front spring load", "front shock room")
    taken = measures_to_take(evaluation)
    names = [name for name, _ in taken]
    assert names[0] == "front spring load"
    assert "front shock room" in names
    counts = [len(rules) for _, rules in taken]
    assert counts == sorted(counts, reverse=True)
