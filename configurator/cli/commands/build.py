"""``fitwright build-sheet``: what the fitter does, tightens, looks at and measures."""

from pathlib import Path
from typing import Annotated

import typer

from configurator.cli.document_files import Paper
from configurator.cli.program import app


@app.command("build-sheet", epilog="Example: fitwright build-sheet JOB.toml --into build.pdf")
def build(
    ctx: typer.Context,
    job: Annotated[Path, typer.Argument(metavar="JOB.toml", help="File of the job.")],
    package: Annotated[
        int, typer.Option(metavar="N", min=1, max=100, help="Of the N-th cheapest package.")
    ] = 1,
    into: Annotated[
        Path | None,
        typer.Option(metavar="FILE", help="Write .pdf, .xlsx or .md; Markdown here without it."),
    ] = None,
    locale: Annotated[str, typer.Option(metavar="NAME", help="Such as en_GB, de_AT.")] = "en_GB",
    paper: Paper = None,
    reasons: Annotated[
        bool,
        typer.Option(
            "--reasons", help="Say which part needs which other; can take a minute or more."
        ),
    ] = False,
) -> None:
    """Write the build sheet: work in sequence, torques, inspections, what to measure."""
    from configurator.cli.document_files import write_sheet
    from configurator.documents.build_sheet import build_sheet

    write_sheet(ctx, job, package, into, locale, paper, build_sheet, reasons=reasons)
