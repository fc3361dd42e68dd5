"""The sequence of work: an order that works, waiting for parts, the longest chain."""

from __future__ import annotations

import random

import pytest

from configurator.core.errors import PluginError
from configurator.evaluation.evaluator import Evaluation, Option
from configurator.evaluation.packages import make_package
from configurator.evaluation.work_plan import in_sequence, precedence, work_plan
from configurator.model.jobs import Case, Job, Workshop
from configurator.model.knowledge import gather
from configurator.model.parts import FITTED, Family, Part, Position
from configurator.model.phases import Phase, phases_before
from configurator.model.references import Input, PartValue
from configurator.model.rules import Operation
from configurator.model.vehicles import Vehicle
from tests import bundled

PLACES = ("front crown wheel and pinion", "rear crown wheel and pinion", "wheels")


def operation(name, *positions, hours=1.0, after=(), station="bay", **more):
    inputs = tuple(Input(f"x{k}", PartValue(p, "changed")) for k, p in enumerate(positions))
    return Operation(
        name, lambda **values: any(values.values()), inputs, hours, station, after, **more
    )


def plan_of(operations, lead_times, hours_a_day=8.0):
    """Plan the work of a package in which the positions of ``lead_times`` are changed."""
    families = [Family(p, p, (Position(p),), ()) for p in PLACES]
    trade = gather(families, [], [], [], operations)
    fitted = {p: Part(FITTED, p, "old", 0, {}) for p in PLACES}
    case = Case(Job("j", "c/v", ("c",)), Vehicle("c/v", "V", {}, fitted), {}, Workshop())
    evaluation = Evaluation(case, trade)
    choice = dict(evaluation.fitted)
    for place, days in lead_times.items():
        part = Part(f"c/{place}", place, f"new {place}", 100, {}, lead_time=days)
        choice[place] = Option(place, part, 1, 100, changed=True)
    return work_plan(evaluation, make_package(evaluation, choice), hours_a_day)


def names(plan):
    return [step.operation.name for step in plan.steps]


WORK = (
    operation("drive", *PLACES, hours=0.5, after=("fit wheels",), station="road", check=True),
    operation("fit wheels", "wheels", hours=1.0, after=("fill front", "fill rear")),
    operation("fill front", "front crown wheel and pinion", hours=2.0, after=("weld front",)),
    operation("fill rear", "rear crown wheel and pinion", hours=2.0, after=("weld rear",)),
    operation("weld front", "front crown wheel and pinion", hours=4.0, station="welding"),
    operation("weld rear", "rear crown wheel and pinion", hours=4.0, station="welding"),
)


def test_what_must_come_first_comes_first_and_bays_are_not_left_halfway():
    plan = plan_of(WORK, dict.fromkeys(PLACES, 0))
    assert names(plan) == [
        "weld front",
        "weld rear",
        "fill front",
        "fill rear",
        "fit wheels",
        "drive",
    ]
    assert [(b.station, b.axle, b.hours) for b in plan.blocks] == [
        ("welding", "front", 4.0),
        ("welding", "rear", 4.0),
        ("bay", "front", 2.0),
        ("bay", "rear", 2.0),
        ("bay", "", 1.0),
        ("road", "", 0.5),
    ]
    assert plan.hours == 13.5
    assert [step.operation.name for step in plan.checks] == ["drive"]


def test_order_holds_through_an_operation_that_is_not_needed():
    plan = plan_of(WORK, {"front crown wheel and pinion": 0})
    assert names(plan) == ["weld front", "fill front", "drive"]
    assert plan.steps[2].after == ("fill front",)  # by way of the wheels, which stay on


def test_the_longest_chain_with_lead_times_gives_the_earliest_finish():
    plan = plan_of(
        WORK, {"front crown wheel and pinion": 1, "rear crown wheel and pinion": 0, "wheels": 0}
    )
    # One day of waiting, then 4 + 2 + 1 + 0.5 hours; the rear would be done without waiting.
    assert plan.finish == pytest.approx(1 + 7.5 / 8)
    assert plan.chain == ("weld front", "fill front", "fit wheels", "drive")
    assert plan.held_by is not None
    assert (plan.held_by.position, plan.held_by.days) == ("front crown wheel and pinion", 1)
    assert not plan.unknown


def test_a_late_part_holds_only_what_reads_it():
    plan = plan_of(
        WORK, {"front crown wheel and pinion": 0, "rear crown wheel and pinion": 0, "wheels": 5}
    )
    starts = {step.operation.name: step.start for step in plan.steps}
    assert starts["weld front"] == 0.0
    assert starts["fit wheels"] == 5.0
    assert plan.chain == ("fit wheels", "drive")
    assert plan.finish == pytest.approx(5 + 1.5 / 8)


def test_a_part_that_no_work_waits_for_is_waited_for_at_the_end():
    plan = plan_of(WORK[4:5], {"front crown wheel and pinion": 0, "wheels": 9})
    assert plan.finish == 9.0
    assert plan.chain == ()
    assert plan.held_by is not None
    assert plan.held_by.position == "wheels"


def test_lead_times_that_are_not_known_are_named():
    plan = plan_of(WORK, {"front crown wheel and pinion": 0, "wheels": None})
    assert [wait.position for wait in plan.unknown] == ["wheels"]
    assert plan.finish > 0


def test_consumables_add_up():
    work = [
        operation("fill front", "front crown wheel and pinion", uses={"gear oil": 2.5}),
        operation("fill rear", "rear crown wheel and pinion", uses={"gear oil": 2.0, "seal": 1}),
    ]
    plan = plan_of(work, {"front crown wheel and pinion": 0, "rear crown wheel and pinion": 0})
    assert plan.consumables == {"gear oil": 4.5, "seal": 1}


def test_nothing_to_do_is_done_at_once():
    plan = plan_of(WORK, {})
    assert (plan.steps, plan.hours, plan.finish, plan.chain, plan.held_by) == ((), 0, 0, (), None)


def test_a_circle_is_an_error_of_the_plugin_and_names_it():
    work = [
        operation("weld", "wheels", after=("paint",), plugin="shop"),
        operation("paint", "wheels", after=("weld",), plugin="shop"),
    ]
    with pytest.raises(PluginError) as caught:
        plan_of(work, {"wheels": 0})
    assert caught.value.plugin == "shop"
    assert "'weld'" in str(caught.value)
    assert "'paint'" in str(caught.value)


@pytest.mark.parametrize("seed", range(40))
def test_any_order_of_declaration_gives_a_sequence_that_works(seed):
    chance = random.Random(seed)
    count = chance.randint(2, 14)
    work = [
        operation(
            f"{chance.choice(('front', 'rear', 'own'))} work {k}",
            "wheels",
            station=chance.choice("ab"),
        )
        for k in range(count)
    ]
    work = [
        Operation(
            step.name,
            step.function,
            step.inputs,
            step.hours,
            step.station,
            tuple(other.name for other in work[:k] if chance.random() < 0.3),
        )
        for k, step in enumerate(work)
    ]
    chance.shuffle(work)
    before = precedence(work, {})
    sequence = [step.name for step in in_sequence(work, before)]
    assert sorted(sequence) == sorted(step.name for step in work)
    for step in work:
        for earlier in step.after:
            assert sequence.index(earlier) < sequence.index(step.name)
    assert sequence == [step.name for step in in_sequence(work, before)]


def test_bundled_operations_have_an_order_and_name_only_what_there_is():
    trade = bundled.trade()
    operations = trade.operations
    before = precedence(operations.values(), trade.phases)
    for operation in operations.values():
        assert set(operation.after) <= set(operations), operation.name
    # What the trade insists on, whichever plugin declares it.
    for first, then in (
        ("weld on the front reinforcement", "set up the front crown wheel and pinion"),
        ("fit the front brakes", "bleed the front brakes"),
        ("fit the front hub reductions", "fit the wheels"),
        ("set toe and caster", "drive and check for pull and vibration"),
        ("exchange the front springs", "set toe and caster"),
        ("exchange the front springs", "aim the headlamps"),
        ("fit the wheels", "re-torque the wheel fasteners after 100 km"),
    ):
        assert first in before[then], (first, then)
    checks = {operation.name for operation in operations.values() if operation.check}
    assert {"set toe and caster", "bleed the front brakes"} <= checks
    assert "fit the wheels" not in checks


def test_a_family_of_its_own_brings_its_work_into_the_sequence():
    """One new file, nothing edited elsewhere: welded first, before alignment and road."""
    known = bundled.trade()
    family = Family("skids", "Skids", (Position("skids"),), ())
    inputs = (Input("changed", PartValue("skids", "changed")),)
    weld = Operation(
        "weld on the skids", lambda changed: changed, inputs, 2.0, "welding bay", phase="welding"
    )
    trade = gather(
        [*known.families.values(), family],
        known.measures.values(),
        known.conditions.values(),
        known.practices.values(),
        [
            *known.figures.values(), *known.totals.values(), *known.operations.values(), weld,
        ],
        phases=known.phases.values(),
    )  # fmt: skip
    before = precedence(trade.operations.values(), trade.phases)
    assert "take out the front crown wheel and pinion" in before["weld on the skids"]
    for later in ("set up the rear crown wheel and pinion", "fit the wheels", "set toe and caster"):
        assert "weld on the skids" in before[later]


def test_a_phase_of_its_own_lies_between_two_others():
    phases = {
        phase.name: phase
        for phase in (
            Phase("welding", "joined"),
            Phase("gears", "set up", after=("welding",)),
            Phase("painting", "painted", after=("welding",), before=("gears",)),
        )
    }
    assert phases_before(phases)["gears"] == {"welding", "painting"}
    circle = {**phases, "welding": Phase("welding", "joined", after=("gears",))}
    with pytest.raises(PluginError, match="phases wait for each other in a circle"):
        phases_before(circle)


@pytest.mark.parametrize(
    ("field", "value", "message"),
    [
        ("after", ("weld frnt",), "operation 'paint', after: there is no operation 'weld frnt'"),
        ("phase", "weldng", "operation 'paint', phase: there is no phase 'weldng'"),
    ],
)
def test_an_order_that_nobody_declares_is_refused_with_plugin_and_field(field, value, message):
    wrong = operation("paint", "wheels", plugin="shop", **{field: value})
    with pytest.raises(PluginError) as refused:
        gather([], [], [], [], [wrong, operation("weld front", "wheels")], phases=PHASES)
    assert refused.value.plugin == "shop"
    assert message in refused.value.what
    assert "did you mean 'weld" in refused.value.what


PHASES = (Phase("welding", "joined"),)


def test_amounts_that_a_figure_says_are_in_its_unit():
    trade = bundled.trade()
    job = trade.operations["fit the front hub reductions"]
    assert str(job.uses["gear oil"]) == "front hub oil"
    assert trade.figures["front hub oil"].unit == "litre"
