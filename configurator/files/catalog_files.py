"""Read a catalog: where it is from, its part lists, its workshop, its vehicles.

A catalog is a folder with ``catalog.toml``, one CSV file per family of parts and, where it has
any, ``workshop.toml``, ``vehicles/*.toml``, ``local/*.toml`` and ``overrides.csv`` with what a shop
changes about the parts of its suppliers. Whatever is wrong is reported all at once.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from configurator.core import money, paths
from configurator.core.errors import InputError, Problem, UnitError, nearest
from configurator.core.text import Report, in_order, shown, sound
from configurator.files import toml_files
from configurator.files.judgement import read_lifted, read_tolerances
from configurator.files.local_rules import load_every_local_rule
from configurator.files.overrides import OVERRIDES, Override, read_overrides
from configurator.files.part_lists import read_part_list
from configurator.files.stationery_files import STATIONERY_KEYS, read_stationery
from configurator.files.vehicle_files import load_vehicle, read_vehicle, vehicle_keys
from configurator.model.former_names import name_now
from configurator.model.jobs import PAPERS, CatalogInfo, Workshop
from configurator.model.parts import Attribute, Part
from configurator.model.value_contradictions import part_contradictions, vehicle_contradictions
from configurator.model.values import described

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence
    from pathlib import Path

    from configurator.core.money import Rate
    from configurator.files.toml_files import TomlTable
    from configurator.model.knowledge import Trade

__all__ = [
    "Catalog",
    "catalog_folder",
    "check_catalog",
    "load_catalog",
    "load_workshop",
    "read_catalog",
    "read_vehicle",
    "vehicle_keys",
]

ABOUT, WORKSHOP = "catalog.toml", "workshop.toml"
_TAX = Attribute("tax", "Share added to the net price.", "%", at_least=0.0, at_most=100.0)


@dataclass(frozen=True, slots=True)
class Catalog:
    """A catalog as read.

    Parameters
    ----------
    info
        Where it is from.
    parts
        Family key → its parts, in the order of the list; every family is there.
    workshop
        The shop's settings, if the catalog has any.
    vehicles
        Keys of its vehicles.
    warnings
        What is likely a mistake but keeps nobody from using it.
    overrides
        What it says of the parts of other catalogs.
    """

    info: CatalogInfo
    parts: Mapping[str, tuple[Part, ...]]
    workshop: Workshop | None = None
    vehicles: tuple[str, ...] = ()
    warnings: tuple[Problem, ...] = ()
    overrides: tuple[Override, ...] = ()


def catalog_folder(name: str, search: Sequence[Path] = ()) -> Path:
    """Find the folder of a catalog.

    Parameters
    ----------
    name
        Of the catalog.
    search
        Folders of catalogs to look in, before those that come with Fitwright.

    Raises
    ------
    InputError
        If there is none of that name.
    """
    known: list[str] = []
    for home in _homes(search):
        names = sorted(path.parent.name for path in home.glob(f"*/{ABOUT}"))
        if name in names:
            return home / name
        known.extend(names)
    listed = f"use one of {', '.join(sorted(set(known)))}" if known else f"make one with {ABOUT}"
    raise InputError(
        [
            Problem(
                "catalogs",
                f"there is no catalog {shown(name)}",
                nearest(name, known, otherwise=listed),
            )
        ]
    )


def _homes(search: Sequence[Path]) -> Iterator[Path]:
    yield from search
    yield paths.catalogs()  # asked last, and only if need be: it may not be installed


def read_catalog(folder: Path, trade: Trade) -> Catalog:
    """Read a catalog.

    Parameters
    ----------
    folder
        Of the catalog; its name is the catalog's key.
    trade
        The families, measures and practices there are.

    Raises
    ------
    InputError
        With every problem of every file in the folder.
    """
    report = Report()
    catalog = load_catalog(folder, trade, report)
    _check_vehicles(folder.resolve(), trade, report)
    load_every_local_rule(folder.resolve(), trade, report)
    return sound(catalog, report)


def check_catalog(
    folder: Path, trade: Trade
) -> tuple[list[Problem], list[Problem], dict[str, int]]:
    """Check everything in a catalog's folder.

    Returns
    -------
    errors, warnings, counts
        Problems sorted by place; family key → number of sound parts, for every family.
    """
    report = Report()
    catalog = load_everything(folder, trade, report)
    for parts in catalog.parts.values():
        for part in parts:
            where = f"{folder.name}/{part.place}"
            report.warnings.extend(part_contradictions(trade, part, where))
    counts = {key: len(parts) for key, parts in catalog.parts.items()}
    return in_order(report.errors), in_order(report.warnings), counts


def load_everything(folder: Path, trade: Trade, report: Report) -> Catalog:
    """Read a catalog with its vehicles and local rules, and leave the problems in a report."""
    catalog = load_catalog(folder, trade, report)
    _check_vehicles(folder.resolve(), trade, report)
    load_every_local_rule(folder.resolve(), trade, report)
    return catalog


def _check_vehicles(folder: Path, trade: Trade, report: Report) -> None:
    for key in vehicle_keys(folder):
        vehicle = load_vehicle(folder, key, trade, report)
        if vehicle is not None:
            report.warnings.extend(vehicle_contradictions(trade, vehicle))


def load_catalog(folder: Path, trade: Trade, report: Report) -> Catalog:
    """Read a catalog but its vehicles, and leave the problems in a report.

    What could not be read is left out; the caller looks into ``report.errors``.
    """
    folder = folder.resolve()
    info = _about(folder, report)
    seen: dict[str, str] = {}
    parts: dict[str, tuple[Part, ...]] = dict.fromkeys(trade.families, ())
    read: set[str] = set()
    lists = sorted(path for path in folder.glob("*") if path.suffix.lower() == ".csv")
    overrides: tuple[Override, ...] = ()
    for path in lists:
        if path.name == OVERRIDES:
            overrides = read_overrides(path, folder.name, info.currency, report)
            continue
        key = name_now(path.stem, trade.former_names, trade.families)
        if key != path.stem:
            report.warn(
                f"{folder.name}/{path.name}",
                f"the family is called {key!r} now",
                f"rename the file to {key}.csv; the old name is read for this version only",
            )
        if key in read:
            what = f"the list {key}.csv is there as well"
            report.error(f"{folder.name}/{path.name}", what, "put both into one")
        elif key in trade.families:
            read.add(key)
            parts[key] = read_part_list(
                path,
                trade.families[key],
                folder.name,
                info.currency,
                seen,
                report,
                trade.former_names,
            )
        else:
            report.warn(
                f"{folder.name}/{path.name}",
                "not read: no loaded plugin declares a family of this name",
                nearest(path.stem, trade.families, otherwise="load the plugin, or rename the file"),
            )
    return Catalog(
        info,
        parts,
        _workshop(folder, info.currency, trade, report),
        vehicle_keys(folder),
        tuple(in_order(report.warnings)),
        overrides,
    )


def load_workshop(folder: Path, trade: Trade, report: Report) -> tuple[Workshop | None, str]:
    """Read only the workshop settings of a catalog, and their currency."""
    folder = folder.resolve()
    currency = _about(folder, report).currency
    return _workshop(folder, currency, trade, report), currency


def _about(folder: Path, report: Report) -> CatalogInfo:
    where = f"{folder.name}/{ABOUT}"
    if not (folder / ABOUT).is_file():
        report.error(where, "the file is missing", "write it: title, currency, price_date, source")
        return CatalogInfo(folder.name, folder.name, "", "", "")
    top = toml_files.load(folder / ABOUT, where, report)
    if top is None:
        return CatalogInfo(folder.name, folder.name, "", "", "")
    toml_files.refuse_unknown(top, ("title", "currency", "price_date", "source", "licence"))
    currency = toml_files.text(top, "currency", required='"EUR"')
    if currency is not None and not toml_files.is_currency(top, "currency", currency):
        currency = None
    return CatalogInfo(
        folder.name,
        toml_files.text(top, "title", required='"..."') or folder.name,
        currency or "",
        toml_files.date(top, "price_date"),
        toml_files.text(top, "source", required='"where the prices are from"', lines=True) or "",
        toml_files.text(top, "licence", lines=True) or "",
    )


def _workshop(folder: Path, currency: str, trade: Trade, report: Report) -> Workshop | None:
    if not (folder / WORKSHOP).exists():
        return None
    before = len(report.errors)
    top = toml_files.load(folder / WORKSHOP, f"{folder.name}/{WORKSHOP}", report)
    if top is None:
        return None
    toml_files.refuse_unknown(
        top,
        (
            "title",
            "rate",
            "tax",
            "paper",
            "consumables",
            "practices",
            "rates",
            "round_to",
            "tolerances",
            "lifted",
            *STATIONERY_KEYS,
        ),
    )
    consumables = toml_files.subtable(top, "consumables")
    used = {name for operation in trade.operations.values() for name in operation.uses}
    for name in consumables.entries:
        if name not in used:
            report.warn(
                consumables.place(name),
                "no work uses it",
                nearest(name, used, otherwise="delete it, or load the plugin that uses it"),
            )
    practices = toml_files.renamed(
        toml_files.subtable(top, "practices"), trade.practices, trade.former_names, "practice"
    )
    toml_files.refuse_unknown(practices, trade.practices, "practice", lost=bool(trade.failures))
    values: dict[str, float] = {}
    for name, practice in trade.practices.items():
        value = toml_files.value(practices, name, described(practice))
        if isinstance(value, float):
            values[name] = value
    prices, units_of = _per_unit(consumables)
    tax = toml_files.value(top, "tax", _TAX)
    rate = _minor(top, "rate", currency, required=f'"92 {currency or "EUR"}"')
    if not rate and "rate" in top.entries and len(report.errors) == before:
        report.warn(top.place("rate"), "an hour of work costs nothing", "correct it, or leave it")
    return Workshop(
        toml_files.text(top, "title") or "",
        rate,
        {name: _minor(prices, name, currency) for name in prices.entries},
        values,
        tax if isinstance(tax, float) else 0.0,
        _rates(toml_files.subtable(top, "rates"), currency),
        _paper(top),
        read_stationery(top, folder),
        units_of,
        _minor(top, "round_to", currency),
        read_tolerances(toml_files.subtable(top, "tolerances"), trade),
        read_lifted(toml_files.subtable(top, "lifted"), trade),
    )


def _per_unit(table: TomlTable) -> tuple[TomlTable, dict[str, str]]:
    """Part prices such as ``"14.50 EUR per litre"`` into the amount and its unit."""
    amounts, units_of = {}, {}
    for name, entry in table.entries.items():
        amounts[name] = entry
        if isinstance(entry, str) and " per " in entry:
            amounts[name], _, unit = entry.partition(" per ")
            units_of[name] = unit.strip()
    return toml_files.TomlTable(table.where, amounts, table.report), units_of


def _paper(top: TomlTable) -> str:
    """Read what the shop prints on."""
    text = (toml_files.text(top, "paper") or "").lower()
    if text in ("", *PAPERS):
        return text
    top.report.error(
        top.place("paper"), f"{shown(text)} is no paper that is known", 'write "a4" or "letter"'
    )
    return ""


def _rates(table: TomlTable, currency: str) -> dict[str, Rate]:
    """Read what other currencies cost in the workshop's own, each with its date."""
    rates = {}
    for name, entry in table.entries.items():
        place = table.place(name)
        example = f'"{name}" = {{ rate = "0.92 {currency or "EUR"}", date = 2026-11-01 }}'
        if not toml_files.is_currency(table, name, name):
            continue
        if not isinstance(entry, dict):
            table.report.error(
                place, f"{shown(entry)} is not a rate with its date", f"write {example}"
            )
            continue
        item = toml_files.subtable(table, name)
        toml_files.refuse_unknown(item, ("rate", "date"))
        text, date = (
            toml_files.text(item, "rate", required='"0.92 EUR"'),
            toml_files.date(item, "date"),
        )
        if text is None or not date:
            continue
        try:
            rate = money.read_rate(name, text, date)
        except UnitError as problem:
            table.report.misread(item.place("rate"), problem)
            continue
        if currency and rate.into != currency:
            table.report.error(
                item.place("rate"),
                f"{shown(text)} is not in the workshop's currency",
                f"say what one {name} costs in {currency}",
            )
            continue
        rates[name] = rate
    return rates


def _minor(table: TomlTable, key: str, currency: str, *, required: str = "") -> int:
    amount = toml_files.amount(table, key, required=required)
    if amount is None:
        return 0
    if currency and amount.currency != currency:
        table.report.error(
            table.place(key),
            f"{amount} is not in the catalog's currency",
            f"give it in {currency}",
        )
    return amount.minor
