"""No rule forgets a state in which something that it reads moves."""

from __future__ import annotations

import pytest

from configurator.model import states
from configurator.model.knowledge import Trade
from configurator.model.state_coverage import decisions

MOVING = {state.name for motion in ("travel", "lock") for state in states.states_named(motion)}


def test_every_rule_and_state_of_suspension_and_steering_is_decided(trade: Trade):
    undecided = [(d.rule, d.state) for d in decisions(trade) if d.state in MOVING and not d.why]
    assert undecided == []


def test_a_rule_that_forgets_a_state_is_noticed(trade: Trade):
    name = "longest front propshaft at full droop"
    rule = trade.figures[name]
    figures = {**trade.figures, name: type(rule)(name, "mm", rule.function, rule.inputs)}
    forgetful = type(trade)(**{**_fields(trade), "figures": figures})
    undecided = {(d.rule, d.state) for d in decisions(forgetful) if not d.why}
    assert (name, "full bump") in undecided


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
