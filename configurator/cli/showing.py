"""Show packages, conflicts and what goes with them."""

from __future__ import annotations

from typing import TYPE_CHECKING

from configurator.evaluation.lead_times import longest_wait
from configurator.evaluation.operations import operations_of, work_cost
from configurator.evaluation.packages import cautions_of, margins_of, not_checked
from configurator.model.parts import NOTHING
from configurator.search.optimum.verification import meets
from configurator.wording.plain_data import not_priced
from configurator.wording.quantities import apart, counted, money_words, words
from configurator.wording.sentences import (
    NOTICE,
    because_of,
    catalog_words,
    caution_words,
    goal_words,
    input_words,
    inputs_of_reason,
    margin_words,
    reason_words,
    repair_words,
)

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from configurator.cli.terminal import Terminal
    from configurator.evaluation.evaluator import Evaluation
    from configurator.evaluation.packages import Package
    from configurator.model.jobs import Goal, Job
    from configurator.questions.answers import Answer
    from configurator.search.explanation.conflicts import Reason, Repair
    from configurator.wording.quantities import System

# How many of the closest limits are shown.
CLOSEST = 5


def show_job(writer: Terminal, evaluation: Evaluation, system: System | None) -> None:
    """Say which job on which vehicle this is."""
    case = evaluation.case
    writer.heading(case.job.title)
    asked = [goal_words(evaluation, goal, system) for goal in case.job.goals]
    if case.job.budget is not None:
        asked.append(f"for at most {money_words(case.job.budget, case.job.currency)}")
    if case.job.ready_within is not None:
        asked.append(
            f"with all parts there within {counted(case.job.ready_within, 'day')} "
            "(the work comes on top)"
        )
    several = (
        f" ({case.job.vehicles} alike; all prices are for one)" if case.job.vehicles > 1 else ""
    )
    writer.line(f"{case.vehicle.title}{several}. Wanted: {', '.join(asked) or 'nothing'}.")


def show_answer(
    writer: Terminal,
    evaluation: Evaluation,
    answer: Answer,
    system: System | None,
    notes: Sequence[str] = (),
    *,
    stopped: bool = False,
) -> None:
    """Show what came of a job, all of it; ``notes`` are sentences, one per package.

    ``stopped`` says that somebody ended the search before it was through.
    """
    show_job(writer, evaluation, system)
    if answer.outcome == "nothing fits":
        show_nothing_fits(
            writer, evaluation, answer.conflict, answer.repairs, system, stopped=stopped
        )
    for number, package in enumerate(answer.packages, 1):
        name = "Cheapest package" if answer.outcome == "found" else "Best package found"
        if number > 1:
            name = f"Package {number} of {len(answer.packages)}"
        show_price(writer, evaluation, package, name)
        if number <= len(notes) and notes[number - 1]:
            writer.line(notes[number - 1])
        show_parts(writer, evaluation, package)
        show_goals(writer, evaluation, answer.job, package, system)
        show_margins(writer, evaluation, package, system)
    if answer.outcome == "best found":
        writer.line(_how_it_ended(complete=bool(answer.packages), stopped=stopped))
    show_what_goes_with(writer, evaluation, answer.packages)


def _how_it_ended(*, complete: bool, stopped: bool) -> str:
    """Say of a search that proved nothing why, and what that means."""
    if not complete and stopped:
        return "The search was stopped before anything was found; there may be a package."
    if not complete:
        return "Many cases were looked at, and no package was found; there may be one."
    if stopped:
        return "The search was stopped early: a cheaper package may exist."
    return "It was not proven, after much looking, to be the cheapest: a cheaper package may exist."


def show_price(writer: Terminal, evaluation: Evaluation, package: Package, name: str) -> None:
    """Show what a package costs."""
    case = evaluation.case
    currency = case.job.currency
    price = money_words(package.price, currency)
    writer.heading(f"{name}: {price}")
    parts = money_words(package.price - package.work, currency)
    work = money_words(package.work, currency)
    tax = f"; tax of {words(case.workshop.tax, '%')} included" if case.workshop.tax else ""
    writer.line(f"Parts {parts}, work {work}{tax}.")
    if case.job.vehicles > 1:
        every = money_words(package.price * case.job.vehicles, currency)
        writer.line(f"For all {case.job.vehicles} vehicles: {every}.")


def show_parts(writer: Terminal, evaluation: Evaluation, package: Package) -> None:
    """Show the parts: what is new, what stays, what is empty; and the work in one line."""
    currency = evaluation.case.job.currency
    new = [o for o in package.choice.values() if o.changed and o.key != NOTHING]
    if new:
        writer.heading("New parts")
        writer.table(
            ("position", "part", "number", "pieces", "price"),
            [
                (o.position, o.part.title, o.key, str(o.pieces), money_words(o.price, currency))
                for o in new
            ],
            right={3, 4},
        )
    removed = [o.position for o in package.choice.values() if o.changed and o.key == NOTHING]
    stays = [o.position for o in package.choice.values() if not o.changed and o.key != NOTHING]
    empty = [o.position for o in package.choice.values() if not o.changed and o.key == NOTHING]
    for what, positions in (("Comes off", removed), ("Stays", stays), ("Stays empty", empty)):
        if positions:
            writer.line(f"{what}: {', '.join(positions)}.")
    operations = operations_of(evaluation, package.choice)
    if operations:
        hours = sum(operation.hours for operation in operations)
        writer.line(f"Work: {hours:.4g} hours, {counted(len(operations), 'operation')}.")
    days, unknown = longest_wait(package.choice, evaluation.case.job.vehicles)
    if days is not None:
        writer.line(f"Longest wait for a part: {counted(days, 'day')}.")
    if unknown:
        writer.line(f"Waiting time not given by the catalog: {', '.join(unknown)}.")


def show_work(writer: Terminal, evaluation: Evaluation, package: Package) -> None:
    """Show every operation that a package needs."""
    currency = evaluation.case.job.currency
    rows = [
        (
            operation.name,
            f"{operation.hours:.4g} h",
            money_words(work_cost(evaluation, operation), currency),
        )
        for operation in operations_of(evaluation, package.choice)
    ]
    if rows:
        writer.heading("Work")
        writer.table(("operation", "time", "with material"), rows, right={1, 2})


def show_goals(
    writer: Terminal, evaluation: Evaluation, job: Job, package: Package, system: System | None
) -> None:
    """Show what was asked for and what the package has."""
    if job.goals:
        writer.heading("Goals")
        writer.table(
            ("asked for", "has", ""),
            [_goal_row(evaluation, goal, package, system) for goal in job.goals],
            right={1},
        )


def _goal_row(
    evaluation: Evaluation, goal: Goal, package: Package, system: System | None
) -> tuple[str, str, str]:
    value = evaluation.figure(goal.figure, package.choice)
    unit = evaluation.definition(goal.figure).unit
    has = words(value, unit, system)
    if isinstance(value, int | float):
        # As many digits as it takes to see on which side of the closer bound it lies.
        bounds = [bound for bound in (goal.at_least, goal.at_most) if bound is not None]
        closest = min(bounds, key=lambda bound: abs(value - bound), default=value)
        has, _ = apart(float(value), closest, unit, system)
    return goal_words(evaluation, goal, system), has, "met" if meets(goal, value) else "not met"


def show_margins(
    writer: Terminal, evaluation: Evaluation, package: Package, system: System | None
) -> None:
    """Show the limits that a package comes closest to."""
    closest = margins_of(evaluation, package.choice)[:CLOSEST]
    if closest:
        writer.heading("Closest to a limit")
        writer.items(margin_words(margin, system) for margin in closest)


def show_nothing_fits(
    writer: Terminal,
    evaluation: Evaluation,
    conflict: Sequence[Reason],
    repairs: Sequence[Repair],
    system: System | None,
    *,
    stopped: bool = False,
) -> None:
    """Show why nothing fits and what would have to give."""
    writer.heading("Nothing fits")
    if stopped and not conflict:
        writer.line("The search was stopped before it was worked out why.")
        return
    show_conflict(writer, evaluation, conflict, system)
    show_repairs(writer, evaluation, repairs, system, stopped=stopped)


def show_conflict(
    writer: Terminal, evaluation: Evaluation, conflict: Sequence[Reason], system: System | None
) -> None:
    """Show wishes and rules that cannot hold together."""
    if not conflict:
        writer.line(
            "No smallest set of wishes and rules that stand in the way could be worked out: limits "
            "on sums over the whole vehicle are checked on whole packages only."
        )
        return
    wishes = [reason for reason in conflict if reason.wish is not None]
    rules = [reason for reason in conflict if reason.rule is not None]
    writer.line("These cannot be had together; without any one of them, the others can:")
    if wishes:
        writer.line("Asked for")
        writer.items(reason_words(evaluation, wish, system) for wish in wishes)
    if rules:
        writer.line("Rules that every package keeps")
    for reason in rules:
        writer.items([reason_words(evaluation, reason, system)])
        rule = reason.rule
        details = [f"because {because_of(rule)}"] if rule is not None and because_of(rule) else []
        details.extend(
            input_words(*rule_input, system)
            for rule_input in inputs_of_reason(reason, evaluation.trade)
        )
        writer.items(details, indent=6)


def show_repairs(
    writer: Terminal,
    evaluation: Evaluation,
    repairs: Sequence[Repair],
    system: System | None,
    *,
    stopped: bool = False,
) -> None:
    """Show what could be given up."""
    writer.heading("What could give")
    if stopped:
        writer.line("The search was stopped before all ways out were worked out.")
    if stopped or repairs:
        writer.items(repair_words(evaluation, repair, system) for repair in repairs)
    else:
        writer.line("Nothing was found: giving up what was asked for does not help.")


def show_what_goes_with(
    writer: Terminal, evaluation: Evaluation, packages: Sequence[Package]
) -> None:
    """Show what must be said wherever packages or their prices are shown.

    Cautions and what was not checked or not priced, for packages or else for the vehicle as it
    stands; where the prices are from; that figures are no approval.
    """
    choices = [package.choice for package in packages]
    show_notes(
        writer,
        "Cautions",
        [caution_words(cautions_of(evaluation, choice)) for choice in choices],
    )
    show_notes(
        writer,
        "Not checked",
        [
            [str(unchecked) for unchecked in not_checked(evaluation, choice)]
            for choice in choices or [evaluation.fitted]
        ],
    )
    show_notes(writer, "Not priced", [not_priced(evaluation, choice) for choice in choices])
    show_origin(writer, evaluation)


def show_notes(writer: Terminal, heading: str, of_each: Sequence[Iterable[str]]) -> None:
    """Show the notes of several packages once each, saying which have them where not all do."""
    owners: dict[str, list[int]] = {}
    for number, notes in enumerate(of_each, 1):
        for note in dict.fromkeys(notes):
            owners.setdefault(note, []).append(number)
    if not owners:
        return
    writer.heading(heading)
    writer.items(
        note if len(numbers) == len(of_each) else f"{note} ({_packages(numbers)})"
        for note, numbers in owners.items()
    )


def _packages(numbers: Sequence[int]) -> str:
    text = ", ".join(str(number) for number in numbers)
    return f"package {text}" if len(numbers) == 1 else f"packages {text}"


def show_origin(writer: Terminal, evaluation: Evaluation) -> None:
    """Show where the prices are from, and that figures are no approval."""
    if evaluation.case.catalogs:
        writer.heading("Prices")
        writer.items(catalog_words(catalog) for catalog in evaluation.case.catalogs)
    writer.heading(NOTICE)
