"""The options of a position as columns of codes, so that long lists are read once and by column.

Whatever hangs on one position alone (a figure of a tyre, a rule between a wheel's own sizes, work
that one part asks for) is asked once for each distinct combination of the attributes behind it, on
an option that has it. All of it is kept with the evaluation: a list of ten thousand tyres is the
same list in every model that is made of it.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from configurator.evaluation.lead_times import too_late
from configurator.evaluation.operations import needed, work_cost
from configurator.model.knowledge import references
from configurator.model.references import FigureValue, PartValue
from configurator.search.encoding.scopes import order

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Mapping, Sequence
    from typing import Any

    from numpy.typing import NDArray

    from configurator.evaluation.evaluator import Evaluation, Option
    from configurator.model.jobs import Job
    from configurator.model.parts import Value
    from configurator.model.references import Reference
    from configurator.model.rules import Operation, Rule

_LARGEST_KEY = 2**62


@dataclass(frozen=True, slots=True)
class OptionColumn:
    """A value per option of a position.

    Parameters
    ----------
    values
        The distinct values, in order.
    codes
        For each option the number of its value.
    """

    values: Sequence[Value]
    codes: NDArray[np.int32]

    def among(self, chosen: NDArray[np.int64]) -> tuple[list[Value], NDArray[np.int32]]:
        """Give the distinct values of some options, in order, and their codes in that list."""
        present, codes = np.unique(self.codes[chosen], return_inverse=True)
        return [self.values[k] for k in present.tolist()], codes.reshape(-1).astype(np.int32)


def column(evaluation: Evaluation, position: str, reference: Reference) -> OptionColumn:
    """Return the column of an attribute of a position, or of a figure that hangs on it alone."""
    key = ("column", position, str(reference))
    if key not in evaluation.answers:
        options = evaluation.options(position)
        if isinstance(reference, PartValue):
            name = reference.attribute
            coded = _coded([evaluation.attribute(option, name) for option in options])
        else:
            answered, row_of = _once(
                evaluation,
                position,
                [reference],
                lambda option: evaluation.value(reference, {position: option}),
            )
            few = _coded(answered)
            coded = OptionColumn(few.values, few.codes[row_of])
        evaluation.answers[key] = coded
    kept: OptionColumn = evaluation.answers[key]
    return kept


def refused(evaluation: Evaluation, position: str, rule: Rule) -> NDArray[np.bool_]:
    """Say which options a rule that reads this position alone forbids."""
    return _answered(
        evaluation,
        ("refused", position, type(rule).__name__, rule.name),
        position,
        references(rule),
        lambda option: evaluation.verdict(rule, {position: option}).holds is False,
    )


def asking(evaluation: Evaluation, position: str, operation: Operation) -> NDArray[np.bool_]:
    """Say which options ask for an operation that reads this position alone."""
    return _answered(
        evaluation,
        ("asking", position, operation.name),
        position,
        references(operation),
        lambda option: needed(evaluation, operation, {position: option}),
    )


def work_costs(evaluation: Evaluation, position: str, operation: Operation) -> NDArray[np.int64]:
    """Price an operation that reads this position alone, for each option [minor units]."""
    options = evaluation.options(position)
    if not any(isinstance(amount, FigureValue) for amount in operation.uses.values()):
        return np.full(len(options), work_cost(evaluation, operation, {}), np.int64)
    costs = (work_cost(evaluation, operation, {position: option}) for option in options)
    return np.fromiter(costs, np.int64, len(options))


def numbers_by_key(evaluation: Evaluation, position: str) -> Mapping[str, Sequence[int]]:
    """Numbers of the options with each key."""
    key = ("numbers by key", position)
    if key not in evaluation.answers:
        numbers: dict[str, tuple[int, ...]] = {}
        for number, option in enumerate(evaluation.options(position)):
            numbers[option.key] = (*numbers.get(option.key, ()), number)
        evaluation.answers[key] = numbers
    kept: Mapping[str, Sequence[int]] = evaluation.answers[key]
    return kept


def numbers_of(evaluation: Evaluation, choice: Mapping[str, Option]) -> dict[str, NDArray[np.intp]]:
    """Give the number of each option of a package."""
    key = ("numbers by identity",)
    if key not in evaluation.answers:
        evaluation.answers[key] = {
            id(option): number
            for position in evaluation.families
            for number, option in enumerate(evaluation.options(position))
        }
    known = evaluation.answers[key]
    return {p: np.array([known[id(option)]], np.intp) for p, option in choice.items()}


def named(evaluation: Evaluation, position: str, keys: Iterable[str]) -> NDArray[np.bool_]:
    """Say which options have one of some keys; what is fitted may have that of a listed part."""
    numbers = numbers_by_key(evaluation, position)
    values = np.zeros(len(evaluation.options(position)), np.bool_)
    for key in keys:
        values[list(numbers.get(key, ()))] = True
    return values


def changed(evaluation: Evaluation, position: str) -> NDArray[np.bool_]:
    """Say which options are not what is fitted."""
    key = ("changed", position)
    if key not in evaluation.answers:
        options = evaluation.options(position)
        evaluation.answers[key] = np.array([option.changed for option in options], np.bool_)
    kept: NDArray[np.bool_] = evaluation.answers[key]
    return kept


def in_time(evaluation: Evaluation, position: str, job: Job) -> NDArray[np.bool_]:
    """Say which options are there as soon as a job asks, as far as is known."""
    key = ("in time", position, job.parts_within, job.vehicles)
    if key not in evaluation.answers:
        options = evaluation.options(position)
        evaluation.answers[key] = np.array([not too_late(job, o) for o in options], np.bool_)
    kept: NDArray[np.bool_] = evaluation.answers[key]
    return kept


def rank_by_key(evaluation: Evaluation, position: str) -> NDArray[np.int64]:
    """Rank options by what is fitted before what is new, then by key: to break ties in price."""
    key = ("rank by key", position)
    if key not in evaluation.answers:
        options = evaluation.options(position)
        ordered = sorted(range(len(options)), key=lambda n: (options[n].changed, options[n].key))
        rank = np.empty(len(options), np.int64)
        rank[ordered] = np.arange(len(options))
        evaluation.answers[key] = rank
    kept: NDArray[np.int64] = evaluation.answers[key]
    return kept


def distinct(
    columns: Iterable[tuple[NDArray[np.int32], int]], rows: int
) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """Give distinct rows numbers, in the order in which they first appear.

    Parameters
    ----------
    columns
        Codes, and a bound above them.
    rows
        Number of rows, for when there are no columns.

    Returns
    -------
    tuple of arrays
        The first row of each kind, and for each row the number of its kind.

    Examples
    --------
    >>> first, kind = distinct([(np.array([2, 0, 2], np.int32), 3)], 3)
    >>> first.tolist(), kind.tolist()
    ([0, 1], [0, 1, 0])
    """
    key, most = np.zeros(rows, np.int64), 1
    for codes, bound in columns:
        if most * bound > _LARGEST_KEY:  # numbered anew, so that it never outgrows an integer
            seen, key = np.unique(key, return_inverse=True)
            key, most = key.reshape(-1), len(seen)
        key = key * bound + codes
        most *= bound
    _, first, kind = np.unique(key, return_index=True, return_inverse=True)
    ordered = np.argsort(first, kind="stable")
    rank = np.empty(len(ordered), np.int64)
    rank[ordered] = np.arange(len(ordered))
    return first[ordered], rank[kind.reshape(-1)]


def _coded(values: Sequence[Value]) -> OptionColumn:
    kinds = sorted(dict.fromkeys(values), key=order)
    numbers = {value: code for code, value in enumerate(kinds)}
    return OptionColumn(kinds, np.array([numbers[value] for value in values], np.int32))


def _answered(
    evaluation: Evaluation,
    key: tuple[str, ...],
    position: str,
    read: Sequence[Reference],
    ask: Callable[[Option], bool],
) -> NDArray[np.bool_]:
    if key not in evaluation.answers:
        answered, row_of = _once(evaluation, position, read, ask)
        evaluation.answers[key] = np.array(answered, np.bool_)[row_of]
    kept: NDArray[np.bool_] = evaluation.answers[key]
    return kept


def _once(
    evaluation: Evaluation,
    position: str,
    read: Iterable[Reference],
    ask: Callable[[Option], Any],
) -> tuple[list[Any], NDArray[np.int64]]:
    """Ask once per distinct combination of the attributes behind some references."""
    options = evaluation.options(position)
    behind: dict[str, PartValue] = {}
    for reference in read:
        attributes_behind(evaluation, reference, behind)
    columns = [column(evaluation, position, item) for item in behind.values()]
    first, kind = distinct([(c.codes, len(c.values)) for c in columns], len(options))
    return [ask(options[number]) for number in first.tolist()], kind


def attributes_behind(
    evaluation: Evaluation, reference: Reference, part_values: dict[str, PartValue]
) -> None:
    """Gather the attributes that stand behind a reference, by their names."""
    if isinstance(reference, PartValue):
        part_values[str(reference)] = reference
    elif isinstance(reference, FigureValue) and not reference.before:
        for deeper in references(evaluation.definition(reference.name)):
            attributes_behind(evaluation, deeper, part_values)
