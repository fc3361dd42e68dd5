"""``fitwright handover``: what the driver must know of the changed vehicle."""

import typer

from configurator.cli.parameters import IntoSheet, JobFile, LocaleName, PackageNumber, Paper
from configurator.cli.program import app


@app.command(
    "handover", epilog="Example: fitwright handover JOB.toml --into handover.pdf --locale de_AT"
)
def handover(
    ctx: typer.Context,
    job: JobFile,
    package: PackageNumber = 1,
    into: IntoSheet = None,
    locale: LocaleName = "en_GB",
    paper: Paper = None,
) -> None:
    """Write the handover sheet: what was changed, what is different, what to mind."""
    from configurator.cli.document_files import write_sheet
    from configurator.documents.handover_sheet import handover_sheet

    write_sheet(ctx, job, package, into, locale, paper, handover_sheet)
