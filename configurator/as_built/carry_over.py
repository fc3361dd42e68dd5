"""Carry what was measured into the vehicle's record: what would change, and a new file for it."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from configurator.as_built.read_again import AFTER, CIRCUMFERENCE
from configurator.core.atomic_files import write_atomically
from configurator.core.errors import InputError, Problem
from configurator.files.vehicle_files import FOLDER
from configurator.model.parts import attributes_of

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator
    from pathlib import Path

    from configurator.as_built.diagnosis import Compared
    from configurator.model.knowledge import Trade
    from configurator.model.parts import Part, Value
    from configurator.model.vehicles import Vehicle

_NAME = re.compile(r"[a-z0-9]+(?:-[a-z0-9]+)*")
Origin = Literal["measured", "corrected", "worked out", "fitted"]


@dataclass(frozen=True, slots=True)
class CarriedChange:
    """One thing that is different in the vehicle's record after the work.

    Parameters
    ----------
    name
        A measure, a position, or an attribute of what is fitted.
    before, after
        In SI; None where it is not given. For a position the titles of the parts.
    unit
        Declared.
    origin
        Where the new value is from.
    """

    name: str
    before: Value | None
    after: Value | None
    unit: str
    origin: Origin


def carried(
    before: Vehicle,
    after: Vehicle,
    trade: Trade,
    compared: Iterable[Compared] = (),
    uncorrected: Vehicle | None = None,
) -> tuple[CarriedChange, ...]:
    """List what is different in the record of a vehicle as built, beside its title and note.

    Parameters
    ----------
    before
        As it stood.
    after, compared
        From and for `configurator.as_built.as_built_files.built_vehicle`.
    uncorrected
        The same as ``after`` without a correction; None if ``after`` has none.
    trade
        Knows the units.
    """
    measured = {comparison.figure for comparison in compared}
    plain = uncorrected or after

    def origin(figure: str, item: object, other: object) -> Origin:
        if figure in measured:
            return "measured"
        return "worked out" if _same(item, other) else "corrected"

    changes = [
        CarriedChange(
            name,
            before.values.get(name),
            value,
            trade.measures[name].unit,
            origin(AFTER.get(name, ""), plain.values.get(name), value),
        )
        for name, value in after.values.items()
        if not _same(before.values.get(name), value)
    ]
    for position, part in after.fitted.items():
        was = before.fitted.get(position)
        if _told(was) != _told(part):
            titles = [item.title if item is not None else None for item in (was, part)]
            changes.append(CarriedChange(position, titles[0], titles[1], "", "fitted"))
        rolls = [
            it.values.get(CIRCUMFERENCE) if it is not None else None
            for it in (plain.fitted.get(position), part)
        ]
        changes += _circumference(position, was, part, trade, origin(CIRCUMFERENCE, *rolls))
    return tuple(changes)


def _told(part: Part | None) -> object:
    """Return what is said of a part, without how far tyres roll: that stands by itself."""
    if part is None:
        return None
    return part.title, part.maker, {k: v for k, v in part.values.items() if k != CIRCUMFERENCE}


def _circumference(
    position: str, was: Part | None, part: Part | None, trade: Trade, origin: Origin
) -> Iterator[CarriedChange]:
    if part is None or part.family != "tyres":
        return
    unit = next(
        (
            attribute.unit
            for attribute in attributes_of(trade.families["tyres"])
            if attribute.name == CIRCUMFERENCE
        ),
        "",
    )
    old, new = (item.values.get(CIRCUMFERENCE) if item else None for item in (was, part))
    if isinstance(new, int | float) and not _same(old, new):
        number = old if isinstance(old, int | float) else None
        yield CarriedChange(f"{position}: {CIRCUMFERENCE}", number, new, unit, origin)


def _same(item: object, other: object) -> bool:
    if isinstance(item, float) and isinstance(other, float):
        return abs(item - other) <= 1e-9 * max(abs(item), abs(other), 1e-3)
    return item == other


def write_vehicle(folder: Path, name: str, text: str) -> Path:
    """Write the file of a vehicle into a catalog; never over one that is there.

    Parameters
    ----------
    folder
        Of the catalog.
    name
        Of the file in its folder ``vehicles``, without ``.toml``.
    text
        From `configurator.as_built.as_built_files.vehicle_text`.

    Raises
    ------
    InputError
        If the name cannot be used, or the file is there or cannot be written.
    """
    path = folder / FOLDER / f"{name}.toml"
    if _NAME.fullmatch(name) is None or len(name) > 60:
        do = "use small letters a to z, digits and single hyphens, at most 60 of them"
        raise InputError([Problem("name of the file", f"{name!r} cannot be used", do)])
    where = f"{folder.name}/{FOLDER}/{path.name}"
    if path.exists():
        what, do = "this vehicle is there already", "name a new one; nothing is written over"
        raise InputError([Problem(where, what, do)])
    try:
        path.parent.mkdir(exist_ok=True)
        write_atomically(path, text, overwrite=False)
    except (InputError, OSError) as problem:
        reason = problem.strerror if isinstance(problem, OSError) else problem.problems[0].what
        do = "download the file and hand it to whoever keeps the catalogs"
        raise InputError([Problem(where, f"it cannot be written ({reason})", do)]) from None
    return path
