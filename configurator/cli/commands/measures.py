"""``fitwright measures``: what to measure on a vehicle, how, and what hangs on it."""

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from configurator.cli.open_case import (
    Settings,
    check_catalog_folders,
    load_trade,
    prepare,
    settings_of,
)
from configurator.cli.parameters import AsJson
from configurator.cli.program import app

if TYPE_CHECKING:
    from configurator.model.vehicles import Measure


@app.command("measures", epilog="Example: fitwright measures --vehicle demo/valdrin-boek")
def measures(
    ctx: typer.Context,
    vehicle: Annotated[
        str | None,
        typer.Option(metavar="CATALOG/KEY", help="Only what this vehicle's file does not say."),
    ] = None,
    job: Annotated[
        Path | None,
        typer.Option(
            metavar="JOB.toml",
            help="What to measure first for this job, and what it would save.",
        ),
    ] = None,
    as_json: AsJson = False,
) -> None:
    """List what a workshop measures on a vehicle, how, and how many rules hang on it."""
    from configurator.cli import answer_templates as say
    from configurator.cli.refusing import bad
    from configurator.cli.terminal import Terminal, write_json
    from configurator.core.text import shown
    from configurator.files.catalog_files import catalog_folder, read_vehicle
    from configurator.model.knowledge import rules_reading
    from configurator.wording.quantities import counted

    settings = settings_of(ctx)
    if job is not None:
        if vehicle is not None:
            raise typer.BadParameter("use either --vehicle or --job", param_hint="--job")  # noqa: EM101
        _first_for_job(settings, job, as_json=as_json)
        return
    check_catalog_folders(settings)
    trade = load_trade(settings)
    known: set[str] = set()
    if vehicle is not None:
        catalog, _, key = vehicle.rpartition("/")
        if not catalog:
            raise bad(
                where="--vehicle",
                what=f"{shown(vehicle)} is not a vehicle",
                do="write CATALOG/KEY, such as demo/valdrin-boek",
            )
        folder = catalog_folder(catalog, settings.catalogs)
        # A default stands in for what was not measured, and is in the values as well.
        known = set(read_vehicle(folder, key, trade).values)
    reading = rules_reading(trade)
    rows = sorted(
        (measure for measure in trade.measures.values() if measure.name not in known),
        key=lambda item: (-len(reading.get(item.name, ())), item.name),
    )
    if as_json:
        write_json(
            [
                {
                    "measure": row.name,
                    "meaning": row.meaning,
                    "how": row.how,
                    "unit": row.unit,
                    "default": row.default,
                    "tolerance": row.tolerance,
                    "tolerance_source": _source(row),
                    "rules": list(reading.get(row.name, ())),
                }
                for row in rows
            ]
        )
        return
    writer = Terminal()
    template = say.MEASURES if vehicle is None else say.MEASURES_MISSING
    writer.heading(template.format(count=counted(len(rows), "measure"), vehicle=vehicle))
    if vehicle is not None:
        writer.line("Rules that read one of them are not checked, and listed as such.")
    writer.table(
        ("measure", "unit", "rules", "within", "how", "meaning"),
        [
            (
                row.name,
                row.unit,
                str(len(reading.get(row.name, ()))),
                f"±{row.tolerance.partition('(')[0].strip()}" if row.tolerance else "",
                row.how,
                row.meaning,
            )
            for row in rows
        ],
        right={2, 3},
    )
    sources = dict.fromkeys(_source(row) for row in rows if row.tolerance)
    if sources:
        writer.line(f"How far a value may be off: {'; '.join(sources)}.")


def _source(measure: "Measure") -> str:
    """Say where the tolerance of a measure is from; empty where it has none."""
    from configurator.model.tolerances import read_tolerance

    return read_tolerance(measure.tolerance, measure.unit).source if measure.tolerance else ""


def _first_for_job(settings: Settings, job: Path, *, as_json: bool) -> None:
    """Say what to measure first for a job, and what it would save."""
    from configurator.cli.progress_line import progress
    from configurator.cli.terminal import Terminal, write_json
    from configurator.core.progress import Progress
    from configurator.files.job_files import read_case
    from configurator.questions.measuring_first import worth_measuring
    from configurator.wording.certainty_price_words import (
        certainty_lines,
        measuring_lines,
        measuring_records,
    )

    prepared = prepare(settings, job)
    trade = load_trade(settings)
    case = read_case(job, trade, settings.catalogs)
    with progress("measured more closely", Progress("{done} of {of} worked out")):
        price, worth = worth_measuring(prepared, case, trade)
    evaluation = prepared.evaluation
    if as_json:
        write_json(measuring_records(evaluation, price, worth, settings.units))
        return
    writer = Terminal()
    writer.heading("What to measure first for this job")
    writer.items(certainty_lines(evaluation, price, settings.units))
    writer.items(measuring_lines(evaluation, price, worth, settings.units))
