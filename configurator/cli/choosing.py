"""The N-th cheapest package that a command is about."""

from __future__ import annotations

from typing import TYPE_CHECKING

import typer

if TYPE_CHECKING:
    from configurator.cli.open_case import Settings
    from configurator.evaluation.packages import Package
    from configurator.search.optimum.preparing import Prepared


def chosen_package(
    prepared: Prepared, number: int, settings: Settings, *, as_json: bool
) -> Package:
    """Find the N-th cheapest package; where nothing fits, say so and end with status 3.

    Raises
    ------
    InputError
        If there are fewer packages.
    """
    from configurator.cli.progress_line import progress
    from configurator.cli.refusing import bad
    from configurator.cli.showing import show_answer
    from configurator.cli.terminal import Terminal, write_json
    from configurator.questions import answers
    from configurator.wording.plain_data import answer_record

    evaluation = prepared.evaluation
    with progress("searching"):
        answer = answers.find(prepared, number)
    if not answer.packages:
        if as_json:
            write_json(answer_record(evaluation, answer, settings.units))
        else:
            show_answer(Terminal(), evaluation, answer, settings.units)
        raise typer.Exit(3)
    if len(answer.packages) < number:
        count = len(answer.packages)
        raise bad(
            where="--package",
            what=f"there is no package {number}: only {count} meet this job",
            do=f"use a number from 1 to {count}",
        )
    return answer.packages[number - 1]
