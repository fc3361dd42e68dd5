"""Packages set aside for comparison: their names, and which are for the vehicle at hand."""

from __future__ import annotations

from typing import TYPE_CHECKING

from configurator.ui.visit import MOST_BESIDE, Held

if TYPE_CHECKING:
    from collections.abc import Mapping

    from configurator.evaluation.evaluator import Evaluation, Option
    from configurator.questions.history import History
    from configurator.ui.visit import Visit

# Letters of a name: the head of a column has no room for more.
LONGEST = 60


def hold(visit: Visit, name: str, choice: Mapping[str, Option]) -> None:
    """Set a package aside, unless it is there or there are as many as can be compared."""
    there = any(same_choice(held.choice, choice) for held in of_vehicle(visit))
    if there or len(visit.beside) >= MOST_BESIDE:
        return
    name = not_taken(name, {held.name for held in visit.beside})
    visit.beside.append(Held(name, dict(choice), visit.job.vehicle))


def same_choice(first: Mapping[str, Option], other: Mapping[str, Option]) -> bool:
    """Whether two packages have the same parts."""
    return _keys(first) == _keys(other)


def called(history: History) -> str:
    """Name a package by the last step that made it.

    Examples
    --------
    >>> from configurator.model.jobs import Job
    >>> from configurator.questions.history import begun, went_on
    >>> history = begun(Job("a", "demo/b", ("demo",)))
    >>> called(history)
    'As opened'
    >>> called(went_on(history, Job("a", "demo/b", ("demo",), budget=1), "set the budget"))
    'Set the budget'
    """
    step = history.can_undo
    return step[0].upper() + step[1:] if step else "As opened"


def not_taken(name: str, taken: set[str]) -> str:
    """Shorten a name to what there is room for, and number it where it is taken.

    Examples
    --------
    >>> not_taken("As opened", {"As opened"})
    'As opened (2)'
    >>> not_taken("Fix the tyres: " + "long " * 12, set())[-10:]
    'long long…'
    """
    number, ending = 1, ""
    while True:
        room = LONGEST - len(ending)
        called = (name if len(name) <= room else name[: room - 1].rstrip() + "…") + ending
        if called not in taken:
            return called
        number += 1
        ending = f" ({number})"


def of_vehicle(visit: Visit) -> list[Held]:
    """List the packages set aside for the vehicle of the job as it stands."""
    return [held for held in visit.beside if held.vehicle == visit.job.vehicle]


def as_it_is_now(evaluation: Evaluation, held: Held) -> dict[str, Option] | None:
    """Give the same parts in the case at hand; None where it does not have all of them.

    Undo can lead to other catalogs, measures or use of the vehicle: what a package would come to
    there is worked out there, never carried over.
    """
    if held.choice.keys() != evaluation.families.keys():
        return None
    result = {}
    for position, before in held.choice.items():
        same = next((o for o in evaluation.options(position) if o.key == before.key), None)
        if same is None:
            return None
        result[position] = same
    return result


def _keys(choice: Mapping[str, Option]) -> dict[str, str]:
    return {position: option.key for position, option in choice.items()}
