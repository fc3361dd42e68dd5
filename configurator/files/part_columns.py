"""The columns of a part list: which headings are known, and how the cells below are read."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from configurator.core import money, units
from configurator.core.errors import UnitError, nearest
from configurator.core.text import Misread, Report, clean, refuse_disguise, shown
from configurator.core.units import PLAIN, kind_of_unit, refuse_other_kind
from configurator.files.toml_files import OLD_NAME
from configurator.model.former_names import name_now
from configurator.model.kinds import kind_of
from configurator.model.parts import Attribute, Family, Value, attributes_of
from configurator.model.values import reader

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

MOST_COLUMNS = 200

PART_NUMBER, TITLE, PRICE = "part number", "title", "price"
LEAD_TIME, POSITION = "lead time", "position"
COMMON_COLUMNS = (PART_NUMBER, TITLE, PRICE, "maker", LEAD_TIME, POSITION, "note")
_DAYS = Attribute(LEAD_TIME, "Days until the part is there.", "day", "number", 0.0, 2000.0)


@dataclass(frozen=True, slots=True)
class ListColumn:
    """A column of the list: what it holds and how its texts are read.

    ``unit`` is that of the heading where a number's own unit is held against it.
    """

    index: int
    heading: str
    name: str
    read: Callable[[str], object]
    required: bool
    numeric: bool = False
    unit: str = ""
    remembered: dict[str, object] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Headings:
    """The first row of a list.

    ``columns`` are those known, ``others`` the index and heading of the rest, ``bare`` the
    indexes with nothing in them, ``width`` how many there are.
    """

    columns: tuple[ListColumn, ...]
    others: tuple[tuple[int, str], ...]
    bare: tuple[int, ...]
    width: int


@dataclass(slots=True)
class ListInReading:
    """A list while it is being read: what it is, and what was noticed so far."""

    file: str
    where: str
    family: Family
    catalog: str
    currency: str
    report: Report
    divider: str = ";"
    # Old name → new, of attributes and positions.
    former: Mapping[str, str] = field(default_factory=dict)
    # Where a decimal comma was seen for certain, and numbers that could be read in two ways.
    comma_at: str = ""
    point_at: str = ""
    doubtful: list[tuple[str, int, ListColumn]] = field(default_factory=list)


def heading_name(heading: str) -> tuple[str, str | None]:
    """Part a heading into name and unit.

    Examples
    --------
    >>> heading_name(" Overall  diameter [mm]")
    ('overall diameter', 'mm')
    """
    match = re.fullmatch(r"([^\[\]]*)\[([^\[\]]*)\]\s*", heading)
    name = " ".join((match[1] if match else heading).split()).casefold()
    return name, match[2].strip() if match else None


def headings_of(cells: list[str], row: int, file: ListInReading) -> Headings | None:
    """Read the headings; None if there are far too many."""
    report, place = file.report, f"{file.where} row {row}"
    if len(cells) > MOST_COLUMNS:
        report.error(place, f"{len(cells)} columns", f"use {MOST_COLUMNS} columns at most")
        return None
    attributes = {a.name.casefold(): a for a in attributes_of(file.family)}
    known = [*COMMON_COLUMNS, *(a.name for a in attributes.values())]
    columns: dict[str, ListColumn] = {}
    extra: list[tuple[int, str]] = []
    for index, cell in enumerate(cells):
        try:
            heading = clean(cell)
        except Misread as problem:
            report.misread(f"{place}, column {index + 1}", problem)
            continue
        if not heading:
            continue
        name, unit = heading_name(heading)
        where = f"{place}, column {shown(heading)}"
        new = name_now(name, {k: v.casefold() for k, v in file.former.items()}, attributes)
        if new != name:
            what = f"the column is called {attributes[new].name!r} now"
            report.warn(where, what, OLD_NAME)
            name = new
        if name in columns or name in (heading_name(added)[0] for _, added in extra):
            report.error(where, f"a second column {name!r}", "delete or rename one of them")
        elif name in COMMON_COLUMNS or name in attributes:
            column = _column(index, heading, name, unit, attributes.get(name), where, file)
            if column is not None:
                columns[name] = column
            else:  # reported; not missing as well
                columns[name] = ListColumn(index, heading, name, str, required=False)
        else:
            report.warn(
                where,
                "no such column is known; it is kept as a remark",
                nearest(name, known, otherwise="no rule reads it"),
            )
            extra.append((index, heading))
    required = (PART_NUMBER, TITLE, PRICE, *(n for n, a in attributes.items() if a.required))
    for name in required:
        if name not in columns:
            unit = attributes[name].unit if name in attributes else ""
            unit = file.currency if name == PRICE else unit
            report.error(
                place,
                f"the column {name!r} is missing",
                f"add a column {f'{name} [{unit}]' if unit not in PLAIN else name!r}"
                + _perhaps(name, [heading for _, heading in extra]),
            )
    return Headings(
        tuple(sorted(columns.values(), key=lambda column: column.index)),
        tuple(extra),
        tuple(index for index, cell in enumerate(cells) if not cell.strip()),
        len(cells),
    )


def _perhaps(name: str, headings: list[str]) -> str:
    near = nearest(name, headings, otherwise="")
    return f", or rename one ({near})" if near else ""


def _column(
    index: int,
    heading: str,
    name: str,
    unit: str | None,
    attribute: Attribute | None,
    where: str,
    file: ListInReading,
) -> ListColumn | None:
    """Make the column of a known heading; None, and a problem, if its unit is wrong."""
    report = file.report
    if name == PRICE:
        if file.currency and unit not in (None, file.currency):
            report.error(
                where,
                f"prices in {shown(unit)}, but the catalog's currency is {file.currency}",
                f"give them in {file.currency}, or name the currency in catalog.toml",
            )
            return None
        return ListColumn(index, heading, name, price_reader(file.currency), required=True)
    if name == POSITION:
        read_position = _position_reader(file.family, file.former, where, report)
        return ListColumn(index, heading, name, read_position, required=False)
    if name == LEAD_TIME:
        attribute = _DAYS
    if attribute is None or attribute.unit in PLAIN or not kind_of(attribute).numeric:
        if unit and not (attribute and kind_of(attribute).numeric and _is_plain(unit)):
            report.error(where, f"{name!r} has no unit", f"write the heading {name!r}")
            return None
        if attribute is None:
            read = _disguise_reader if name == PART_NUMBER else clean
            return ListColumn(index, heading, name, read, required=name in (PART_NUMBER, TITLE))
        unit = unit or ""
    elif unit is None:
        report.error(where, "the heading has no unit", f"write '{name} [{attribute.unit}]'")
        return None
    else:
        try:
            refuse_other_kind(unit, attribute.unit)
        except Misread as problem:
            report.misread(where, problem)
            return None
    read_value = reader(attribute, unit, comma=file.divider != ",")
    numeric = kind_of(attribute).numeric
    required = attribute.required and attribute is not _DAYS
    if attribute is _DAYS:
        return ListColumn(index, heading, name, days_reader(read_value), required, numeric)
    # Without bounds nothing says which of two units a number is sound in.
    bounded = attribute.at_least is not None and attribute.at_most is not None
    doubted = unit if bounded else ""
    return ListColumn(index, heading, attribute.name, read_value, required, numeric, doubted)


def _is_plain(unit: str) -> bool:
    try:
        return kind_of_unit(unit) == "ratio"
    except UnitError:
        return False


def _disguise_reader(text: str) -> str:
    written = clean(text)
    refuse_disguise(written)
    return written


def price_reader(currency: str) -> Callable[[str], object]:
    """Make the function that reads a price into minor units of a currency."""

    def read(text: str) -> object:
        written = clean(text).replace("\u00a0", " ").replace("\u202f", " ")
        written = written.removesuffix(currency).rstrip()
        try:
            minor = money.read_amount(written, currency)
        except UnitError as problem:
            raise Misread(what=problem.what, do=problem.do) from problem
        if minor < 0:
            raise Misread(what=f"the price {shown(text)} is below zero", do="check the sign")
        return minor

    return read


def days_reader(read: Callable[[str], Value]) -> Callable[[str], object]:
    """Make the function that reads a time as a whole number of days."""

    def read_days(text: str) -> object:
        days = units.from_si(float(read(text)), "day")  # type: ignore[arg-type]
        if days != round(days):
            raise Misread(what=f"{shown(text)} is no whole number of days", do="round it up")
        return round(days)

    return read_days


def _position_reader(
    family: Family, former: Mapping[str, str], where: str, report: Report
) -> Callable[[str], object]:
    known = [place.name for place in family.positions]
    hinted: set[str] = set()

    def read(text: str) -> object:
        written = tuple(" ".join(name.split()) for name in clean(text).split("|"))
        names = tuple(name_now(name, former, known) for name in written)
        for old, new in zip(written, names, strict=True):
            if old != new and old not in hinted:
                hinted.add(old)
                report.warn(where, f"the position {old!r} is called {new!r} now", OLD_NAME)
        for name in names:
            if name not in known:
                raise Misread(
                    what=f"{shown(name)} is no position of {family.key!r}",
                    do=nearest(name, known, otherwise=f"use {' | '.join(known)}"),
                )
        return names

    return read
