"""``fitwright options``: what is still possible at each position, and what it costs."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from configurator.cli.open_case import prepare, settings_of
from configurator.cli.parameters import AsJson, JobFile
from configurator.cli.program import app

if TYPE_CHECKING:
    from collections.abc import Sequence

    from configurator.model.jobs import Job
    from configurator.questions.answers import OptionState

_ORDER = {"available": 0, "over budget": 1, "impossible": 2}


@app.command("options", epilog="Example: fitwright options JOB.toml --position tyres")
def options(
    ctx: typer.Context,
    job: JobFile,
    position: Annotated[
        str | None, typer.Option(metavar="NAME", help="Only this position, such as tyres.")
    ] = None,
    as_json: AsJson = False,
) -> None:
    """Show which parts are still possible and what the cheapest package with each costs."""
    settings = settings_of(ctx)
    prepared = prepare(settings, job)

    from configurator.cli import answer_templates as say
    from configurator.cli.interruption import stoppable
    from configurator.cli.naming import known_position
    from configurator.cli.showing import show_job
    from configurator.cli.showing_notes import show_what_goes_with
    from configurator.cli.terminal import Terminal, write_json
    from configurator.questions import answers
    from configurator.wording.plain_data import options_record
    from configurator.wording.price_bounds import why_at_least

    evaluation = prepared.evaluation
    asked = None if position is None else [known_position(evaluation, position)]
    with stoppable("pricing every option") as stop:
        states = answers.options(prepared, asked, partial=True)
    if as_json:
        write_json(options_record(evaluation, states))
    else:
        writer = Terminal()
        show_job(writer, evaluation, settings.units)
        for name, state in states.items():
            writer.heading(name)
            rows = _rows(state, evaluation.case.job)
            headings = ("part", "state", "cheapest package", "more")
            writer.table(headings, rows, right={2, 3})
        if prepared.loose is not None:
            writer.line(say.MINIMUM_PRICES.format(why=why_at_least(prepared), job=job.name))
        show_what_goes_with(writer, evaluation, [])
    stop.end()
    if not any(item.state == "available" for result in states.values() for item in result):
        raise typer.Exit(3)


def _rows(states: Sequence[OptionState], job: Job) -> list[tuple[str, str, str, str]]:
    """Say what is known of each option: the cheapest first, what is impossible last."""
    from configurator.cli import answer_templates as say
    from configurator.evaluation.lead_times import too_late
    from configurator.wording.quantities import counted, money_words
    from configurator.wording.sentences import option_words

    currency = job.currency
    prices = [entry.price for entry in states if entry.price is not None]
    cheapest = min(prices, default=0)
    rows = []
    for item in sorted(states, key=lambda entry: (_ORDER[entry.state], entry.price or 0)):
        state, price, more = str(item.state), "", ""
        if item.price is not None:
            # Sums over everything left this open: it costs no less.
            template = "{price}" if item.exact else say.PRICE_AT_LEAST
            price = template.format(price=money_words(item.price, currency))
            more = template.format(price=money_words(item.price - cheapest, currency))
        elif item.if_freed is not None:
            # Only what was decided for this very position, or the wait for this very part, bars it.
            freed = money_words(item.if_freed, currency)
            if too_late(job, item.option):
                days = counted(item.option.part.lead_time or 0, "day")
                state, price = say.IN_AFTER.format(days=days), say.THEN_PRICE.format(price=freed)
            else:
                state, price = say.ANOTHER_CHOSEN, say.IF_UNLOCKED.format(price=freed)
        rows.append((option_words(item.option), state, price, more))
    return rows
