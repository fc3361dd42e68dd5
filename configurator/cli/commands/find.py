"""``fitwright find``: the cheapest packages that meet a job."""

import sys
from dataclasses import replace
from typing import Annotated, Any

import typer

from configurator.cli.open_case import prepare, settings_of
from configurator.cli.parameters import AsJson, JobFile
from configurator.cli.program import app
from configurator.core.deferred import waiting_until_shown


@app.command("find", epilog="Example: fitwright find JOB.toml --cheapest 3")
def find(
    ctx: typer.Context,
    job: JobFile,
    cheapest: Annotated[
        int, typer.Option(metavar="N", min=1, max=100, help="How many packages at most.")
    ] = 1,
    different: Annotated[
        int | None,
        typer.Option(
            metavar="N",
            min=2,
            max=12,
            help="So many packages that really differ, each the cheapest of its kind.",
        ),
    ] = None,
    assumed: Annotated[
        bool,
        typer.Option(
            "--assumed",
            help="Also work out the answer where measures that nobody gave usually lie.",
        ),
    ] = False,
    sure: Annotated[
        bool | None,
        typer.Option(
            "--sure/--as-calculated",
            help="Whether law, plates and clearances must hold within usual tolerances, or as"
            " calculated only.",
            show_default="as the job says, or else sure",
        ),
    ] = None,
    as_json: AsJson = False,
) -> None:
    """Find the cheapest complete packages that meet a job, or say why nothing fits."""
    if different is not None and cheapest > 1:
        message = "use either --cheapest or --different"
        raise typer.BadParameter(message, param_hint="--different")
    settings = settings_of(ctx)
    ctx.with_resource(waiting_until_shown())
    prepared = prepare(settings, job, sure=sure, alone=True)

    from configurator.cli import answer_templates as say
    from configurator.cli.interruption import stoppable
    from configurator.cli.showing import show_answer
    from configurator.cli.terminal import Terminal, write_json
    from configurator.evaluation.assumed import assumed_of
    from configurator.questions import answers, kept_certainty
    from configurator.questions.certainty_price import price_of_certainty
    from configurator.questions.goal_certainty import GoalCertainty, goal_certainties
    from configurator.questions.next_steps import next_steps
    from configurator.wording.certainty_price_words import (
        certainty_lines,
        certainty_record,
        goal_certainty_lines,
        goal_certainty_records,
    )
    from configurator.wording.next_step_words import next_step_record, next_step_words
    from configurator.wording.package_differences import (
        different_record,
        different_words,
        measure_words,
    )
    from configurator.wording.plain_data import answer_record
    from configurator.wording.price_bounds import solver_words

    evaluation = prepared.evaluation

    with stoppable("searching") as stop:
        answer = answers.find(prepared, cheapest, partial=True)
    record: dict[str, Any] = {}
    notes: list[str] = []
    if different is not None and answer.outcome == "found" and not stop.cancelled():
        with stoppable("searching packages that differ") as stop:
            diverse = answers.different(prepared, different, partial=True)
        answer = replace(answer, packages=diverse.packages or answer.packages)
        record = {"different": different_record(evaluation, diverse, settings.units)}
        notes = [
            different_words(evaluation, diverse, number, settings.units)
            for number in range(len(diverse.packages))
        ]
        wanted = len(notes) if stop.cancelled() else different
        notes[:1] = [measure_words(evaluation, diverse, wanted)]
    steps = []
    if any(item.as_possible for item in evaluation.case.job.goals) and not stop.cancelled():
        with stoppable("looking for the next step") as stop:
            steps = next_steps(prepared, answer)
    prices = None
    if assumed and not stop.cancelled():
        choice = answer.packages[0].choice if answer.packages else evaluation.fitted
        prices = _at_bounds(prepared, assumed_of(evaluation, answer.job, choice))
    stopped = stop.cancelled()
    if not as_json:  # the answer at once; what certainty costs may take as long again
        if steps:
            after = "\n".join(next_step_words(evaluation, step, settings.units) for step in steps)
            notes[:1] = [f"{notes[0]}\n{after}" if notes and notes[0] else after]
        show_answer(
            Terminal(), evaluation, answer, settings.units, notes, stopped=stopped, prices=prices
        )
        sys.stdout.flush()
    certainty = None
    of_goals: list[GoalCertainty] = []
    kept = None if stopped else kept_certainty.look_up(prepared)
    if kept is not None:
        certainty, of_goals = kept
    elif not stopped:
        with stoppable("working out what certainty costs") as stop:
            certainty = price_of_certainty(prepared, partial=True)
    cheapest_asked = None if certainty is None else certainty.in_grade(evaluation.case.job.sure)
    if certainty is not None and kept is None and not stop.cancelled():
        if cheapest_asked is not None and cheapest_asked.choice is not None:
            with stoppable("working out what certainty of each goal costs") as stop:
                of_goals = goal_certainties(prepared, cheapest_asked.choice, partial=True)
        if not stop.cancelled():
            kept_certainty.keep(prepared, certainty, of_goals)
    if as_json:
        if certainty is not None:
            record["certainty"] = {
                **certainty_record(evaluation, certainty, settings.units),
                "goals": goal_certainty_records(evaluation, of_goals, settings.units),
            }
        if steps:
            record["next_steps"] = [
                next_step_record(evaluation, step, settings.units) for step in steps
            ]
        write_json({**answer_record(evaluation, answer, settings.units, prices), **record})
    else:
        if certainty is not None:
            Terminal().heading(say.PRICE_OF_CERTAINTY)
            Terminal().items(certainty_lines(evaluation, certainty, settings.units))
            if cheapest_asked is not None and cheapest_asked.price is not None:
                Terminal().items(
                    goal_certainty_lines(evaluation, cheapest_asked.price, of_goals, settings.units)
                )
        advice = "" if stopped else solver_words(prepared)
        if advice and answer.outcome == "best found":
            Terminal().line(advice)
    stop.end()
    if answer.outcome == "nothing fits":
        raise typer.Exit(3)


def _at_bounds(prepared: Any, assumed: Any) -> Any:
    """Solve the job anew at the usual bounds of what was assumed, saying how far it is."""
    from configurator.cli.progress_line import progress
    from configurator.core.progress import Progress
    from configurator.questions.assumed_bounds import prices_at_bounds

    with progress("what was assumed", Progress("{done} of {of} worked out")):
        return prices_at_bounds(prepared, assumed)
