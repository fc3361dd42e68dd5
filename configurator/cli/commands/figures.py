"""``fitwright figures``: every figure of a package beside the vehicle as it stands."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from configurator.cli.opening import prepare, settings_of
from configurator.cli.program import app

if TYPE_CHECKING:
    from configurator.figures_sheet import FigureRow
    from configurator.saying.quantities import System


@app.command()
def figures(
    ctx: typer.Context,
    job: Annotated[Path, typer.Argument(metavar="JOB.toml", help="File of the job.")],
    package: Annotated[
        int, typer.Option(metavar="N", min=1, max=100, help="Of the N-th cheapest package.")
    ] = 1,
    as_json: Annotated[bool, typer.Option("--json", help="Write JSON.")] = False,
) -> None:
    """Show every figure before and after, the closest to its limit first."""
    settings = settings_of(ctx)
    prepared = prepare(settings, job)

    from configurator.cli.choosing import chosen_package
    from configurator.cli.showing import show_what_goes_with
    from configurator.cli.writing import Writer, write_json
    from configurator.figures_sheet import figure_rows
    from configurator.saying.records import job_record
    from configurator.saying.sentences import NOTICE

    evaluation = prepared.evaluation
    chosen = chosen_package(prepared, package, settings, as_json=as_json)
    rows = figure_rows(evaluation, chosen.choice)
    if as_json:
        write_json(
            {
                **job_record(evaluation),
                "package": package,
                "figures": [_record(row, settings.units) for row in rows],
                "notice": NOTICE,
            }
        )
        return
    writer = Writer()
    writer.heading(f"{evaluation.case.job.title}: figures of package {package}")
    writer.table(
        ["figure", "as it stands", "then", "limit", "source"],
        [_cells(row, settings.units) for row in rows],
    )
    show_what_goes_with(writer, evaluation, [chosen])


def _cells(row: FigureRow, system: System | None) -> list[str]:
    from configurator.saying.quantities import words

    unit = row.figure.unit
    limit = ""
    if row.margin is not None:
        bound = "at least" if row.margin.at_least else "at most"
        rule = row.margin.rule
        has, needs = (words(v, rule.unit, system) for v in (row.margin.has, row.margin.needs))
        limit = f"{rule.name}: has {has}, needs {bound} {needs}"
    return [
        row.figure.name,
        words(row.before, unit, system),
        words(row.after, unit, system),
        limit,
        row.figure.source,
    ]


def _record(row: FigureRow, system: System | None) -> dict[str, Any]:
    from configurator import units
    from configurator.saying.quantities import plain, unit_in

    unit = row.figure.unit
    found: dict[str, Any] = {
        "figure": row.figure.name,
        "unit": unit_in(unit, system),
        "before": plain(row.before, unit, system),
        "after": plain(row.after, unit, system),
        "difference": None,
        "limit": None,
        "source": row.figure.source,
    }
    if row.difference is not None:
        # A difference of temperatures has no offset.
        shown = unit_in(unit, system)
        found["difference"] = units.normalise(
            units.from_si(row.difference, shown) - units.from_si(0.0, shown)
        )
    if row.margin is not None:
        rule = row.margin.rule
        found["limit"] = {
            "rule": rule.name,
            "has": plain(row.margin.has, rule.unit, system),
            "needs": plain(row.margin.needs, rule.unit, system),
            "at_least": row.margin.at_least,
            "unit": unit_in(rule.unit, system),
            "margin_share": row.margin.share,
        }
    return found
