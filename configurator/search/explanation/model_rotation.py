"""Packages that differ from a given one in a single part, by the rules they break.

A package that breaks one rule of a conflict and keeps everything else shows, without any search,
that the conflict needs this rule. Such packages are mostly neighbours of one that is at hand:
where a set of rules makes a package too dear or too heavy, a cheaper or lighter part that breaks
a single rule is often all it takes.

References
----------
.. [1] A. Belov and J. Marques-Silva, *Accelerating MUS extraction with recursive model rotation*,
   FMCAD 2011: the thought, for formulas.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from configurator.evaluation.packages import make_package
from configurator.search.optimum.verification import met_by, permitted

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    import numpy as np
    from numpy.typing import NDArray

    from configurator.evaluation.evaluator import Evaluation, Option
    from configurator.model.jobs import Job
    from configurator.model.parts import Value
    from configurator.model.rules import Rule


def broken_by(
    evaluation: Evaluation, rules: Sequence[Rule], choice: Mapping[str, Option]
) -> frozenset[str]:
    """Names of the rules that a package breaks.

    Each early rule is asked once for the same options at the positions that it reads.
    """
    seen: dict[str, Value] = {}
    known: dict[object, bool] = evaluation.answers.setdefault(("broken by options",), {})
    broken = []
    for rule in rules:
        if evaluation.late(rule):
            breaks = evaluation.verdict(rule, choice, seen).holds is False
        else:
            read = [choice[position] for position in evaluation.reach(rule)]
            key = (type(rule), rule.name, *((option.key, option.changed) for option in read))
            if key not in known:
                known[key] = evaluation.verdict(rule, choice, seen).holds is False
            breaks = known[key]
        if breaks:
            broken.append(rule.name)
    return frozenset(broken)


def meets_wishes(evaluation: Evaluation, job: Job, choice: Mapping[str, Option]) -> bool:
    """Whether a package of permitted parts meets a job's goals and its budget."""
    if not all(met_by(evaluation, goal, choice) for goal in job.goals):
        return False
    return job.budget is None or make_package(evaluation, choice).price <= job.budget


def swaps(
    evaluation: Evaluation,
    job: Job,
    rules: Sequence[Rule],
    choice: Mapping[str, Option],
) -> Iterator[tuple[str, int, frozenset[str]]]:
    """Give all permitted swaps of one part, with the rules that are broken then.

    Parameters
    ----------
    evaluation, job
        The case, and whose picks count.
    rules
        The rules that are looked at, none of them over sums.
    choice
        The package to start from.

    Yields
    ------
    tuple
        Position, option number, and names of the rules that the package breaks after the swap.
    """
    before = broken_by(evaluation, rules, choice)
    for position, there in choice.items():
        reading = [rule for rule in rules if position in evaluation.reach(rule)]
        elsewhere = before - {rule.name for rule in reading}
        for number, option in enumerate(evaluation.options(position)):
            if option.key != there.key and permitted(job, option):
                swapped = {**choice, position: option}
                yield position, number, elsewhere | broken_by(evaluation, reading, swapped)


def neighbours(
    evaluation: Evaluation, job: Job, rules: Sequence[Rule], choice: Mapping[str, Option]
) -> Iterator[tuple[dict[str, Option], str]]:
    """Give packages that differ in one part, meet the wishes and break a single rule.

    Parameters
    ----------
    evaluation, job
        The case, and whose goals count.
    rules
        The rules of the conflict.
    choice
        The package to start from; whether it meets the wishes itself does not matter.

    Yields
    ------
    tuple
        The package, and the name of the rule that it breaks; each rule once.
    """
    early = [rule for rule in rules if not evaluation.late(rule)]
    late = [rule for rule in rules if evaluation.late(rule)]
    shown: set[str] = set()
    for position, number, broken in swaps(evaluation, job, early, choice):
        if len(broken) > 1 or broken & shown:
            continue
        swapped = {**choice, position: evaluation.options(position)[number]}
        broken |= broken_by(evaluation, late, swapped)
        if len(broken) != 1 or broken & shown or not meets_wishes(evaluation, job, swapped):
            continue
        shown |= broken
        yield swapped, next(iter(broken))


def savings(
    evaluation: Evaluation,
    job: Job,
    rules: Sequence[Rule],
    choice: Mapping[str, Option],
    weights: Mapping[str, NDArray[np.int64]],
) -> dict[str, int]:
    """Say of each rule how much lighter one part could be without it: its greatest weight.

    ``weights`` gives for each option of a position what it adds to the price or to a sum.
    """
    numbers = {
        position: next(n for n, o in enumerate(evaluation.options(position)) if o.key == item.key)
        for position, item in choice.items()
    }
    result: dict[str, int] = {}
    for position, number, broken in swaps(evaluation, job, rules, choice):
        saved = int(weights[position][numbers[position]] - weights[position][number])
        for name in broken if saved > 0 else ():
            # What several rules forbid together is not saved without one of them.
            result[name] = max(result.get(name, 0), saved // len(broken))
    return result
