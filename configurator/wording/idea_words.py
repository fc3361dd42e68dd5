"""An idea beside the package without it, as rows of a table, sentences and plain data."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from configurator.evaluation.lead_times import longest_wait
from configurator.evaluation.operations import operations_of
from configurator.wording.felt import FELT, felt_value
from configurator.wording.plain_data import job_record
from configurator.wording.quantities import (
    counted,
    money_record,
    money_words,
    printed,
    system_for,
    words,
)
from configurator.wording.sentences import (
    NOTICE,
    begun,
    goal_words,
    option_words,
    part_words,
    reason_words,
    repair_words,
)

if TYPE_CHECKING:
    from collections.abc import Callable

    from configurator.evaluation.evaluator import Evaluation
    from configurator.evaluation.packages import Package
    from configurator.questions.idea_comparison import IdeaComparison
    from configurator.wording.quantities import System

Row = tuple[str, str, str]

DEARER = "With it the package costs {price} more."
CHEAPER = "With it the package costs {price} less."
SAME_PRICE = "With it the package costs the same."
SAME_PACKAGE = "The cheapest package has it already."
NO_PACKAGE = "No package with it meets the goals, whatever the budget."
NOTHING_WITHOUT = "Without it no package meets the goals, whatever the budget."
UNPROVEN = "Not both are proven to be the cheapest: the difference may be another."
ALSO = "{position}: {now} instead of {then}"


def conclusion(
    evaluation: Evaluation,
    comparison: IdeaComparison,
    price_as: Callable[[int, str], str] = money_words,
) -> str:
    """Say in a sentence what comes of an idea."""
    currency = evaluation.case.job.currency
    if comparison.with_idea is None:
        return NO_PACKAGE
    if comparison.without is None:
        return NOTHING_WITHOUT
    more = comparison.costs_more or 0
    if not more:
        same = comparison.with_idea.choice == comparison.without.choice
        return SAME_PACKAGE if same else SAME_PRICE
    return (DEARER if more > 0 else CHEAPER).format(price=price_as(abs(more), currency))


def idea_rows(
    evaluation: Evaluation,
    comparison: IdeaComparison,
    system: System | None = None,
    price_as: Callable[[int, str], str] = money_words,
) -> dict[str, list[Row]]:
    """Return what to compare: heading → name, without the idea, with it; only what differs.

    Money, work and days come first, then every goal, then what the customer feels.
    """
    without, with_idea = comparison.without, comparison.with_idea
    if without is None or with_idea is None:
        return {}
    both = (without, with_idea)
    goals = [
        (
            begun(goal_words(evaluation, goal, system)),
            *_values(evaluation, goal.figure, both, system_for(goal.written_in, system)),
        )
        for goal in evaluation.case.job.goals
    ]
    known = {**evaluation.trade.figures, **evaluation.trade.totals}
    felt = [
        (felt_words, *_values(evaluation, name, both, system))
        for name, felt_words in FELT.items()
        if name in known
    ]
    return {
        "Money and time": _money_and_time(evaluation, both, price_as),
        "Goals": goals,
        "What the customer feels": [row for row in felt if row[1] != row[2]],
    }


def also_lines(comparison: IdeaComparison) -> list[str]:
    """Say what else is different with an idea: what it needs, and what it makes needless."""
    without, with_idea = comparison.without, comparison.with_idea
    if without is None or with_idea is None:
        return []
    return [
        ALSO.format(
            position=position,
            now=option_words(with_idea.choice[position]),
            then=option_words(without.choice[position]),
        )
        for position in comparison.also
    ]


def idea_record(
    evaluation: Evaluation, comparison: IdeaComparison, system: System | None = None
) -> dict[str, Any]:
    """Return an idea beside the package without it as plain data."""
    currency = evaluation.case.job.currency

    def price(package: Package | None) -> dict[str, str] | None:
        return None if package is None else money_record(package.price, currency)

    return {
        **job_record(evaluation, system),
        "idea": {
            position: part_words(evaluation, position, key)
            for position, key in comparison.idea.items()
        },
        "says": conclusion(evaluation, comparison),
        "without": price(comparison.without),
        "with": price(comparison.with_idea),
        "more": money_record(comparison.costs_more, currency),
        "proven": comparison.proven,
        "compared": {
            heading: [{"what": name, "without": then, "with": now} for name, then, now in rows]
            for heading, rows in idea_rows(evaluation, comparison, system).items()
        },
        "also": also_lines(comparison),
        "conflict": [reason_words(evaluation, reason, system) for reason in comparison.conflict],
        "repairs": [repair_words(evaluation, repair, system) for repair in comparison.repairs],
        "notice": NOTICE,
    }


def _values(
    evaluation: Evaluation, figure: str, both: tuple[Package, Package], system: System | None
) -> tuple[str, str]:
    unit = evaluation.definition(figure).unit
    then, now = (
        words(felt_value(figure, evaluation.figure(figure, package.choice), unit), unit, system)
        for package in both
    )
    return then, now


def _money_and_time(
    evaluation: Evaluation,
    both: tuple[Package, Package],
    price_as: Callable[[int, str], str],
) -> list[Row]:
    job = evaluation.case.job
    rows: list[Row] = []
    for name, amounts in (
        ("Price", [package.price for package in both]),
        ("of which parts", [package.price - package.work for package in both]),
        ("of which work", [package.work for package in both]),
    ):
        then, now = (price_as(amount, job.currency) for amount in amounts)
        rows.append((name, then, now))
    hours = [
        sum(operation.hours for operation in operations_of(evaluation, package.choice))
        for package in both
    ]
    rows.append(("Work", f"{printed(hours[0])} hours", f"{printed(hours[1])} hours"))
    waits = [longest_wait(package.choice, job.vehicles)[0] for package in both]
    then, now = ("not known" if wait is None else counted(wait, "day") for wait in waits)
    rows.append(("All parts in after", then, now))
    return rows
