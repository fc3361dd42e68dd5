"""``fitwright work``: the work of a package, in a sequence that works."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import typer

from configurator.cli.open_case import prepare, settings_of
from configurator.cli.parameters import AsJson, JobFile, PackageNumber
from configurator.cli.program import app

if TYPE_CHECKING:
    from configurator.evaluation.evaluator import Evaluation
    from configurator.evaluation.packages import Package
    from configurator.evaluation.work_plan import AwaitedPart, WorkPlan, WorkStep


@app.command("work", epilog="Example: fitwright work JOB.toml")
def work(
    ctx: typer.Context,
    job: JobFile,
    package: PackageNumber = 1,
    as_json: AsJson = False,
) -> None:
    """Show the work of a package in sequence: hours, what waits for what, earliest finish."""
    settings = settings_of(ctx)
    prepared = prepare(settings, job, alone=True)

    from configurator.cli.choosing import chosen_package
    from configurator.cli.terminal import write_json
    from configurator.evaluation.work_plan import work_plan

    evaluation = prepared.evaluation
    chosen = chosen_package(prepared, package, settings, as_json=as_json)
    plan = work_plan(evaluation, chosen)
    if as_json:
        write_json(_record(evaluation, chosen, plan, package))
    else:
        _show(evaluation, chosen, plan)


def _record(
    evaluation: Evaluation, package: Package, plan: WorkPlan, number: int
) -> dict[str, Any]:
    from configurator.evaluation.packages import cautions_of
    from configurator.wording.plain_data import job_record
    from configurator.wording.sentences import NOTICE, caution_words

    return {
        **job_record(evaluation),
        "package": number,
        "hours": round(plan.hours, 6),
        "steps": [_step(step) for step in plan.steps],
        "groups": [
            {
                "station": block.station,
                "axle": block.axle or None,
                "hours": round(block.hours, 6),
                "steps": [step.number for step in block.steps],
            }
            for block in plan.blocks
        ],
        "checks": [step.operation.name for step in plan.checks],
        "consumables": dict(sorted(plan.consumables.items())),
        "earliest_finish": {
            "days": round(plan.finish, 6),
            "exact": not plan.unknown,
            "chain": list(plan.chain),
            "held_by": None if plan.held_by is None else _wait(plan.held_by),
        },
        "lead_time_not_known": [_wait(wait) for wait in plan.unknown],
        "cautions": caution_words(cautions_of(evaluation, package.choice)),
        "notice": NOTICE,
    }


def _step(step: WorkStep) -> dict[str, Any]:
    return {
        "number": step.number,
        "operation": step.operation.name,
        "station": step.operation.station,
        "axle": step.axle or None,
        "hours": step.operation.hours,
        "after": list(step.after),
        "waits_for": [_wait(wait) for wait in step.waits_for],
        "uses": dict(step.uses),
        "check": step.operation.check,
        "earliest_start_days": round(step.start, 6),
        "earliest_finish_days": round(step.finish, 6),
    }


def _wait(wait: AwaitedPart) -> dict[str, Any]:
    return {"position": wait.position, "part": wait.part, "days": wait.days}


def _show(evaluation: Evaluation, package: Package, plan: WorkPlan) -> None:
    from configurator.cli.terminal import Terminal
    from configurator.evaluation.packages import cautions_of
    from configurator.evaluation.work_plan import HOURS_A_DAY
    from configurator.wording.quantities import money_words, printed
    from configurator.wording.sentences import NOTICE, caution_words

    writer = Terminal()
    writer.heading(evaluation.case.job.title)
    price = money_words(package.work, evaluation.case.job.currency)
    writer.line(f"{len(plan.steps)} operations, {printed(plan.hours)} h, {price} with consumables.")
    for block in plan.blocks:
        place = ", ".join(p for p in (block.station or "anywhere", block.axle) if p)
        writer.heading(f"{place}: {printed(block.hours)} h")
        rows = [
            (
                str(step.number),
                step.operation.name,
                printed(step.operation.hours),
                ", ".join(_wait_words(wait) for wait in step.waits_for if wait.days != 0),
            )
            for step in block.steps
        ]
        writer.table(("step", "operation", "hours", "waits for"), rows, right={0, 2})
    if plan.checks:
        writer.heading("Checks and settings that follow")
        writer.items(step.operation.name for step in plan.checks)
    if plan.consumables:
        writer.heading("Used up")
        writer.items(f"{name}: {printed(n)}" for name, n in sorted(plan.consumables.items()))
    writer.heading("Earliest finish")
    least = "at least " if plan.unknown else ""
    writer.line(
        f"{least}{printed(plan.finish)} days after ordering, at {printed(HOURS_A_DAY)} h of work a "
        "day and with a free bay whenever one is needed."
    )
    if plan.held_by is not None:
        writer.line(f"It waits for the {_wait_words(plan.held_by)}, then:")
    writer.items(plan.chain)
    if plan.unknown:
        names = ", ".join(f"{wait.position} {wait.part}" for wait in plan.unknown)
        writer.line(f"Lead time not known, so it may be later: {names}.")
    writer.heading("Cautions")
    writer.items([*caution_words(cautions_of(evaluation, package.choice)), NOTICE])


def _wait_words(wait: AwaitedPart) -> str:
    from configurator.wording.quantities import counted

    days = "lead time not known" if wait.days is None else counted(wait.days, "day")
    return f"{wait.position} ({days})"
