"""``fitwright count``: how many packages meet a job, in all and with each part."""

from __future__ import annotations

from typing import Annotated

import typer

from configurator.cli.open_case import prepare, settings_of
from configurator.cli.parameters import AsJson, JobFile
from configurator.cli.program import app


@app.command("count", epilog="Example: fitwright count JOB.toml --position tyres")
def count(
    ctx: typer.Context,
    job: JobFile,
    position: Annotated[
        str | None, typer.Option(metavar="NAME", help="Count the parts of this position.")
    ] = None,
    as_json: AsJson = False,
) -> None:
    """Count the packages that meet a job, in all and with each part of a position."""
    settings = settings_of(ctx)
    prepared = prepare(settings, job)

    from configurator.cli.interruption import stoppable
    from configurator.cli.naming import known_position
    from configurator.cli.showing import show_job
    from configurator.cli.showing_notes import show_what_goes_with
    from configurator.cli.terminal import Terminal, write_json
    from configurator.questions import answers
    from configurator.wording.sentences import option_words
    from configurator.wording.tallies import count_record, count_words, number_words

    evaluation = prepared.evaluation
    asked = None if position is None else [known_position(evaluation, position)]
    if asked is None and not as_json:
        asked = []  # fifty tables of numbers tell a reader nothing
    with stoppable("counting") as stop:
        counts = answers.count(prepared, asked, partial=True)
    if as_json:
        write_json(count_record(evaluation, counts, settings.units))
    else:
        writer = Terminal()
        show_job(writer, evaluation, settings.units)
        writer.heading("How many packages")
        for sentence in count_words(evaluation, counts):
            writer.line(sentence)
        for name, numbers in counts.options.items():
            writer.heading(f"{name}: packages with each part{'' if counts.exact else ', at most'}")
            both = zip(evaluation.options(name), numbers, strict=True)
            rows = [
                (option_words(option), number_words(number), _share(number, counts.total))
                for option, number in sorted(both, key=lambda item: -item[1])
            ]
            if counts.exact:
                writer.table(("part", "packages", "of all"), rows, right={1, 2})
            else:  # a share of what is only a bound says nothing
                writer.table(("part", "packages"), [row[:2] for row in rows], right={1})
        show_what_goes_with(writer, evaluation, [])
    stop.end()
    if not counts.total:
        raise typer.Exit(3)


def _share(number: int, total: int) -> str:
    if not number:
        return "none"
    share = number * 100 / total
    return "below 0.1 %" if share < 0.1 else f"{share:.1f} %"
