"""A job with everything it names: its catalogs, its vehicle, its workshop, all checked together."""

from __future__ import annotations

import re
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import TYPE_CHECKING

from configurator.core.errors import InputError, nearest
from configurator.core.text import Report, shown, sound
from configurator.files.catalog_files import Catalog, catalog_folder, load_catalog, load_workshop
from configurator.files.job_text import DEFAULT_CURRENCY, load_job, place_of, read_job, write_job
from configurator.files.judgement import tolerances_of
from configurator.files.layers import Layer, stack
from configurator.files.local_rules import load_local_rules
from configurator.files.overrides import Override
from configurator.files.vehicle_files import load_vehicle
from configurator.model.jobs import Case, Job, LocalRules, Workshop
from configurator.model.knowledge import positions_of
from configurator.model.parts import FITTED, NOTHING, Part

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from configurator.model.knowledge import Trade
    from configurator.model.vehicles import Vehicle

__all__ = ["case_of", "read_case", "read_job", "write_job"]


def read_case(path: Path | str, trade: Trade, search: Sequence[Path] = ()) -> Case:
    """Read a job's file and everything it names.

    Parameters
    ----------
    path
        Of the job's file.
    trade
        What the loaded plugins declare.
    search
        Folders of catalogs to look in, before those that come with Fitwright. Names of catalogs
        that begin with ``./`` or ``../``, or are absolute paths, are relative to the job's file.

    Raises
    ------
    InputError
        With everything that is wrong, in all files.
    """
    path = Path(path)
    report = Report()
    job = load_job(path, trade, report)
    case = _case(job, trade, search, path.parent, place_of(path), report) if job else None
    return sound(case, report)


def case_of(
    job: Job,
    trade: Trade,
    search: Sequence[Path] = (),
    *,
    base: Path | None = None,
    where: str = "job",
) -> Case:
    """Read everything that a job names.

    Parameters
    ----------
    job
        As read, or as changed since.
    trade, search
        As for `read_case`.
    base
        Folder to which paths of catalogs are relative; None if the job may not name paths.
    where
        What to call the job in messages.

    Raises
    ------
    InputError
        With everything that is wrong, in all files.
    """
    report = Report()
    return sound(_case(job, trade, search, base, where, report), report)


@dataclass(slots=True)
class _Shelf:
    """The catalogs that are open, by key, and how to find more."""

    trade: Trade
    search: Sequence[Path]
    base: Path | None
    where: str
    report: Report
    folders: dict[str, Path] = field(default_factory=dict)


def _folder(name: str, key: str, shelf: _Shelf) -> Path | None:
    """Find the folder of a catalog that the job names by name or by path."""
    place = f"{shelf.where}, {key!r}"
    if name in shelf.folders:
        return shelf.folders[name]
    if not (name.startswith(".") or re.search(r"[/\\]", name)):
        try:
            return catalog_folder(name, shelf.search).resolve()
        except InputError as problem:
            for fault in problem.problems:
                shelf.report.error(place, fault.what, fault.do)
            return None
    if shelf.base is None:
        shelf.report.error(
            place, f"{shown(name)} is a path", "only a job in a file can name a catalog by path"
        )
        return None
    folder = (shelf.base / name).resolve()
    if not (folder / "catalog.toml").is_file():
        shelf.report.error(
            place,
            f"{shown(name)} is not a catalog: no catalog.toml there",
            "correct the path; it is relative to the job's file",
        )
        return None
    return folder


def _catalogs(job: Job, shelf: _Shelf) -> list[Catalog]:
    place, opened = f"{shelf.where}, 'catalogs'", []
    for name in job.catalogs:
        folder = _folder(name, "catalogs", shelf)
        if folder is None:
            continue
        if folder in shelf.folders.values():
            shelf.report.error(place, f"{shown(name)} is there twice", "delete one of them")
        elif folder.name in shelf.folders:
            shelf.report.error(
                place,
                f"{shown(name)} has the same name as the catalog in {shelf.folders[folder.name]}",
                "rename one of the folders",
            )
        else:
            shelf.folders[folder.name] = folder
            opened.append(load_catalog(folder, shelf.trade, shelf.report))
    return opened


def _case(
    job: Job,
    trade: Trade,
    search: Sequence[Path],
    base: Path | None,
    where: str,
    report: Report,
) -> Case | None:
    shelf = _Shelf(trade, search, base, where, report)
    before = len(report.errors)
    opened = _catalogs(job, shelf)
    # What was not read cannot be missed: with errors in the lists, parts are not looked up.
    all_read = len(report.errors) == before
    vehicle = _vehicle(job, shelf)
    local = _local_rules(job, shelf)
    workshop, workshop_currency = _workshop(job, opened, shelf)
    currencies = {workshop_currency or catalog.info.currency for catalog in opened}
    unsaid = job.budget is None and not job.prices and job.currency == DEFAULT_CURRENCY
    if unsaid and len(currencies) == 1:
        # Without a budget there is no amount in the job that could be in another currency.
        job = replace(job, currency=next(iter(currencies)))
    if workshop_currency not in ("", job.currency):
        report.error(
            f"{where}, 'workshop'",
            f"its prices are in {workshop_currency}, the job in {job.currency}",
            f"give the budget in {workshop_currency}, or name a workshop with the job's currency",
        )
    layers = [Layer(catalog.info, catalog.parts, catalog.overrides) for catalog in opened]
    return assembled(
        job, trade, vehicle, layers, workshop, report, where, local=local, all_read=all_read
    )


def assembled(
    job: Job,
    trade: Trade,
    vehicle: Vehicle | None,
    layers: Sequence[Layer],
    workshop: Workshop,
    report: Report,
    where: str,
    *,
    local: LocalRules | None = None,
    all_read: bool = True,
) -> Case | None:
    """Put a job together with what it names, as it was read.

    Parameters
    ----------
    job, trade
        The job, and what plugins declare.
    vehicle
        As its file says; None if that could not be read.
    layers
        What there is to choose from.
    workshop, local
        The settings and the local rules in force.
    report
        Takes what is wrong.
    where
        What to call the job in messages.
    all_read
        Whether all lists could be read: otherwise parts are not looked up.
    """
    own = [
        Override(key, f"{where}, [prices]", price)
        for key, price in job.prices.items()
        if key not in job.own
    ]
    # What the customer brings costs nothing and is not waited for.
    own += [Override(key, f"{where}, [own]", 0, 0) for key in job.own]
    place = f"{where}, 'catalogs'"
    warned = len(report.warnings)
    stacked = stack(layers, job.currency, workshop.rates, place, report, own)
    parts = {family: stacked.parts.get(family, ()) for family in trade.families}
    if all_read:
        _check_parts(job, parts, stacked.hidden, trade, where, report)
    if vehicle is None:
        return None
    for position in {**dict.fromkeys(job.keep), **job.fixed}:
        kept = position in job.keep or job.fixed.get(position) == FITTED
        if kept and position in vehicle.fitted and vehicle.fitted[position] is None:
            report.error(
                f"{where}, [{'keep' if position in job.keep else 'fixed'}]",
                f"nothing is fitted as {position!r} that could be kept",
                f'write "{position}" = "none" in [fixed] to leave it empty',
            )
    vehicle = replace(
        vehicle,
        values={**vehicle.values, **job.measured},
        assumed=vehicle.assumed - set(job.measured),
    )
    gone = tuple(report.warnings[warned:]) if all_read else ()
    stated = {**workshop.tolerances, **vehicle.tolerances, **job.tolerances}
    tolerances = tolerances_of(stated, trade)
    return Case(job, vehicle, parts, workshop, stacked.infos, local, gone, tolerances)


def _vehicle(job: Job, shelf: _Shelf) -> Vehicle | None:
    catalog, _, key = job.vehicle.rpartition("/")
    if not catalog or not key:
        if job.vehicle:  # an empty one was reported with the job
            shelf.report.error(
                f"{shelf.where}, 'vehicle'",
                f"{shown(job.vehicle)} is not a vehicle",
                'write "<catalog>/<vehicle>"',
            )
        return None
    folder = _folder(catalog, "vehicle", shelf)
    return None if folder is None else load_vehicle(folder, key, shelf.trade, shelf.report)


def _local_rules(job: Job, shelf: _Shelf) -> LocalRules | None:
    if job.local_rules is None:
        return None
    catalog, _, name = job.local_rules.rpartition("/")
    if not catalog or not name:
        shelf.report.error(
            f"{shelf.where}, 'local rules'",
            f"{shown(job.local_rules)} names no local rules",
            'write "<catalog>/<name>"',
        )
        return None
    folder = _folder(catalog, "local rules", shelf)
    return None if folder is None else load_local_rules(folder, name, shelf.trade, shelf.report)


def _workshop(job: Job, opened: list[Catalog], shelf: _Shelf) -> tuple[Workshop, str]:
    """Find the settings in force, and their currency; without any, none."""
    nothing = Workshop(), ""
    if job.workshop is None:
        result = (source for source in opened if source.workshop is not None)
        catalog = next(result, None)
        if catalog is None or catalog.workshop is None:
            return nothing
        return catalog.workshop, catalog.info.currency
    folder = _folder(job.workshop, "workshop", shelf)
    if folder is None:
        return nothing
    for catalog in opened:
        if shelf.folders[catalog.info.key] == folder and catalog.workshop is not None:
            return catalog.workshop, catalog.info.currency
    workshop, currency = load_workshop(folder, shelf.trade, shelf.report)
    if workshop is None:
        shelf.report.error(
            f"{shelf.where}, 'workshop'",
            f"catalog {folder.name!r} has no workshop.toml that could be read",
            "name another catalog or write one",
        )
        return nothing
    return workshop, currency


def _check_parts(
    job: Job,
    parts: Mapping[str, tuple[Part, ...]],
    hidden: Mapping[str, str],
    trade: Trade,
    where: str,
    report: Report,
) -> None:
    families = positions_of(trade)
    everything = {part.key: part for family in parts.values() for part in family}
    for position, key in job.fixed.items():
        if key in (NOTHING, FITTED) or position not in families:
            continue
        place, family = f"{where}, [fixed], {position!r}", families[position]
        part = everything.get(key)
        if part is None and key in hidden:
            what = f"{shown(key)} is not sold by the shop: {hidden[key]} hides it"
            report.error(place, what, "name another, or take 'hidden' out of that row")
        elif part is None:
            known = [item.key for item in parts[family.key]]
            do = nearest(key, known, otherwise="check the part number")
            report.error(place, f"there is no part {shown(key)} in the catalogs", do)
        elif part.family != family.key:
            report.error(
                place, f"{shown(key)} is of {part.family!r}, not {family.key!r}", "name another"
            )
        elif part.positions and position not in part.positions:
            report.error(
                place, f"{shown(key)} is made for {', '.join(part.positions)}", "name another"
            )
    named = [("[exclude], 'parts'", key) for key in job.excluded]
    named += [("[prices]", key) for key in job.prices]
    named += [("[own], 'parts'", key) for key in job.own]
    for place, key in named:
        if key not in everything and key not in hidden:
            do = nearest(key, everything, otherwise="check the part number")
            report.error(
                f"{where}, {place}",
                f"there is no part {shown(key)} in the catalogs",
                do,
            )
