"""A job as a TOML text: read it, write it.

What a job says about the trade (positions, figures, conditions, measures) is checked here; what
it says about catalogs and vehicles is checked where those are read, in `files.job_files`.
"""

from __future__ import annotations

import re
from pathlib import Path
from typing import TYPE_CHECKING, Any

from configurator.core import units
from configurator.core.money import Money
from configurator.core.text import Report, shown, sound
from configurator.files import toml_files
from configurator.files.job_writing import DEFAULT_CURRENCY, write_job
from configurator.files.judgement import read_lifted, read_tolerances
from configurator.files.stationery_files import read_customer
from configurator.files.toml_files import TomlTable
from configurator.model.jobs import Goal, Job
from configurator.model.knowledge import Trade, positions_of
from configurator.model.parts import FITTED, NOTHING, Attribute
from configurator.model.values import described

__all__ = [
    "DEFAULT_CURRENCY",
    "job_of",
    "load_job",
    "measured_values",
    "place_of",
    "read_job",
    "write_job",
]

if TYPE_CHECKING:
    from collections.abc import Mapping

    from configurator.model.parts import Value

_KEYS = (
    "title",
    "vehicle",
    "catalogs",
    "budget",
    "parts_within",
    "currency",
    "vehicles",
    "workshop",
    "local rules",
    "conditions",
    "goals",
    "fixed",
    "keep",
    "exclude",
    "measured",
    "prices",
    "own",
    "discount",
    "customer",
    "tolerances",
    "lifted",
    "sure",
)
# Keys that were called otherwise: read for a version, with a hint.
FORMER_KEYS = {"ready_within": "parts_within"}
_PARTS_WITHIN = Attribute(
    "parts_within", "Days until all parts are there.", "day", "number", 0, 2000
)
_DISCOUNT = Attribute("discount", "Taken off the price.", "%", at_least=0.0, at_most=100.0)
_SURE = Attribute("sure", "Law, plates and clearances hold within usual tolerances.", "", "yes/no")
_SURE_GOAL = Attribute("sure", "The goal is met within usual tolerances.", "", "yes/no")
_VEHICLES = Attribute("vehicles", "Identical vehicles.", "", "whole", 1, 1000)


def read_job(source: Path | str | bytes, trade: Trade) -> Job:
    """Read a job.

    Parameters
    ----------
    source
        The path of its file (a `Path`), the TOML text itself (a `str`), or what is in its file.
    trade
        The positions, figures, conditions and measures there are.

    Raises
    ------
    InputError
        With everything that is wrong with it.
    """
    report = Report()
    job = load_job(source, trade, report)
    return sound(job, report)


def place_of(source: Path | str | bytes) -> str:
    """Say what a job is called in messages."""
    return source.name if isinstance(source, Path) else "job"


def load_job(source: Path | str | bytes, trade: Trade, report: Report) -> Job | None:
    """Read a job as `read_job` does, but leave the problems in a report."""
    top = toml_files.load(source, place_of(source), report)
    return None if top is None else job_of(top, trade)


def job_of(top: TomlTable, trade: Trade) -> Job:
    """Read a job off a table as its file has it; its report takes the problems."""
    report = top.report
    top = toml_files.renamed(top, _KEYS, FORMER_KEYS, "key")
    toml_files.refuse_unknown(top, _KEYS)
    budget = toml_files.amount(top, "budget")
    catalogs = toml_files.texts(top, "catalogs")
    if top.entries.get("catalogs", []) == []:
        report.error(top.where, "no catalog to choose from", 'write catalogs = ["..."]')
    vehicles = toml_files.value(top, "vehicles", _VEHICLES)
    former, figures = trade.former_names, {**trade.figures, **trade.totals}
    goals = toml_files.renamed(toml_files.subtable(top, "goals"), figures, former, "figure")
    keep = toml_files.subtable(top, "keep")
    exclude = toml_files.subtable(top, "exclude")
    toml_files.refuse_unknown(keep, ("positions",))
    own = toml_files.subtable(top, "own")
    discount = toml_files.value(top, "discount", _DISCOUNT)
    toml_files.refuse_unknown(exclude, ("parts",))
    toml_files.refuse_unknown(own, ("parts",))
    positions = positions_of(trade)
    kept = tuple(
        toml_files.now(keep, name, positions, former, "position")
        for name in toml_files.texts(keep, "positions")
    )
    excluded = toml_files.texts(exclude, "parts")
    fixed = _fixed(toml_files.subtable(top, "fixed"), trade)
    for position in kept:
        if position not in positions:
            toml_files.unknown(keep, "positions", position, "position", positions)
        elif fixed.get(position, FITTED) != FITTED:
            report.error(
                keep.place("positions"),
                f"{position!r} is to be kept, and fixed to {shown(fixed[position])}",
                "take it out of [keep] or of [fixed]",
            )
    for key in excluded:
        if key in fixed.values():
            report.error(
                exclude.place("parts"),
                f"{shown(key)} is ruled out, and fixed",
                "take it out of [exclude] or of [fixed]",
            )
    conditions = _values(
        toml_files.subtable(top, "conditions"), trade.conditions, former, "condition"
    )
    measured = measured_values(toml_files.subtable(top, "measured"), trade)
    currency = _currency(top, budget)
    return Job(
        title=toml_files.text(top, "title", required='"..."') or "",
        vehicle=toml_files.text(top, "vehicle", required='"<catalog>/<vehicle>"') or "",
        catalogs=catalogs,
        budget=budget.minor if budget else None,
        currency=currency,
        conditions={k: float(v) for k, v in conditions.items() if isinstance(v, int | float)},
        goals=tuple(
            _goal(toml_files.subtable(goals, name), name, trade)
            for name in goals.entries
            if _known_figure(goals, name, trade)
        ),
        fixed=fixed,
        keep=kept,
        excluded=excluded,
        vehicles=vehicles if isinstance(vehicles, int) else 1,
        workshop=toml_files.text(top, "workshop"),
        measured=measured,
        local_rules=toml_files.text(top, "local rules"),
        prices=_prices(toml_files.subtable(top, "prices"), currency),
        parts_within=_parts_within(top),
        own=toml_files.texts(own, "parts"),
        discount=float(discount) if isinstance(discount, int | float) else 0.0,
        customer=read_customer(toml_files.subtable(top, "customer")),
        tolerances=read_tolerances(toml_files.subtable(top, "tolerances"), trade),
        lifted=read_lifted(toml_files.subtable(top, "lifted"), trade),
        sure=toml_files.value(top, "sure", _SURE) is not False,
    )


def _parts_within(top: TomlTable) -> int | None:
    """Read how long the parts may take: whole days."""
    time = toml_files.value(top, "parts_within", _PARTS_WITHIN)
    if not isinstance(time, int | float):
        return None
    days = units.from_si(float(time), "day")
    if days != round(days):
        top.report.error(top.place("parts_within"), "no whole number of days", "round it down")
    return round(days)


def _prices(table: TomlTable, currency: str) -> dict[str, int]:
    """Read what parts cost in this job alone."""
    prices: dict[str, int] = {}
    for key in table.entries:
        price = toml_files.amount(table, key)
        if price is None:
            continue
        if price.currency != currency:
            do = f'give it in {currency}, or write currency = "{price.currency}" above'
            table.report.error(table.place(key), f"the job is in {currency}", do)
        prices[key] = price.minor
    return prices


def _currency(top: TomlTable, budget: Money | None) -> str:
    written = toml_files.text(top, "currency")
    if written is None:
        return budget.currency if budget else DEFAULT_CURRENCY
    if not toml_files.is_currency(top, "currency", written):
        return DEFAULT_CURRENCY
    if budget and budget.currency != written:
        top.report.error(
            top.place("currency"), f"the budget is in {budget.currency}", "delete the line"
        )
    return written


def measured_values(table: TomlTable, trade: Trade) -> dict[str, Value]:
    """Read what was measured on a vehicle; the report of the table takes the problems."""
    return _values(table, trade.measures, trade.former_names, "measure")


def _values(
    table: TomlTable, declared: Mapping[str, Any], former: Mapping[str, str], what: str
) -> dict[str, Value]:
    table = toml_files.renamed(table, declared, former, what)
    toml_files.refuse_unknown(table, declared, what)
    values: dict[str, Value] = {}
    for name in table.entries:
        if name in declared:
            value = toml_files.value(table, name, described(declared[name]))
            if value is not None:
                values[name] = value
    return values


def _fixed(table: TomlTable, trade: Trade) -> dict[str, str]:
    known = positions_of(trade)
    table = toml_files.renamed(table, known, trade.former_names, "position")
    toml_files.refuse_unknown(table, known, "position")
    fixed: dict[str, str] = {}
    for position in table.entries:
        key = toml_files.text(table, position)
        if position not in known or key is None:
            continue
        if key == NOTHING and not known[position].optional:
            table.report.error(
                table.place(position), "this position must have a part", "name a part"
            )
        elif key not in (NOTHING, FITTED) and not all(key.partition("/")):
            table.report.error(
                table.place(position),
                f"{shown(key)} is not a part",
                'write "<catalog>/<part number>", "none" or "fitted"',
            )
        fixed[position] = key
    return fixed


def _known_figure(goals: TomlTable, name: str, trade: Trade) -> bool:
    if name in trade.figures or name in trade.totals:
        return True
    for rule, reason in trade.not_in_use:
        if rule.name == name:
            goals.report.error(
                goals.place(name), f"cannot be worked out: {reason}", "load the plugin it needs"
            )
            return False
    known = {**trade.figures, **trade.totals}
    toml_files.unknown(goals, name, name, "figure", known)
    return False


def _goal(table: TomlTable, name: str, trade: Trade) -> Goal:
    figure = trade.figures.get(name) or trade.totals[name]
    attribute = described(figure)
    toml_files.refuse_unknown(table, ("at_least", "at_most", "as_possible", "sure"))
    low = toml_files.value(table, "at_least", attribute)
    high = toml_files.value(table, "at_most", attribute)
    wanted = toml_files.text(table, "as_possible")
    at_least = float(low) if isinstance(low, int | float) else None
    at_most = float(high) if isinstance(high, int | float) else None
    if wanted not in (None, "high", "low"):
        table.report.error(
            table.place("as_possible"), f"{shown(wanted)} is no direction", 'write "high" or "low"'
        )
        wanted = None
    if at_least is not None and at_most is not None and at_least > at_most:
        table.report.error(
            table.place("at_least"), "it is above at_most", "exchange them or correct one"
        )
    sure = toml_files.value(table, "sure", _SURE_GOAL) is True
    if sure and wanted is not None and name in trade.totals:
        table.report.error(
            table.place("sure"),
            "of a sum over the whole vehicle, as high or as low as possible cannot be had surely",
            "write at_least or at_most, or take sure out",
        )
        sure = False
    if not set(table.entries) - {"sure"}:
        table.report.error(
            table.where, "the goal asks for nothing", "write at_least, at_most or as_possible"
        )
    written = [table.entries.get(key) for key in ("at_least", "at_most")]
    unit = next((_unit_of(text) for text in written if isinstance(text, str)), "")
    return Goal(name, at_least, at_most, wanted, unit, sure)  # type: ignore[arg-type]


def _unit_of(text: str) -> str:
    """Return the unit behind a number as it was written; empty for none.

    Examples
    --------
    >>> _unit_of("11.75 in"), _unit_of("52")
    ('in', '')
    """
    match = re.fullmatch(r"[\s\d.,+-]*\d\s*([A-Za-z°%].*?)\s*", text)
    return match[1] if match else ""
