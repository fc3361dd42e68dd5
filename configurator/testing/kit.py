"""PUBLIC: build a small vehicle, catalog and job in code, and say what must come of them.

Values are written as in files: ``"42 kN"``, ``"yes"``, plain numbers where there is no unit. What
is wrong with them is reported as it is for files. `check_plugin` holds a plugin against what every
plugin promises.

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

from configurator.core import money, paths, units
from configurator.core.errors import InputError, Problem, UnitError
from configurator.core.text import Report, sound
from configurator.evaluation.packages import margins_of
from configurator.files import catalog_files, toml_files
from configurator.files.job_files import assembled
from configurator.files.job_text import job_of, measured_values
from configurator.files.layers import Layer
from configurator.files.toml_files import TomlTable
from configurator.files.vehicle_files import read_vehicle, vehicle_of
from configurator.loading import plugin_files as _loading
from configurator.model.jobs import Case, CatalogInfo, Workshop
from configurator.model.parts import FITTED, NOTHING, Missing, Part, attributes_of
from configurator.questions import answers
from configurator.testing.contract import Fault, check_plugin

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence
    from pathlib import Path
    from types import ModuleType

    from configurator.evaluation.packages import Package
    from configurator.model.knowledge import Trade
    from configurator.model.vehicles import Vehicle
    from configurator.search.optimum.preparing import Prepared

__all__ = [
    "Fault",
    "assert_conflict",
    "assert_margin",
    "assert_package",
    "assert_sound",
    "case",
    "check_plugin",
    "demo_parts",
    "demo_vehicle",
    "load",
    "part",
    "ready",
    "vehicle",
]

CATALOG = "test"


# -- build --------------------------------------------------------------------------------------


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
            _minor(price, number),
            {name: Missing.UNKNOWN if value is None else value for name, value in read.items()},
            tuple(positions),
            lead_time=lead_time,
            place=f"part {number}",
        ),
        report,
    )


def _minor(price: str, where: str) -> int:
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
    workshop = Workshop("Test", _minor(rate, "rate"))
    return sound(assembled(asked, trade, vehicle, layers, workshop, report, "job"), report)


def ready(case: Case, trade: Trade) -> Prepared:
    """Prepare a case for `answers`; nothing is kept on disk."""
    return answers.ready(case, trade, keep=False)


# -- say what must come of it -------------------------------------------------------------------


def assert_package(
    prepared: Prepared, parts: Mapping[str, str], *, price: str | None = None
) -> Package:
    """Say what the cheapest package has at some positions, and what it costs.

    Parameters
    ----------
    prepared
        From `ready`.
    parts
        Position → part key or number, ``"fitted"`` or ``"none"``.
    price
        Of parts and work together.

    Returns
    -------
    Package
        The cheapest.

    Raises
    ------
    AssertionError
        If nothing fits, or something else does.
    """
    answer = answers.find(prepared)
    if not answer.packages:
        reasons = "; ".join(_reason(reason) for reason in answer.conflict)
        raise _failed(what=f"nothing fits: {reasons}")
    package = answer.packages[0]
    for position, wanted in parts.items():
        if position not in package.choice:
            raise _failed(what=f"there is no position {position!r}")
        has = package.choice[position].key
        if has not in (wanted, f"{CATALOG}/{wanted}") or (
            wanted in (FITTED, NOTHING) and has != wanted
        ):
            raise _failed(what=f"{position}: the cheapest package has {has!r}, not {wanted!r}")
    if price is not None and package.price != _minor(price, "price"):
        currency = prepared.evaluation.case.job.currency
        raise _failed(what=f"the package costs {money.Money(package.price, currency)}, not {price}")
    return package


def assert_conflict(
    prepared: Prepared,
    rules: Iterable[str],
    *,
    position: str | None = None,
    part: str | None = None,
) -> None:
    """Say that nothing fits, or that one part does not, because of these rules.

    Parameters
    ----------
    prepared
        From `ready`.
    rules
        Names of the rules in the smallest conflict, all of them.
    position, part
        The part asked about; the job itself if not given.

    Raises
    ------
    AssertionError
        If it is possible after all, or for other reasons not.
    """
    key = part if part is None or "/" in part or part in (FITTED, NOTHING) else f"{CATALOG}/{part}"
    explanation = answers.why(prepared, position, key)
    if explanation.possible:
        raise _failed(what=f"{part or 'the job'} is possible")
    has = sorted(reason.rule.name for reason in explanation.conflict if reason.rule is not None)
    if has != sorted(rules):
        raise _failed(what=f"the rules in the way are {has}, not {sorted(rules)}")


def assert_margin(prepared: Prepared, package: Package, rule: str, margin: str) -> None:
    """Say how far a package stays from a limit, to the last digit written.

    Parameters
    ----------
    prepared, package
        From `ready` and `assert_package`.
    rule
        Name of the limit.
    margin
        What is left, with its unit: ``"0.25"``, ``"12.5 mm"``; below zero where it is broken.

    Raises
    ------
    AssertionError
        If the limit does not apply, or the margin is another.
    """
    for item in margins_of(prepared.evaluation, package.choice):
        if item.rule.name == rule:
            left = item.has - item.needs if item.at_least else item.needs - item.has
            _compare(rule, left, margin, item.rule.unit)
            return
    raise _failed(what=f"no limit {rule!r} applies to this package")


def _compare(rule: str, left: float, margin: str, unit: str) -> None:
    number, _, written = margin.strip().partition(" ")
    decimals = len(number.partition(".")[2])
    # A difference: of two temperatures it has no offset.
    shown = units.from_si(left, written or unit) - units.from_si(0.0, written or unit)
    if abs(shown - float(number)) > 0.5 * 10.0**-decimals + 1e-9:
        raise _failed(
            what=f"{rule}: the margin is {shown:.6g} {written or unit}".rstrip() + f", not {margin}"
        )


def assert_sound(trade: Trade, cases: Iterable[Case], plugin: str | None = None) -> None:
    """Say that a plugin keeps what every plugin promises; see `check_plugin`.

    Raises
    ------
    AssertionError
        With every fault.
    """
    faults = check_plugin(trade, cases, plugin)
    if faults:
        raise _failed("\n".join(str(fault) for fault in faults))


def _failed(what: str) -> AssertionError:
    return AssertionError(what)


def _reason(reason: Any) -> str:
    if reason.rule is not None:
        return str(reason.rule.name)
    return f"{reason.wish.kind} {reason.wish.subject}".strip()
