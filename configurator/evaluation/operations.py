"""Workshop time: which operations a package needs, and what they cost."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from configurator.core import units
from configurator.model.parts import Missing
from configurator.model.references import FigureValue

if TYPE_CHECKING:
    from collections.abc import Mapping

    from configurator.evaluation.evaluator import Evaluation, Option
    from configurator.model.parts import Value
    from configurator.model.rules import Operation


def is_yes(answer: Any) -> bool:
    """Read the answer of an operation's function; what is missing asks for no work."""
    return answer is not None and not isinstance(answer, Missing) and bool(answer)


def needed(evaluation: Evaluation, operation: Operation, choice: Mapping[str, Option]) -> bool:
    """Whether an operation is needed for a package."""
    values = tuple(
        evaluation.value(rule_input.reference, choice) for rule_input in operation.inputs
    )
    return is_yes(evaluation.call(operation, values))


def operations_of(evaluation: Evaluation, choice: Mapping[str, Option]) -> list[Operation]:
    """Operations a package needs, in order of declaration."""
    every = evaluation.trade.operations.values()
    return [operation for operation in every if needed(evaluation, operation, choice)]


def priced_operations(evaluation: Evaluation) -> list[Operation]:
    """Operations that cost something in this workshop: what takes hours, or uses what it prices."""
    priced = evaluation.case.workshop.consumables
    return [
        operation
        for operation in evaluation.trade.operations.values()
        if operation.hours or any(map(priced.get, operation.uses))
    ]


def amounts_of(
    evaluation: Evaluation, operation: Operation, choice: Mapping[str, Option]
) -> dict[str, float]:
    """Say what an operation uses up in a package: consumables, outside work → amount."""
    figures = {
        amount: evaluation.value(amount, choice)
        for amount in operation.uses.values()
        if isinstance(amount, FigureValue)
    }
    return _amounts(evaluation, operation, figures)


def work_cost(evaluation: Evaluation, operation: Operation, choice: Mapping[str, Option]) -> int:
    """Price an operation of a package with the workshop's rates [minor units].

    Consumables that the workshop does not price cost nothing here; the sheets name them.
    """
    return _priced(evaluation, operation, amounts_of(evaluation, operation, choice))


def work_cost_of(
    evaluation: Evaluation, operation: Operation, figures: Mapping[FigureValue, Value]
) -> int:
    """Price an operation as `work_cost` does, where the figures that say its amounts are known."""
    return _priced(evaluation, operation, _amounts(evaluation, operation, figures))


def _amounts(
    evaluation: Evaluation, operation: Operation, figures: Mapping[FigureValue, Value]
) -> dict[str, float]:
    """Return the amounts of all that is used; a figure in its own unit, 0 where it is not known."""
    amounts: dict[str, float] = {}
    for name, amount in operation.uses.items():
        if isinstance(amount, FigureValue):
            value = figures[amount]
            unit = evaluation.definition(amount.name).unit
            amounts[name] = units.from_si(value, unit) if isinstance(value, float) else 0.0
        else:
            amounts[name] = amount
    return amounts


def _priced(evaluation: Evaluation, operation: Operation, amounts: Mapping[str, float]) -> int:
    workshop = evaluation.case.workshop
    uses = sum(amount * workshop.consumables.get(name, 0) for name, amount in amounts.items())
    return round(operation.hours * workshop.rate) + round(uses)
