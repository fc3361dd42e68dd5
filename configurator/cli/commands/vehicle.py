"""``fitwright vehicle``: a vehicle that nobody has entered yet, and the sheet for the hoist."""

import sys
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from configurator.cli.open_case import load_trade, settings_of
from configurator.cli.parameters import Paper
from configurator.cli.program import group

if TYPE_CHECKING:
    from configurator.model.knowledge import Trade
    from configurator.model.needed_values import NeededValue

vehicle = group("vehicle", "Enter a vehicle from nothing; print the sheet for the hoist.")

_JOB = typer.Option(metavar="JOB.toml", help="What its goals need is asked for first.")
_GOAL = typer.Option(metavar="FIGURE", help="A goal to be met; may be given several times.")


@vehicle.command(epilog="Example: fitwright vehicle new green-wagon --into lists/ourshop")
def new(
    ctx: typer.Context,
    name: Annotated[str, typer.Argument(metavar="NAME", help="Of its file, such as green-wagon.")],
    into: Annotated[Path, typer.Option(metavar="FOLDER", help="Folder of the catalog.")],
    title: Annotated[str, typer.Option(metavar="TEXT", help="What people call it.")] = "",
    job: Annotated[Path | None, _JOB] = None,
    goal: Annotated[list[str] | None, _GOAL] = None,
    ask: Annotated[
        bool | None,
        typer.Option(
            "--ask/--no-ask", help="Ask for what is needed first; in a terminal by default."
        ),
    ] = None,
) -> None:
    """Write the file of a vehicle: all measures in groups, those that this job needs first."""
    from configurator.cli.refusing import bad
    from configurator.cli.terminal import Terminal
    from configurator.core.atomic_files import write_atomically
    from configurator.files.new_vehicle import new_vehicle_text, refuse_key
    from configurator.files.vehicle_files import FOLDER

    refuse_key(name)
    path = into / FOLDER / f"{name}.toml"
    if path.exists():
        raise bad(str(path), "is there already", "name another vehicle, or edit that file")
    if into.exists() and not into.is_dir():
        raise bad(str(into), "the catalog's folder is a file", "name the folder of a catalog")
    trade = load_trade(settings_of(ctx))
    figures = _figures(trade, job, goal)
    first = _needed(trade, figures)
    writer = Terminal()
    title = title or name
    answers: dict[tuple[str, str], str] = {}
    if ask if ask is not None else sys.stdin.isatty():
        answers = _answers(first)
    path.parent.mkdir(parents=True, exist_ok=True)
    text = new_vehicle_text(trade, title, first, answers, figures)
    write_atomically(path, text)
    open_ = [value.words for value in first if (value.position, value.name) not in answers]
    writer.heading(f"Written: {path}")
    writer.line(f"  {len(answers)} of the {len(first)} values that are needed first are in it.")
    if open_:
        writer.line(f"  Still to measure: {', '.join(open_)}.")
        writer.line(f"  Fill them in there; fitwright vehicle sheet {name}.pdf prints them.")
    if not (into / "catalog.toml").is_file():
        writer.line(
            f"  {into} is no catalog yet: fitwright catalog import makes one, or write its "
            "catalog.toml."
        )


def _figures(trade: "Trade", job: Path | None, goals: list[str] | None) -> list[str]:
    """Name the figures of the goals: of a job's file, or as given."""
    from configurator.cli.refusing import bad
    from configurator.core.errors import InputError, nearest
    from configurator.core.text import Report
    from configurator.files import toml_files
    from configurator.model.former_names import name_now

    declared = {**trade.figures, **trade.totals}
    names = [*(goals or ())]
    if job is not None:
        report = Report()
        top = toml_files.load(job, job.name, report)
        if top is None:
            raise InputError(report.errors)
        names += toml_files.subtable(top, "goals").entries
    figures = []
    for name in dict.fromkeys(names):
        now = name_now(name, trade.former_names, declared)
        if now not in declared:
            where = str(job) if job is not None else "--goal"
            what = f"no figure is called {name!r}"
            raise bad(where, what, nearest(name, declared, otherwise="see fitwright measures"))
        figures.append(now)
    return figures


def _needed(trade: "Trade", figures: list[str]) -> "tuple[NeededValue, ...]":
    """Return what the goals need; without goals, the measures that most rules hang on."""
    from configurator.model.needed_values import NeededValue, measures_by_use, needed_for

    if figures:
        return needed_for(trade, figures)
    most = [measure for measure in measures_by_use(trade) if measure.default is None][:20]
    return tuple(NeededValue(measure.name, "", measure) for measure in most)


def _answers(first: "tuple[NeededValue, ...]") -> dict[tuple[str, str], str]:
    """Ask for values one by one; an empty answer leaves one open, a full stop all the rest."""
    from configurator.core.text import Misread
    from configurator.core.units import PLAIN
    from configurator.files.new_vehicle import checked_answer
    from configurator.model.values import described

    typer.echo("Enter leaves a value open, a full stop (.) ends. Units may be metric or imperial.")
    answers: dict[tuple[str, str], str] = {}
    for number, needed in enumerate(first, start=1):
        attribute = described(needed.declared)
        unit = f" [{attribute.unit}]" if attribute.unit not in PLAIN else ""
        words = f" ({' | '.join(attribute.choices)})" if attribute.choices else ""
        typer.echo(f"\n{number} of {len(first)}: {needed.words}{unit}{words}")
        typer.echo(f"  {needed.how}")
        while True:
            text = typer.prompt("", default="", show_default=False, prompt_suffix="> ")
            if not text.strip():
                break
            if text.strip() == ".":
                return answers
            try:
                answers[needed.position, needed.name] = checked_answer(needed, text)
                break
            except Misread as problem:
                typer.echo(f"  {problem.what}; {problem.do}")
    return answers


@vehicle.command("sheet", epilog="Example: fitwright vehicle sheet hoist.pdf")
def print_sheet(
    ctx: typer.Context,
    into: Annotated[Path, typer.Argument(metavar="FILE", help="Such as hoist.pdf.")],
    of: Annotated[
        str, typer.Option("--vehicle", metavar="CATALOG/KEY", help="Only what it does not say.")
    ] = "",
    title: Annotated[str, typer.Option(metavar="TEXT", help="What people call it.")] = "",
    job: Annotated[Path | None, _JOB] = None,
    goal: Annotated[list[str] | None, _GOAL] = None,
    paper: Paper = None,
) -> None:
    """Print what to measure, how, with drawings and room to write: .pdf, .xlsx or .md."""
    from configurator.cli.refusing import bad
    from configurator.cli.terminal import Terminal
    from configurator.documents import formats
    from configurator.documents.layout import on_paper
    from configurator.documents.measuring_sheet import measuring_sheet
    from configurator.files.catalog_files import catalog_folder, read_vehicle
    from configurator.model.parts import Missing

    formats.check_names([into])
    settings = settings_of(ctx)
    trade = load_trade(settings)
    figures = _figures(trade, job, goal)
    first = _needed(trade, figures)
    known: set[str] = set()
    if of:
        catalog, _, key = of.rpartition("/")
        if not catalog:
            option = "--vehicle"
            raise bad(option, f"{of!r} is not a vehicle", "write CATALOG/KEY")
        stands = read_vehicle(catalog_folder(catalog, settings.catalogs), key, trade)
        known = {*stands.values} - stands.assumed
        title = title or stands.title
        first = tuple(
            value
            for value in first
            if (
                value.name not in known
                if not value.position
                else (part := stands.fitted.get(value.position)) is None
                or isinstance(part.values.get(value.name, Missing.UNKNOWN), Missing)
            )
        )
    sheet = measuring_sheet(trade, title or "Vehicle", first, known, figures=figures)
    formats.write(on_paper(sheet, paper), into)
    Terminal().line(f"Written: {into}, {len(first)} values that are needed first.")
