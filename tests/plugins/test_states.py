"""No rule forgets a state in which something that it reads moves."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from configurator.model import states
from configurator.model.knowledge import Trade
from configurator.model.references import VehicleValue
from tests.plugins.state_coverage import decisions

# The states that rules name themselves, listed so that one that goes or comes is looked at. A rule
# that names none is judged in those of the figures that it reads.
NAMED = {
    ("full bump", "cross-axle twist"): {
        "the tyres clear the {axle} arches at full bump",
        "the {axle} wheels go hardly higher in twist than they did",
    },
    ("full lock left", "full lock right"): {
        "the tyres clear the {axle} arches ahead and behind",
        "the {axle} tyres clear springs, links and frame at full lock",
        "tyre reach inboard at full lock",
        "{axle} tyre reach to full lock",
    },
    ("fully laden",): {
        "deceleration at the permitted pedal force",
        "descent that the engine holds",
        "grade at cruise",
        "grade that the parking brake holds",
        "ideal {axle} share of braking fully laden",
        "ideal {axle} share of braking with the roof load",
        "knock on a steering link",
        "mass that the vehicle's brakes stop",
        "power at cruise",
        "power of the long descent",
        "steering torque",
        "the brakes stop vehicle and trailer without brakes",
        "the parking brake holds vehicle and trailer",
        "the tyres carry the permitted {axle} axle load",
        "the wheels carry the permitted {axle} axle load",
        "the {axle} axle carries its permitted load",
        "the {axle} brakes do their share",
        "the {axle} diff lock bears the axle load",
        "the {axle} springs carry the permitted axle load",
        "the {axle} wheels lock before the {axle} ones fully laden",
        "the {axle} wheels lock before the {axle} ones with the roof load",
        "{axle} Panhard rod load",
        "{axle} grip torque",
        "{axle} housing bending moment",
        "{axle} rotor temperature rise",
        "{axle} tyre pressure fully laden",
        "{axle} wheel face moment",
        "{axle} wheel moment",
    },
    ("lightly laden",): {
        "ideal {axle} share of braking lightly laden",
        "the {axle} wheels lock before the {axle} ones lightly laden",
        "{axle} axle load lightly laden",
    },
    ("full droop",): {
        "longest {axle} propshaft at full droop",
        "the {axle} half-shaft joints turn freely at full droop",
        "the {axle} propshaft is long enough at full droop",
        "the {axle} springs stay in their seats at full droop",
        "{axle} axle drop at full droop",
        "{axle} differential drop at full droop",
        "{axle} droop",
        "{axle} full droop",
        "{axle} propshaft angle at full droop",
        "{axle} propshaft angle at the axle at full droop",
    },
    ("full bump", "full droop"): {
        "the {axle} propshaft joint at the axle turns freely in travel",
        "the {axle} propshaft joint at the gearbox turns freely in travel",
    },
    ("full bump",): {
        "bump steer",
        "longest {axle} propshaft at full bump",
        "shortest {axle} propshaft at full bump",
        "the {axle} propshaft is long enough at full bump",
        "the {axle} reinforcement has room above it",
        "the {axle} shocks do not bottom before the bump stop",
        "the {axle} springs do not go solid before the bump stop",
        "{axle} axle drop at full bump",
        "{axle} bump travel",
        "{axle} differential drop at full bump",
        "{axle} propshaft angle at full bump",
        "{axle} propshaft angle at the axle at full bump",
        "{axle} tube rise at full bump",
    },
    ("full bump", "full droop", "cross-axle twist"): {
        "the {axle} tyres clear springs, links and frame",
    },
    ("cross-axle twist",): {
        "{axle} wheel drop in twist",
        "{axle} wheel rise in twist",
    },
    ("full droop", "cross-axle twist"): {
        "{axle} brake hose end drop",
        "{axle} brake hose length needed",
        "{axle} wheel drop",
    },
    ("full droop", "cross-axle twist", "full lock left", "full lock right"): {
        "{axle} brake hose length needed",
    },
}
PLATE = {"permitted mass", "permitted front axle load", "permitted rear axle load"}


def test_every_rule_and_state_is_decided(trade: Trade):
    """Of suspension, steering and load."""
    assert {decision.state for decision in decisions(trade)} == {
        state.name for state in states.STATES if state.motion
    }
    open_pairs = [(d.rule, d.state) for d in decisions(trade) if not d.why]
    assert open_pairs == [], "the rule says states=, or in not_in= why a state does not concern it"


def test_rules_name_the_states_that_they_are_worst_in(trade: Trade):
    named: dict[tuple[str, ...], set[str]] = {}
    for kind in (trade.limits, trade.fits, trade.figures):
        for rule in kind.values():
            own = tuple(state for state in rule.states if state != states.RIDE_HEIGHT)
            if own:
                named.setdefault(own, set()).add(re.sub(r"\b(front|rear)\b", "{axle}", rule.name))
    assert named == NAMED


def test_what_is_worked_out_from_the_plate_is_said_to_hold_fully_laden(trade: Trade):
    for rule in (*trade.figures.values(), *trade.limits.values(), *trade.fits.values()):
        read = {
            item.reference.name
            for item in rule.inputs
            if isinstance(item.reference, VehicleValue) and item.reference.name in PLATE
        }
        spoken = {*rule.states, *dict(rule.not_in)}
        assert not read or "fully laden" in spoken or "with a trailer" in rule.name, rule.name


@pytest.mark.parametrize(
    ("name", "state"),
    [
        ("longest front propshaft at full droop", "full bump"),
        ("front axle load lightly laden", "fully laden"),
        ("rear axle load", "lightly laden"),
        ("sprung centre of gravity height", "fully laden"),
    ],
)
def test_a_rule_that_forgets_a_state_is_noticed(trade: Trade, name: str, state: str):
    rules = "totals" if name in trade.totals else "figures"
    rule = getattr(trade, rules)[name]
    changed = {**getattr(trade, rules), name: replace(rule, states=(), not_in=())}
    forgetful = type(trade)(**{**_fields(trade), rules: changed})
    undecided = {(d.rule, d.state) for d in decisions(forgetful) if not d.why}
    assert (name, state) in undecided


def _fields(trade: Trade):
    return {name: getattr(trade, name) for name in trade.__dataclass_fields__}


def test_names_of_states_and_motions_are_checked():
    assert states.checked_states(("lock", "full bump")) == (
        "full bump",
        "full lock left",
        "full lock right",
    )
    with pytest.raises(ValueError, match="there is no state 'full bumb'; did you mean 'full bump'"):
        states.checked_states(("full bumb",))
