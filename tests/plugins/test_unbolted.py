"""Whatever is unbolted is work, with what must be tried after it and the caution for it."""

from __future__ import annotations

import pytest

from configurator.evaluation.packages import cautions_of
from configurator.model.parts import NOTHING
from tests.plugins.packages import TRADE, package, work

ALIGN = "set toe and caster"
SENSORS = "try the front wheel-speed sensors and clear what they stored"
REAR_SENSORS = "try the rear wheel-speed sensors and clear what they stored"
PARKING = "set the parking brake and try it on a slope"
SUSPENSION, STEERING = "the suspension was changed", "the steering was changed"
BRAKES, HOSES = "the brakes were changed", "the brake hoses end elsewhere"
MOVED = "the wheel-speed sensors were moved"
DRAW, ASIDE = "draw", "half-shafts and hang the brakes aside"
BACK, TRIED = "put", "half-shafts back and try the brakes"
# Position → what else is done, and what is cautioned about.
ASKED = {
    "front axle": ({ALIGN, SENSORS, "bleed the front brakes"}, {BRAKES, HOSES, MOVED}),
    "rear axle": ({REAR_SENSORS, PARKING, "bleed the rear brakes"}, {BRAKES, HOSES, MOVED}),
    "front crown wheel and pinion": (
        {f"{DRAW} the front {ASIDE}", f"{BACK} the front {TRIED}"},
        {"the front half-shafts were drawn"},
    ),
    "rear diff lock": (
        {f"{DRAW} the rear {ASIDE}", f"{BACK} the rear {TRIED}"},
        {"the rear half-shafts were drawn"},
    ),
    "front half-shafts": ({SENSORS, "bleed the front brakes"}, {BRAKES, MOVED}),
    "rear half-shafts": ({REAR_SENSORS, PARKING, "bleed the rear brakes"}, {BRAKES, MOVED}),
    "front hub reductions": ({ALIGN, SENSORS, "aim the headlamps"}, {BRAKES, HOSES, MOVED}),
    "rear hub reductions": ({REAR_SENSORS, PARKING, "aim the headlamps"}, {BRAKES, HOSES, MOVED}),
    "front sensor leads": ({"lay the front sensor leads and try the sensors"}, {MOVED}),
    "rear sensor leads": ({"lay the rear sensor leads and try the sensors"}, {MOVED}),
    "front brakes": ({"bleed the front brakes", "bed in and measure the front brakes"}, {BRAKES}),
    "rear brakes": ({"bleed the rear brakes", PARKING}, {BRAKES, HOSES}),
    "master cylinder": ({"bleed both circuits and measure all brakes"}, {BRAKES}),
    "front brake hoses": ({"fit and bleed the front brake hoses"}, {BRAKES}),
    "rear brake hose brackets": (set(), {HOSES}),
    "front springs": ({ALIGN, "aim the headlamps"}, {SUSPENSION}),
    "rear springs": ({"aim the headlamps"}, {SUSPENSION}),
    "front shocks": ({"let down the front axle"}, {SUSPENSION}),
    "rear bump stops": (set(), {SUSPENSION}),
    "front limit straps": (set(), {SUSPENSION}),
    "front axle angle correction": (
        {"measure the caster and set it"},
        {"an axle was turned about its own line"},
    ),
    "drop arm": ({"centre the steering wheel"}, {"the drop arm was changed"}),
    "front Panhard rod": ({"centre the front axle under the frame"}, {STEERING}),
    "rear Panhard rod": (set(), {SUSPENSION}),
    "track rod": ({ALIGN}, {STEERING}),
    "drag link": ({ALIGN}, {STEERING}),
    "wheels": ({"re-torque the wheel fasteners after 100 km"}, {"re-torque the wheel fasteners"}),
}


def exchanged(position):
    """Work and cautions of a vehicle that keeps everything but the part at a position."""
    evaluation, choice = package("brennhall-tarn-rebuilt")
    before = work(evaluation, choice), {c.name for c in cautions_of(evaluation, choice)}
    (other, *_) = [o for o in evaluation.options(position) if o.changed and o.key != NOTHING]
    changed = {**choice, position: other}
    asked = work(evaluation, changed), {c.name for c in cautions_of(evaluation, changed)}
    return asked[0] - before[0], asked[1] - before[1]


@pytest.mark.parametrize("position", ASKED)
def test_what_is_unbolted_is_set_and_tried_and_cautioned_about(position):
    operations, cautions = exchanged(position)
    assert ASKED[position][0] <= operations
    assert ASKED[position][1] <= cautions


@pytest.mark.parametrize(
    "position", [place.name for family in TRADE.families.values() for place in family.positions]
)
def test_every_part_is_somebodys_work(position):
    assert exchanged(position)[0]
