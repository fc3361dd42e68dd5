"""``fitwright new``: write a job's file from a few answers."""

from __future__ import annotations

import re
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from configurator.cli.open_case import check_catalog_folders, load_trade, settings_of
from configurator.cli.program import app
from configurator.cli.refusing import bad

if TYPE_CHECKING:
    from collections.abc import Sequence

    from configurator.model.knowledge import Trade

_GOAL = re.compile(r"(.+?)\s+(at least|at most|as high as possible|as low as possible)\b\s*(.*)")
FIRST_GOALS = ("clearance under front axle", "clearance under rear axle", "entry height")


@app.command(
    "new",
    epilog='Example: fitwright new JOB.toml --vehicle demo/valdrin-boek --budget "5600 EUR" '
    '--goal "crawl ratio at least 52"',
)
def new(
    ctx: typer.Context,
    job: Annotated[Path, typer.Argument(metavar="JOB.toml", help="The file to write.")],
    vehicle: Annotated[
        str | None, typer.Option(metavar="CATALOG/KEY", help="Such as demo/valdrin-boek.")
    ] = None,
    title: Annotated[str | None, typer.Option(metavar="TEXT", help="What the job is.")] = None,
    catalog: Annotated[
        list[str] | None,
        typer.Option(
            metavar="NAME",
            help="Whose parts to choose from, the vehicle's by default; several times for more.",
        ),
    ] = None,
    budget: Annotated[
        str | None, typer.Option(metavar="AMOUNT", help='Such as "5600 EUR"; "none" for no limit.')
    ] = None,
    goal: Annotated[
        list[str] | None,
        typer.Option(
            metavar="TEXT",
            help='Such as "entry height at most 620 mm" or "crawl ratio as high as possible". May '
            "be given several times, the most important first.",
        ),
    ] = None,
) -> None:
    """Ask for vehicle, goals and budget, and write the job's file; options answer beforehand."""
    if job.exists():
        raise bad(str(job), "the file is there already", "name a new one")
    if not job.absolute().parent.is_dir():
        raise bad(str(job), "its folder is not there", "make the folder, or name another")
    settings = settings_of(ctx)
    check_catalog_folders(settings)
    trade = load_trade(settings)
    asking = sys.stdin.isatty()
    vehicles = _vehicles(settings.catalogs)
    if vehicle is None:
        vehicle = _ask_vehicle(vehicles) if asking else None
    if vehicle is None:
        raise bad(
            where="--vehicle",
            what="no vehicle is named, and nobody can be asked",
            do=f"name one of: {', '.join(vehicles)}",
        )
    if title is None:
        title = typer.prompt("What is the job", default=f"Work on {vehicle}") if asking else ""
    goals = list(goal or ())
    if not goals and asking:
        goals = _ask_goals(trade)
    if budget is None and asking:
        budget = typer.prompt("Budget, such as 5600 EUR (none for no limit)", default="none")
    catalogs = list(catalog or ()) or [vehicle.partition("/")[0]]
    text = _written(title or f"Work on {vehicle}", vehicle, catalogs, budget, goals)

    from configurator.cli.terminal import Terminal
    from configurator.core.atomic_files import write_atomically
    from configurator.core.text import Report, sound
    from configurator.files import toml_files
    from configurator.files.job_files import case_of
    from configurator.files.job_text import job_of

    report = Report()
    top = toml_files.load(text, job.name, report)
    asked = sound(None if top is None else job_of(top, trade), report)
    case_of(asked, trade, settings.catalogs, where=job.name)
    write_atomically(job, text, private=True)
    Terminal().line(f"{job}: written. Next: fitwright find {job}")


def _vehicles(folders: Sequence[Path]) -> list[str]:
    """List the vehicles of all catalogs."""
    from configurator.core import paths
    from configurator.files.vehicle_files import vehicle_keys

    homes = [*folders, paths.catalogs()]
    catalogs = {file.parent.name: file.parent for h in homes for file in h.glob("*/catalog.toml")}
    return [f"{name}/{key}" for name, folder in catalogs.items() for key in vehicle_keys(folder)]


def _ask_vehicle(vehicles: Sequence[str]) -> str:
    for number, name in enumerate(vehicles, 1):
        typer.echo(f"  {number}  {name}")
    answer = str(typer.prompt("Which vehicle (its number or name)"))
    if answer.isdigit() and 1 <= int(answer) <= len(vehicles):
        return vehicles[int(answer) - 1]
    return answer


def _ask_goals(trade: Trade) -> list[str]:
    """Ask for goals until nothing is entered."""
    known = [name for name in FIRST_GOALS if name in trade.figures]
    typer.echo(
        f"Goals, the most important first, such as: {known[0] if known else 'NAME'} at least "
        "300 mm. An empty line ends. fitwright figures --list names all figures."
    )
    goals: list[str] = []
    while text := str(typer.prompt("Goal", default="", show_default=False)).strip():
        if _GOAL.fullmatch(text):
            goals.append(text)
        else:
            typer.echo("  Write NAME at least VALUE, at most VALUE, or as high (low) as possible.")
    return goals


def _written(
    title: str, vehicle: str, catalogs: Sequence[str], budget: str | None, goals: Sequence[str]
) -> str:
    from configurator.files.job_writing import quoted

    lines = [
        f"title = {quoted(title)}",
        f"vehicle = {quoted(vehicle)}",
        f"catalogs = [{', '.join(quoted(name) for name in catalogs)}]",
    ]
    if budget and budget.strip().lower() != "none":
        lines.append(f"budget = {quoted(budget.strip())}")
    tables: dict[str, list[str]] = {}
    for text in goals:
        match = _GOAL.fullmatch(text.strip())
        if match is None:
            raise bad(
                where="--goal",
                what=f"{text!r} is no goal",
                do='write it as in "entry height at most 620 mm"',
            )
        name, kind, value = match[1], match[2], match[3].strip()
        if kind.startswith("as "):
            entry = f"as_possible = {quoted(kind.split()[1])}"
        else:
            entry = f"{kind.replace(' ', '_')} = {quoted(value)}"
        tables.setdefault(name, []).append(entry)
    for name, entries in tables.items():
        lines += ["", f"[goals.{quoted(name)}]", *entries]
    return "\n".join(lines) + "\n"
