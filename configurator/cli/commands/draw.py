"""``fitwright draw``: a drawing of a package to scale, or its engine speeds, as SVG."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Annotated, Literal

import typer

from configurator.cli.open_case import prepare, settings_of
from configurator.cli.parameters import JobFile, PackageNumber
from configurator.cli.program import app
from configurator.core.errors import InputError, Problem
from configurator.core.text import shown

# Beyond it the words are larger than the vehicle.
SMALLEST_SCALE = 100


@app.command("draw", epilog="Example: fitwright draw JOB.toml --into front.svg --view front")
def draw(
    ctx: typer.Context,
    job: JobFile,
    into: Annotated[Path, typer.Option(metavar="FILE.svg", help="File to write.")],
    view: Annotated[
        Literal["front", "rear", "wheel", "side", "speeds"],
        typer.Option(
            help="An axle, a front wheel, the left side, or engine speed against road speed."
        ),
    ] = "front",
    package: PackageNumber = 1,
    apart: Annotated[
        bool,
        typer.Option(
            "--apart/--together", help="Before and after as two pictures, or over one another."
        ),
    ] = False,
    scale: Annotated[
        str | None,
        typer.Option(metavar="1:N", help="By default the largest that fits the width."),
    ] = None,
    width: Annotated[
        float | None,
        typer.Option(metavar="MM", min=60, max=2000, help="Of the paper; by default 170 mm."),
    ] = None,
    units: Annotated[
        Literal["metric", "imperial"] | None,
        typer.Option(help="Units of the dimensions; by default as for the whole program."),
    ] = None,
    theme: Annotated[Literal["light", "dark"], typer.Option(help="Colours.")] = "light",
) -> None:
    """Draw the vehicle with a package over the vehicle as it stands."""
    one_to, problems = _scale(scale)
    if into.suffix.lower() != ".svg":
        what = f"{into.name!r} does not end in .svg"
        problems.append(Problem("--into", what, "name a file such as front.svg"))
    if not into.absolute().parent.is_dir():
        what = "its folder is not there"
        problems.append(Problem(str(into), what, "make the folder or name another"))
    if view == "speeds" and (scale is not None or apart):
        what = "a chart has no scale and is not drawn apart"
        problems.append(Problem("--view speeds", what, "leave both out"))
    if problems:
        raise InputError(problems)
    settings = settings_of(ctx)
    prepared = prepare(settings, job, alone=True)

    from configurator import drawings
    from configurator.cli.choosing import chosen_package
    from configurator.cli.refusing import bad, warn
    from configurator.core.atomic_files import write_atomically

    evaluation = prepared.evaluation
    chosen = chosen_package(prepared, package, settings, as_json=False)
    drawing = drawings.draw(
        evaluation,
        chosen.choice,
        view,
        width=width,
        scale=one_to,
        arrangement="apart" if apart else "together",
        ink=drawings.DARK if theme == "dark" else drawings.LIGHT,
        system=units or settings.units,
    )
    if not drawing.drawn:
        what = f"{drawing.title} cannot be drawn: {'; '.join(drawing.not_drawn)}"
        raise bad(evaluation.case.vehicle.key, what, "enter what is missing in the vehicle's file")
    write_atomically(into, drawing.svg)
    at = f"1:{drawing.scale}, " if drawing.scale else ""
    typer.echo(f"{into}: {at}{drawing.width:.0f} by {drawing.height:.0f} mm")
    warn(f"not drawn: {line}" for line in drawing.not_drawn)


def _scale(text: str | None) -> tuple[int | None, list[Problem]]:
    if text is None:
        return None, []
    match = re.fullmatch(r"\s*1\s*:\s*([0-9]{1,3})\s*", text)
    if match is None or not 1 <= int(match[1]) <= SMALLEST_SCALE:
        do = f"write one from 1:1 to 1:{SMALLEST_SCALE}, such as 1:20"
        return None, [Problem("--scale", f"{shown(text)} is no scale for a drawing", do)]
    return int(match[1]), []
