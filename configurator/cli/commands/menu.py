"""``fitwright menu``: all vehicles with all levels of goals and shared parts, priced."""

from pathlib import Path
from typing import Annotated

import typer

from configurator.cli.open_case import check_catalog_folders, load_trade, settings_of
from configurator.cli.parameters import AsJson
from configurator.cli.program import app


@app.command("menu", epilog="Example: fitwright menu MENU.toml --into menu.parquet")
def menu(
    ctx: typer.Context,
    file: Annotated[
        Path,
        typer.Argument(
            metavar="MENU.toml",
            help="title, vehicles, catalogs; lists of levels under [goals] and of parts "
            "under [fixed].",
        ),
    ],
    into: Annotated[
        Path,
        typer.Option(metavar="FILE", help="Table to write: .parquet or .csv."),
    ],
    scheduler: Annotated[
        str | None,
        typer.Option(
            metavar="ADDRESS",
            help="Scheduler of a Dask cluster to work on, as tcp://HOST:PORT. Your lists and "
            "plugins are sent there. Without it everything is done on this computer.",
        ),
    ] = None,
    as_json: AsJson = False,
) -> None:
    """Price every combination of vehicles, goals and parts; stopped, it goes on where it was."""
    from configurator.cli.progress_line import progress
    from configurator.cli.terminal import Terminal, write_json
    from configurator.core import paths
    from configurator.core.progress import Progress
    from configurator.files.menu_files import read_menu
    from configurator.questions import menu_results, menu_runs
    from configurator.questions.menu_jobs import MenuJob, MenuPricer, batches_of, combinations
    from configurator.wording import menu_words as say

    settings = settings_of(ctx)
    check_catalog_folders(settings)
    menu_results.check_table(into)
    trade = load_trade(settings)
    asked = read_menu(file, trade)
    jobs = [
        MenuJob(number, asked.job_text(vehicle, goals, fixed), say.labels(vehicle, goals, fixed))
        for number, (vehicle, goals, fixed) in enumerate(
            combinations(asked.vehicles, asked.goals, asked.fixed)
        )
    ]
    batches = batches_of(jobs)
    files = menu_runs.packed([*settings.catalogs, paths.catalogs()], settings.plugins)
    rows = menu_results.Rows(into, files)
    with progress(say.PRICING, Progress(say.PRICED)):
        if scheduler is None:
            menu_runs.run_here(batches, MenuPricer(trade, settings.catalogs), rows)
        else:
            menu_runs.run_on_cluster(batches, files, rows, scheduler)
    priced = rows.finish(batches)
    if as_json:
        write_json({"table": str(into), **say.summary_record(priced)})
        return
    writer = Terminal()
    writer.heading(asked.title)
    writer.items(say.summary_lines(priced, into.name))
    headings, lines = say.best_table(priced)
    writer.table(headings, lines, right={len(headings) - 1})
