"""``fitwright handover``: what the driver must know of the changed vehicle."""

from pathlib import Path
from typing import Annotated

import typer

from configurator.cli.document_files import Paper
from configurator.cli.program import app


@app.command(
    "handover", epilog="Example: fitwright handover JOB.toml --into handover.pdf --locale de_AT"
)
def handover(
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
) -> None:
    """Write the handover sheet: what was changed, what is different, what to mind."""
    from configurator.cli.document_files import write_sheet
    from configurator.documents.handover_sheet import handover_sheet

    write_sheet(ctx, job, package, into, locale, paper, handover_sheet)
