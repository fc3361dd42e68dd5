"""Look a catalog over: what is wrong, what is likely a mistake, and what is in it.

A warning is a question to the person who keeps the list. Its thresholds are common practice, no
source: a slipped decimal point makes a factor of ten.
"""

from __future__ import annotations

import datetime
import re
from collections import defaultdict
from dataclasses import dataclass
from statistics import median
from typing import TYPE_CHECKING

from configurator.core import money, units
from configurator.core.text import Report, in_order, shown
from configurator.files.catalog_files import ABOUT, Catalog, load_everything
from configurator.files.odd_codes import doubt_codes
from configurator.files.part_columns import PART_NUMBER, PRICE, TITLE
from configurator.files.templates import EXAMPLE_NUMBER
from configurator.model.parts import Missing, attributes_of
from configurator.model.value_contradictions import part_contradictions

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence
    from pathlib import Path

    from configurator.core.errors import Problem
    from configurator.model.knowledge import Trade
    from configurator.model.parts import Family, Part

FACTOR = 10.0  # beyond the neighbours: a decimal point that slipped
MASS_FACTOR = 5.0  # beyond the usual mass of the list, or of what sits at the same place
NEIGHBOURS = 5  # on each side in the list, which mostly goes by series
FEWEST = 4  # below, nothing can be called usual
OLD = 365  # days

_FORMULA_LIKE = re.compile(r"[=@]|[-+].*[(!|]")


@dataclass(frozen=True, slots=True)
class FamilyStatistics:
    """What the list of a family holds.

    Parameters
    ----------
    family
        Key of the family.
    parts
        How many sound parts it has.
    positions
        Position → how many of them can go there.
    prices
        Lowest, middle and highest price in minor units; None without parts.
    filled
        Attribute → in how many rows it is filled in.
    """

    family: str
    parts: int
    positions: dict[str, int]
    prices: tuple[int, int, int] | None
    filled: dict[str, int]


@dataclass(frozen=True, slots=True)
class Examined:
    """What was found in a catalog: problems by place, and statistics by family with a list.

    ``codes`` names codes that nothing else uses, which may be for vehicles that the shop lacks.
    """

    currency: str
    errors: tuple[Problem, ...]
    warnings: tuple[Problem, ...]
    statistics: tuple[FamilyStatistics, ...]
    counts: dict[str, int]
    codes: tuple[Problem, ...] = ()


def examine(folder: Path, trade: Trade, today: datetime.date) -> Examined:
    """Look a catalog over.

    Parameters
    ----------
    folder
        Of the catalog.
    trade
        The families there are.
    today
        The day against which the prices' date is held.
    """
    folder = folder.resolve()
    report = Report()
    catalog = load_everything(folder, trade, report)
    currency = catalog.info.currency
    _doubt_date(folder, catalog, today, report)
    for key, parts in catalog.parts.items():
        family = trade.families[key]
        _doubt_prices(folder, parts, currency, report)
        _doubt_numbers(folder, family, parts, report)
        _doubt_duplicates(folder, parts, report)
        _doubt_empty_columns(folder, family, parts, report)
        _doubt_texts(folder, parts, report)
        for part in parts:
            report.warnings.extend(part_contradictions(trade, part, _at(folder, part)))
    _doubt_masses(folder, trade, catalog, report)
    codes = doubt_codes(folder, trade, catalog.parts, catalog.vehicles, report)
    statistics = tuple(
        family_statistics(trade.families[key], parts)
        for key, parts in catalog.parts.items()
        if parts
    )
    counts = {key: len(parts) for key, parts in catalog.parts.items()}
    return Examined(
        currency,
        tuple(in_order(report.errors)),
        tuple(in_order(report.warnings)),
        statistics,
        counts,
        tuple(in_order(codes)),
    )


def family_statistics(family: Family, parts: Sequence[Part]) -> FamilyStatistics:
    """Count what the list of a family holds."""
    prices = sorted(part.price for part in parts)
    return FamilyStatistics(
        family.key,
        len(parts),
        {
            place.name: sum(not part.positions or place.name in part.positions for part in parts)
            for place in family.positions
        },
        (prices[0], prices[len(prices) // 2], prices[-1]) if prices else None,
        {
            attribute.name: sum(
                not isinstance(part.values[attribute.name], Missing) for part in parts
            )
            for attribute in attributes_of(family)
        },
    )


def _at(folder: Path, part: Part, column: str = "") -> str:
    return f"{folder.name}/{part.place}" + (f", column {column!r}" if column else "")


def _doubt_date(folder: Path, catalog: Catalog, today: datetime.date, report: Report) -> None:
    written = catalog.info.price_date
    if not written:
        return
    age = (today - datetime.date.fromisoformat(written)).days
    where = f"{folder.name}/{ABOUT}, 'price_date'"
    if age > OLD:
        report.warn(where, f"the prices are of {written}, {age} days ago", "ask for new ones")
    elif age < 0:
        report.warn(where, f"the prices are of {written}, which is to come", "check the date")


def _doubt_prices(folder: Path, parts: Sequence[Part], currency: str, report: Report) -> None:
    for index, part in enumerate(parts):
        near = [
            *parts[max(0, index - NEIGHBOURS) : index],
            *parts[index + 1 : index + 1 + NEIGHBOURS],
        ]
        if part.price == 0:
            report.warn(
                _at(folder, part, PRICE),
                f"{shown(part.title)} costs nothing",
                "write its price, or leave it if it really is free",
            )
            continue
        usual = median(neighbour.price for neighbour in near) if len(near) >= FEWEST else 0
        if not usual or usual / FACTOR < part.price < usual * FACTOR:
            continue
        report.warn(
            _at(folder, part, PRICE),
            f"{money.amount(part.price, currency)} {currency} for {shown(part.title)}: the parts "
            f"around it cost about {money.amount(round(usual), currency)} {currency}".strip(),
            "check the decimal sign",
        )


def _doubt_numbers(folder: Path, family: Family, parts: Sequence[Part], report: Report) -> None:
    for attribute in attributes_of(family):
        if attribute.kind != "number":
            continue
        known = [(part, v) for part in parts if isinstance(v := part.values[attribute.name], float)]
        usual = median(value for _, value in known) if len(known) > FEWEST else 0.0
        if usual <= 0:
            continue
        factor = MASS_FACTOR if attribute.name == "mass" else FACTOR
        for part, value in known:
            # Far below may be a small part of the same list; far above is rarely one.
            if value >= usual * factor:
                report.warn(
                    _at(folder, part, attribute.name),
                    f"{units.show(value, attribute.unit)} for {shown(part.title)}, where "
                    f"{units.show(usual, attribute.unit)} is usual in this list",
                    "check the number and its unit",
                )


def _doubt_masses(folder: Path, trade: Trade, catalog: Catalog, report: Report) -> None:
    """Hold what sits at the wheels against each other: a tyre is not five times its wheel."""
    masses: dict[str, list[tuple[Part, float]]] = {}
    for key, parts in catalog.parts.items():
        if all(place.place == "wheels" for place in trade.families[key].positions):
            known = [(part, m) for part in parts if isinstance(m := part.values["mass"], float)]
            if known:
                masses[key] = known
    for key, known in masses.items():
        for other, beside in masses.items():
            usual, heaviest = median(m for _, m in beside), max(m for _, m in beside)
            own, lightest = median(m for _, m in known), min(m for _, m in known)
            # A wheel and its nuts are not alike; a wheel and its tyre are.
            if other == key or not 0.25 <= lightest / max(usual, 1e-9) <= 4:
                continue
            for part, mass in known:
                asked = len(known) > FEWEST and mass >= MASS_FACTOR * own  # by its own list
                if mass > MASS_FACTOR * heaviest and not asked:
                    report.warn(
                        _at(folder, part, "mass"),
                        f"{units.show(mass, 'kg')} for {shown(part.title)}, where the heaviest of "
                        f"the {trade.families[other].title.lower()} has "
                        f"{units.show(heaviest, 'kg')}",
                        "check the number and its unit",
                    )


def _doubt_duplicates(folder: Path, parts: Sequence[Part], report: Report) -> None:
    alike: dict[object, list[Part]] = defaultdict(list)
    for part in parts:
        values = tuple(sorted((name, repr(value)) for name, value in part.values.items()))
        title = " ".join(part.title.casefold().split())
        alike[title, part.maker.casefold(), part.positions, values].append(part)
    for first, *others in alike.values():
        for part in others:
            report.warn(
                _at(folder, part, PART_NUMBER),
                f"{shown(_number(part))} is the same in all but number and price as "
                f"{shown(_number(first))} in {first.place}",
                "delete one, or say in the title how they differ",
            )


def _number(part: Part) -> str:
    return part.key.partition("/")[2]


def _doubt_empty_columns(
    folder: Path, family: Family, parts: Sequence[Part], report: Report
) -> None:
    # Front axles may have what rear axles cannot have: parts for the same positions are compared.
    alike: dict[tuple[str, ...], list[Part]] = defaultdict(list)
    for part in parts:
        alike[part.positions].append(part)
    for positions, group in alike.items():
        for name, filled in family_statistics(family, group).filled.items():
            # Nothing at all is a decision; a few are a column that somebody forgot.
            if 0 < filled < len(group) / 2 and len(group) >= FEWEST:
                where = f" for {', '.join(positions)}" if positions else ""
                report.warn(
                    f"{folder.name}/{family.key}.csv, column {name!r}",
                    f"filled in for {filled} of {len(group)} parts{where} only",
                    "fill it in, or accept that rules that read it are not checked for the others",
                )


def _doubt_texts(folder: Path, parts: Sequence[Part], report: Report) -> None:
    for part in parts:
        if _number(part) == EXAMPLE_NUMBER:
            report.warn(
                _at(folder, part), "the example of the empty list is still in it", "delete the row"
            )
        for column, text in _texts(part):
            if _FORMULA_LIKE.match(text):
                report.warn(
                    _at(folder, part, column),
                    f"{shown(text)} is text here, but a spreadsheet that opens the list would take "
                    "it for a formula",
                    "put a word or an apostrophe before it, if it should not be one",
                )


def _texts(part: Part) -> Iterator[tuple[str, str]]:
    yield PART_NUMBER, _number(part)
    yield TITLE, part.title
    yield "maker", part.maker
    yield "note", part.note
    yield from part.extra.items()
