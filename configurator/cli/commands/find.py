"""``fitwright find``: the cheapest packages that meet a job."""

from __future__ import annotations

import sys
from dataclasses import replace
from typing import TYPE_CHECKING, Annotated, Any

import typer

from configurator.cli.open_case import make_ready, read, settings_of
from configurator.cli.parameters import AsJson, JobFile
from configurator.cli.program import app
from configurator.core.deferred import waiting_until_shown

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from configurator.evaluation.evaluator import Evaluation
    from configurator.questions.certainty_records import CertaintyPrice, GoalCertainty
    from configurator.questions.job_answer import Answer
    from configurator.questions.kept_outcomes import KeptOutcome
    from configurator.search.optimum.preparing import Prepared
    from configurator.wording.quantities import System


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
    evaluation, _ = read(settings, job, sure=sure)

    from configurator.cli.showing import show_answer
    from configurator.cli.terminal import Terminal
    from configurator.questions import kept_outcomes

    # What came of it before is shown again, without a search, where nothing more is asked.
    before = kept_outcomes.look_up(evaluation, settings.limits)
    alone = cheapest == 1 and different is None and not assumed
    known = before.answer(evaluation) if before is not None and alone else None
    if known is not None and before is not None:
        if not as_json:
            show_answer(Terminal(), evaluation, known, settings.units)
        _end(evaluation, known, before.certainty, before.goals, settings.units, as_json=as_json)
        return
    prepared = make_ready(settings, evaluation, alone=True)
    _search(prepared, before, cheapest, different, settings.units, assumed=assumed, as_json=as_json)


def _search(
    prepared: Prepared,
    before: KeptOutcome | None,
    cheapest: int,
    different: int | None,
    units: System | None,
    *,
    assumed: bool,
    as_json: bool,
) -> None:
    """Find packages and what certainty costs, and show each as soon as it is there."""
    from configurator.cli.interruption import stoppable
    from configurator.cli.showing import show_answer
    from configurator.cli.terminal import Terminal
    from configurator.evaluation.assumed import assumed_of
    from configurator.questions import answers, kept_outcomes
    from configurator.questions.certainty_price import price_of_certainty
    from configurator.questions.goal_certainty import goal_certainties
    from configurator.questions.next_steps import next_steps
    from configurator.wording.next_step_words import next_step_record, next_step_words
    from configurator.wording.package_differences import (
        different_record,
        different_words,
        measure_words,
    )
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
        record["different"] = different_record(evaluation, diverse, units)
        notes = [
            different_words(evaluation, diverse, number, units)
            for number in range(len(diverse.packages))
        ]
        wanted = len(notes) if stop.cancelled() else different
        notes[:1] = [measure_words(evaluation, diverse, wanted)]
    if any(item.as_possible for item in evaluation.case.job.goals) and not stop.cancelled():
        with stoppable("looking for the next step") as stop:
            steps = next_steps(prepared, answer)
        if steps:
            record["next_steps"] = [next_step_record(evaluation, step, units) for step in steps]
            after = "\n".join(next_step_words(evaluation, step, units) for step in steps)
            notes[:1] = [f"{notes[0]}\n{after}" if notes and notes[0] else after]
    prices = None
    if assumed and not stop.cancelled():
        choice = answer.packages[0].choice if answer.packages else evaluation.fitted
        prices = _at_bounds(prepared, assumed_of(evaluation, answer.job, choice))
    stopped = stop.cancelled()
    if not as_json:  # the answer at once; what certainty costs may take as long again
        show_answer(Terminal(), evaluation, answer, units, notes, stopped=stopped, prices=prices)
        sys.stdout.flush()
    certainty = None
    of_goals: list[GoalCertainty] = []
    if before is not None and not stopped:
        certainty, of_goals = before.certainty, before.goals
    elif not stopped:
        with stoppable("working out what certainty costs") as stop:
            certainty = price_of_certainty(prepared, partial=True)
        cheapest_asked = certainty.in_grade(evaluation.case.job.sure)
        if cheapest_asked.choice is not None and not stop.cancelled():
            with stoppable("working out what certainty of each goal costs") as stop:
                of_goals = goal_certainties(prepared, cheapest_asked.choice, partial=True)
    answered = before is not None and before.cheapest is not None
    if certainty is not None and not answered and not stop.cancelled():
        kept_outcomes.keep(evaluation, prepared.limits, certainty, of_goals, answer)
    _end(
        evaluation, answer, certainty, of_goals, units,
        as_json=as_json, prices=prices, record=record,
    )  # fmt: skip
    advice = "" if stopped or as_json else solver_words(prepared)
    if advice and answer.outcome == "best found":
        Terminal().line(advice)
    stop.end()
    if answer.outcome == "nothing fits":
        raise typer.Exit(3)


def _end(
    evaluation: Evaluation,
    answer: Answer,
    certainty: CertaintyPrice | None,
    goals: Sequence[GoalCertainty],
    units: System | None,
    *,
    as_json: bool,
    prices: Mapping[Any, int | None] | None = None,
    record: Mapping[str, Any] | None = None,
) -> None:
    """Show what certainty costs, below an answer that is shown; or all of it as JSON."""
    from configurator.cli import answer_templates as say
    from configurator.cli.terminal import Terminal, write_json
    from configurator.wording.certainty_price_words import (
        certainty_lines,
        certainty_record,
        goal_certainty_lines,
        goal_certainty_records,
    )
    from configurator.wording.plain_data import answer_record

    if as_json:
        written: dict[str, Any] = {**answer_record(evaluation, answer, units, prices)}
        if certainty is not None:
            written["certainty"] = {
                **certainty_record(evaluation, certainty, units),
                "goals": goal_certainty_records(evaluation, goals, units),
            }
        write_json({**written, **(record or {})})
    elif certainty is not None:
        writer = Terminal()
        writer.heading(say.PRICE_OF_CERTAINTY)
        writer.items(certainty_lines(evaluation, certainty, units))
        price = certainty.in_grade(evaluation.case.job.sure).price
        if price is not None:
            writer.items(goal_certainty_lines(evaluation, price, goals, units))


def _at_bounds(prepared: Any, assumed: Any) -> Any:
    """Solve the job anew at the usual bounds of what was assumed, saying how far it is."""
    from configurator.cli.progress_line import progress
    from configurator.core.progress import Progress
    from configurator.questions.assumed_bounds import prices_at_bounds

    with progress("what was assumed", Progress("{done} of {of} worked out")):
        return prices_at_bounds(prepared, assumed)
