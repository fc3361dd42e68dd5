"""``fitwright demo``: the jobs of the invented workshop that come with Fitwright."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import typer

from configurator.cli.open_case import prepare, settings_of
from configurator.cli.program import app

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from configurator.cli.open_case import Settings
    from configurator.cli.terminal import Terminal
    from configurator.evaluation.packages import Package
    from configurator.questions.answers import Answer, OptionState
    from configurator.search.optimum.preparing import Prepared

# Where the way with geared hub reductions and the way without part; the demo is about them.
HUBS = "front hub reductions"
# The jobs that are shown before the others.
FIRST = ("hut-track-wagon", "surveyor-pickup", "vineyard-trucks")


@app.command("demo", epilog="Example: fitwright demo")
def demo(ctx: typer.Context) -> None:
    """Show the bundled jobs: the first in full, the others in short."""
    from configurator.cli import answer_templates as say
    from configurator.cli.terminal import Terminal
    from configurator.core import paths

    settings = settings_of(ctx)
    folder = paths.catalogs() / "demo" / "jobs"
    jobs = sorted(folder.glob("*.toml"), key=lambda job: (job.stem not in FIRST, job.stem))
    writer = Terminal()
    outcomes = []
    for number, job in enumerate(jobs):
        prepared = prepare(settings, job)
        outcomes.append(
            _in_full(writer, settings, prepared)
            if number == 0
            else _in_short(writer, settings, prepared)
        )
        writer.line("")
    writer.heading(say.GO_ON)
    # As it was called: in a checkout it is in no folder that a shell looks in.
    called = sys.argv[0] if Path(sys.argv[0]).stem == "fitwright" else "fitwright"
    writer.items(line.format(fitwright=called, job=jobs[0]) for line in say.WAYS_ON if jobs)
    if "nothing fits" in outcomes:
        raise typer.Exit(3)


def _find(
    prepared: Prepared,
) -> tuple[Answer, dict[str, list[OptionState]]]:
    """Find the cheapest package, and price the options where the ways part."""
    from configurator.cli.progress_line import progress
    from configurator.questions import answers

    with progress("searching"):
        positions = [HUBS] if HUBS in prepared.evaluation.families else []
        return answers.find(prepared), answers.options(prepared, positions)


def _in_full(writer: Terminal, settings: Settings, prepared: Prepared) -> str:
    from configurator.cli import showing, showing_notes

    evaluation, system = prepared.evaluation, settings.units
    answer, states = _find(prepared)
    showing.show_job(writer, evaluation, system)
    for package in answer.packages:
        showing.show_price(writer, evaluation, package)
        showing.show_parts(writer, evaluation, package)
        showing.show_work(writer, evaluation, package)
        showing.show_goals(writer, evaluation, answer.job, package, system)
        _show_forced(writer, settings, prepared, package)
        showing.show_margins(writer, evaluation, package, system)
    if not answer.packages:
        showing.show_nothing_fits(writer, evaluation, answer.conflict, answer.repairs, system)
    _compare_hubs(writer, prepared, states)
    showing_notes.show_what_goes_with(writer, evaluation, answer.packages)
    return answer.outcome


def _in_short(writer: Terminal, settings: Settings, prepared: Prepared) -> str:
    from configurator.cli import showing, showing_notes

    evaluation, system = prepared.evaluation, settings.units
    answer, states = _find(prepared)
    showing.show_job(writer, evaluation, system)
    for package in answer.packages:
        showing.show_price(writer, evaluation, package)
        showing.show_parts(writer, evaluation, package)
        showing.show_goals(writer, evaluation, answer.job, package, system)
    if not answer.packages:
        showing.show_nothing_fits(writer, evaluation, answer.conflict, answer.repairs, system)
    _compare_hubs(writer, prepared, states)
    showing_notes.show_what_goes_with(writer, evaluation, answer.packages)
    return answer.outcome


def _show_forced(
    writer: Terminal,
    settings: Settings,
    prepared: Prepared,
    package: Package,
) -> None:
    """Show where what is on the vehicle cannot stay, and why."""
    from configurator.cli.progress_line import progress
    from configurator.model.parts import NOTHING
    from configurator.questions import answers
    from configurator.wording.sentences import reason_words

    evaluation = prepared.evaluation
    with progress("looking for what cannot stay"):
        must_go = answers.cannot_stay(prepared, package)
    writer.heading("What these goals need")
    if not must_go:
        writer.line("Nothing: every part on the vehicle can stay in some package.")
    for position in must_go:
        present = evaluation.fitted[position]
        with progress(f"working out why the {position} cannot stay"):
            explained = answers.why(prepared, position, present.key)
        stay = "must be fitted" if present.key == NOTHING else f"{present.part.title} must go"
        writer.line(f"{position}: {stay}:")
        writer.items(
            reason_words(evaluation, reason, settings.units)
            for reason in explained.conflict
            if not (reason.wish is not None and reason.wish.kind == "fixed")
        )


def _compare_hubs(
    writer: Terminal, prepared: Prepared, states: Mapping[str, Sequence[OptionState]]
) -> None:
    """Show what the cheapest package costs with geared hub reductions and without."""
    from configurator.model.parts import NOTHING
    from configurator.wording.quantities import money_words

    if HUBS not in states:
        return
    job = prepared.evaluation.case.job
    writer.heading("Geared hub reductions or not")
    for name, empty in (("With hub reductions", False), ("Without", True)):
        prices = [
            state.price
            for state in states[HUBS]
            if state.price is not None and (state.option.key == NOTHING) is empty
        ]
        if not prices:
            writer.line(f"{name}: no package meets these goals.")
            continue
        over = job.budget is not None and min(prices) > job.budget
        text = f"the cheapest package costs {money_words(min(prices), job.currency)}"
        writer.line(f"{name}: {text}{', over the budget' if over else ''}.")
