"""What must hold for every vehicle and every mix of parts, whether the mix fits or not."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from configurator.core import paths
from configurator.evaluation.evaluator import Evaluation
from configurator.evaluation.packages import make_package, not_checked
from configurator.files import job_files
from configurator.model.knowledge import checked_rules, references
from configurator.model.parts import Missing
from configurator.model.references import VehicleValue
from tests import bundled

TRADE = bundled.trade()
JOBS = sorted((paths.catalogs() / "demo" / "jobs").glob("*.toml"))
EVALUATIONS = [Evaluation(job_files.read_case(path, TRADE), TRADE) for path in JOBS]
OPTIONS = [{p: e.options(p) for p in e.families} for e in EVALUATIONS]
AXLES = ("front", "rear")


@st.composite
def mixes(draw):
    """A vehicle and any mix of parts: some positions as they are, the others drawn."""
    number = draw(st.integers(0, len(EVALUATIONS) - 1))
    choice = dict(EVALUATIONS[number].fitted)
    for position in draw(st.sets(st.sampled_from(sorted(choice)), max_size=12)):
        choice[position] = draw(st.sampled_from(OPTIONS[number][position]))
    return number, choice


def changed(option, **values):
    """The same option with other attributes, in SI."""
    named = {key.replace("_", " "): value for key, value in values.items()}
    assert set(named) <= set(option.part.values)
    return replace(option, part=replace(option.part, values={**option.part.values, **named}))


def figures(evaluation, name, *choices):
    """A figure of several mixes; None if it is missing in one."""
    values = [evaluation.figure(name, choice) for choice in choices]
    return None if any(isinstance(value, Missing) for value in values) else values


def number_of(option, attribute):
    value = option.part.values.get(attribute)
    return value if isinstance(value, float) else None


@given(mixes(), st.floats(0.01, 0.15))
def test_a_taller_tyre_gives_clearance_and_slows_the_engine(mix, more):
    number, choice = mix
    evaluation, tyre = EVALUATIONS[number], choice["tyres"]
    diameter = number_of(tyre, "overall diameter")
    if diameter is None:
        return
    taller = {**choice, "tyres": changed(tyre, overall_diameter=diameter + more)}
    for name, sign in (
        ("clearance under front axle", 1),
        ("clearance under rear axle", 1),
        ("engine speed at cruise", -1),
        ("rear grip torque", 1),
        ("entry height", 1),
        ("crawl ratio", 0),
    ):
        both = figures(evaluation, name, choice, taller)
        if both is not None:
            assert sign * (both[1] - both[0]) >= 0, name
            assert sign or both[1] == both[0], name


@given(mixes(), st.floats(0.01, 0.1), st.floats(1.05, 1.5))
def test_a_hub_reduction_raises_the_axle_and_relieves_what_is_ahead_of_it(mix, drop, ratio):
    number, choice = mix
    evaluation = EVALUATIONS[number]
    for axle in AXLES:
        hub = choice[f"{axle} hub reductions"]
        before, was = number_of(hub, "drop"), number_of(hub, "ratio")
        if before is None or was is None:
            continue
        geared = {
            **choice,
            f"{axle} hub reductions": changed(hub, drop=before + drop, ratio=was * ratio),
        }
        for name, sign in (
            (f"clearance under {axle} axle", 1),
            (f"{axle} grip torque", -1),
            (f"{axle} half-shaft speed", 1),
            (f"{axle} overall drive ratio", 1),
        ):
            both = figures(evaluation, name, choice, geared)
            if both is not None:
                assert sign * (both[1] - both[0]) >= 0, name
        for name in (f"{axle} propshaft angle", f"{axle} bump travel", f"{axle} droop"):
            both = figures(evaluation, name, choice, geared)
            if both is not None:
                assert both[0] == both[1], name


@given(mixes(), st.floats(0.005, 0.1))
def test_a_lift_bends_the_driveshaft_and_lowers_no_body(mix, more):
    number, choice = mix
    evaluation = EVALUATIONS[number]
    for axle in AXLES:
        springs = choice[f"{axle} springs"]
        lift = number_of(springs, "lift")
        if lift is None:
            continue
        lifted = {**choice, f"{axle} springs": changed(springs, lift=lift + more)}
        both = figures(evaluation, f"{axle} body rise", choice, lifted)
        if both is not None:
            assert both[1] >= both[0]
        both = figures(evaluation, f"{axle} lift over the differential", choice, lifted)
        if both is not None:
            assert both[1] >= both[0]


@given(mixes(), st.floats(0.001, 0.06))
def test_more_offset_never_widens_the_track(mix, more):
    number, choice = mix
    evaluation, wheel = EVALUATIONS[number], choice["wheels"]
    offset = number_of(wheel, "offset")
    if offset is None:
        return
    inward = {**choice, "wheels": changed(wheel, offset=offset + more)}
    for axle in AXLES:
        both = figures(evaluation, f"{axle} track", choice, inward)
        if both is not None:
            assert both[1] <= both[0]


@given(mixes(), st.sampled_from(sorted(EVALUATIONS[0].families)), st.floats(0.5, 80.0))
def test_more_mass_never_leaves_more_payload(mix, position, more):
    number, choice = mix
    evaluation, option = EVALUATIONS[number], choice[position]
    mass = number_of(option, "mass")
    if mass is None or not option.changed:
        return
    heavier = {**choice, position: changed(option, mass=mass + more)}
    left = figures(evaluation, "payload left", choice, heavier)
    total = figures(evaluation, "vehicle mass", choice, heavier)
    if left is not None:
        assert left[1] <= left[0]
    if total is not None:
        assert total[1] - total[0] == pytest.approx(more * option.pieces)


@given(mixes(), st.floats(0.02, 0.15))
def test_headlamps_rise_with_tyres_and_front_springs_and_keep_their_size(mix, more):
    number, choice = mix
    evaluation = EVALUATIONS[number]
    tyre, springs = choice["tyres"], choice["front springs"]
    raised = [
        {
            **choice,
            "tyres": changed(tyre, overall_diameter=tyre.part.values["overall diameter"] + more),
        }
    ]
    length = number_of(springs, "free length")
    if length is not None:
        raised.append({**choice, "front springs": changed(springs, free_length=length + more)})
    for higher in raised:
        lower = figures(evaluation, "headlamp lower edge height", choice, higher)
        upper = figures(evaluation, "headlamp upper edge height", choice, higher)
        assert lower is not None
        assert upper is not None
        assert lower[1] > lower[0]
        assert upper[1] > upper[0]
        # Rounded down and up: each edge by less than a step.
        size = evaluation.case.vehicle.values
        height = size["headlamp upper edge height"] - size["headlamp lower edge height"]
        for low, high in zip(lower, upper, strict=True):
            assert height - 1e-9 <= high - low < height + 0.002


@given(mixes(), st.sampled_from(["track rod", "drag link"]), st.floats(1.05, 2.0))
def test_a_stronger_or_thicker_link_bears_no_less(mix, link, more):
    number, choice = mix
    evaluation, option = EVALUATIONS[number], choice[link]
    values = option.part.values
    stronger = changed(option, yield_strength=values["yield strength"] * more)
    thicker = changed(option, wall=min(values["wall"] * more, values["outer diameter"] / 2))
    for better in (stronger, thicker):
        for figure in (f"{link} bending load", f"{link} buckling load"):
            both = figures(evaluation, figure, choice, {**choice, link: better})
            assert both is not None
            assert both[1] >= both[0], figure


@given(mixes())
def test_figures_are_numbers_on_their_steps_and_prices_add_up(mix):
    number, choice = mix
    evaluation = EVALUATIONS[number]
    for name, figure in TRADE.figures.items():
        value = evaluation.figure(name, choice)
        if isinstance(value, float) and figure.resolution and figure.unit in {"mm", "N*m", "kg"}:
            step = figure.resolution / (1000 if figure.unit == "mm" else 1)
            assert value / step == pytest.approx(round(value / step), abs=1e-6), name
    package = make_package(evaluation, choice)
    parts = sum(option.price for option in choice.values())
    assert package.price == parts + package.work >= 0
    assert make_package(evaluation, evaluation.fitted).price == 0


@pytest.mark.parametrize("number", range(len(EVALUATIONS)))
def test_a_measure_that_is_missing_is_said_and_stops_nothing(number):
    whole = EVALUATIONS[number]
    # A total asks for its terms only where something is changed: other tyres, 1 kg heavier.
    tyres = whole.fitted["tyres"]
    heavier = replace(changed(tyres, mass=number_of(tyres, "mass") + 1.0), changed=True)
    choice = {**whole.fitted, "tyres": heavier}
    for name in sorted(whole.case.vehicle.values):
        if TRADE.measures[name].default is not None:
            continue
        values = {k: v for k, v in whole.case.vehicle.values.items() if k != name}
        vehicle = replace(whole.case.vehicle, values=values)
        less = Evaluation(replace(whole.case, vehicle=vehicle), TRADE)
        rules = {unchecked.rule for unchecked in not_checked(less, choice)}
        reads = [r for r in checked_rules(TRADE) if VehicleValue(name) in references(r)]
        applies = [r for r in reads if whole.verdict(r, choice).holds is not None]
        assert {rule.name for rule in applies} <= rules, name


def test_every_measure_says_what_it_is_and_how_it_is_measured():
    for measure in TRADE.measures.values():
        assert measure.meaning, measure.name
        assert measure.how, measure.name
