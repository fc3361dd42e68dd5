"""What a fitter writes down after the work, checked all at once.

On the road three things are read together: the true speed, the engine speed at it, and what the
speedometer shows at it. The figures of engine speed at cruise and of the speedometer's error are
worked out from them.
"""

from __future__ import annotations

import datetime
import math
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from configurator.as_built.as_built_files import ENGINE_SPEED
from configurator.as_built.diagnosis import at_cruise, compare, measurable
from configurator.core.errors import InputError, Problem
from configurator.core.text import shown
from configurator.model.references import ConditionValue
from configurator.wording.quantities import unit_in, with_unit, words

if TYPE_CHECKING:
    from collections.abc import Mapping

    from configurator.as_built.diagnosis import Compared
    from configurator.evaluation.evaluator import Evaluation, Option
    from configurator.wording.quantities import System

SPEEDOMETER = "speedometer error"
TRUE_SPEED = "GPS speed"
ENGINE_AT_IT = "engine speed at that speed"
SHOWN_AT_IT = "speedometer shows at that speed"
DAY, BY, NOTE = "measured on", "measured by", "note"
# Field → declared unit, of what is read on the road.
ROAD = {TRUE_SPEED: "km/h", ENGINE_AT_IT: "rpm", SHOWN_AT_IT: "km/h"}
# Figures that come from fields of ROAD.
FROM_ROAD = (ENGINE_SPEED, SPEEDOMETER)
LONGEST_NAME, LONGEST_NOTE = 80, 500
# Faster than this nobody measures a vehicle for rough ground [m/s]; common practice, no source.
FASTEST = 200 / 3.6
MASS, AXLES = "vehicle mass", ("front axle load", "rear axle load")
# What three readings of one scale may differ by [kg]; common practice, no source.
WEIGHED_APART = 25.0
# Farther off than this share of what was worked out is a slip of the pen or another unit, not a
# measurement; common practice, no source.
SLIP = 0.4


@dataclass(frozen=True, slots=True)
class Entry:
    """What was written down.

    Parameters
    ----------
    numbers
        Field → value in SI: a figure's name, or a field of `ROAD`.
    day
        When it was measured; None if that was not said.
    by
        Who measured.
    note
        In the fitter's words.
    """

    numbers: Mapping[str, float] = field(default_factory=dict)
    day: datetime.date | None = None
    by: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True)
class CheckedEntry:
    """An entry that was checked.

    Parameters
    ----------
    values
        Figure → measured value in SI, of the fields that are right.
    problems
        Field → what is wrong with it and what to do, of all others.
    """

    values: Mapping[str, float]
    problems: Mapping[str, Problem]

    @property
    def sound(self) -> bool:
        """Whether something was measured and nothing is wrong."""
        return bool(self.values) and not self.problems


def fields_of(evaluation: Evaluation, choice: Mapping[str, Option]) -> dict[str, str]:
    """Return the fields of an entry on a package, with their declared units, in order."""
    known = {quantity.figure: quantity for quantity in measurable(evaluation, choice)}
    fields = {name: evaluation.definition(name).unit for name in known if name not in FROM_ROAD}
    road = [ENGINE_AT_IT] if ENGINE_SPEED in known and _cruise(evaluation) is not None else []
    road += [SHOWN_AT_IT] if SPEEDOMETER in known else []
    return {**fields, **({name: ROAD[name] for name in (TRUE_SPEED, *road)} if road else {})}


def check(
    entry: Entry,
    evaluation: Evaluation,
    choice: Mapping[str, Option],
    *,
    today: datetime.date,
    system: System | None = None,
) -> CheckedEntry:
    """Check an entry: everything that is wrong at once, each with its field and what to do.

    Parameters
    ----------
    entry
        As written down.
    evaluation, choice
        Of the package that was built.
    today
        Nothing can have been measured after it.
    system
        Units in which the messages speak.
    """
    fields = fields_of(evaluation, choice)
    problems: dict[str, Problem] = {}
    numbers: dict[str, float] = {}
    for name, number in entry.numbers.items():
        if name not in fields:
            do = "leave it out; it is no figure of this package"
            problems[name] = Problem(name, "this cannot be measured here", do)
        elif name in ROAD:
            if problem := _speed_problem(name, number, fields[name], system):
                problems[name] = problem
            else:
                numbers[name] = number
        else:
            numbers[name] = number
    values = {name: number for name, number in numbers.items() if name not in ROAD}
    values |= _from_road(entry, numbers, evaluation, problems)
    for comparison in compare(evaluation, choice, values):
        if problem := _slip(comparison, system):
            name = {ENGINE_SPEED: ENGINE_AT_IT, SPEEDOMETER: SHOWN_AT_IT}.get(
                comparison.figure, comparison.figure
            )
            problems[name] = replace(problem, where=name)
            del values[comparison.figure]
    if problem := _sum_problem(values, system):
        problems[MASS] = problem
        del values[MASS]
    if not entry.numbers:
        do = "enter at least one figure"
        problems["figures"] = Problem("figures", "nothing was measured", do)
    problems |= _about_it(entry, today)
    return CheckedEntry(values, problems)


def refuse_slips(
    values: Mapping[str, float],
    evaluation: Evaluation,
    choice: Mapping[str, Option],
    system: System | None = None,
) -> None:
    """Refuse figures that cannot have been measured: slips of the pen, other units.

    Parameters
    ----------
    values
        Figure → measured value in SI.
    evaluation, choice
        Of the package that was built.
    system
        Units in which the messages speak.

    Raises
    ------
    InputError
        With all of them.
    """
    problems = [
        # Values that are written with their units have no field in a unit of its own.
        replace(
            problem,
            where=f"measured, {shown(comparison.figure)}",
            do=problem.do.partition(":")[0],
        )
        for comparison in compare(evaluation, choice, values)
        if (problem := _slip(comparison, system)) is not None
    ]
    if problem := _sum_problem(values, system):
        problems.append(replace(problem, where=f"measured, {shown(MASS)}"))
    if problems:
        raise InputError(problems)


def entry_of(values: Mapping[str, float], evaluation: Evaluation) -> dict[str, float]:
    """Return the numbers of an entry again from figures that were kept.

    What was read on the road comes back as if it had been read at the cruising speed.
    """
    numbers = {name: value for name, value in values.items() if name not in FROM_ROAD}
    cruise = _cruise(evaluation)
    if cruise is None:
        return numbers
    if ENGINE_SPEED in values:
        numbers |= {TRUE_SPEED: cruise, ENGINE_AT_IT: values[ENGINE_SPEED]}
    if SPEEDOMETER in values:
        numbers |= {TRUE_SPEED: cruise, SHOWN_AT_IT: cruise * (1 + values[SPEEDOMETER])}
    return numbers


def _cruise(evaluation: Evaluation) -> float | None:
    value = evaluation.constant(ConditionValue("cruising speed"))
    return float(value) if isinstance(value, int | float) else None


def _from_road(
    entry: Entry,
    numbers: Mapping[str, float],
    evaluation: Evaluation,
    problems: dict[str, Problem],
) -> dict[str, float]:
    """Work out the figures that were read on the road; say what is missing for them."""
    read = [name for name in (ENGINE_AT_IT, SHOWN_AT_IT) if name in entry.numbers]
    if read and TRUE_SPEED not in entry.numbers:
        what = f"is missing, at which {' and '.join(read)} was read"
        problems[TRUE_SPEED] = Problem(TRUE_SPEED, what, "enter the true speed, not the one shown")
    if TRUE_SPEED in numbers and not read:
        what = "nothing was read at it"
        do = "enter the engine speed or what the speedometer shows, or empty the field"
        problems[TRUE_SPEED] = Problem(TRUE_SPEED, what, do)
    true = numbers.get(TRUE_SPEED)
    if true is None:
        return {}
    values = {}
    if ENGINE_AT_IT in numbers:
        values[ENGINE_SPEED] = at_cruise(evaluation, numbers[ENGINE_AT_IT], true)
    if SHOWN_AT_IT in numbers:
        values[SPEEDOMETER] = numbers[SHOWN_AT_IT] / true - 1
    return values


def _speed_problem(name: str, number: float, unit: str, system: System | None) -> Problem | None:
    if not math.isfinite(number) or number <= 0:
        do = "enter what was read, driving" if name != TRUE_SPEED else "enter the true speed"
        return Problem(name, f"{words(number, unit, system)} is no reading", do)
    if unit == "km/h" and number > FASTEST:
        most = words(FASTEST, unit, system)
        what = f"{words(number, unit, system)} is more than {most}"
        return Problem(name, what, "look at the unit and the digits")
    return None


def _slip(compared: Compared, system: System | None) -> Problem | None:
    """Say why a number is a slip of the pen; None if it is none."""
    unit = unit_in(compared.unit, system)
    field_unit = with_unit("", unit).strip() or "no unit"
    phrase = words(compared.measured, compared.unit, system)
    share = compared.unit == "%"
    if not math.isfinite(compared.measured) or (compared.measured <= 0 and not share):
        return Problem("", f"{phrase} cannot be", f"enter what was read, in {field_unit}")
    if abs(compared.difference) <= (
        SLIP if share else max(SLIP * compared.expected, 20 * compared.tolerance)
    ):
        return None
    promised = words(compared.promised, compared.unit, system)
    what = f"{phrase} is too far from the {promised} that were promised to be a measurement"
    return Problem("", what, f"look at the digits and the unit: the field is in {field_unit}")


def _sum_problem(values: Mapping[str, float], system: System | None) -> Problem | None:
    """Say that a mass is not what both axles carry; None if it is, or not all three are known."""
    if not {MASS, *AXLES} <= set(values):
        return None
    both = sum(values[name] for name in AXLES)
    if abs(values[MASS] - both) <= WEIGHED_APART:
        return None
    what = (
        f"{words(values[MASS], 'kg', system)} are not the {words(both, 'kg', system)} that both "
        "axles carry together"
    )
    return Problem(MASS, what, "weigh again, or look at the digits of the three")


def _about_it(entry: Entry, today: datetime.date) -> dict[str, Problem]:
    problems = {}
    if entry.day is None:
        problems[DAY] = Problem(DAY, "the day is missing", "enter when it was measured")
    elif entry.day > today:
        what = f"{entry.day.isoformat()} is still to come"
        problems[DAY] = Problem(DAY, what, f"enter a day up to {today.isoformat()}")
    if not entry.by.strip():
        problems[BY] = Problem(BY, "nobody is named", "enter who measured")
    elif len(entry.by) > LONGEST_NAME:
        do = f"use at most {LONGEST_NAME} letters"
        problems[BY] = Problem(BY, f"{len(entry.by)} letters are too many", do)
    if len(entry.note) > LONGEST_NOTE:
        do = f"use at most {LONGEST_NOTE} letters"
        problems[NOTE] = Problem(NOTE, f"{len(entry.note)} letters are too many", do)
    return problems


def moment_of(day: datetime.date, now: datetime.datetime) -> datetime.datetime:
    """Return the time to be kept for a day: now for today, else noon, as no hour was asked for.

    Examples
    --------
    >>> now = datetime.datetime(2026, 3, 4, 9, 30, tzinfo=datetime.UTC)
    >>> moment_of(datetime.date(2026, 3, 1), now).isoformat()
    '2026-03-01T12:00:00+00:00'
    """
    if day == now.date():
        return now
    return datetime.datetime.combine(day, datetime.time(12), now.tzinfo)
