"""What a check of the finished vehicle says of tolerances: for its next job, and for the list.

What was measured is known as closely as it was measured; what was only worked out, no better than
the propagation says; what was stated of a part that is gone is gone with it.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from configurator.as_built.read_again import AFTER, CIRCUMFERENCE
from configurator.evaluation.propagation import Propagation
from configurator.model.tolerances import read_tolerance, reserve_of
from configurator.wording.certainty import within_words

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from configurator.as_built.diagnosis import Compared
    from configurator.evaluation.evaluator import Evaluation, Option
    from configurator.model.vehicles import Vehicle


@dataclass(frozen=True, slots=True)
class ConfirmedValue:
    """A value of a list that was measured on a finished vehicle, and agreed.

    Parameters
    ----------
    name
        As `[tolerances]` names it: the part's key and the attribute.
    within
        How closely it was measured, as it is written there.
    """

    name: str
    within: str


def tolerances_after(
    evaluation: Evaluation,
    choice: Mapping[str, Option],
    built: Vehicle,
    compared: Iterable[Compared],
) -> dict[str, str]:
    """Say how far the values of a built vehicle may be off, where that is not what is usual.

    Parameters
    ----------
    evaluation, choice
        Of the package.
    built
        The vehicle after the work.
    compared
        What was measured.

    Returns
    -------
    dict
        As in a vehicle's file.
    """
    trade = evaluation.trade
    propagation = Propagation(evaluation, choice)
    measured = {comparison.figure: comparison.tolerance for comparison in compared}
    changed = {position for position, option in choice.items() if option.changed}
    stated = {
        name: written
        for name, written in evaluation.case.vehicle.tolerances.items()
        if name not in AFTER and name.removeprefix("fitted ").partition(":")[0] not in changed
    }
    for name, figure in AFTER.items():
        value, measure = built.values.get(name), trade.measures.get(name)
        if measure is None or not measure.tolerance or not isinstance(value, int | float):
            continue
        usual = read_tolerance(measure.tolerance, measure.unit).half_width(float(value))
        if figure in measured:
            own = measured[figure]
            otherwise = abs(own - usual) > 1e-9 * max(own, usual)
        elif trade.worked_out(figure) is None:
            continue
        else:
            own = reserve_of(propagation.figure(figure).effects.values())
            otherwise = own > usual
        if otherwise:
            stated[name] = within_words(own, measure.unit)
    if CIRCUMFERENCE in measured:
        for position, part in built.fitted.items():
            if part is not None and part.family == "tyres":
                within = within_words(measured[CIRCUMFERENCE], "mm")
                stated[f"fitted {position}: {CIRCUMFERENCE}"] = within
    return stated


def confirmed(
    evaluation: Evaluation, choice: Mapping[str, Option], compared: Iterable[Compared]
) -> list[ConfirmedValue]:
    """List the values of new parts that were measured and agreed, closer than is usual."""
    values = []
    for comparison in compared:
        if comparison.figure != CIRCUMFERENCE or not comparison.agrees:
            continue
        for position, option in choice.items():
            tolerance = evaluation.tolerances.of_part(position, option.part, CIRCUMFERENCE)
            listed = option.part.values.get(CIRCUMFERENCE)
            if not option.changed or option.part.family != "tyres" or tolerance is None:
                continue
            if not isinstance(listed, int | float):
                continue  # worked out of the diameter: the list gives none
            if comparison.tolerance < tolerance.half_width(float(listed)):
                within = within_words(comparison.tolerance, "mm")
                values.append(ConfirmedValue(f"{option.key}: {CIRCUMFERENCE}", within))
    return values
