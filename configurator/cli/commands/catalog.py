"""``fitwright catalog``: what a shop does with its own catalogs."""

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from configurator.cli.open_case import load_trade, settings_of
from configurator.cli.parameters import AsJson
from configurator.cli.program import group
from configurator.core import clock

if TYPE_CHECKING:
    from configurator.model.knowledge import Trade
    from configurator.model.parts import Family
    from configurator.supplier_lists.mapping import Mapping
    from configurator.supplier_lists.price_lists import PriceList

LONG_LIST = 500  # parts; shorter lists are ready while the page opens

catalog = group("catalog", "Make a list to fill in, import a supplier's list, check a catalog.")


@catalog.command(epilog="Example: fitwright catalog template tyres --into tyres.xlsx")
def template(
    ctx: typer.Context,
    family: Annotated[str, typer.Argument(metavar="FAMILY", help="Such as tyres.")],
    into: Annotated[
        Path | None, typer.Option(metavar="FILE", help="Write it as .csv or .xlsx.")
    ] = None,
    currency: Annotated[
        str, typer.Option(metavar="CODE", help="Of the prices, such as EUR; else the catalog's.")
    ] = "",
) -> None:
    """Make an empty list of a family: headings, units, meanings, one example."""
    from configurator.cli import answer_templates as say
    from configurator.cli.refusing import bad
    from configurator.cli.terminal import Terminal
    from configurator.core.atomic_files import write_atomically
    from configurator.files.templates import csv_template, xlsx_template
    from configurator.files.templates import template as columns_of

    made_for = _family(load_trade(settings_of(ctx)), family)
    columns = columns_of(made_for, _currency(currency))
    writer = Terminal()
    if into is None:
        writer.heading(f"{made_for.title}: the columns of {made_for.key}.csv")
        writer.table(
            ("column", "needed", "cells", "example", "meaning"),
            [
                (
                    column.heading,
                    "yes" if column.required else "-",
                    ", ".join(column.words) if column.words else column.kind,
                    column.example,
                    column.meaning,
                )
                for column in columns
            ],
        )
        writer.line("Write it with --into FILE.xlsx or --into FILE.csv.")
        return
    if into.suffix.lower() not in (".csv", ".xlsx"):
        raise bad(str(into), "is neither .csv nor .xlsx", "name a file that ends with one of them")
    if into.exists():
        raise bad(str(into), "is there already", "name another file, or delete this one first")
    if not into.absolute().parent.is_dir():
        raise bad(str(into), "its folder is not there", "make the folder or name another")
    if into.suffix.lower() == ".csv":
        write_atomically(into, csv_template(columns))
    else:
        write_atomically(into, xlsx_template(made_for, columns))
    template = say.TEMPLATE_XLSX if into.suffix.lower() == ".xlsx" else say.TEMPLATE_CSV
    writer.line(template.format(file=into))


def _currency(text: str) -> str:
    from configurator.cli.refusing import bad
    from configurator.core import money
    from configurator.core.errors import UnitError

    option = "--currency"
    if text:
        try:
            money.check_currency(text)
        except UnitError as problem:
            raise bad(option, problem.what, problem.do) from None
    return text


def _family(trade: "Trade", key: str) -> "Family":
    from configurator.cli.refusing import bad
    from configurator.core.errors import nearest
    from configurator.model.former_names import name_now

    key = name_now(key, trade.former_names, trade.families)
    if key not in trade.families:
        option = "FAMILY"
        raise bad(
            option,
            f"there is no family {key!r}",
            nearest(key, trade.families, otherwise=f"use one of {', '.join(trade.families)}"),
        )
    return trade.families[key]


@catalog.command(
    "import",
    epilog="Example: fitwright catalog import PRICES.xlsx --family tyres --into lists/ourshop",
)
def import_list(
    ctx: typer.Context,
    prices: Annotated[
        Path,
        typer.Argument(
            metavar="PRICES", help="The supplier's list: .xlsx, .xls, .ods, .csv or .tsv."
        ),
    ],
    family: Annotated[str, typer.Option(metavar="FAMILY", help="Whose parts it lists.")],
    into: Annotated[Path, typer.Option(metavar="FOLDER", help="Folder of the catalog.")],
    mapping: Annotated[
        Path | None,
        typer.Option(
            metavar="FILE.toml",
            help="Which column is which; by default FOLDER/imports/FAMILY.toml. Made if it is "
            "not there, never overwritten.",
        ),
    ] = None,
    sheet: Annotated[
        list[str] | None,
        typer.Option(
            metavar="NAME",
            help="Sheet of a workbook; several, or * for all that hold anything, make one list.",
        ),
    ] = None,
    headings: Annotated[
        str, typer.Option(metavar="ROWS", help="Rows of the headings, such as 3 or 3-4.")
    ] = "",
    encoding: Annotated[
        str, typer.Option(metavar="NAME", help="Of CSV: utf-8, utf-16, windows-1252.")
    ] = "",
    delimiter: Annotated[
        str, typer.Option(metavar="NAME", help="Of CSV: comma, semicolon, tab, bar.")
    ] = "",
    price_date: Annotated[
        str,
        typer.Option(
            metavar="DATE",
            help="Of these prices, such as 2026-10-01; carried on into catalog.toml.",
        ),
    ] = "",
    without_bad_rows: Annotated[
        bool, typer.Option("--without-bad-rows", help="Leave out rows with problems, and say so.")
    ] = False,
    accept: Annotated[
        list[str] | None,
        typer.Option(
            metavar="WHAT",
            help="Go on although more than a fifth of the parts would be removed (removals), or a "
            "price changes by more than half or has two digits swapped (prices). May be given "
            "twice.",
        ),
    ] = None,
    every: Annotated[
        bool, typer.Option("--every", help="Show 200 differences of a kind instead of 12.")
    ] = False,
    write: Annotated[
        bool, typer.Option("--write", help="Write the list; without it, only show.")
    ] = False,
    ready: Annotated[
        list[Path] | None,
        typer.Option(
            metavar="JOB.toml",
            help="Make ready in the background what this job needs of the lists, once the list is "
            "written. May be given several times.",
        ),
    ] = None,
) -> None:
    """Take over a supplier's price list: propose what is what, compare, write when told to."""
    from configurator.cli import import_report as say
    from configurator.cli.background import make_ready
    from configurator.cli.refusing import bad, complain, warn
    from configurator.cli.terminal import Terminal
    from configurator.core.errors import InputError
    from configurator.core.text import Report
    from configurator.supplier_lists import taking_over
    from configurator.supplier_lists.mapping import currency_of, doubtful
    from configurator.supplier_lists.mapping_files import read_mapping
    from configurator.supplier_lists.open_list import open_price_list
    from configurator.supplier_lists.workbooks import ALL_SHEETS

    for name in accept or ():
        if name not in (taking_over.REMOVALS, taking_over.PRICES):
            option = "--accept"
            raise bad(option, f"{name!r} is not known", "write removals or prices")
    if into.exists() and not into.is_dir():
        raise bad(str(into), "the catalog's folder is a file", "name the folder of a catalog")
    for job in ready or ():
        if not job.is_file():
            option = "--ready"
            raise bad(option, f"{job} is not there", "name the file of a job")
    settings = settings_of(ctx)
    trade = load_trade(settings)
    made_for = _family(trade, family)
    file = mapping if mapping is not None else into / "imports" / f"{family}.toml"
    report = Report()
    currency = taking_over.catalog_currency(into, report)
    known = read_mapping(file, made_for, report, trade.former_names) if file.exists() else None
    if report.errors:
        raise InputError(report.errors)
    named = tuple(sheet or ())
    if known is not None and not named:
        named = known.sheets or ((known.sheet,) if known.sheet else ())
    alone = len(named) == 1 and named[0] != ALL_SHEETS
    prices_read = open_price_list(
        prices,
        sheet=named[0] if alone else "",
        sheets=() if alone else named,
        encoding=encoding or (known.encoding if known else ""),
        delimiter=delimiter or (known.delimiter if known else ""),
        prefer=family,
    )
    writer = Terminal()
    title = f"Which column is which, as {file} says"
    is_new = known is None
    if known is None:
        known, why = _first_mapping(prices_read, made_for, _rows(headings), file, currency)
        title = f"Which column is which: a proposal ({why}), kept in {file}"
    elif headings and _rows(headings) != known.headings:
        option = "--headings"
        raise bad(option, f"{file} names other rows", "correct it there, or leave this out")
    say.say_file(writer, prices_read)
    say.say_mapping(writer, prices_read, known, title, reasons=is_new or bool(doubtful(known)))
    say.say_lacking(writer, known, made_for, str(file))
    stated = currency_of(known)
    if currency and stated and stated != currency:
        raise bad(
            str(file),
            f"prices in {stated}, but the catalog's currency is {currency}",
            "import it into a catalog of its own currency",
        )
    say.say_doubts(writer, known, str(file))
    if doubtful(known) or not (currency or stated):
        if not doubtful(known):
            where = f"{file}, 'price'"
            raise bad(where, "no currency is stated", 'write currency = "EUR"')
        writer.heading("Nothing was written to the catalog.")
        raise typer.Exit(2)
    with taking_over.compared(
        prices_read,
        known,
        str(file),
        made_for,
        into.absolute(),
        currency or stated,
        without_bad_rows=without_bad_rows,
        former=trade.former_names,
    ) as made:
        warn([*made.warnings, *(f"row left out: {item}" for item in made.left_out)])
        say.say_rows(writer, made)
        if made.tally.complete and not (made.errors and not made.length):
            say.say_differences(writer, made, every=every)
        if made.errors:
            complain(made.errors)
            writer.heading(f"Nothing was written: {len(made.errors)} error(s).")
            raise typer.Exit(2)
        asked = [problem for name, problem in made.asks.items() if name not in (accept or ())]
        if asked:
            complain(asked)
            writer.heading("Nothing was written: this has to be accepted first.")
            raise typer.Exit(2)
        if not write:
            writer.heading("Nothing was written: look at it, then add --write.")
            return
        counts = made.differences.counts
        if currency is not None and counts.total() == counts["same"]:
            writer.heading("Nothing was written: nothing differs.")
            return
        if currency is None or price_date:
            _refuse_no_date(price_date)
        kept = taking_over.write_list(made, clock.today(), accept or ())
        path = taking_over.list_path(into, made_for)
        writer.heading(f"Written: {path}, {made.length} parts.")
        if made.length >= LONG_LIST and not ready:
            writer.line(say.LONG_LIST)
        for job in ready or ():
            process, log = make_ready(settings, job)
            writer.line(say.IN_BACKGROUND.format(job=job, process=process, log=log))
        if kept is not None:
            writer.line(f"  The list as it was is kept: {into / kept.parent.name / kept.name}")
        source = f"price list {prices.name} of {price_date}"
        if currency is None:
            name = into.absolute().name
            taking_over.write_about(into, name, stated, price_date, source)
            writer.line(f"  A new catalog: {into / 'catalog.toml'} names title, date and source.")
        elif price_date:
            taking_over.carry_on_about(into, price_date, source)
            writer.line(f"  {into / 'catalog.toml'} has the new date and source.")
        else:
            writer.line(
                "  If the prices have a new date, give it with --price-date, or write it into "
                f"{into / 'catalog.toml'} (price_date)."
            )


def _rows(text: str) -> tuple[int, ...]:
    import re

    from configurator.cli.refusing import bad

    if not text:
        return ()
    match = re.fullmatch(r"(\d{1,3})(?:-(\d{1,3}))?", text)
    rows = range(int(match[1]), int(match[2] or match[1]) + 1) if match else range(0)
    if not rows or len(rows) > 4 or rows[0] < 1:
        option = "--headings"
        raise bad(option, f"{text!r} names no rows", "write a row, or up to four: 3-4")
    return tuple(rows)


def _refuse_no_date(text: str) -> None:
    import datetime

    from configurator.cli.refusing import bad

    try:
        day = datetime.date.fromisoformat(text)
        if not clock.of_this_time(day):
            raise ValueError
    except ValueError:
        option = "--price-date"
        what = f"{text!r} is no date" if text else "a new catalog needs the date of its prices"
        raise bad(option, what, "write it as in --price-date 2026-10-01") from None


def _first_mapping(
    price_list: "PriceList",
    family: "Family",
    headings: tuple[int, ...],
    file: Path,
    currency: str | None,
) -> "tuple[Mapping, str]":
    """Propose a mapping and keep it in its file."""
    import dataclasses

    from configurator.cli.import_report import lacking
    from configurator.core.atomic_files import write_atomically
    from configurator.supplier_lists.mapping_files import write_mapping
    from configurator.supplier_lists.proposing import propose

    proposed, why = propose(price_list, family, headings)
    price = proposed.columns.get("price")
    if price is not None and not price.unit and currency:
        why_price = f"{price.why}; {currency} is the catalog's"
        columns = dict(proposed.columns)
        columns["price"] = dataclasses.replace(price, unit=currency, why=why_price)
        proposed = dataclasses.replace(proposed, columns=columns)
    file.parent.mkdir(parents=True, exist_ok=True)
    text = write_mapping(proposed, price_list.file, lacking(proposed, family))
    write_atomically(file, text)
    return proposed, why


@catalog.command(epilog="Example: fitwright catalog check lists/ourshop")
def check(
    ctx: typer.Context,
    folder: Annotated[Path, typer.Argument(metavar="FOLDER", help="Folder of the catalog.")],
    as_json: AsJson = False,
    strict: Annotated[
        bool, typer.Option("--strict", help="End with status 2 on warnings too.")
    ] = False,
) -> None:
    """Check everything in a catalog's folder: problems, likely mistakes, what is in it.

    Ends with status 0 if it can be used, 2 if it cannot.
    """
    from configurator.cli.catalog_report import examined_record, say_examined
    from configurator.cli.refusing import bad, complain, warn
    from configurator.cli.terminal import Terminal, write_json
    from configurator.files.catalog_check import examine

    if not folder.is_dir():
        what = "is a file" if folder.exists() else "is not there"
        raise bad(str(folder), f"the catalog's folder {what}", "name the folder of a catalog")
    trade = load_trade(settings_of(ctx))
    examined = examine(folder, trade, clock.today())
    name = folder.resolve().name
    if as_json:
        write_json(examined_record(name, examined))
    else:
        complain(examined.errors)
        warn(examined.warnings)
        say_examined(Terminal(), name, examined, trade)
    if examined.errors or (strict and examined.warnings):
        raise typer.Exit(2)
