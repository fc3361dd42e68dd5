"""Random cases written out for other solvers, from the rule functions alone.

Nothing of the search or of the tables it makes is used: a rule is the set of option numbers, over
the positions that it reaches, for which its own function does not say no.
"""

from __future__ import annotations

import itertools
from dataclasses import dataclass

from configurator.evaluation.evaluator import Evaluation, Option
from configurator.evaluation.operations import needed, work_cost
from configurator.model.jobs import Job
from configurator.model.knowledge import checked_rules
from configurator.model.references import FigureValue


@dataclass(frozen=True)
class Relation:
    """Allowed option numbers over some positions, each with a cost."""

    positions: tuple[str, ...]
    allowed: dict[tuple[int, ...], int]


@dataclass(frozen=True)
class Instance:
    """What another solver is given: options per position with prices, and relations."""

    prices: dict[str, list[int]]
    relations: list[Relation]
    fixed_cost: int


def encode(evaluation: Evaluation, job: Job) -> Instance | None:
    """Write a case out; None if a rule or goal that no part has a say in fails."""
    options = {position: list(evaluation.options(position)) for position in evaluation.families}
    relations: list[Relation] = []

    def relate(reach, cost_of) -> bool:
        positions = tuple(p for p in options if p in reach)
        allowed = {}
        for numbers in itertools.product(*(range(len(options[p])) for p in positions)):
            choice = {p: options[p][n] for p, n in zip(positions, numbers, strict=True)}
            cost = cost_of(choice)
            if cost is not None:
                allowed[numbers] = cost
        if positions:
            relations.append(Relation(positions, allowed))
        return bool(allowed)

    for rule in checked_rules(evaluation.trade):

        def keeps(choice: dict[str, Option], rule=rule) -> int | None:
            return None if evaluation.verdict(rule, choice).holds is False else 0

        if not relate(evaluation.reach(rule), keeps):
            return None
    for goal in job.goals:

        def meets(choice: dict[str, Option], goal=goal) -> int | None:
            if goal.at_least is None and goal.at_most is None:
                return 0
            value = evaluation.figure(goal.figure, choice)
            if not isinstance(value, int | float):
                return None
            low = goal.at_least is None or value >= goal.at_least - 1e-9
            high = goal.at_most is None or value <= goal.at_most + 1e-9
            return 0 if low and high else None

        if not relate(evaluation.reach_of(FigureValue(goal.figure)), meets):
            return None
    fixed_cost = 0
    for operation in evaluation.trade.operations.values():
        reach = evaluation.reach(operation)

        def worked(choice: dict[str, Option], operation=operation) -> int:
            if not needed(evaluation, operation, choice):
                return 0
            return work_cost(evaluation, operation, choice)

        if not reach:
            fixed_cost += worked({})
            continue

        relate(reach, worked)

    def picked(choice: dict[str, Option]) -> int | None:
        ((position, option),) = choice.items()
        if position in job.fixed and option.key != job.fixed[position]:
            return None
        if position in job.keep and option.changed:
            return None
        return None if option.key in job.excluded else 0

    if not all(relate({position}, picked) for position in options):
        return None
    prices = {position: [o.price for o in of] for position, of in options.items()}
    return Instance(prices, relations, fixed_cost)
