"""``fitwright stages``: a package built in stages, each within its budget."""

from dataclasses import replace
from typing import Annotated

import typer

from configurator.cli.open_case import prepare, settings_of
from configurator.cli.parameters import AsJson, JobFile
from configurator.cli.program import app


@app.command("stages", epilog='Example: fitwright stages JOB.toml --budgets "6000 EUR, 6500 EUR"')
def stages(
    ctx: typer.Context,
    job: JobFile,
    budgets: Annotated[
        str,
        typer.Option(
            metavar="AMOUNTS",
            help='Budget of each stage in order, as "6000 EUR, 6500 EUR". What a stage leaves is '
            "there for the next.",
        ),
    ],
    packages: Annotated[
        int,
        typer.Option(
            metavar="K",
            min=1,
            max=20,
            help="Look at the K cheapest packages; take the one whose stages reach most, soonest.",
        ),
    ] = 1,
    as_json: AsJson = False,
) -> None:
    """Build a package in stages: every rule is kept in between, and nothing is bought twice."""
    from configurator.cli.refusing import bad
    from configurator.core import money
    from configurator.core.errors import FitwrightError

    amounts = []
    for text in money.listed(budgets):
        try:
            amounts.append(money.read(text))
        except (ValueError, FitwrightError) as problem:
            raise bad(
                where="--budgets", what=str(problem), do='write amounts as "6000 EUR, 6500 EUR"'
            ) from problem
    if not amounts:
        raise bad(
            where="--budgets", what="there is no amount", do='write amounts as "6000 EUR, 6500 EUR"'
        )
    settings = settings_of(ctx)
    prepared = prepare(settings, job)

    from configurator.cli.interruption import stoppable
    from configurator.cli.showing import show_answer
    from configurator.cli.terminal import Terminal, write_json
    from configurator.questions import answers
    from configurator.questions.case_cache import posed
    from configurator.questions.staging import best_split
    from configurator.wording import stage_words as say

    evaluation = prepared.evaluation
    currency = evaluation.case.job.currency
    for amount in amounts:
        if amount.currency != currency:
            raise bad(
                where="--budgets",
                what=f"{amount} is not in the currency of the job",
                do=f"write amounts in {currency}",
            )
    # The budgets of the stages are the money: the job's own would only stand in their way.
    free = posed(prepared, replace(evaluation.case.job, budget=None))
    with stoppable("searching"):
        answer = answers.find(free, packages)
    if not answer.packages:
        show_answer(Terminal(), evaluation, answer, settings.units)
        raise typer.Exit(3)
    with stoppable("looking at the vehicles in between", "{done} of up to {of}"):
        split = best_split(evaluation, answer.packages, [amount.minor for amount in amounts])
    package, plan = split.package, split.plan
    if as_json:
        write_json(say.stages_record(evaluation, split, settings.units))
    else:
        writer = Terminal()
        for line in say.choice_words(evaluation, split, system=settings.units):
            writer.line(line)
        for number, stage in enumerate(plan.stages, 1):
            writer.heading(say.heading(number, stage, currency))
            writer.items(say.stage_lines(evaluation, package, stage, settings.units))
        writer.heading(say.SUMMARY)
        writer.items(say.summary_lines(evaluation, plan))
        writer.heading(say.TOGETHER)
        writer.items(say.together_lines(evaluation, plan))
    if not plan.stages:
        raise typer.Exit(3)
