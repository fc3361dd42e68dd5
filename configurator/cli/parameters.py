"""Arguments and options that several commands have, with their help."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, Literal

import typer

JobFile = Annotated[Path, typer.Argument(metavar="JOB.toml", help="File of the job.")]
AsJson = Annotated[bool, typer.Option("--json", help="Write JSON.")]
PackageNumber = Annotated[
    int, typer.Option(metavar="N", min=1, max=100, help="Of the N-th cheapest package.")
]
IntoSheet = Annotated[
    Path | None,
    typer.Option(metavar="FILE", help="Write .pdf, .xlsx or .md; Markdown here without it."),
]
LocaleName = Annotated[str, typer.Option(metavar="NAME", help="Such as en_GB, de_AT.")]
Paper = Annotated[
    Literal["a4", "letter"] | None,
    typer.Option(
        help="Of a PDF or spreadsheet; by default what the workshop's settings say, else what is "
        "used where the locale is from.",
    ),
]
