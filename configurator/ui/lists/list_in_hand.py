"""A supplier's list that a visitor has uploaded, and how it is read so far.

It lies in a folder of its own, which goes with the visit; only taking it over writes elsewhere.
"""

from __future__ import annotations

import itertools
import os
import shutil
import weakref
from dataclasses import dataclass, field, replace
from pathlib import Path, PurePosixPath
from tempfile import mkdtemp
from typing import TYPE_CHECKING

from configurator.core import clock
from configurator.core.atomic_files import write_atomically
from configurator.core.errors import InputError, Problem
from configurator.core.text import Report
from configurator.supplier_lists import taking_over
from configurator.supplier_lists.column_readings import required_columns
from configurator.supplier_lists.mapping import currency_of
from configurator.supplier_lists.mapping_files import read_mapping, write_mapping
from configurator.supplier_lists.open_list import open_price_list
from configurator.supplier_lists.proposing import propose
from configurator.supplier_lists.rows import ListRow, Tally, list_rows
from configurator.ui.uploads import file_stem

if TYPE_CHECKING:
    from collections.abc import Collection, Iterator
    from collections.abc import Mapping as Table
    from contextlib import AbstractContextManager

    from configurator.model.parts import Family
    from configurator.supplier_lists.mapping import Mapping
    from configurator.supplier_lists.price_lists import PriceList, SheetRow
    from configurator.supplier_lists.taking_over import ListComparison

PREVIEWED = 300  # rows that are read for the preview; a comparison reads all
SHOWN = 10


@dataclass(slots=True, weakref_slot=True)
class ListInHand:
    """A list on its way into a catalog.

    Parameters
    ----------
    name, path
        Of the file, as it is called and where it lies for the visit.
    family
        Whose parts it lists.
    folder
        Of the catalog it goes into.
    mapping
        How it is read, as far as it was settled.
    begun, version
        The mapping that the tables on the page begin with, and how often it was changed: what is
        edited in a table must not change what the table began with.
    compared
        What taking it over would do; None until somebody asks, and after every change.
    accepted, former
        What was accepted of ``compared.asks``; old names of columns → new.
    """

    name: str
    path: Path
    family: Family
    folder: Path
    mapping: Mapping
    begun: Mapping
    version: int = 0
    compared: ListComparison | None = None
    accepted: set[str] = field(default_factory=set)
    former: Table[str, str] = field(default_factory=dict)

    @property
    def mapping_file(self) -> Path:
        """Where the mapping is kept for the next month."""
        return self.folder / "imports" / f"{self.family.key}.toml"

    @property
    def currency(self) -> str:
        """Of the catalog, or of a new one."""
        return taking_over.catalog_currency(self.folder, Report()) or currency_of(self.mapping)

    @property
    def lacking(self) -> list[str]:
        """Columns that every part needs and that nothing is taken for."""
        filled = {*self.mapping.columns, *self.mapping.same}
        return [name for name in required_columns(self.family) if name not in filled]

    def opened(self) -> PriceList:
        """Open the file as the mapping says."""
        return open_price_list(
            self.path,
            sheet=self.mapping.sheet,
            sheets=self.mapping.sheets,
            encoding=self.mapping.encoding,
            delimiter=self.mapping.delimiter,
            prefer=self.family.key,
        )

    def settle(self, mapping: Mapping) -> None:
        """Read it in another way from now on."""
        if mapping != self.mapping:
            self.mapping, self.compared = mapping, None
            self.accepted.clear()

    def confirm_all(self) -> None:
        """Take every column that is named for right."""
        columns = {
            name: replace(source, confirmed=True) for name, source in self.mapping.columns.items()
        }
        self.settle(replace(self.mapping, columns=columns))
        self.begun, self.version = self.mapping, self.version + 1


def take_in_hand(
    name: str,
    data: bytes,
    family: Family,
    folder: Path,
    sheets: Collection[str] = (),
    former: Table[str, str] | None = None,
) -> ListInHand:
    """Open an uploaded list with last month's mapping, or propose one.

    Raises
    ------
    InputError
        If it cannot be read, or a sheet has to be named.
    """
    home = Path(mkdtemp(prefix="fitwright-list-"))
    suffix = PurePosixPath(name).suffix.lower()[:6]
    path = home / f"{file_stem(name)}{suffix if suffix.isascii() else ''}"
    path.write_bytes(data)
    known = folder / "imports" / f"{family.key}.toml"
    report = Report()
    mapping = read_mapping(known, family, report, former) if known.exists() else None
    if report.errors:
        raise InputError(report.errors)
    if mapping is None:
        prices = open_price_list(path, sheets=[*sheets], prefer=family.key)
        mapping, _ = propose(prices, family)
        currency = taking_over.catalog_currency(folder, Report())
        price = mapping.columns.get("price")
        if currency and price is not None and not price.unit:
            columns = {**mapping.columns, "price": replace(price, unit=currency)}
            mapping = replace(mapping, columns=columns)
    made = ListInHand(name, path, family, folder, mapping, mapping, former=dict(former or {}))
    weakref.finalize(made, shutil.rmtree, home, ignore_errors=True)
    return made


def preview(hand: ListInHand) -> tuple[list[ListRow], Report]:
    """Read the first rows: ten sound ones, and what is wrong among some hundred."""
    report, tally = Report(), Tally()
    prices = hand.opened()

    def first(every: PriceList) -> PriceList:
        def rows() -> Iterator[SheetRow]:
            return itertools.islice(every.rows(), PREVIEWED)

        return replace(every, rows=rows, further=())

    rows = list_rows(
        first(prices), hand.mapping, "the table above", hand.family, hand.currency, report, tally
    )
    return list(rows)[:SHOWN], report


def _compared(
    hand: ListInHand, *, without_bad_rows: bool
) -> AbstractContextManager[taking_over.ListComparison]:
    return taking_over.compared(
        hand.opened(),
        hand.mapping,
        "the table above",
        hand.family,
        hand.folder,
        hand.currency,
        without_bad_rows=without_bad_rows,
        former=hand.former,
    )


def compare(hand: ListInHand, *, without_bad_rows: bool) -> None:
    """Hold the whole list against the one that stands.

    Raises
    ------
    InputError
        If a file cannot be read at all.
    """
    with _compared(hand, without_bad_rows=without_bad_rows) as made:
        hand.compared = made


def take_over(hand: ListInHand, price_date: str, *, without_bad_rows: bool) -> Path:
    """Write the list into its catalog, and keep the mapping for the next month.

    Raises
    ------
    InputError
        With everything that speaks against it; nothing is changed then.
    """
    refuse_elsewhere(hand.folder)
    new = taking_over.catalog_currency(hand.folder, Report()) is None
    with _compared(hand, without_bad_rows=without_bad_rows) as made:
        if made.errors:
            raise InputError(made.errors)
        taking_over.write_list(made, clock.today(), hand.accepted)
    hand.mapping_file.parent.mkdir(parents=True, exist_ok=True)
    write_atomically(hand.mapping_file, write_mapping(hand.mapping, hand.name))
    source = f"price list {hand.name} of {price_date}"
    if new:
        name = hand.folder.name
        taking_over.write_about(hand.folder, name, hand.currency, price_date, source)
    else:
        taking_over.carry_on_about(hand.folder, price_date, source)
    return taking_over.list_path(hand.folder, hand.family)


def refuse_elsewhere(folder: Path) -> None:
    """Refuse to write anywhere but into a shop's own folder of catalogs.

    Raises
    ------
    InputError
        If the folder cannot be written.
    """
    existing = folder if folder.exists() else folder.parent
    if not os.access(existing, os.W_OK):
        what = "nothing can be written there from here"
        raise InputError([Problem(str(folder), what, "check the rights of the folder")])
