"""Workshop time: which operations a package needs, and what they cost."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from configurator.model.parts import Missing

if TYPE_CHECKING:
    from collections.abc import Mapping

    from configurator.evaluation.evaluator import Evaluation, Option
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


def work_cost(evaluation: Evaluation, operation: Operation) -> int:
    """Price an operation with the workshop's rates [minor units].

    Consumables that the workshop does not price cost nothing here; the sheets name them.
    """
    workshop = evaluation.case.workshop
    uses = sum(
        amount * workshop.consumables.get(name, 0) for name, amount in operation.uses.items()
    )
    return round(operation.hours * workshop.rate) + round(uses)
