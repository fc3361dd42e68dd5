"""What to measure first for a job: what certainty would cost with a value taken more closely."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from configurator.core.progress import report
from configurator.evaluation.evaluator import Evaluation
from configurator.evaluation.how_sure import first_to_measure, goals_within, unsure_rules
from configurator.questions.certainty_price import options_within, price_of_certainty
from configurator.search.optimum import lexicographic, option_prices, preparing, queries
from configurator.search.optimum.preparing import Question

if TYPE_CHECKING:
    from collections.abc import Collection, Mapping

    from configurator.evaluation.option import Option
    from configurator.evaluation.propagation import Source
    from configurator.model.jobs import Case
    from configurator.model.knowledge import Trade
    from configurator.model.tolerances import Tolerance
    from configurator.questions.certainty_records import CertaintyPrice
    from configurator.search.optimum.preparing import Prepared

# Sources that are tried.
TRIED = 3
# What is measured with care is off by so much of what is usual: a tape around a tyre (2 mm) against
# its list (1 per cent of the diameter); common practice, no source.
CLOSER = 0.2


@dataclass(frozen=True, slots=True)
class WorthMeasuring:
    """A source of doubt, and what certainty would cost if it were taken more closely.

    Parameters
    ----------
    source
        What would be measured.
    closer
        Its tolerance then.
    price
        Of the cheapest package that is sure then, in minor units; None where none is.
    saving
        Against the price now, in minor units; None where nothing is sure now or then.
    """

    source: Source
    closer: Tolerance
    price: int | None
    saving: int | None


def worth_measuring(
    prepared: Prepared, case: Case, trade: Trade
) -> tuple[CertaintyPrice, list[WorthMeasuring]]:
    """Solve a job anew for each of the sources that its cheapest package depends on most.

    Parameters
    ----------
    prepared
        From `answers.ready`.
    case, trade
        Of which it was made.

    Returns
    -------
    tuple
        What certainty costs now, and what it would cost: the largest saving first.
    """
    evaluation = prepared.evaluation
    price = price_of_certainty(prepared)
    if price.calculated.choice is None:
        return price, []
    choice = price.calculated.choice
    ranked = first_to_measure(
        unsure_rules(evaluation, choice), goals_within(evaluation, choice, case.job.goals)
    )
    # Known more closely, what is sure now is sure still; goals on it may be met by more.
    goals = tuple(goal for goal in case.job.goals if not goal.sure)
    within = options_within(prepared, replace(case.job, goals=goals), price.sure.price)
    result = []
    for number, (source, _) in enumerate(ranked[:TRIED]):
        report(number, min(TRIED, len(ranked)))
        tolerance = tolerance_of(evaluation, choice, source)
        if tolerance is None:
            continue
        closer = replace(tolerance, amount=tolerance.amount * CLOSER)
        stated = {**case.tolerances, name_of(evaluation, source): closer}
        sure = _sure_price(replace(case, tolerances=stated), trade, within)
        both = (price.sure.price, sure)
        saving = None if None in both else both[0] - both[1]  # type: ignore[operator]
        result.append(WorthMeasuring(source, closer, sure, saving))
    return price, sorted(result, key=lambda item: -(item.saving or 0))


def _sure_price(case: Case, trade: Trade, allowed: Mapping[str, Collection[int]]) -> int | None:
    evaluation = Evaluation(case, trade)
    job = replace(case.job, budget=None, sure=True)
    prepared = preparing.prepare(evaluation, queries.goal_figures(job), allowed=allowed, sure=True)
    return option_prices.cheapest(lexicographic.settle(Question(prepared, job))).price


def name_of(evaluation: Evaluation, source: Source) -> str:
    """Name a source as `[tolerances]` in a job does."""
    kind, name, attribute = source
    if kind in ("part", "fitted"):
        return f"{evaluation.families[name].key}: {attribute}"
    return name


def tolerance_of(
    evaluation: Evaluation, choice: Mapping[str, Option], source: Source
) -> Tolerance | None:
    """Return the tolerance of a source of a package; None where it is exact."""
    kind, name, attribute = source
    table = evaluation.tolerances
    if kind in ("part", "fitted"):
        option = choice[name] if kind == "part" else evaluation.fitted[name]
        return table.of_part(name, option.part, attribute)
    if kind == "vehicle":
        return table.of_measure(name)
    return table.of_condition(name) if kind == "condition" else table.of_figure(name)
