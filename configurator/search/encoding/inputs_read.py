"""What a rule reads, bounds and amounts included."""

from __future__ import annotations

from configurator.model.references import FigureValue, Reference
from configurator.model.rules import Limit, Operation, Rule
from configurator.model.unrounded import NOT_ROUNDED


def reads_unrounded(reference: Reference) -> bool:
    """Whether a reference is to a figure of a package as it is, not rounded."""
    return (
        isinstance(reference, FigureValue)
        and not reference.before
        and reference.name.endswith(NOT_ROUNDED)
    )


def inputs_of(rule: Rule) -> list[Reference]:
    """Return all that a rule reads: its inputs, its bounds and what it uses up."""
    inputs = [rule_input.reference for rule_input in rule.inputs]
    if isinstance(rule, Limit):
        inputs.extend(
            bound
            for bound in (rule.at_least, rule.at_most)
            if bound is not None and not isinstance(bound, int | float)
        )
    if isinstance(rule, Operation):
        inputs.extend(amount for amount in rule.uses.values() if isinstance(amount, FigureValue))
    return inputs
