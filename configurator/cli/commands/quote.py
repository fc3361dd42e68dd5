"""``fitwright quote``: the quotation of a package as PDF, spreadsheet or Markdown."""

from pathlib import Path
from typing import Annotated

import typer

from configurator.cli.opening import prepare, settings_of
from configurator.cli.program import app


@app.command()
def quote(
    ctx: typer.Context,
    job: Annotated[Path, typer.Argument(metavar="JOB.toml", help="File of the job.")],
    package: Annotated[
        int, typer.Option(metavar="N", min=1, max=100, help="Of the N-th cheapest package.")
    ] = 1,
    pdf: Annotated[Path | None, typer.Option(metavar="FILE", help="Write a PDF.")] = None,
    xlsx: Annotated[Path | None, typer.Option(metavar="FILE", help="Write a spreadsheet.")] = None,
    markdown: Annotated[Path | None, typer.Option(metavar="FILE", help="Write Markdown.")] = None,
    locale: Annotated[str, typer.Option(metavar="NAME", help="Such as en_GB, de_AT.")] = "en_GB",
) -> None:
    """Quote a package: parts, work, tax, what is promised; Markdown if no file is named."""
    import datetime

    from configurator.sheets import papers
    from configurator.sheets.quotation import locale_of, quotation

    written_for = locale_of(locale)
    settings = settings_of(ctx)
    prepared = prepare(settings, job)

    from configurator.cli.choosing import chosen_package
    from configurator.cli.refusing import bad

    chosen = chosen_package(prepared, package, settings, as_json=False)
    data = quotation(
        prepared.evaluation,
        chosen,
        locale=written_for,
        day=datetime.date.today(),
        system=settings.units,
    )
    for file in (pdf, xlsx, markdown):
        if file is not None and not file.absolute().parent.is_dir():
            raise bad(str(file), "its folder is not there", "make the folder or name another")
    if pdf is not None:
        pdf.write_bytes(papers.pdf(data))
    if xlsx is not None:
        papers.xlsx(data, xlsx)
    if markdown is not None:
        markdown.write_text(papers.markdown(data), encoding="utf-8")
    if pdf is xlsx is markdown is None:
        typer.echo(papers.markdown(data))
