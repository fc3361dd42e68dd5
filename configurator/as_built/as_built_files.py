"""Read what was measured from a file or from words, and write the vehicle as it was built."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import TYPE_CHECKING

from configurator.as_built.closer_tolerances import tolerances_after
from configurator.as_built.diagnosis import Supposed, at_cruise, measurable, tolerance_of
from configurator.as_built.read_again import AFTER, CIRCUMFERENCE, RISES
from configurator.core import units
from configurator.core.errors import InputError, Problem, UnitError, nearest
from configurator.core.text import Misread, Report, shown
from configurator.evaluation.evaluator import Evaluation
from configurator.files import toml_files
from configurator.model.parts import FITTED, NOTHING, Attribute, Missing, attributes_of
from configurator.model.values import described, reader

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping
    from pathlib import Path

    from configurator.as_built.diagnosis import Compared, Explained
    from configurator.as_built.joint_causes import Together
    from configurator.evaluation.evaluator import Option
    from configurator.model.knowledge import Trade
    from configurator.model.parts import Part, Value
    from configurator.model.vehicles import Vehicle

_ENGINE_SPEED = re.compile(r"engine speed at (\d.*)")
ENGINE_SPEED = "engine speed at cruise"
_ROAD_SPEED = Attribute("road speed", "At which the engine speed was read.", "km/h")


def read_values(
    path: Path | None,
    words: Iterable[str],
    evaluation: Evaluation,
    choice: Mapping[str, Option],
) -> dict[str, float]:
    """Read measured values.

    Parameters
    ----------
    path
        A file with a table ``[measured]``: name of a figure = quantity.
    words
        The same as words: ``"front track = 1612 mm"``; they come before those of the file.
    evaluation, choice
        Of the package.

    Returns
    -------
    dict
        Figure → value in SI. ``engine speed at 80 km/h`` is turned into the one at cruise.

    Raises
    ------
    InputError
        With everything that is wrong.
    """
    problems: list[Problem] = []
    written: dict[str, tuple[str, str]] = {}
    if path is not None:
        report = Report()
        top = toml_files.load(path, path.name, report)
        if top is not None:
            toml_files.refuse_unknown(top, ("measured",))
            table = toml_files.subtable(top, "measured")
            written = {name: (table.where, str(v)) for name, v in table.entries.items()}
        problems += report.errors
    for word in words:
        name, sign, value = word.partition("=")
        if not sign:
            do = 'write it as --is "front track = 1612 mm"'
            problems.append(Problem("--is", f"{shown(word)} gives no value", do))
            continue
        if written.get(name.strip(), ("", ""))[0] == "--is":
            what = f"{shown(name.strip())} is given twice"
            problems.append(Problem("--is", what, "give the figure once, as it was measured"))
            continue
        written[name.strip()] = ("--is", value.strip())
    values: dict[str, float] = {}
    known = {quantity.figure for quantity in measurable(evaluation, choice)}
    for name, (place, text) in written.items():
        figure, at = name, ""
        if (speed := _ENGINE_SPEED.fullmatch(name)) is not None and name not in known:
            figure, at = ENGINE_SPEED, speed[1]
        if figure not in known:
            do = nearest(name, sorted(known), otherwise=f"use one of {', '.join(sorted(known))}")
            problems.append(Problem(place, f"{shown(name)} cannot be measured here", do))
            continue
        # As lists and vehicles are read: 1,612 mm may be 1.612 mm or 1612 mm, and is refused.
        read = reader(described(evaluation.definition(figure)), None)
        try:
            number = float(read(text))  # type: ignore[arg-type]
            values[figure] = at_cruise(evaluation, number, _road_speed(at)) if at else number
        except (Misread, UnitError) as problem:
            problems.append(Problem(f"{place}, {shown(name)}", problem.what, problem.do))
    if not written and not problems:
        do = "name a file with --values, or values with --is"
        problems.append(Problem("measured", "nothing was measured", do))
    if problems:
        raise InputError(problems)
    return values


def _road_speed(text: str) -> float:
    value = float(reader(_ROAD_SPEED, None)(text))  # type: ignore[arg-type]
    if value <= 0:
        raise UnitError(text, "an engine speed needs a road speed above 0", "write 80 km/h")
    return value


def built_vehicle(
    evaluation: Evaluation,
    choice: Mapping[str, Option],
    compared: Iterable[Compared],
    explained: Explained | Together | None = None,
) -> Vehicle:
    """Return the vehicle as it was built: what is fitted, and what the work has changed.

    What was measured stands as it was measured; the rest of `AFTER` and `RISES` as worked out,
    with the correction where an assumption explained the differences. Measures that the vehicle's
    file does not give come in where they were measured or the correction is theirs. All other
    measures are those from before the work.

    Parameters
    ----------
    evaluation, choice
        Of the package.
    compared
        What was measured.
    explained
        The assumption to correct, or the two; None to correct none.
    """
    compared = list(compared)
    supposed = _corrected(evaluation, choice, explained)
    known = {*evaluation.trade.figures, *evaluation.trade.totals}
    measured = {comparison.figure: comparison.measured for comparison in compared}
    supposing = explained.corrections if explained is not None else ()
    given = {*measured, *(figure for item, _ in supposing for figure in item.figures)}
    vehicle = evaluation.case.vehicle
    values = dict(vehicle.values)
    for name, figure in {**AFTER, **RISES}.items():
        value = vehicle.values.get(name)
        if value is None and (name in RISES or figure not in given):
            continue  # nobody measured it before, nobody has now
        number = value if isinstance(value, int | float) else 0.0
        if figure not in known or (value is not None and number is not value):
            continue
        after = measured.get(figure, supposed.figure(figure, choice))
        if isinstance(after, int | float):
            values[name] = float(after) + (number if name in RISES else 0.0)
    circumference = measured.get(CIRCUMFERENCE, supposed.figure(CIRCUMFERENCE, choice))
    fitted: dict[str, Part | None] = {}
    for position, option in choice.items():
        part = replace(option.part, key=FITTED, price=0)
        if part.family == "tyres" and isinstance(circumference, int | float):
            part = replace(part, values={**part.values, CIRCUMFERENCE: float(circumference)})
        fitted[position] = None if option.key == NOTHING else part
    note = f"After the job {evaluation.case.job.title}."
    built = replace(
        vehicle, title=f"{vehicle.title}, as built", values=values, fitted=fitted, note=note
    )
    return replace(built, tolerances=tolerances_after(evaluation, choice, built, compared))


def _corrected(
    evaluation: Evaluation, choice: Mapping[str, Option], explained: Explained | Together | None
) -> Supposed:
    supposing = explained.corrections if explained is not None else ()
    return Supposed(evaluation, choice, further=supposing)


def stands_otherwise(
    evaluation: Evaluation,
    choice: Mapping[str, Option],
    vehicle: Vehicle,
    compared: Iterable[Compared] = (),
    explained: Explained | Together | None = None,
) -> list[tuple[str, float, float]]:
    """List the figures that do not come out of a built vehicle as they should.

    Parameters
    ----------
    evaluation, choice
        Of the package.
    vehicle, compared, explained
        From and for `built_vehicle`.

    Returns
    -------
    list of tuple
        Figure, as the vehicle's file has it, as measured or else worked out with the correction;
        in SI. Measures that no figure tells stand behind them, and must be taken again.
    """
    case = replace(evaluation.case, vehicle=vehicle, local_rules=None)
    again = Supposed(Evaluation(case, evaluation.trade), {})
    corrected = _corrected(evaluation, choice, explained)
    measured = {comparison.figure: comparison.measured for comparison in compared}
    sentences = []
    for quantity in measurable(evaluation, choice):
        here = again.figure(quantity.figure, again.fitted)
        there = measured.get(quantity.figure, corrected.figure(quantity.figure, choice))
        if not isinstance(here, int | float) or not isinstance(there, int | float):
            continue
        # Twice, as what was measured may be off by one already.
        if abs(here - there) > 2 * tolerance_of(quantity, there):
            sentences.append((quantity.figure, float(here), float(there)))
    return sentences


def vehicle_text(vehicle: Vehicle, trade: Trade, remarks: Iterable[str] = ()) -> str:
    """Write the file of a vehicle.

    Parameters
    ----------
    vehicle
        As it is read.
    trade
        Knows the units.
    remarks
        Comments at its top.
    """
    lines = [f"# {_one_line(remark)}" for remark in remarks]
    stated = vehicle.tolerances.items()
    lines += [f"title = {_quoted(vehicle.title)}", f"note = {_quoted(vehicle.note)}"]
    lines += ["", "[figures]"]
    lines += [
        f"{_quoted(name)} = {_written(value, trade.measures[name].unit)}"
        for name, value in vehicle.values.items()
    ]
    if stated:
        lines += ["", "[tolerances]"]
        lines += [f"{_quoted(name)} = {_quoted(written)}" for name, written in stated]
    for position, part in vehicle.fitted.items():
        if part is None:
            continue
        lines += ["", f"[fitted.{_quoted(position)}]", f"title = {_quoted(part.title)}"]
        lines += [f"maker = {_quoted(part.maker)}"] if part.maker else []
        for attribute in attributes_of(trade.families[part.family]):
            value = part.values.get(attribute.name, Missing.UNKNOWN)
            if not isinstance(value, Missing):
                lines.append(f"{_quoted(attribute.name)} = {_written(value, attribute.unit)}")
    return "\n".join(lines) + "\n"


def remarks_of(
    evaluation: Evaluation,
    otherwise: Iterable[tuple[str, float, float]],
    explained: Explained | Together | None,
) -> list[str]:
    """Say at the top of a built vehicle's file what is in it and what must be measured again."""
    remarks = [
        f"{evaluation.case.vehicle.title} after the job {evaluation.case.job.title}.",
        f"Measured, or calculated again, as far as they stand here: {', '.join((*AFTER, *RISES))}; "
        f"{CIRCUMFERENCE} of the tyres. All else is from before the work: measure again what the "
        "work has changed, such as lengths at ride height, room in the arches, slopes of links and "
        "propshafts.",
    ]
    if explained is not None:
        names = " and ".join(correction.name for correction, _ in explained.corrections)
        remarks.append(f"Corrected: {names}.")
    for figure, here, there in otherwise:
        unit = evaluation.definition(figure).unit
        remarks.append(
            f"{figure} comes out as {units.show(here, unit)}, where it should be "
            f"{units.show(there, unit)}: correct the measures behind it before the next job."
        )
    return remarks


def _one_line(text: str) -> str:
    """Keep a text within a comment of one line."""
    return re.sub(r"[\x00-\x1f\x7f\u0085\u2028\u2029]+", " ", text)


def _written(value: Value, unit: str) -> str:
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, frozenset):
        return f"[{', '.join(_quoted(element) for element in sorted(value))}]"
    if isinstance(value, float):
        return _quoted(units.write(value, unit))
    return _quoted(str(value))


def _quoted(text: str) -> str:
    """Write a basic string of TOML 1.0."""
    escaped = text.replace("\\", "\\\\").replace('"', '\\"')
    return '"' + re.sub("[\x00-\x1f\x7f]", lambda sign: f"\\u{ord(sign[0]):04x}", escaped) + '"'
