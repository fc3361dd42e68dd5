"""No rule forgets a state in which something that it reads moves."""

from __future__ import annotations

from dataclasses import replace

import pytest

from configurator.model import states
from configurator.model.knowledge import Trade
from configurator.model.references import VehicleValue
from configurator.model.state_coverage import decisions

PLATE = {"permitted mass", "permitted front axle load", "permitted rear axle load"}


def test_every_rule_and_state_is_decided(trade: Trade):
    """Of suspension, steering and load."""
    assert {decision.state for decision in decisions(trade)} == {
        state.name for state in states.STATES if state.motion
    }
    assert [(d.rule, d.state) for d in decisions(trade) if not d.why] == []


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
