"""Read the file of a vehicle as it stands."""

from __future__ import annotations

from typing import TYPE_CHECKING

from configurator.core.errors import nearest
from configurator.core.text import Report, shown, sound
from configurator.files import toml_files
from configurator.files.judgement import read_tolerances
from configurator.files.toml_files import TomlTable
from configurator.model.knowledge import Trade, positions_of
from configurator.model.parts import FITTED, Family, Missing, Part, Value, attributes_of
from configurator.model.values import declared_value, described
from configurator.model.vehicles import Vehicle

if TYPE_CHECKING:
    from collections.abc import Mapping
    from pathlib import Path

FOLDER = "vehicles"
_FITTED_TEXTS = ("title", "maker", "note")


def vehicle_keys(folder: Path) -> tuple[str, ...]:
    """List the vehicles of a catalog folder, sorted."""
    return tuple(sorted(path.stem for path in (folder / FOLDER).glob("*.toml")))


def read_vehicle(folder: Path, key: str, trade: Trade) -> Vehicle:
    """Read a vehicle of a catalog.

    Parameters
    ----------
    folder
        Of the catalog.
    key
        Name of the file in its folder ``vehicles``, without ``.toml``.
    trade
        The measures, families and positions there are.

    Returns
    -------
    Vehicle
        Measures that have a default and were not given have it.

    Raises
    ------
    InputError
        With everything that is wrong with the file.
    """
    report = Report()
    vehicle = load_vehicle(folder.resolve(), key, trade, report)
    return sound(vehicle, report)


def load_vehicle(folder: Path, key: str, trade: Trade, report: Report) -> Vehicle | None:
    """Read a vehicle as `read_vehicle` does, but leave the problems in a report."""
    known = vehicle_keys(folder)
    where = f"{folder.name}/{FOLDER}/{key}.toml"
    if key not in known:
        report.error(
            f"{folder.name}/{FOLDER}",
            f"there is no vehicle {shown(key)}",
            nearest(key, known, otherwise=f"use one of {', '.join(known)}" if known else "add one"),
        )
        return None
    top = toml_files.load(folder / FOLDER / f"{key}.toml", where, report)
    return None if top is None else vehicle_of(top, f"{folder.name}/{key}", trade)


def vehicle_of(top: TomlTable, key: str, trade: Trade) -> Vehicle:
    """Read a vehicle off a table as its file has it; its report takes the problems."""
    where, report = top.where, top.report
    toml_files.refuse_unknown(top, ("title", "note", "figures", "fitted", "tolerances"))
    title = toml_files.text(top, "title", required='"what people call it"')
    note = toml_files.text(top, "note", lines=True)
    values, assumed = _figures(toml_files.subtable(top, "figures"), trade)
    fitted = _fitted(toml_files.subtable(top, "fitted"), trade)
    for family in trade.families.values():
        pieces = family.pieces
        if isinstance(pieces, str) and pieces in trade.measures and pieces not in values:
            report.error(
                f"{where}, [figures]",
                f"{pieces!r} is missing, which says how many {family.title.lower()} there are",
                f'write "{pieces}" = "..."',
            )
    title = title or key.rpartition("/")[2]
    tolerances = read_tolerances(toml_files.subtable(top, "tolerances"), trade)
    return Vehicle(key, title, values, fitted, note or "", where, assumed, tolerances)


def _figures(table: TomlTable, trade: Trade) -> tuple[dict[str, Value], frozenset[str]]:
    """Read the measures; those that were not given and have a default have it."""
    table = toml_files.renamed(table, trade.measures, trade.former_names, "measure")
    toml_files.refuse_unknown(table, trade.measures, "measure", lost=bool(trade.failures))
    values: dict[str, Value] = {}
    assumed: set[str] = set()
    for name, measure in trade.measures.items():
        attribute = described(measure)
        value = toml_files.value(table, name, attribute)
        if value is not None:
            values[name] = value
        elif measure.default is not None and name not in table.entries:
            values[name] = declared_value(attribute, measure.default)
            assumed.add(name)
    return values, frozenset(assumed)


def _fitted(table: TomlTable, trade: Trade) -> dict[str, Part | None]:
    positions = positions_of(trade)
    table = toml_files.renamed(table, positions, trade.former_names, "position")
    toml_files.refuse_unknown(table, positions, "position", lost=bool(trade.failures))
    fitted: dict[str, Part | None] = {}
    for position, family in positions.items():
        if position in table.entries:
            fitted[position] = _fitted_part(
                toml_files.subtable(table, position), family, trade.former_names
            )
        else:
            fitted[position] = None
            if not family.optional:
                table.report.error(
                    table.where,
                    f"nothing is fitted as {position!r}, which must have a part",
                    f'write [fitted."{position}"] with at least a title',
                )
    return fitted


def _fitted_part(table: TomlTable, family: Family, former: Mapping[str, str]) -> Part:
    attributes = attributes_of(family)
    known = (*_FITTED_TEXTS, *(a.name for a in attributes))
    table = toml_files.renamed(table, known, former, "attribute")
    toml_files.refuse_unknown(table, known, "attribute")
    title = toml_files.text(table, "title", required='"what is fitted"')
    values: dict[str, Value] = {}
    for attribute in attributes:
        value = toml_files.value(table, attribute.name, attribute)
        values[attribute.name] = Missing.UNKNOWN if value is None else value
    return Part(
        key=FITTED,
        family=family.key,
        title=title or "",
        price=0,
        values=values,
        maker=toml_files.text(table, "maker") or "",
        note=toml_files.text(table, "note", lines=True) or "",
        place=table.where,
    )
