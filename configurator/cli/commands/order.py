"""``fitwright order``: what to order for a package, by maker, with lead times."""

import datetime
from pathlib import Path
from typing import Annotated

import typer

from configurator.cli.open_case import prepare, settings_of
from configurator.cli.parameters import AsJson, JobFile, LocaleName, PackageNumber, Paper
from configurator.cli.program import app
from configurator.core import clock


@app.command(
    "order", epilog="Example: fitwright order JOB.toml --into order.pdf --needed 2026-12-01"
)
def order(
    ctx: typer.Context,
    job: JobFile,
    package: PackageNumber = 1,
    into: Annotated[
        Path | None, typer.Option(metavar="FILE", help="Write .pdf, .xlsx or .md instead.")
    ] = None,
    needed: Annotated[
        datetime.datetime | None,
        typer.Option(
            metavar="DAY",
            formats=["%Y-%m-%d"],
            help="When the parts must be there, as 2026-12-01: with --into, says when to order.",
        ),
    ] = None,
    locale: LocaleName = "en_GB",
    paper: Paper = None,
    as_json: AsJson = False,
) -> None:
    """List the parts to order by maker, for all vehicles of the job, and what the shelf has."""
    from configurator.cli.refusing import bad
    from configurator.documents import formats
    from configurator.documents.layout import on_paper
    from configurator.documents.number_style import locale_of
    from configurator.documents.order_list import order_lines, order_sheet

    if needed is not None and not clock.of_this_time(needed.date()):
        raise bad(
            where="--needed", what=f"{needed.date()} is not of this time", do="check the year"
        )
    written_for = locale_of(locale)
    if into is not None:
        formats.check_names([into])
    settings = settings_of(ctx)
    prepared = prepare(settings, job, alone=True)

    from configurator.cli.choosing import chosen_package
    from configurator.cli.showing_notes import show_what_goes_with
    from configurator.cli.terminal import Terminal, write_json
    from configurator.wording.plain_data import job_record
    from configurator.wording.quantities import counted, money_record, money_words
    from configurator.wording.sentences import NOTICE

    evaluation = prepared.evaluation
    asked = evaluation.case.job
    chosen = chosen_package(prepared, package, settings, as_json=as_json)
    if into is not None:
        sheet = order_sheet(
            evaluation,
            chosen,
            locale=written_for,
            day=clock.today(),
            needed=needed and needed.date(),
        )
        formats.write(on_paper(sheet, paper), into)
        return
    lines = order_lines(chosen, asked.vehicles, asked.own)
    if as_json:
        records = [
            {
                "maker": line.maker,
                "part": line.part,
                "number": line.number,
                "title": line.title,
                "pieces": line.pieces,
                "on_the_shelf": line.shelf,
                "on_the_shelf_from": line.shelf_from or None,
                "to_order": line.to_order,
                "lead_time_days": line.days,
                "price": money_record(line.price, asked.currency),
                "to_pay": money_record(line.to_pay, asked.currency),
            }
            for line in lines
        ]
        write_json({**job_record(evaluation), "order": records, "notice": NOTICE})
        return
    writer = Terminal()
    writer.heading(f"{asked.title}: parts to order for {counted(asked.vehicles, 'vehicle')}")
    rows = [
        (
            line.maker or "maker not known",
            line.number,
            line.title,
            str(line.to_order),
            "not known" if line.days is None else counted(line.days, "day"),
            money_words(line.to_pay, asked.currency),
        )
        for line in lines
        if line.to_order
    ]
    if rows:
        writer.table(("maker", "number", "part", "pieces", "wait", "price"), rows, right={3, 5})
        writer.line(f"Total: {money_words(sum(x.to_pay for x in lines), asked.currency)}.")
    else:
        writer.line("Nothing to order.")
    taken = [
        f"{line.shelf} of {counted(line.pieces, 'piece')} of {line.number} {line.title} "
        f"({line.shelf_from})"
        for line in lines
        if line.shelf
    ]
    if taken:
        writer.heading("Taken from the shelf, not ordered")
        writer.items(taken)
    show_what_goes_with(writer, evaluation, [chosen])
