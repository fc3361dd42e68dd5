"""``fitwright compare``: an idea beside the package without it."""

from __future__ import annotations

from typing import Annotated

import typer

from configurator.cli.open_case import prepare, settings_of
from configurator.cli.parameters import AsJson, JobFile
from configurator.cli.program import app


@app.command(
    "compare", epilog='Example: fitwright compare JOB.toml --choose "front springs=demo/CF-32-40"'
)
def compare(
    ctx: typer.Context,
    job: JobFile,
    choose: Annotated[
        list[str],
        typer.Option(
            metavar="POSITION=PART",
            help="The idea: this part at this position (or none, or fitted). May be given several "
            "times: all together are one idea.",
        ),
    ],
    as_json: AsJson = False,
) -> None:
    """Compare the cheapest package with an idea to the one without it."""
    settings = settings_of(ctx)
    prepared = prepare(settings, job)

    from configurator.cli import answer_templates as say
    from configurator.cli.naming import choice_named
    from configurator.cli.progress_line import progress
    from configurator.cli.showing import show_conflict, show_job, show_repairs
    from configurator.cli.showing_notes import show_what_goes_with
    from configurator.cli.terminal import Terminal, write_json
    from configurator.questions.idea_comparison import compare_idea
    from configurator.wording.idea_words import (
        UNPROVEN,
        also_lines,
        conclusion,
        idea_record,
        idea_rows,
    )

    evaluation = prepared.evaluation
    options = [choice_named(evaluation, text, "--choose") for text in choose]
    with progress("comparing"):
        comparison = compare_idea(prepared, {item.position: item.key for item in options})
    if as_json:
        write_json(idea_record(evaluation, comparison, settings.units))
    else:
        writer = Terminal()
        show_job(writer, evaluation, settings.units)
        writer.heading(conclusion(evaluation, comparison))
        if not comparison.proven:
            writer.line(UNPROVEN)
        for heading, rows in idea_rows(evaluation, comparison, settings.units).items():
            if rows:
                writer.heading(heading)
                writer.table(("", "without the idea", "with it"), rows, right={1, 2})
        if also := also_lines(comparison):
            writer.heading(say.ALSO_DIFFERENT)
            writer.items(also)
        if comparison.with_idea is None:
            show_conflict(writer, evaluation, comparison.conflict, settings.units)
            show_repairs(writer, evaluation, comparison.repairs, settings.units)
        shown = [p for p in (comparison.without, comparison.with_idea) if p is not None]
        show_what_goes_with(writer, evaluation, shown)
    if comparison.with_idea is None:
        raise typer.Exit(3)
