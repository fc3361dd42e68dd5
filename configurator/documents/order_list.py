"""What to order: the new parts of a package by maker, the longest wait first."""

from __future__ import annotations

import datetime
from dataclasses import dataclass
from itertools import groupby
from typing import TYPE_CHECKING

from configurator.documents import document_templates as common
from configurator.documents import workshop_templates as say
from configurator.documents.layout import Cell, Section, Sheet, SheetColumn, SheetTable, ToFill
from configurator.documents.letterheads import letterhead
from configurator.documents.notes import not_translated
from configurator.documents.number_style import (
    Writing,
    count,
    date,
    day_cell,
    days,
    money,
    writing_for,
)
from configurator.files.overrides import STOCK
from configurator.model.parts import FITTED, NOTHING
from configurator.wording.sentences import catalog_words

if TYPE_CHECKING:
    from collections.abc import Collection, Sequence

    from babel import Locale

    from configurator.evaluation.evaluator import Evaluation
    from configurator.evaluation.packages import Package


@dataclass(frozen=True, slots=True)
class OrderLine:
    """A part to order; ``days`` is None where the catalog gives no lead time.

    ``pieces`` are needed in all, ``shelf`` of them lie on the shop's own shelf, as ``shelf_from``
    says; ``price`` is for all pieces [minor units], ``to_pay`` for those that are ordered.
    """

    maker: str
    part: str
    title: str
    pieces: int
    days: int | None
    price: int
    shelf: int = 0
    shelf_from: str = ""

    @property
    def number(self) -> str:
        """The maker's own number, by which it is ordered: without the name of the catalog."""
        return self.part.partition("/")[2]

    @property
    def to_order(self) -> int:
        """Pieces that are not on the shelf."""
        return self.pieces - self.shelf

    @property
    def to_pay(self) -> int:
        """Price of the pieces that are ordered [minor units]."""
        return self.price * self.to_order // self.pieces if self.pieces else 0


def order_lines(package: Package, vehicles: int = 1, own: Collection[str] = ()) -> list[OrderLine]:
    """List what identical vehicles need; a part at several positions is one line.

    Whichever catalog's word on the stock lies on top counts. ``own`` are the keys of parts that
    the customer brings: they are not ordered.
    """
    lines: dict[str, OrderLine] = {}
    for option in package.choice.values():
        if not option.changed or option.key in (NOTHING, FITTED, *own):
            continue
        old = lines.get(option.key)
        pieces = option.pieces * vehicles + (old.pieces if old else 0)
        lines[option.key] = OrderLine(
            option.part.maker,
            option.key,
            option.part.title,
            pieces,
            option.part.lead_time,
            option.price * vehicles + (old.price if old else 0),
            min(pieces, option.part.stock or 0),
            option.part.origins.get(STOCK, option.part.place) if option.part.stock else "",
        )

    def turn(line: OrderLine) -> tuple[str, bool, int, str]:
        # A wait that nobody knows is asked about first.
        return line.maker, line.days is not None, -(line.days or 0), line.part

    return sorted(lines.values(), key=turn)


def order_sheet(
    evaluation: Evaluation,
    package: Package,
    *,
    locale: Locale,
    day: datetime.date,
    needed: datetime.date | None = None,
) -> Sheet:
    """Lay out an order list, a section for each maker.

    Parameters
    ----------
    evaluation, package
        What is ordered for.
    locale
        How numbers, dates and money are written.
    day
        Of the order.
    needed
        On which day the parts must be there; None to say when they are, if ordered on ``day``.
    """
    case = evaluation.case
    how = writing_for(evaluation, locale)
    lines = order_lines(package, case.job.vehicles, case.job.own)
    ordered = [line for line in lines if line.to_order]
    makers = [
        (maker or how.text(say.UNKNOWN_MAKER), list(group))
        for maker, group in groupby(ordered, key=lambda item: item.maker)
    ]
    top = [
        how.say(common.DATE, date=date(how, day)),
        how.say(common.VEHICLE, vehicle=case.vehicle.title),
    ]
    if case.job.vehicles > 1:
        top.append(how.say(common.IDENTICAL, number=case.job.vehicles))
    if brought := [o.part.title for o in package.choice.values() if o.key in case.job.own]:
        top.append(how.say(say.BROUGHT, parts=", ".join(brought)))
    if needed is not None:
        top.append(how.say(say.NEEDED_ON, date=date(how, needed)))
    notes = (
        how.text(say.ORDER_PRICES),
        *(catalog_words(catalog, how) for catalog in case.catalogs),
    )
    return Sheet(
        how.text(common.ORDER),
        case.job.title,
        tuple(item for item in top if item),
        (
            _all_makers(makers, how),
            _from_the_shelf(lines, how),
            *(_maker(maker, own, how, day, needed) for maker, own in makers),
            Section(how.text(say.PRICE_NOTES), items=notes, short=how.text(say.PRICES_SHORT)),
            not_translated(how),
        ),
        how.paper,
        letterhead(evaluation, how),
        language=how.dates.language,
    )


def _all_makers(makers: Sequence[tuple[str, list[OrderLine]]], how: Writing) -> Section:
    rows: list[tuple[Cell, ...]] = []
    for maker, lines in makers:
        total = sum(line.to_pay for line in lines)
        pieces = sum(line.to_order for line in lines)
        rows.append((maker, count(how, pieces), days(how, _longest(lines)), money(how, total)))
    every = [line for _, lines in makers for line in lines]
    if rows:
        total = sum(entry.to_pay for entry in every)
        rows.append((how.text(say.ORDER_TOTAL), "", days(how, _longest(every)), money(how, total)))
    columns = (
        SheetColumn(how.text(say.MAKER), 1),
        SheetColumn(how.text(say.PIECES), 0, right=True),
        SheetColumn(how.text(say.DELIVERY_TIME), 0, right=True),
        SheetColumn(how.text(common.PRICE), 0, right=True),
    )
    items = () if rows else (how.text(say.NOTHING_TO_ORDER),)
    return Section(
        how.text(say.ALL_MAKERS), items=items, table=SheetTable(columns, tuple(rows), last=True)
    )


def _longest(lines: Sequence[OrderLine]) -> int | None:
    waits = [line.days for line in lines]
    return None if None in waits else max((wait for wait in waits if wait is not None), default=0)


def _from_the_shelf(lines: Sequence[OrderLine], how: Writing) -> Section:
    """List what is taken from the shop's own stock, and who says that it lies there."""
    rows: list[tuple[Cell, ...]] = [
        (
            line.part,
            line.title,
            count(how, line.pieces),
            count(how, line.shelf),
            count(how, line.to_order),
            line.shelf_from,
            ToFill(),
        )
        for line in lines
        if line.shelf
    ]
    columns = (
        SheetColumn(how.text(say.NUMBER), 0.9),
        SheetColumn(how.text(say.PART), 1.1),
        SheetColumn(how.text(say.NEEDED), 0, right=True),
        SheetColumn(how.text(say.SHELF), 0, right=True),
        SheetColumn(how.text(say.TO_ORDER), 0, right=True),
        SheetColumn(how.text(say.ACCORDING_TO), 0.9),
        SheetColumn(how.text(say.TAKEN), 0),
    )
    sentences = (how.text(say.FROM_SHELF),) if rows else ()
    return Section(how.text(say.SHELF_HEADING), sentences, table=SheetTable(columns, tuple(rows)))


def _maker(
    maker: str,
    lines: Sequence[OrderLine],
    how: Writing,
    day: datetime.date,
    needed: datetime.date | None,
) -> Section:
    rows: list[tuple[Cell, ...]] = [
        (
            line.number,
            line.title,
            count(how, line.to_order),
            days(how, line.days),
            _date(line, how, day, needed),
            money(how, line.to_pay),
            ToFill(),
        )
        for line in lines
    ]
    if len(lines) > 1:
        total = money(how, sum(line.to_pay for line in lines))
        rows.append((how.text(say.ORDER_TOTAL), "", "", "", "", total, ""))
    columns = (
        SheetColumn(how.text(say.NUMBER), 0.8),
        SheetColumn(how.text(say.PART), 1.1),
        SheetColumn(how.text(say.PIECES), 0, right=True),
        SheetColumn(how.text(say.DELIVERY_SHORT), 0, right=True),
        SheetColumn(how.text(say.HERE_BY if needed is None else say.ORDER_BY), 0, right=True),
        SheetColumn(how.text(common.PRICE), 0, right=True),
        SheetColumn(how.text(say.SENT), 0),
    )
    return Section(maker, table=SheetTable(columns, tuple(rows), last=len(lines) > 1))


def _date(line: OrderLine, how: Writing, day: datetime.date, needed: datetime.date | None) -> Cell:
    if line.days is None:
        return how.text(common.NOT_KNOWN)
    wait = datetime.timedelta(days=line.days)
    if needed is None:
        return day_cell(how, day + wait)
    return day_cell(how, needed - wait, f" {how.text(say.LATE)}" if needed - wait < day else "")
