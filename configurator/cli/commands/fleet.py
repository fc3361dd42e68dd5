"""``fitwright fleet``: the cheapest parts that several vehicles may share."""

from pathlib import Path
from typing import Annotated

import typer

from configurator.cli.open_case import load_trade, prepare, settings_of
from configurator.cli.parameters import AsJson
from configurator.cli.program import app


@app.command("fleet", epilog="Example: fitwright fleet FLEET.toml")
def fleet(
    ctx: typer.Context,
    file: Annotated[
        Path,
        typer.Argument(
            metavar="FLEET.toml",
            help='title, share = ["tyres"], and [[vehicles]] with job = "FILE" and count.',
        ),
    ],
    as_json: AsJson = False,
) -> None:
    """Find the cheapest parts that all vehicles of a fleet may share, and what sharing costs."""
    from configurator.files.fleet_files import read_fleet

    settings = settings_of(ctx)
    asked = read_fleet(file, load_trade(settings))

    from configurator.cli.interruption import stoppable
    from configurator.cli.terminal import Terminal, write_json
    from configurator.questions.shared_parts import FleetVehicle, cheapest_shared
    from configurator.wording import sharing_words as say

    vehicles = []
    for job, count in asked.jobs:
        prepared = prepare(settings, job)
        vehicles.append(FleetVehicle(prepared.evaluation.case.job.title, prepared, count))
    with stoppable("looking for what all of them may share"):
        answer = cheapest_shared(vehicles, asked.share)
    if as_json:
        write_json(say.sharing_record(vehicles, answer))
    else:
        writer = Terminal()
        writer.heading(asked.title)
        writer.items(say.summary_lines(vehicles, asked.share, answer))
        if answer.choices:
            writer.heading(say.CHOICES)
            headings, rows = say.choice_table(vehicles, answer)
            writer.table(headings, rows, right=range(1, len(headings)))
    if not answer.choices:
        raise typer.Exit(3)
