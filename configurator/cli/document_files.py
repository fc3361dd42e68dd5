"""Write a sheet of a package: what ``fitwright build-sheet`` and ``fitwright handover`` share."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Literal

import typer

from configurator.cli.open_case import prepare, settings_of
from configurator.core import clock

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from configurator.documents.layout import Sheet


def write_sheet(
    ctx: typer.Context,
    job: Path,
    number: int,
    into: Path | None,
    locale: str,
    on: Literal["a4", "letter"] | None,
    lay_out: Callable[..., Sheet],
    *,
    reasons: bool = False,
) -> None:
    """Lay out a sheet of the N-th cheapest package; Markdown if no file is named.

    Parameters
    ----------
    ctx
        With the global options.
    job
        File of the job.
    number
        Of the package.
    into
        The file; its name says of what kind.
    locale
        How numbers and dates are written.
    on
        The paper that was asked for; None for the workshop's, or the reader's country's.
    lay_out
        As `configurator.documents.build_sheet.build_sheet`.
    reasons
        Whether to work out which part needs which other; ``lay_out`` then takes ``forced``.
    """
    from configurator import drawings
    from configurator.documents import formats
    from configurator.documents.layout import on_paper
    from configurator.documents.number_style import locale_of
    from configurator.documents.sheet_drawings import drawn_for

    written_for = locale_of(locale)
    if into is not None:
        formats.check_names([into])
    settings = settings_of(ctx)
    prepared = prepare(settings, job, alone=not reasons)

    from configurator.cli.choosing import chosen_package

    chosen = chosen_package(prepared, number, settings, as_json=False)
    evaluation = prepared.evaluation
    more: dict[str, Any] = {}
    if reasons:
        from configurator.cli.progress_line import progress
        from configurator.consequences.upgrades import forces_each

        changed = [option for option in chosen.choice.values() if option.changed]
        with progress("working out which part needs which other"):
            more["forced"] = forces_each(prepared, changed)
    sheet = lay_out(
        evaluation,
        chosen,
        **more,
        locale=written_for,
        day=clock.today(),
        system=settings.units,
        drawings=drawings.for_paper(
            evaluation,
            chosen.choice,
            system=settings.units,
            **drawn_for(evaluation, written_for),
            names=("front", "rear", "side"),
        ),
    )
    sheet = on_paper(sheet, on)
    if into is None:
        typer.echo(formats.markdown(sheet))
    else:
        formats.write(sheet, into)
