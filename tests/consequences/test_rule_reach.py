"""What a fitter expects a choice to reach comes out of the search, row by row.

By fit alone: the rules and lists of the demo decide; goals and budget are not counted, except
where a row speaks of one. Nothing here is drawn up by hand but the expectation.
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from configurator.consequences import upgrades
from configurator.core import paths
from configurator.evaluation.operations import operations_of
from configurator.evaluation.packages import broken_rules, make_package
from configurator.files import job_files
from configurator.model.jobs import Goal
from configurator.questions import answers
from configurator.search.optimum import option_prices, queries
from configurator.search.optimum.preparing import Question
from tests import bundled

TRADE = bundled.trade()


@pytest.fixture(scope="module")
def prepared():
    result = {}
    for name in ("hut-track-wagon", "surveyor-pickup"):
        path = paths.catalogs() / "demo" / "jobs" / f"{name}.toml"
        case = job_files.read_case(path, TRADE)
        # As calculated, where more parts are in packages.
        result[name] = answers.ready(replace(case, job=replace(case.job, sure=False)), TRADE)
    return result


def reached(ready, position, key, job=None):
    """Positions whose present part is in no package with the choice."""
    job = job or upgrades.asked(ready, "fit")
    prices = queries.previews(
        Question(ready, replace(job, fixed={**job.fixed, position: key}))
    ).prices
    assert any(p >= 0 for p in prices[position]), f"{key} fits nothing"
    return {p for p, price in prices.items() if p != position and price[0] < 0}


@pytest.mark.parametrize(
    ("row", "job", "choice", "expected"),
    [
        (
            "hub reduction: wheels and nuts",
            "hut-track-wagon",
            "front hub reductions=OV-75-F",
            "wheels|wheel nuts",
        ),
        (
            "hub reduction: brakes",
            "hut-track-wagon",
            "front hub reductions=OV-75-F",
            "front brakes|rear brakes",
        ),
        (
            "hub reduction: the other axle",
            "hut-track-wagon",
            "front hub reductions=OV-75-F",
            "rear hub reductions",
        ),
        (
            "hub reduction: half-shafts",
            "hut-track-wagon",
            "front hub reductions=HC-60-F",
            "front half-shafts|rear half-shafts",
        ),
        (
            "hub reduction: steering, hoses, sensors",
            "hut-track-wagon",
            "front hub reductions=KH-100-F",
            "track rod|front brake hoses|front sensor leads",
        ),
        (
            "taller tyre: half-shafts",
            "hut-track-wagon",
            "tyres=HRA-35x1150R17",
            "front half-shafts|rear half-shafts",
        ),
        (
            "taller tyre: steering, arches, spare",
            "hut-track-wagon",
            "tyres=HRA-35x1150R17",
            "track rod|drag link|steering damper|front arch trimming|rear arch extensions|"
            "spare carrier",
        ),
        (
            "taller tyre: brakes",
            "surveyor-pickup",
            "tyres=GQM-33x1250R18",
            "front brakes|rear brakes",
        ),
        (
            "taller tyre: speedometer",
            "surveyor-pickup",
            "tyres=GQM-25575R17",
            "speedometer calibration",
        ),
        (
            "wider tyre: coverage",
            "hut-track-wagon",
            "tyres=GQM-31570R17",
            "front arch extensions|rear arch extensions",
        ),
        (
            "heavier tyre: steering damper",
            "surveyor-pickup",
            "tyres=GQM-31570R17",
            "steering damper",
        ),
        (
            "less offset: scrub radius, steering",
            "hut-track-wagon",
            "wheels=FH17-8-8-E20",
            "track rod",
        ),
        (
            "suspension lift: propshaft, shocks, Panhard rod",
            "hut-track-wagon",
            "front springs=CF-28-75",
            "front propshaft|front shocks|front Panhard rod",
        ),
        (
            "larger calipers: master cylinder",
            "hut-track-wagon",
            "front brakes=KB-2701",
            "master cylinder",
        ),
        (
            "another axle: gears, half-shafts, brakes, links",
            "hut-track-wagon",
            "front axle=TA-F112P",
            "front half-shafts|front brakes|track rod|wheels",
        ),
        (
            "another axle: gears",
            "hut-track-wagon",
            "front axle=TA-F112",
            "front crown wheel and pinion",
        ),
    ],
)
def test_reaches(row, job, choice, expected, prepared):
    position, number = choice.split("=")
    reach = reached(prepared[job], position, f"demo/{number}")
    missing = set(expected.split("|")) - reach
    assert not missing, f"{row}: {sorted(missing)} can stay"


@pytest.mark.parametrize("job", ["hut-track-wagon", "surveyor-pickup"])
def test_a_hub_reduction_leaves_driveshafts_and_bump_stops_alone(job, prepared):
    ready = prepared[job]
    options = ready.model.options["front hub reductions"]
    prices = queries.previews(Question(ready, upgrades.asked(ready, "fit"))).prices[
        "front hub reductions"
    ]
    possible = [o.key for o, price in zip(options, prices, strict=True) if o.changed and price >= 0]
    assert possible
    for key in possible:
        assert not reached(ready, "front hub reductions", key) & {
            "front propshaft",
            "rear propshaft",
            "front bump stops",
            "rear bump stops",
        }, key


def test_the_numbers_that_show_it(prepared):
    evaluation = prepared["hut-track-wagon"].evaluation
    hub = next(o for o in evaluation.options("front hub reductions") if o.key == "demo/OV-75-F")
    lift = next(o for o in evaluation.options("front springs") if o.key == "demo/CF-28-75")
    for figure in ("front propshaft angle", "front bump travel"):
        before = evaluation.figure(figure, evaluation.fitted)
        assert (
            evaluation.figure(figure, {**evaluation.fitted, "front hub reductions": hub}) == before
        )
    before = evaluation.figure("front propshaft angle", evaluation.fitted)
    lifted = {**evaluation.fitted, "front springs": lift}
    assert evaluation.figure("front propshaft angle", lifted) > before


def test_a_taller_tyre_reaches_the_gears_once_engine_speed_is_a_goal(prepared):
    ready = prepared["hut-track-wagon"]
    job = replace(
        upgrades.asked(ready, "fit"),
        goals=(Goal("engine speed at cruise", 2000 * 0.10471975512),),
        keep=("front hub reductions", "rear hub reductions"),
    )
    key = "demo/MFA-34x1050R17"
    assert {"front crown wheel and pinion", "rear crown wheel and pinion"} <= reached(
        ready, "tyres", key, job
    )
    assert not {"front crown wheel and pinion", "rear crown wheel and pinion"} & reached(
        ready, "tyres", key
    )


def test_a_hub_reduction_takes_torque_off_the_half_shafts(prepared):
    evaluation = prepared["hut-track-wagon"].evaluation
    hub = next(o for o in evaluation.options("front hub reductions") if o.key == "demo/OV-75-F")
    before = evaluation.figure("front grip torque", evaluation.fitted)
    after = evaluation.figure(
        "front grip torque", {**evaluation.fitted, "front hub reductions": hub}
    )
    assert after == pytest.approx(before / hub.part.values["ratio"], abs=50)


def test_more_mass_reaches_payload_and_axle_loads(prepared):
    ready = prepared["surveyor-pickup"]
    evaluation = ready.evaluation
    heavy = max(evaluation.options("steps"), key=lambda o: float(o.part.values["mass"]) * o.pieces)
    with_steps = {**evaluation.fitted, "steps": heavy}
    mass = float(heavy.part.values["mass"]) * heavy.pieces
    left = evaluation.figure("payload left", evaluation.fitted)
    assert evaluation.figure("payload left", with_steps) == pytest.approx(left - mass)
    # So much payload that nothing may be added: the search then keeps to what weighs no more.
    job = replace(upgrades.asked(ready, "fit"), goals=(Goal("payload left", left),))
    best = option_prices.cheapest(Question(ready, replace(job, fixed={"steps": heavy.key})))
    assert best.proven
    assert best.choice is None or evaluation.figure("payload left", best.choice) >= left


def test_a_front_truss_and_front_gears_share_the_work(prepared):
    evaluation = prepared["hut-track-wagon"].evaluation

    def work(**keys):
        choice = dict(evaluation.fitted)
        for position, key in keys.items():
            place = position.replace("_", " ")
            choice[place] = next(o for o in evaluation.options(place) if o.key == f"demo/{key}")
        names = [operation.name for operation in operations_of(evaluation, choice)]
        assert len(names) == len(set(names))
        return make_package(evaluation, choice).work, names

    truss = next(
        o.key.removeprefix("demo/")
        for o in evaluation.options("front reinforcement")
        if o.part.values.get("welded") or "truss" in o.part.title
    )
    alone, names = work(front_reinforcement=truss)
    assert "take out the front crown wheel and pinion" in names
    gears, _ = work(front_crown_wheel_and_pinion="RN-200-410")
    both, _ = work(front_reinforcement=truss, front_crown_wheel_and_pinion="RN-200-410")
    assert both < alone + gears


def test_steps_and_guards_take_clearance(prepared):
    evaluation = prepared["hut-track-wagon"].evaluation
    guard = next(
        o
        for o in evaluation.options("front diff guard")
        if o.changed and float(o.part.values["hangs below"]) > 0
    )
    before = evaluation.figure("clearance under front axle", evaluation.fitted)
    guarded = {**evaluation.fitted, "front diff guard": guard}
    assert evaluation.figure("clearance under front axle", guarded) < before
    deepest = max(
        (o for o in evaluation.options("steps") if o.changed),
        key=lambda o: float(o.part.values["hangs below sill"]),
    )
    beside = evaluation.figure("clearance beside the sill", evaluation.fitted)
    stepped = {**evaluation.fitted, "steps": deepest}
    assert evaluation.figure("clearance beside the sill", stepped) < beside


def test_a_lift_asks_for_hoses_only_once_the_shocks_let_the_axle_hang_further(prepared):
    """By hand: 320 mm along and 210 mm down leave 241 mm across; 440 mm less 20 mm of slack reach
    sqrt(420^2 - 241^2) = 343 mm down, so a wheel may hang 133 mm below ride height as it was."""
    evaluation = prepared["hut-track-wagon"].evaluation
    lift = next(o for o in evaluation.options("front springs") if o.key == "demo/CF-28-75")
    assert evaluation.fitted["front brake hoses"].part.values["length"] == pytest.approx(0.440)
    reaching = {True: 0, False: 0}
    for shocks in evaluation.options("front shocks"):
        choice = {**evaluation.fitted, "front springs": lift, "front shocks": shocks}
        drop = evaluation.figure("front wheel drop", choice)
        if not isinstance(drop, float) or abs(drop - 0.133) < 0.005:
            continue  # within what lengths are rounded to
        broken = {rule.name for rule in broken_rules(evaluation, choice)}
        tight = "the front brake hoses reach with the wheel hanging" in broken
        assert tight is (drop > 0.133), (shocks.key, drop)
        reaching[not tight] += 1
    assert min(reaching.values()) > 0
