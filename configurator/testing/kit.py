"""PUBLIC: build a small vehicle, catalog and job in code; `assertions` say what must come of them.

Values are written as in files: ``"42 kN"``, ``"yes"``, plain numbers where there is no unit. What
is wrong with them is reported as it is for files.

Examples
--------
>>> trade = load([], bundled=True)
>>> tyre = part(trade, "tyres", "T-1", price="200 EUR", values={"overall diameter": "31.5 in"})
>>> tyre.key, tyre.price, round(tyre.values["overall diameter"], 4)
('test/T-1', 20000, 0.8001)
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any

from configurator.core import money, paths
from configurator.core.errors import InputError, Problem, UnitError
from configurator.core.text import Report, sound
from configurator.files import catalog_files, toml_files
from configurator.files.job_files import assembled
from configurator.files.job_text import job_of, measured_values
from configurator.files.layers import Layer
from configurator.files.toml_files import TomlTable
from configurator.files.vehicle_files import read_vehicle, vehicle_of
from configurator.loading import plugin_files as _loading
from configurator.model.jobs import Case, CatalogInfo, Workshop
from configurator.model.parts import Missing, Part, attributes_of
from configurator.questions import answers

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence
    from pathlib import Path
    from types import ModuleType

    from configurator.model.knowledge import Trade
    from configurator.model.vehicles import Vehicle
    from configurator.search.optimum.preparing import Prepared

__all__ = [
    "case",
    "demo_parts",
    "demo_vehicle",
    "load",
    "part",
    "ready",
    "vehicle",
]

CATALOG = "test"


def load(plugins: Sequence[str | Path | ModuleType], *, bundled: bool = True) -> Trade:
    """Load plugins to be tested, and those that come with Fitwright before them.

    Parameters
    ----------
    plugins
        Files, folders or imported modules.
    bundled
        Whether the trade has the bundled plugins as well.

    Raises
    ------
    PluginError
        If one cannot be loaded, or declares what cannot be used.
    """
    from configurator.core.errors import PluginError

    trade = _loading.load_only(plugins, bundled=bundled).trade
    for rule, why in trade.not_in_use:
        raise PluginError(
            rule.plugin or rule.name, f"rule {rule.name!r} cannot be used: {why}", "correct it"
        )
    return trade


def part(
    trade: Trade,
    family: str,
    number: str,
    *,
    price: str,
    values: Mapping[str, Any] | None = None,
    positions: Sequence[str] = (),
    title: str = "",
    lead_time: int | None = None,
) -> Part:
    """Make a part of a catalog named ``test``.

    Parameters
    ----------
    trade
        From `load`.
    family
        Key of its family.
    number
        Part number.
    price
        Of one piece, with its currency.
    values
        Attribute name → value; attributes that are left out are not known.
    positions
        Positions it is made for; empty for all.
    title, lead_time
        As in a list; days.

    Raises
    ------
    InputError
        If a value cannot be read, or the family or an attribute is not known.
    """
    if family not in trade.families:
        what = f"there is no family {family!r}"
        raise InputError([Problem(number, what, f"use one of {', '.join(trade.families)}")])
    report, attributes = Report(), attributes_of(trade.families[family])
    table = TomlTable(f"part {number}", dict(values or {}), report)
    toml_files.refuse_unknown(table, (attribute.name for attribute in attributes), "attribute")
    read = {
        attribute.name: toml_files.value(table, attribute.name, attribute)
        for attribute in attributes
    }
    return sound(
        Part(
            f"{CATALOG}/{number}",
            family,
            title or number,
            minor(price, number),
            {name: Missing.UNKNOWN if value is None else value for name, value in read.items()},
            tuple(positions),
            lead_time=lead_time,
            place=f"part {number}",
        ),
        report,
    )


def minor(price: str, where: str) -> int:
    """Read a price into minor units of its currency; ``where`` names it in messages."""
    try:
        return money.read(price).minor
    except UnitError as problem:
        raise InputError([Problem(where, problem.what, problem.do)]) from problem


def vehicle(
    trade: Trade,
    figures: Mapping[str, Any] | None = None,
    fitted: Mapping[str, Mapping[str, Any]] | None = None,
    *,
    title: str = "Vehicle of a test",
) -> Vehicle:
    """Make a vehicle, as the file of one says it.

    Parameters
    ----------
    trade
        From `load`.
    figures
        Measure → value.
    fitted
        Position → attributes of what is fitted there.

    Raises
    ------
    InputError
        With everything that is wrong with it.
    """
    report = Report()
    named = {at: {"title": f"fitted {at}", **values} for at, values in (fitted or {}).items()}
    top = {"title": title, "figures": dict(figures or {}), "fitted": named}
    return sound(vehicle_of(TomlTable("vehicle", top, report), f"{CATALOG}/vehicle", trade), report)


def demo_vehicle(
    trade: Trade, key: str = "valdrin-boek", figures: Mapping[str, Any] | None = None
) -> Vehicle:
    """Read a vehicle of the demo catalog, for a plugin that lies over the bundled ones.

    Parameters
    ----------
    trade
        From `load`.
    key
        Name of its file.
    figures
        Measure → value, for measures of the plugin's own and others that are to differ.

    Raises
    ------
    InputError
        If there is no such vehicle or measure, or a value cannot be read.
    """
    demo = read_vehicle(paths.catalogs() / "demo", key, trade)
    report = Report()
    given = measured_values(TomlTable("figures", dict(figures or {}), report), trade)
    values = sound({**demo.values, **given}, report)
    return replace(demo, values=values, assumed=demo.assumed - set(given))


def demo_parts(trade: Trade, families: Iterable[str] = ()) -> dict[str, tuple[Part, ...]]:
    """Read the demo catalog; only some families of it if they are named."""
    kept = set(families) or set(trade.families)
    catalog = catalog_files.read_catalog(paths.catalogs() / "demo", trade)
    return {key: parts for key, parts in catalog.parts.items() if key in kept}


def case(
    trade: Trade,
    vehicle: Vehicle,
    parts: Iterable[Part] | Mapping[str, Iterable[Part]] = (),
    *,
    rate: str = "0 EUR",
    **job: Any,
) -> Case:
    """Put a job together.

    Parameters
    ----------
    trade
        From `load`.
    vehicle
        From `vehicle` or `demo_vehicle`.
    parts
        What there is to choose from.
    rate
        Price of an hour of work.
    **job
        As in a job's file: ``budget="900 EUR"``, ``goals={"crawl ratio": {"at_least": "40"}}``,
        ``fixed={"winch": "none"}``, ``keep={"positions": [...]}``, ``conditions={...}``,
        ``measured={"wheel travel": "250 mm"}``, ``prices={"test/J-1": "80 EUR"}``.

    Raises
    ------
    InputError
        With everything that is wrong with it.

    Notes
    -----
    Work that uses material is priced by its hours alone.
    """
    every = list(parts)
    if not isinstance(parts, list | tuple) and hasattr(parts, "values"):
        every = [part for family in parts.values() for part in family]
    report = Report()
    top = {"title": "Job of a test", "vehicle": vehicle.key, "catalogs": [CATALOG], **job}
    asked = sound(job_of(TomlTable("job", top, report), trade), report)
    listed = [part for part in every if isinstance(part, Part)]
    # A part says by its key which catalog it is from.
    layers = [
        Layer(
            CatalogInfo(key, "Parts of a test", asked.currency, "2026-01-01", "a test"),
            {
                family: tuple(
                    part
                    for part in listed
                    if part.family == family and part.key.startswith(f"{key}/")
                )
                for family in trade.families
            },
        )
        for key in dict.fromkeys([CATALOG, *(part.key.partition("/")[0] for part in listed)])
    ]
    workshop = Workshop("Test", minor(rate, "rate"))
    return sound(assembled(asked, trade, vehicle, layers, workshop, report, "job"), report)


def ready(case: Case, trade: Trade) -> Prepared:
    """Prepare a case for `answers`; nothing is kept on disk."""
    return answers.ready(case, trade, keep=False)
