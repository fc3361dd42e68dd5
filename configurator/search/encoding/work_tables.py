"""Tables of work that several positions ask for: what it costs, row by row or as a chain."""

from __future__ import annotations

import itertools
from typing import TYPE_CHECKING, Protocol

import numpy as np

from configurator.evaluation.operations import is_yes, work_cost, work_cost_of
from configurator.model.references import FigureValue, Reference
from configurator.search.encoding.scopes import Span, Term

if TYPE_CHECKING:
    from collections import Counter
    from collections.abc import Sequence

    from numpy.typing import NDArray

    from configurator.evaluation.evaluator import Evaluation
    from configurator.model.parts import Value
    from configurator.model.rules import Operation, Rule
    from configurator.search.encoding.constraint_model import Model

# Yes-or-no inputs up to which an operation is tried as "any of these".
MOST_YES_NO = 16


class TableMaker(Protocol):
    """What makes a model: its variables and tables."""

    evaluation: Evaluation
    model: Model

    def term(self, reference: Reference) -> Term:
        """Return what a reference is in the model: a variable or a value."""

    def variable(self, values: Sequence[Value], name: str) -> tuple[int, NDArray[np.int32]]:
        """Make a variable of the distinct values and return it with their codes."""

    def span(self, rule: Rule, terms: Sequence[Term]) -> Span:
        """Return every combination of codes that a rule can meet."""

    def add(self, name: str, variables: Sequence[int], columns: Sequence[NDArray[np.int32]]) -> int:
        """Add a table and return its number."""


def add_work(maker: TableMaker, operation: Operation, ties: Counter[str]) -> None:
    """Add what an operation costs to a model.

    Parameters
    ----------
    maker
        Whose model it goes into.
    operation
        Work that several positions ask for.
    ties
        How many rules tie each position to others.
    """
    inputs = [rule_input.reference for rule_input in operation.inputs]
    terms = [maker.term(reference) for reference in inputs]
    used = [amount for amount in operation.uses.values() if isinstance(amount, FigureValue)]
    if not used and _any_of(maker, operation, terms):
        # Positions that few rules tie to others are eliminated first: so they begin the chain.
        tied = [max((ties[p] for p in maker.evaluation.reach_of(r)), default=0) for r in inputs]
        ordered = [terms[k] for k in sorted(range(len(terms)), key=lambda k: tied[k])]
        _chain(maker, operation, ordered, work_cost(maker.evaluation, operation, {}))
        return
    count = len(terms)
    span = maker.span(operation, [*terms, *(maker.term(amount) for amount in used)])
    costs = [
        work_cost_of(maker.evaluation, operation, dict(zip(used, values[count:], strict=True)))
        if is_yes(maker.evaluation.ask(operation, values[:count]))
        else 0
        for values in span.arguments()
    ]
    number = maker.add(operation.name, span.variables, span.columns)
    maker.model.work_costs[number] = np.array(costs, np.int64)


def _any_of(maker: TableMaker, operation: Operation, terms: Sequence[Term]) -> bool:
    """Whether an operation is needed exactly when any of its yes-or-no inputs is yes."""
    free = [t for t in terms if t.variable >= 0]
    if len(free) < 3 or len(free) > MOST_YES_NO:
        return False
    if len({t.variable for t in free}) < len(free):
        return False
    # Counts of 0 and 1 are yes and no as well.
    if any(v not in (0, 1) for t in free for v in maker.model.values[t.variable]):
        return False
    ask = maker.evaluation.ask
    for answers in itertools.product([False, True], repeat=len(free)):
        given = iter(answers)
        values = tuple(next(given) if t.variable >= 0 else t.value for t in terms)
        if is_yes(ask(operation, values)) != any(answers):
            return False
    return True


def _chain(maker: TableMaker, operation: Operation, terms: Sequence[Term], cost: int) -> None:
    """Any-of as a chain of pairs, so that no table reads all positions at once."""
    so_far, *others = (term for term in terms if term.variable >= 0)
    for step, term in enumerate(others):
        span = maker.span(operation, [so_far, term])
        either = [bool(a or b) for a, b in span.arguments()]
        variable, column = maker.variable(either, f"{operation.name} {step}")
        maker.add(operation.name, (*span.variables, variable), (*span.columns, column))
        so_far = Term(variable=variable)
    values = maker.model.values[so_far.variable]
    codes = np.arange(len(values), dtype=np.int32)
    number = maker.add(operation.name, [so_far.variable], [codes])
    maker.model.work_costs[number] = np.array([cost if value else 0 for value in values], np.int64)
