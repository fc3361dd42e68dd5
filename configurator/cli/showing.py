"""Show packages, conflicts and what goes with them."""

from __future__ import annotations

from typing import TYPE_CHECKING

from configurator.cli import answer_templates as say
from configurator.cli.showing_notes import show_assumed, show_what_goes_with
from configurator.evaluation.assumed import assumed_of
from configurator.evaluation.how_sure import goals_within
from configurator.evaluation.lead_times import longest_wait
from configurator.evaluation.operations import operations_of, work_cost
from configurator.evaluation.packages import not_checked, tightest_margins
from configurator.model.parts import NOTHING
from configurator.search.optimum.verification import meets
from configurator.wording.assumed_words import assumed_headline
from configurator.wording.certainty import (
    goal_grade,
    how_sure_lines,
    rule_grades,
    with_grade,
    within_value,
)
from configurator.wording.margin_words import margin_words, value_words
from configurator.wording.quantities import apart, counted, money_words, system_for, words
from configurator.wording.sentences import (
    because_of,
    goal_words,
    input_words,
    inputs_of_reason,
    reason_words,
    repair_words,
)
from configurator.wording.style import English
from configurator.wording.unchecked import unchecked_headline

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from configurator.cli.terminal import Terminal
    from configurator.evaluation.evaluator import Evaluation
    from configurator.evaluation.how_sure import GoalWithin
    from configurator.evaluation.packages import Package
    from configurator.model.jobs import Goal, Job
    from configurator.model.parts import Value
    from configurator.questions.answers import Answer
    from configurator.search.explanation.conflicts import Reason, Repair
    from configurator.wording.quantities import System

# How many margins are shown.
TIGHTEST = 5


def show_job(writer: Terminal, evaluation: Evaluation, system: System | None) -> None:
    """Say which job on which vehicle this is."""
    case = evaluation.case
    writer.heading(case.job.title)
    vehicle = case.vehicle.title
    template = say.VEHICLES if case.job.vehicles > 1 else say.VEHICLE
    writer.line(template.format(vehicle=vehicle, number=case.job.vehicles))
    goals = [goal_words(evaluation, goal, system) for goal in case.job.goals]
    writer.line(say.GOALS.format(goals="; ".join(goals)) if goals else say.NO_GOALS)
    if case.job.budget is not None:
        writer.line(say.BUDGET.format(budget=money_words(case.job.budget, case.job.currency)))
    writer.line(say.SURE_ASKED if case.job.sure else say.CALCULATED_ASKED)
    if case.job.parts_within is not None:
        writer.line(say.PARTS_WITHIN.format(days=counted(case.job.parts_within, "day")))


def show_answer(
    writer: Terminal,
    evaluation: Evaluation,
    answer: Answer,
    system: System | None,
    notes: Sequence[str] = (),
    *,
    stopped: bool = False,
    prices: Mapping[tuple[str, Value], int | None] | None = None,
) -> None:
    """Show what came of a job, all of it; ``notes`` are sentences, one per package.

    ``stopped`` says that somebody ended the search before it was through; ``prices`` are those of
    the cheapest packages at the usual bounds of what was assumed, where they were worked out.
    """
    show_job(writer, evaluation, system)
    if answer.outcome == "nothing fits":
        if answer.only_money is not None and not answer.conflict:
            writer.heading(say.NOTHING_FITS)
            price = money_words(answer.only_money, evaluation.case.job.currency)
            writer.line(say.ONLY_MONEY.format(price=price))
            show_repairs(writer, evaluation, answer.repairs, system, stopped=stopped)
        else:
            show_nothing_fits(
                writer, evaluation, answer.conflict, answer.repairs, system, stopped=stopped
            )
    first = say.CHEAPEST if answer.outcome == "found" else say.BEST
    for number, package in enumerate(answer.packages, 1):
        template = first if number == 1 else say.NUMBERED
        show_price(writer, evaluation, package, template, number=number, count=len(answer.packages))
        for line in (
            assumed_headline(assumed_of(evaluation, answer.job, package.choice)),
            unchecked_headline(not_checked(evaluation, package.choice)),
        ):
            if line:
                writer.line(line)
        if number <= len(notes) and notes[number - 1]:
            writer.line(notes[number - 1])
        show_parts(writer, evaluation, package)
        show_goals(writer, evaluation, answer.job, package, system)
        show_margins(writer, evaluation, package, system)
        show_how_sure(writer, evaluation, answer.job, package, system)
    if answer.outcome == "best found":
        writer.line(_how_it_ended(complete=bool(answer.packages), stopped=stopped))
        _show_gap(writer, answer)
    show_assumed(writer, evaluation, answer, system, prices)
    show_what_goes_with(writer, evaluation, answer.packages)


def _how_it_ended(*, complete: bool, stopped: bool) -> str:
    """Say of a search that proved nothing why, and what that means."""
    if not complete:
        return say.STOPPED_EMPTY if stopped else say.NONE_SEEN
    return say.STOPPED if stopped else say.UNPROVEN


def _show_gap(writer: Terminal, answer: Answer) -> None:
    """Say how far what is best of all found may be off, where something is known of that."""
    if answer.least is None:
        return
    currency = answer.job.currency
    least = money_words(answer.least, currency)
    if not answer.packages:
        writer.line(say.NO_LESS.format(least=least))
    elif answer.least < answer.packages[0].price:
        gap = money_words(answer.packages[0].price - answer.least, currency)
        writer.line(say.GAP.format(least=least, gap=gap))


def show_price(
    writer: Terminal,
    evaluation: Evaluation,
    package: Package,
    template: str = say.CHEAPEST,
    *,
    number: int = 1,
    count: int = 1,
) -> None:
    """Show what a package costs; the template says which of them it is."""
    case = evaluation.case
    currency = case.job.currency
    price = money_words(package.price, currency)
    writer.heading(template.format(price=price, number=number, count=count))
    parts = money_words(package.price - package.work, currency)
    work = money_words(package.work, currency)
    tax = words(case.workshop.tax, "%")
    sentence = say.PARTS_AND_WORK_TAXED if case.workshop.tax else say.PARTS_AND_WORK
    writer.line(sentence.format(parts=parts, work=work, tax=tax))
    if case.job.vehicles > 1:
        every = money_words(package.price * case.job.vehicles, currency)
        writer.line(say.ALL_VEHICLES.format(number=case.job.vehicles, price=every))


def show_parts(writer: Terminal, evaluation: Evaluation, package: Package) -> None:
    """Show the parts: what is new, what stays, what is empty; and the work in one line."""
    currency = evaluation.case.job.currency
    new = [o for o in package.choice.values() if o.changed and o.key != NOTHING]
    if new:
        writer.heading(say.NEW_PARTS)
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
    for sentence, positions in (
        (say.REMOVED, removed),
        (say.UNCHANGED, stays),
        (say.NOT_FITTED, empty),
    ):
        if positions:
            writer.line(sentence.format(positions=", ".join(positions)))
    operations = operations_of(evaluation, package.choice)
    if operations:
        hours = sum(operation.hours for operation in operations)
        several = counted(len(operations), "operation")
        writer.line(say.WORK.format(hours=f"{hours:.4g}", operations=several))
    days, unknown = longest_wait(package.choice, evaluation.case.job.vehicles)
    if days is not None:
        writer.line(say.LONGEST_WAIT.format(days=counted(days, "day")))
    if unknown:
        writer.line(say.WAIT_UNKNOWN.format(parts=", ".join(unknown)))


def show_work(writer: Terminal, evaluation: Evaluation, package: Package) -> None:
    """Show every operation that a package needs."""
    currency = evaluation.case.job.currency
    rows = [
        (
            operation.name,
            f"{operation.hours:.4g} h",
            money_words(work_cost(evaluation, operation, package.choice), currency),
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
        writer.heading(say.GOALS_HEADING)
        known = {item.goal: item for item in goals_within(evaluation, package.choice, job.goals)}
        writer.table(
            say.GOAL_COLUMNS,
            [_goal_row(evaluation, goal, package, known, system) for goal in job.goals],
            right={1},
        )


def _goal_row(
    evaluation: Evaluation,
    goal: Goal,
    package: Package,
    known: Mapping[Goal, GoalWithin],
    system: System | None,
) -> tuple[str, str, str]:
    value = evaluation.figure(goal.figure, package.choice)
    system = system_for(goal.written_in, system)
    unit = evaluation.definition(goal.figure).unit
    has = words(value, unit, system)
    if isinstance(value, int | float):
        # As many digits as it takes to see on which side of the closer bound it lies.
        bounds = [bound for bound in (goal.at_least, goal.at_most) if bound is not None]
        closest = min(bounds, key=lambda bound: abs(value - bound), default=value)
        has, _ = apart(float(value), closest, unit, system)
    if goal in known and known[goal].within:
        within = within_value(English(system=system), known[goal].within, unit)
        has = say.GOAL_WITHIN.format(has=has, within=within)
    has = value_words(evaluation, goal.figure, package.choice, has)
    met = say.NOT_MET
    if meets(goal, value):
        met = with_grade(say.MET, goal_grade(known, goal))
    return goal_words(evaluation, goal, system), has, met


def show_margins(
    writer: Terminal, evaluation: Evaluation, package: Package, system: System | None
) -> None:
    """Show the limits that a package comes closest to."""
    tightest = tightest_margins(evaluation, package.choice)[:TIGHTEST]
    if tightest:
        writer.heading(say.TIGHTEST)
        grades = rule_grades(evaluation, package.choice)
        writer.items(
            with_grade(margin_words(margin, system), grades.get(margin.rule.name))
            for margin in tightest
        )


def show_how_sure(
    writer: Terminal, evaluation: Evaluation, job: Job, package: Package, system: System | None
) -> None:
    """Show what holds as calculated only, within usual tolerances, and which rules are lifted."""
    lines = how_sure_lines(evaluation, job, package.choice, English(system=system))
    if lines:
        writer.heading(say.HOW_SURE)
        writer.items(lines)
    if lifted := evaluation.case.lifted:
        writer.heading(say.LIFTED)
        writer.items(say.LIFTED_RULE.format(rule=rule, who=who) for rule, who in lifted.items())


def show_nothing_fits(
    writer: Terminal,
    evaluation: Evaluation,
    conflict: Sequence[Reason],
    repairs: Sequence[Repair],
    system: System | None,
    *,
    stopped: bool = False,
) -> None:
    """Show why nothing fits and what can change."""
    writer.heading(say.NOTHING_FITS)
    if stopped and not conflict:
        writer.line(say.STOPPED_WHY)
        return
    show_repairs(writer, evaluation, repairs, system, stopped=stopped)
    writer.heading(say.WHY)
    show_conflict(writer, evaluation, conflict, system)


def show_conflict(
    writer: Terminal, evaluation: Evaluation, conflict: Sequence[Reason], system: System | None
) -> None:
    """Show goals and rules that clash."""
    if not conflict:
        writer.line(say.NO_CONFLICT)
        return
    wishes = [reason for reason in conflict if reason.wish is not None]
    rules = [reason for reason in conflict if reason.rule is not None]
    writer.line(say.CLASH)
    if wishes:
        writer.line(say.YOUR_GOALS)
        writer.items(reason_words(evaluation, reason, system) for reason in wishes)
    if rules:
        writer.line(say.RULES)
    for reason in rules:
        writer.items([reason_words(evaluation, reason, system)])
        rule = reason.rule
        details = []
        if rule is not None and because_of(rule):
            details.append(say.BECAUSE.format(reason=because_of(rule)))
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
    """Show what can change."""
    writer.heading(say.CAN_CHANGE)
    if stopped:
        writer.line(say.STOPPED_CHANGES)
    if stopped or repairs:
        writer.items(repair_words(evaluation, repair, system) for repair in repairs)
    else:
        writer.line(say.NO_CHANGES)
