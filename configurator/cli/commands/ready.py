"""``fitwright ready``: by when a job can be done, and what an earlier day costs."""

import datetime
from typing import Annotated

import typer

from configurator.cli.open_case import prepare, settings_of
from configurator.cli.parameters import AsJson, JobFile
from configurator.cli.program import app
from configurator.core import clock


@app.command("ready", epilog="Example: fitwright ready JOB.toml --by 2026-12-18 --lifts 2")
def ready(
    ctx: typer.Context,
    job: JobFile,
    by: Annotated[
        datetime.datetime | None,
        typer.Option(metavar="DAY", formats=["%Y-%m-%d"], help="When it must be ready."),
    ] = None,
    ordered: Annotated[
        datetime.datetime | None,
        typer.Option(
            metavar="DAY",
            formats=["%Y-%m-%d"],
            help="When the parts are ordered; today by default.",
        ),
    ] = None,
    lifts: Annotated[
        int, typer.Option(metavar="N", min=1, max=20, help="Lifts, each with a fitter.")
    ] = 1,
    as_json: AsJson = False,
) -> None:
    """Say by when a job can be done: parts and work together, and what an earlier day costs."""
    from configurator.cli.refusing import bad

    first = ordered.date() if ordered is not None else clock.today()
    last = by.date() if by is not None else None
    for name, day in (("--ordered", first), ("--by", last)):
        if day is not None and not clock.of_this_time(day):
            raise bad(where=name, what=f"{day} is not of this time", do="check the year")
    if last is not None and last < first:
        raise bad(
            where="--by", what=f"{last} is before the parts are ordered", do="name a later day"
        )
    settings = settings_of(ctx)
    prepared = prepare(settings, job)

    from configurator.cli.interruption import stoppable
    from configurator.cli.terminal import Terminal, write_json
    from configurator.evaluation.work_plan import HOURS_A_DAY
    from configurator.questions.ready_by import ready_dates
    from configurator.wording import ready_words as say

    with stoppable("looking for what is ready when", "{done} of up to {of} delivery times"):
        dates = ready_dates(prepared, first, lifts)
    currency = prepared.evaluation.case.job.currency
    if as_json:
        write_json(say.ready_record(dates, last, currency))
    else:
        writer = Terminal()
        if dates:
            writer.table(say.HEADINGS, say.date_rows(dates, currency), right={1})
        writer.items(say.ready_lines(dates, last, lifts, HOURS_A_DAY, currency))
    if not any(last is None or each.schedule.finished <= last for each in dates):
        raise typer.Exit(3)
