"""``fitwright why``: why nothing fits, or why one part cannot be in a package."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from configurator.cli.open_case import prepare, settings_of
from configurator.cli.parameters import AsJson, JobFile
from configurator.cli.program import app

if TYPE_CHECKING:
    from configurator.cli.open_case import Settings
    from configurator.evaluation.evaluator import Option
    from configurator.questions.answers import Explanation
    from configurator.search.optimum.cheapest_package import CheapestPackage
    from configurator.search.optimum.preparing import Prepared


@app.command("why", epilog="Example: fitwright why JOB.toml --part demo/MFA-37x1250R17")
def why(
    ctx: typer.Context,
    job: JobFile,
    part: Annotated[
        str | None,
        typer.Option(
            metavar="ID",
            help="Ask about this part: <catalog>/<part number>, or with --position fitted or none.",
        ),
    ] = None,
    position: Annotated[
        str | None, typer.Option(metavar="NAME", help="Only at this position.")
    ] = None,
    as_json: AsJson = False,
) -> None:
    """Explain why nothing fits, or why a part cannot be in a package that meets the job."""
    if position is not None and part is None:
        message = "needs --part: which part should be there?"
        raise typer.BadParameter(message, param_hint="--position")
    settings = settings_of(ctx)
    prepared = prepare(settings, job)

    from configurator.cli.interruption import stoppable
    from configurator.cli.naming import known_position, options_named
    from configurator.questions import answers

    evaluation = prepared.evaluation
    place = None if position is None else known_position(evaluation, position)
    asked: list[Option | None] = [None]
    if part is not None:
        asked = [*options_named(evaluation, part, place)]
    explanations: list[Explanation] = []
    with stoppable("working out why") as stop:
        for option in asked:
            place, key = (option.position, option.key) if option else (None, None)
            explanations.append(answers.why(prepared, place, key, partial=True))
            if stop.cancelled():
                asked = asked[: len(explanations)]
                break
    if as_json:
        _write_json(settings, prepared, asked, explanations)
    else:
        _show(settings, prepared, asked, explanations, stopped=stop.cancelled())
    stop.end()
    if not any(explanation.possible for explanation in explanations):
        raise typer.Exit(3)


def _cheapest(prepared: Prepared, option: Option | None) -> CheapestPackage:
    """Find the cheapest package, with the option if there is one."""
    from configurator.questions import answers

    if option is None:
        return answers.cheapest(prepared)
    return answers.cheapest(prepared, option.position, option.key)


def _write_json(
    settings: Settings,
    prepared: Prepared,
    asked: list[Option | None],
    explanations: list[Explanation],
) -> None:
    from configurator.cli.terminal import write_json
    from configurator.wording.plain_data import explanation_record, job_record, part_key
    from configurator.wording.quantities import money_record
    from configurator.wording.sentences import NOTICE

    evaluation = prepared.evaluation
    currency = evaluation.case.job.currency
    positions = {}
    record = job_record(evaluation, settings.units)
    for option, explanation in zip(asked, explanations, strict=True):
        item = explanation_record(evaluation, explanation, settings.units)
        item["cheapest_package"] = None
        if explanation.possible:
            cheapest = _cheapest(prepared, option)
            item["cheapest_package"] = money_record(cheapest.price, currency)
            item["proven"] = cheapest.proven
        if option is None:
            record.update(item)
        else:
            record["part"] = part_key(option)
            positions[option.position] = item
    if positions:
        record["possible"] = any(position["possible"] for position in positions.values())
        record["positions"] = positions
    write_json({**record, "notice": NOTICE})


def _show(
    settings: Settings,
    prepared: Prepared,
    asked: list[Option | None],
    explanations: list[Explanation],
    *,
    stopped: bool = False,
) -> None:
    from configurator.cli.showing import (
        show_conflict,
        show_job,
        show_nothing_fits,
        show_repairs,
    )
    from configurator.cli.showing_notes import show_what_goes_with
    from configurator.cli.terminal import Terminal
    from configurator.wording.quantities import money_words
    from configurator.wording.sentences import option_words

    evaluation = prepared.evaluation
    writer = Terminal()
    show_job(writer, evaluation, settings.units)
    for option, explanation in zip(asked, explanations, strict=True):
        if explanation.possible:
            cheapest = _cheapest(prepared, option)
            if option is None:
                writer.heading("This job can be met")
            else:
                writer.heading(f"{option.position}: {option_words(option)} is possible")
            about = "" if option is None else " with it"
            if cheapest.price is not None:
                cost = money_words(cheapest.price, evaluation.case.job.currency)
                found_or = "cheapest package" if cheapest.proven else "best package found"
                writer.line(f"The {found_or}{about} costs {cost}.")
                if not cheapest.proven:
                    writer.line("There may be a cheaper one: it was not proven.")
        elif option is None:
            show_nothing_fits(
                writer,
                evaluation,
                explanation.conflict,
                explanation.repairs,
                settings.units,
                stopped=stopped,
            )
        else:
            writer.heading(f"{option.position}: {option_words(option)} is not possible")
            show_conflict(writer, evaluation, explanation.conflict, settings.units)
            show_repairs(writer, evaluation, explanation.repairs, settings.units, stopped=stopped)
    show_what_goes_with(writer, evaluation, [])
