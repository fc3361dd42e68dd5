"""``fitwright figures``: every figure of a package beside the vehicle as it stands."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from configurator.cli.open_case import load_trade, prepare, settings_of
from configurator.cli.parameters import AsJson, PackageNumber
from configurator.cli.program import app
from configurator.cli.refusing import bad

if TYPE_CHECKING:
    from collections.abc import Sequence

    from configurator.cli.terminal import Terminal
    from configurator.evaluation.figures_table import FigureRow
    from configurator.evaluation.packages import Margin
    from configurator.model.knowledge import Trade
    from configurator.model.rules import Figure, Total
    from configurator.wording.quantities import System


@app.command("figures", epilog="Example: fitwright figures JOB.toml; fitwright figures --list")
def figures(
    ctx: typer.Context,
    job: Annotated[Path | None, typer.Argument(metavar="JOB.toml", help="File of the job.")] = None,
    package: PackageNumber = 1,
    listed: Annotated[
        bool,
        typer.Option("--list", help="List the figures and conditions that a job may use, by name."),
    ] = False,
    as_json: AsJson = False,
) -> None:
    """Show every figure before and after, the tightest margin first; or list their names."""
    settings = settings_of(ctx)
    if listed:
        _list_names(load_trade(settings), settings.units, as_json=as_json)
        return
    if job is None:
        raise bad(where="JOB.toml", what="no job is named", do="name its file, or ask for --list")
    prepared = prepare(settings, job)

    from configurator.cli.choosing import chosen_package
    from configurator.cli.showing_notes import show_what_goes_with
    from configurator.cli.terminal import Terminal, write_json
    from configurator.evaluation.figures_table import figure_rows
    from configurator.wording.plain_data import job_record
    from configurator.wording.sentences import NOTICE

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
    writer = Terminal()
    writer.heading(f"{evaluation.case.job.title}: figures of package {package}")
    _show(writer, rows, settings.units)
    show_what_goes_with(writer, evaluation, [chosen])


def _list_names(trade: Trade, system: System | None, *, as_json: bool) -> None:
    """List what a job may set goals on, and the conditions of use it may state."""
    from configurator.cli.terminal import Terminal, write_json
    from configurator.wording.quantities import unit_in

    every: dict[str, Figure | Total] = {**trade.figures, **trade.totals}
    figures = sorted(every.items())
    conditions = sorted(trade.conditions.items())
    if as_json:
        write_json(
            {
                "figures": [
                    {"name": name, "unit": unit_in(figure.unit, system), "meaning": figure.meaning}
                    for name, figure in figures
                ],
                "conditions": [
                    {
                        "name": name,
                        "unit": unit_in(condition.unit, system),
                        "meaning": condition.meaning,
                        "default": condition.default,
                    }
                    for name, condition in conditions
                ],
            }
        )
        return
    writer = Terminal()
    writer.heading('Figures: set goals on them, as [goals."entry height"]')
    writer.table(
        ("figure", "unit", "meaning"),
        [(name, unit_in(figure.unit, system), figure.meaning) for name, figure in figures],
    )
    writer.heading("Conditions: say how the vehicle is used, under [conditions]")
    writer.table(
        ("condition", "usual", "meaning"),
        [(name, condition.default or "none", condition.meaning) for name, condition in conditions],
        right={1},
    )


def _show(writer: Terminal, rows: Sequence[FigureRow], system: System | None) -> None:
    """Write the figures that a limit reads, those that none reads, and how all are worked out.

    Sources stand below: beside the numbers they would leave no room for them.
    """
    from configurator.evaluation.figures_table import by_source

    limited = [row for row in rows if row.margin is not None]
    free = [row for row in rows if row.margin is None]
    writer.heading("Figures with a limit, the tightest margin first")
    writer.line("The margin is what is left, as a share of the larger of value and limit.")
    writer.table(
        ["figure", "as it stands", "package", "difference", "limit", "margin"],
        [
            [*_cells(row, system), _limit(row, row.margin, system), _share(row.margin)]
            for row in limited
            if row.margin is not None
        ],
        right={1, 2, 3, 5},
    )
    writer.heading("Figures that no limit reads")
    writer.table(
        ["figure", "as it stands", "package", "difference"],
        [_cells(row, system) for row in free],
        right={1, 2, 3},
    )
    writer.heading("How they are worked out")
    writer.items(f"{source}: {', '.join(names)}" for source, names in by_source(rows))


def _cells(row: FigureRow, system: System | None) -> list[str]:
    from configurator.wording.quantities import words

    unit = row.figure.unit
    return [
        row.figure.name,
        words(row.before, unit, system),
        words(row.after, unit, system),
        _difference(row, system),
    ]


def _difference(row: FigureRow, system: System | None) -> str:
    from configurator.wording.quantities import printed, unit_in, with_unit

    if row.difference is None:
        return ""
    unit = unit_in(row.figure.unit, system)
    number = printed(_step_in(row.difference, unit))
    if number == "0":
        return "same"
    return with_unit(number if number.startswith("-") else f"+{number}", unit)


def _step_in(difference: float, unit: str) -> float:
    """Return a difference in a unit; that of two temperatures has no offset."""
    from configurator.core import units

    return units.normalise(units.from_si(difference, unit) - units.from_si(0.0, unit))


def _limit(row: FigureRow, margin: Margin, system: System | None) -> str:
    """Say the limit; where it bounds something else that reads the figure, say what and how much.

    A limit of the figure itself needs no more than its number.
    """
    from configurator.model.references import FigureValue
    from configurator.wording.margin_words import limit_words
    from configurator.wording.quantities import apart, words

    rule = margin.rule
    bound = "minimum" if margin.at_least else "maximum"
    read = [rule_input.reference for rule_input in rule.inputs]
    itself = read == [FigureValue(row.figure.name)] and margin.has == row.after
    if rule.name == row.figure.name or itself:
        return f"{bound} {words(margin.needs, rule.unit, system)}"
    has, needs = apart(margin.has, margin.needs, rule.unit, system)
    return f"{limit_words(margin)} {has}, {bound} {needs}"


def _share(margin: Margin) -> str:
    return f"{100 * margin.share:.1f} %"


def _record(row: FigureRow, system: System | None) -> dict[str, Any]:
    from configurator.wording.quantities import plain, unit_in

    unit = row.figure.unit
    record: dict[str, Any] = {
        "figure": row.figure.name,
        "meaning": row.figure.meaning,
        "unit": unit_in(unit, system),
        "before": plain(row.before, unit, system),
        "after": plain(row.after, unit, system),
        "difference": None,
        "limit": None,
        "source": row.figure.source,
    }
    if row.difference is not None:
        record["difference"] = _step_in(row.difference, unit_in(unit, system))
    if row.margin is not None:
        rule = row.margin.rule
        left = row.margin.has - row.margin.needs
        record["limit"] = {
            "rule": rule.name,
            "has": plain(row.margin.has, rule.unit, system),
            "needs": plain(row.margin.needs, rule.unit, system),
            "at_least": row.margin.at_least,
            "unit": unit_in(rule.unit, system),
            "margin": _step_in(left if row.margin.at_least else -left, unit_in(rule.unit, system)),
            "margin_share": row.margin.share,
            "because": rule.because,
            "source": rule.source,
        }
    return record
