"""``fitwright quote``: the quotation of a package as PDF, spreadsheet or Markdown."""

from pathlib import Path
from typing import Annotated

import typer

from configurator.cli.open_case import prepare, settings_of
from configurator.cli.parameters import JobFile, LocaleName, PackageNumber, Paper
from configurator.cli.program import app
from configurator.core import clock


@app.command("quote", epilog="Example: fitwright quote JOB.toml --pdf quotation.pdf")
def quote(
    ctx: typer.Context,
    job: JobFile,
    package: PackageNumber = 1,
    pdf: Annotated[Path | None, typer.Option(metavar="FILE", help="Write a PDF.")] = None,
    xlsx: Annotated[Path | None, typer.Option(metavar="FILE", help="Write a spreadsheet.")] = None,
    markdown: Annotated[Path | None, typer.Option(metavar="FILE", help="Write Markdown.")] = None,
    locale: LocaleName = "en_GB",
    paper: Paper = None,
) -> None:
    """Quote a package: parts, work, tax, what is promised; Markdown if no file is named."""
    from configurator import drawings
    from configurator.core.atomic_files import write_atomically
    from configurator.documents import formats
    from configurator.documents.layout import on_paper
    from configurator.documents.number_style import locale_of
    from configurator.documents.quotation import quotation_sheet
    from configurator.documents.sheet_drawings import drawn_for
    from configurator.questions.goal_certainty import certainty_in_full

    written_for = locale_of(locale)
    files = [file for file in (pdf, xlsx, markdown) if file is not None]
    formats.check_folders(files)
    settings = settings_of(ctx)
    prepared = prepare(settings, job, alone=True)

    from configurator.cli.choosing import chosen_package
    from configurator.cli.progress_line import progress

    chosen = chosen_package(prepared, package, settings, as_json=False)
    evaluation = prepared.evaluation
    with progress("working out what certainty would cost"):
        certainty = certainty_in_full(prepared)
    sheet = quotation_sheet(
        evaluation,
        chosen,
        locale=written_for,
        day=clock.today(),
        system=settings.units,
        certainty=certainty,
        drawings=drawings.for_paper(
            evaluation, chosen.choice, system=settings.units, **drawn_for(evaluation, written_for)
        ),
    )
    sheet = on_paper(sheet, paper)
    for file, made in ((pdf, formats.pdf), (xlsx, formats.xlsx), (markdown, formats.markdown)):
        if file is not None:
            write_atomically(file, made(sheet), private=True)
    if not files:
        typer.echo(formats.markdown(sheet))
