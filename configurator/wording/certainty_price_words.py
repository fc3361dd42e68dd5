"""What certainty costs, in words and as plain data."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from configurator.wording.certainty import source_words, unit_of_source, within_words
from configurator.wording.plain_data import part_key, repair_record
from configurator.wording.quantities import (
    money_record,
    money_words,
    plain,
    system_for,
    unit_in,
    words,
)
from configurator.wording.sentences import goal_words, repair_words
from configurator.wording.style import English

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from configurator.evaluation.evaluator import Evaluation
    from configurator.questions.certainty_records import CertaintyPrice, GoalCertainty
    from configurator.questions.measuring_first import WorthMeasuring
    from configurator.wording.quantities import System

AS_CALCULATED = "{price} as calculated."
BOTH_ALIKE = (
    "{price} as calculated, and so that law, plates and clearances hold within usual tolerances."
)
SURE_FOR = (
    "{price} so that law, plates and clearances hold within usual tolerances (+{more}: {parts})."
)
SURE_FOR_AT_MOST = (
    "{price} or less so that law, plates and clearances hold within usual tolerances"
    " (+{more}: {parts}); not proven to be the cheapest."
)
# Of a job that asks for it: what it adds is in the price.
SURE_ASKED = (
    "{price} so that law, plates and clearances hold within usual tolerances, as asked for; "
    "{calculated} as calculated only ({more} less: {parts})."
)
SURE_ASKED_AT_MOST = (
    "{price} or less so that law, plates and clearances hold within usual tolerances, as asked for "
    "(not proven to be the cheapest); {calculated} as calculated only ({more} less: {parts})."
)
AND_MORE = " and {number} more"
OVER_BUDGET = "That is {price} over the budget."
NOTHING_SURE = "No package keeps law, plates and clearances within usual tolerances. One would if:"
NOT_DECIDED = "Whether a package keeps law, plates and clearances within tolerances is not decided."
NOTHING_CALCULATED = "Nothing fits as calculated, so nothing is sure."

GOAL_SURE = "{goal}: {price} (+{more})."
GOAL_SURE_AT_MOST = "{goal}: {price} or less (+{more} at most); not proven to be the cheapest."
GOAL_NOT_DECIDED = "{goal}: whether a package is sure of that is not decided."
GOAL_INSTEAD_LEAST = "{goal}: no package is; {value} is the most to promise, for {price}."
GOAL_INSTEAD_MOST = "{goal}: no package is; {value} is the least to promise, for {price}."
GOAL_NEVER = "{goal}: no package is."

# Positions named that differ.
MOST_DIFFERING = 4
MEASURED = "{source}: taken to ±{closer}, certainty costs {price}"
SAVES = ", {saving} less"
SAVES_NOTHING = ": no less"
STILL_NONE = "{source}: taken to ±{closer}, still no package is sure."
NOTHING_TO_MEASURE = "The cheapest package holds within usual tolerances: nothing to measure."
# Ways out named.
MOST_NAMED = 3


def certainty_lines(
    evaluation: Evaluation,
    price: CertaintyPrice,
    system: System | None = None,
    price_as: Callable[[int, str], str] = money_words,
) -> list[str]:
    """Say what certainty costs, and what differs; where nothing is sure, what could be instead."""
    currency, budget = evaluation.case.job.currency, evaluation.case.job.budget
    calculated, sure = price.calculated.price, price.sure.price
    if calculated is None:
        return [NOTHING_CALCULATED]
    first = AS_CALCULATED.format(price=price_as(calculated, currency))
    if sure is None:
        if not price.sure.proven:
            return [f"{first} {NOT_DECIDED}"]
        lines = [f"{first} {NOTHING_SURE}"]
        lines += [repair_words(evaluation, repair, system) for repair in price.instead[:MOST_NAMED]]
        return lines
    if not price.differing:
        return [BOTH_ALIKE.format(price=price_as(sure, currency))]
    named = ", ".join(price.differing[:MOST_DIFFERING])
    more = len(price.differing) - MOST_DIFFERING
    if more > 0:
        named += AND_MORE.format(number=more)
    values = {
        "price": price_as(sure, currency),
        "calculated": price_as(calculated, currency),
        "more": price_as(sure - calculated, currency),
        "parts": named,
    }
    if evaluation.case.job.sure:
        template = SURE_ASKED if price.sure.proven else SURE_ASKED_AT_MOST
        lines = [template.format(**values)]
    else:
        template = SURE_FOR if price.sure.proven else SURE_FOR_AT_MOST
        lines = [f"{first} {template.format(**values)}"]
    if budget is not None and calculated <= budget < sure:
        lines.append(OVER_BUDGET.format(price=price_as(sure - budget, currency)))
    return lines


def goal_certainty_lines(
    evaluation: Evaluation,
    asked: int,
    certainties: Sequence[GoalCertainty],
    system: System | None = None,
    price_as: Callable[[int, str], str] = money_words,
) -> list[str]:
    """Say of each goal that is met as calculated only what certainty costs, or what is instead."""
    currency, lines = evaluation.case.job.currency, []
    for item in certainties:
        goal = goal_words(evaluation, item.goal, system)
        if item.price is not None:
            more = price_as(item.price - asked, currency)
            price = price_as(item.price, currency)
            template = GOAL_SURE if item.proven else GOAL_SURE_AT_MOST
            lines.append(template.format(goal=goal, price=price, more=more))
        elif not item.proven:
            lines.append(GOAL_NOT_DECIDED.format(goal=goal))
        elif item.promised is None or item.promised_for is None:
            lines.append(GOAL_NEVER.format(goal=goal))
        else:
            unit = evaluation.definition(item.goal.figure).unit
            template = GOAL_INSTEAD_MOST if item.goal.at_least is None else GOAL_INSTEAD_LEAST
            lines.append(
                template.format(
                    goal=goal,
                    value=words(item.promised, unit, system_for(item.goal.written_in, system)),
                    price=price_as(item.promised_for, currency),
                )
            )
    return lines


def goal_certainty_records(
    evaluation: Evaluation, certainties: Sequence[GoalCertainty], system: System | None = None
) -> list[dict[str, Any]]:
    """Return the same as plain data."""
    currency = evaluation.case.job.currency
    return [
        {
            "goal": goal_words(evaluation, item.goal, system),
            "figure": item.goal.figure,
            "sure": money_record(item.price, currency),
            "proven": item.proven,
            "promised": plain(item.promised, evaluation.definition(item.goal.figure).unit, system),
            "unit": unit_in(evaluation.definition(item.goal.figure).unit, system),
            "promised_for": money_record(item.promised_for, currency),
        }
        for item in certainties
    ]


def certainty_record(
    evaluation: Evaluation, price: CertaintyPrice, system: System | None = None
) -> dict[str, Any]:
    """Return the same as plain data."""
    currency = evaluation.case.job.currency
    choice = price.sure.choice or {}
    return {
        "as_calculated": money_record(price.calculated.price, currency),
        "sure": money_record(price.sure.price, currency),
        "proven": price.calculated.proven and price.sure.proven,
        "differs": {position: part_key(choice[position]) for position in price.differing},
        "instead": [repair_record(evaluation, repair, system) for repair in price.instead],
    }


def _closer(evaluation: Evaluation, item: WorthMeasuring, system: System | None) -> str:
    if item.closer.relative:
        return f"{item.closer.amount * 100.0:.2g} %"
    return within_words(item.closer.amount, unit_of_source(evaluation, item.source), system)


def measuring_lines(
    evaluation: Evaluation,
    price: CertaintyPrice,
    worth: Sequence[WorthMeasuring],
    system: System | None = None,
) -> list[str]:
    """Say of each value that is worth measuring what certainty would cost then."""
    if price.calculated.choice is None:
        return []
    if not worth:
        return [NOTHING_TO_MEASURE]
    currency, lines = evaluation.case.job.currency, []
    for item in worth:
        source = source_words(
            evaluation, price.calculated.choice, item.source, English(system=system)
        )
        closer = _closer(evaluation, item, system)
        if item.price is None:
            lines.append(STILL_NONE.format(source=source, closer=closer))
            continue
        text = MEASURED.format(
            source=source, closer=closer, price=money_words(item.price, currency)
        )
        if item.saving:
            text += SAVES.format(saving=money_words(item.saving, currency))
        elif item.saving is not None:
            text += SAVES_NOTHING
        lines.append(f"{text}.")
    return lines


def measuring_records(
    evaluation: Evaluation,
    price: CertaintyPrice,
    worth: Sequence[WorthMeasuring],
    system: System | None = None,
) -> dict[str, Any]:
    """Return the same as plain data."""
    currency = evaluation.case.job.currency
    choice = price.calculated.choice or {}
    return {
        "certainty": certainty_record(evaluation, price, system),
        "measure_first": [
            {
                "source": source_words(evaluation, choice, item.source, English(system=system)),
                "to": _closer(evaluation, item, system),
                "sure": money_record(item.price, currency),
                "saves": money_record(item.saving, currency),
            }
            for item in worth
        ],
    }
