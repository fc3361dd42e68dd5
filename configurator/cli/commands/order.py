"""``fitwright order``: what to order for a package, by maker, with lead times."""

from pathlib import Path
from typing import Annotated

import typer

from configurator.cli.opening import prepare, settings_of
from configurator.cli.program import app


@app.command()
def order(
    ctx: typer.Context,
    job: Annotated[Path, typer.Argument(metavar="JOB.toml", help="File of the job.")],
    package: Annotated[
        int, typer.Option(metavar="N", min=1, max=100, help="Of the N-th cheapest package.")
    ] = 1,
    as_json: Annotated[bool, typer.Option("--json", help="Write JSON.")] = False,
) -> None:
    """List the parts to order by maker, for all vehicles of the job."""
    settings = settings_of(ctx)
    prepared = prepare(settings, job)

    from configurator.cli.choosing import chosen_package
    from configurator.cli.showing import show_what_goes_with
    from configurator.cli.writing import Writer, write_json
    from configurator.saying.quantities import money_record, money_words
    from configurator.saying.records import job_record
    from configurator.saying.sentences import NOTICE
    from configurator.sheets.orders import order_lines

    evaluation = prepared.evaluation
    asked = evaluation.case.job
    chosen = chosen_package(prepared, package, settings, as_json=as_json)
    lines = order_lines(chosen, asked.vehicles)
    if as_json:
        records = [
            {
                "maker": one.maker,
                "part": one.part,
                "title": one.title,
                "pieces": one.pieces,
                "lead_time_days": one.days,
                "price": money_record(one.price, asked.currency),
            }
            for one in lines
        ]
        write_json({**job_record(evaluation), "order": records, "notice": NOTICE})
        return
    writer = Writer()
    writer.heading(f"{asked.title}: parts to order for {asked.vehicles} vehicle(s)")
    rows = [
        (
            one.maker or "maker not known",
            one.part,
            one.title,
            str(one.pieces),
            "not known" if one.days is None else f"{one.days} days",
            money_words(one.price, asked.currency),
        )
        for one in lines
    ]
    writer.table(("maker", "number", "part", "pieces", "wait", "price"), rows, right={3, 5})
    show_what_goes_with(writer, evaluation, [chosen])
