"""``fitwright build-sheet``: what the fitter does, tightens, looks at and measures."""

from typing import Annotated

import typer

from configurator.cli.parameters import IntoSheet, JobFile, LocaleName, PackageNumber, Paper
from configurator.cli.program import app


@app.command("build-sheet", epilog="Example: fitwright build-sheet JOB.toml --into build.pdf")
def build(
    ctx: typer.Context,
    job: JobFile,
    package: PackageNumber = 1,
    into: IntoSheet = None,
    locale: LocaleName = "en_GB",
    paper: Paper = None,
    reasons: Annotated[
        bool,
        typer.Option("--reasons", help="Say which part needs which other; takes some seconds."),
    ] = False,
) -> None:
    """Write the build sheet: work in sequence, torques, inspections, what to measure."""
    from configurator.cli.document_files import write_sheet
    from configurator.documents.build_sheet import build_sheet

    write_sheet(ctx, job, package, into, locale, paper, build_sheet, reasons=reasons)
