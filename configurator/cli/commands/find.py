"""``fitwright find``: the cheapest packages that meet a job."""

from pathlib import Path
from typing import Annotated

import typer

from configurator.cli.opening import prepare, settings_of
from configurator.cli.program import app


@app.command()
def find(
    ctx: typer.Context,
    job: Annotated[Path, typer.Argument(metavar="JOB.toml", help="File of the job.")],
    cheapest: Annotated[
        int, typer.Option(metavar="N", min=1, max=100, help="How many packages at most.")
    ] = 1,
    as_json: Annotated[bool, typer.Option("--json", help="Write JSON.")] = False,
) -> None:
    """Find the cheapest complete packages that meet a job, or say why nothing fits."""
    settings = settings_of(ctx)
    prepared = prepare(settings, job)

    from configurator import answers
    from configurator.cli.progress import progress
    from configurator.cli.showing import show_answer
    from configurator.cli.writing import Writer, write_json
    from configurator.saying.records import answer_record

    with progress("searching"):
        answer = answers.find(prepared, cheapest)
    if as_json:
        write_json(answer_record(prepared.evaluation, answer, settings.units))
    else:
        show_answer(Writer(), prepared.evaluation, answer, settings.units)
    if answer.outcome == "nothing fits":
        raise typer.Exit(3)
