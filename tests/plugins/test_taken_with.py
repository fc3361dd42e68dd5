"""A measure holds for the part it was taken with: rules read the difference, or are not checked."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from configurator import testing
from configurator.evaluation.evaluator import Evaluation
from configurator.model.knowledge import checked_rules, references
from configurator.model.parts import Missing
from configurator.model.taken_with import Guarded, dependences_of, reads_of, unknown_part
from tests.plugins.state_coverage import movements, nearest_readers

# Rules that are not checked once a part changes, each decided by hand: nothing in a list says how
# the measure would come out with another part.
NOT_CHECKED_WITH_OTHERS = {
    # Another code of mounts: the pinion sits elsewhere, knuckles have other stops and arms. No
    # such axle may be bolted in either.
    "{axle} propshaft angle": {"{axle} axle: mounts"},
    "{axle} propshaft angle at full bump": {"{axle} axle: mounts"},
    "{axle} propshaft angle at full droop": {"{axle} axle: mounts"},
    "{axle} propshaft angle at the axle": {"{axle} axle: mounts"},
    "{axle} propshaft angle at the axle at full bump": {"{axle} axle: mounts"},
    "{axle} propshaft angle at the axle at full droop": {"{axle} axle: mounts"},
    "{axle} residual joint angle": {"{axle} axle: mounts"},
    "longest {axle} propshaft at full bump": {"{axle} axle: mounts"},
    "longest {axle} propshaft at full droop": {"{axle} axle: mounts"},
    "shortest {axle} propshaft at full bump": {"{axle} axle: mounts"},
    "{axle} propshaft length": {"{axle} axle: mounts"},
    "steering link load": {"front axle: mounts"},
    "steering damping needed": {"front axle: mounts"},
    "turning circle": {"front axle: mounts"},
    "the steering damper reaches from lock to lock": {"front axle: mounts"},
    # No list says how far joints bend with the wheel hanging.
    "the {axle} half-shaft joints turn freely at full droop": {"{axle} half-shafts"},
}


def guards(trade):
    rules = (*trade.figures.values(), *trade.limits.values(), *trade.fits.values())
    return {
        rule.name: {str(item) for item, _ in rule.function.guards}
        for rule in rules
        if isinstance(rule.function, Guarded)
    }


def test_what_is_not_checked_with_other_parts_was_decided(trade):
    decided = {
        name.replace("{axle}", axle): {item.replace("{axle}", axle) for item in items}
        for name, items in NOT_CHECKED_WITH_OTHERS.items()
        for axle in ("front", "rear")
    }
    assert guards(trade) == decided


def test_every_part_that_a_measure_was_taken_with_is_declared(trade):
    positions = Evaluation(testing.case(trade, testing.demo_vehicle(trade)), trade).families
    taken = [measure for measure in trade.measures.values() if measure.taken_with]
    assert len(taken) > 20
    assert [unknown_part(measure, positions) for measure in taken] == [""] * len(taken)


def test_every_reason_names_something_that_a_measure_was_taken_with(trade):
    """A reason for what was renamed since would hide the next mistake."""
    known = {
        name
        for measure in trade.measures.values()
        for item in dependences_of(measure)
        for name in (str(item), item.position)
    }
    rules = (*trade.figures.values(), *trade.limits.values(), *trade.fits.values())
    settled = {name for rule in rules for name, reason in rule.regardless if reason}
    assert settled
    assert settled <= known


def package(trade, exchanged, key="brennhall-tarn"):
    """Return a demo vehicle with some attributes of parts exchanged, everything else as it was."""
    evaluation = Evaluation(testing.case(trade, testing.demo_vehicle(trade, key)), trade)
    choice = dict(evaluation.fitted)
    for position, values in exchanged.items():
        option = choice[position]
        part = replace(option.part, key="test/X", values={**option.part.values, **values})
        choice[position] = replace(option, part=part, changed=True)
    return evaluation, choice


def test_a_shorter_bump_stop_lets_the_wheel_up_higher_than_it_is_shorter(trade):
    """Track 1570, springs 720 apart: 20 mm shorter, and (1570 - 720) / 1440 of it in twist."""
    rule = trade.limits["the front wheels go hardly higher in twist than they did"]
    evaluation, _ = package(trade, {})
    stop = evaluation.fitted["front bump stops"].part.values["pressed height"]
    track = evaluation.figure("front track", evaluation.fitted)
    for change, allowed in ((-0.020, False), (0.020, True)):
        other = package(trade, {"front bump stops": {"pressed height": stop + change}})[1]
        verdict = evaluation.verdict(rule, other)
        outboard = (track - 0.720) / (2 * 0.720)
        assert verdict.has == pytest.approx(-change * (1 + outboard))
        assert verdict.holds is allowed


def test_arch_work_and_hub_reductions_that_were_there_count_once(trade):
    """The rebuilt wagon was measured with its reductions of 75 mm: what is measured is what is."""
    key = "brennhall-tarn-rebuilt"
    evaluation, choice = package(trade, {}, key)
    assert evaluation.figure("front arch room", choice) == pytest.approx(0.505)
    without = {"front hub reductions": {"drop": 0.0, "added width": 0.0}}
    assert evaluation.figure("front arch room", package(trade, without, key)[1]) == pytest.approx(
        0.430
    )


def test_a_narrower_axle_brings_the_tyres_inboard(trade):
    rule = trade.limits["the front tyres clear springs, links and frame"]
    evaluation, as_it_stands = package(trade, {})
    has = evaluation.verdict(rule, as_it_stands).has
    faces = evaluation.fitted["front axle"].part.values["hub-face distance"]
    narrow = {"front axle": {"hub-face distance": faces - 0.040}}
    wide = {"front axle": {"hub-face distance": faces + 0.040}}
    # 40 mm less from face to face: 20 mm on each side. What a wider one gives is not counted.
    assert evaluation.verdict(rule, package(trade, narrow)[1]).has == pytest.approx(has - 0.020)
    assert evaluation.verdict(rule, package(trade, wide)[1]).has == pytest.approx(has)


def test_a_truss_over_a_thicker_tube_has_less_room(trade):
    truss = {"stands up": 0.045, "tube diameter": 0.0762}
    evaluation, choice = package(trade, {"front reinforcement": truss})
    rule = trade.limits["the front reinforcement has room above it"]
    has = evaluation.verdict(rule, choice).has
    thicker = {"front reinforcement": truss, "front axle": {"tube diameter": 0.0862}}
    assert evaluation.verdict(rule, package(trade, thicker)[1]).has == pytest.approx(has - 0.005)
    stop = evaluation.fitted["front bump stops"].part.values["pressed height"]
    # A shorter stop lets the tube come nearer; what a taller one gives is not counted.
    for change, nearer in ((-0.01, 0.010), (0.02, 0.0)):
        other = {
            "front reinforcement": truss,
            "front bump stops": {"pressed height": stop + change},
        }
        assert evaluation.verdict(rule, package(trade, other)[1]).has == pytest.approx(has - nearer)


@pytest.mark.parametrize("axle", ["front", "rear"])
def test_with_other_mounts_the_angle_of_the_propshaft_is_not_known(trade, axle):
    rule = trade.limits[f"the {axle} propshaft joints bear their angle"]
    evaluation, choice = package(trade, {f"{axle} axle": {"mounts": "of somebody's own"}})
    assert evaluation.figure(f"{axle} propshaft angle", choice) is Missing.UNKNOWN
    assert evaluation.verdict(rule, choice).unknown
    assert evaluation.verdict(rule, package(trade, {f"{axle} axle": {}})[1]).holds is True


def test_another_part_with_the_same_value_changes_nothing(trade):
    """Measured with mounts of one kind, and exchanged for another axle with the same."""
    rule = trade.limits["the front propshaft is long enough at full droop"]
    evaluation, choice = package(trade, {"front axle": {"tube wall": 0.009}})
    assert not evaluation.verdict(rule, choice).unknown
    other = package(trade, {"front axle": {"mounts": "of somebody's own"}})[1]
    assert evaluation.verdict(rule, other).unknown


def test_what_does_not_apply_is_not_called_unknown(trade):
    """Without a damper there is none that could end before the lock."""
    rule = trade.limits["the steering damper reaches from lock to lock"]
    mounts = {"front axle": {"mounts": "of somebody's own"}}
    evaluation, choice = package(trade, mounts)
    assert evaluation.verdict(rule, choice).unknown
    empty = evaluation.empty["steering_dampers"]
    bare = {**choice, "steering damper": replace(choice["steering damper"], part=empty)}
    verdict = evaluation.verdict(rule, bare)
    assert (verdict.holds, verdict.unknown) == (None, "")


def test_joints_of_other_half_shafts_bend_as_their_list_says(trade):
    """The touring wagon hangs its front differential on the body: 40 mm of lift were measured."""
    key = "orrest-wheatear"
    evaluation, choice = package(trade, {"front half-shafts": {}}, key)
    assert evaluation.figure("front joint lift room", choice) == pytest.approx(0.040)
    better = {"front half-shafts": {"joint lift room": 0.065}}
    room = evaluation.figure("front joint lift room", package(trade, better, key)[1])
    assert room == pytest.approx(0.065)


# What is measured to a place that the part does not move, so that the part counts as it is: from
# hub face or steering axis to what lies about the wheel, or at the very ends of travel.
COUNTED_AS_IT_IS = {
    ("{axle} inboard room", "wheels"): "measured from the hub face",
    ("inboard room at full lock", "wheels"): "measured from the steering axis",
    ("inboard room at full lock", "axles"): "measured from the steering axis",
    ("inboard room at full lock", "hub_reductions"): "measured from the steering axis",
    ("{axle} room ahead and behind", "wheels"): "measured along the vehicle, wheel off",
    ("{axle} room ahead and behind", "axles"): "measured along the vehicle, wheel off",
    ("{axle} room ahead and behind", "hub_reductions"): "measured along the vehicle, wheel off",
    ("{axle} room above the axle tube", "reinforcement"): "measured from the bare tube",
}
# Ends of the droop: an absorber or a strap moves nothing while the vehicle stands and is measured.
ENDS_OF_TRAVEL = ("shocks", "limit_straps")


def test_what_a_part_moves_is_read_as_a_difference(trade):
    """A measure that was taken with a part must not count the part once more."""
    rules = {rule.name: rule for rule in (*trade.figures.values(), *checked_rules(trade))}
    counted = set()
    for arrow in movements(trade):
        general = arrow.measure.replace("front ", "{axle} ").replace("rear ", "{axle} ")
        for name in nearest_readers(trade, arrow):
            reads = reads_of(rules[name], references, trade.worked_out)
            of_family = {place.name for place in trade.families[arrow.family].positions}
            moving = {
                pair for pair in reads.chosen if pair[0] in of_family and pair[1] in arrow.moves.by
            }
            if moving - reads.fitted and arrow.family not in ENDS_OF_TRAVEL:
                counted.add((general, arrow.family))
    assert counted == set(COUNTED_AS_IT_IS)


def test_plates_that_were_there_when_caster_was_measured_count_once(trade):
    """3.5 degrees with plates of 2: 1.5 without them, 4.5 with plates of 3."""
    vehicle = testing.demo_vehicle(trade, "brennhall-tarn")
    parts = testing.demo_parts(trade, ["angle_correction"])["angle_correction"]
    (plates,) = (part for part in parts if part.key.endswith("AC-F2"))
    fitted = {**vehicle.fitted, "front axle angle correction": replace(plates, key="fitted")}
    evaluation = Evaluation(testing.case(trade, replace(vehicle, fitted=fitted)), trade)
    for turned, caster in ((-2, 3.5), (0, 1.5), (-3, 4.5)):
        there = evaluation.fitted["front axle angle correction"]
        part = replace(there.part, key="test/X", values={"pinion up": math.radians(turned)})
        choice = {
            **evaluation.fitted,
            "front axle angle correction": replace(there, part=part, changed=True),
        }
        assert math.degrees(evaluation.figure("caster", choice)) == pytest.approx(caster, abs=1e-6)
        up = math.degrees(evaluation.figure("front pinion turned up", choice))
        assert up == pytest.approx(turned + 2)
