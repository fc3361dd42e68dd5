"""What certainty costs, on the quotation: both totals, what differs, and each goal.

A job that asks for it has it in the price: then it is said what it adds, else what it would.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from configurator.documents import document_templates as say
from configurator.documents.discounts import reduced
from configurator.documents.layout import Section
from configurator.documents.number_style import asked, money, quantity
from configurator.wording.sentences import begun
from configurator.wording.style import listed

if TYPE_CHECKING:
    from collections.abc import Sequence

    from configurator.documents.number_style import Writing
    from configurator.evaluation.evaluator import Evaluation
    from configurator.questions.certainty_records import CertaintyPrice, GoalCertainty

CERTAINTY_KEY = "certainty"


def cost_of_certainty(
    evaluation: Evaluation,
    answer: tuple[CertaintyPrice, Sequence[GoalCertainty]] | None,
    how: Writing,
) -> Section:
    """Lay out what certainty costs; None where it was not worked out, which is then said."""
    asked_for = evaluation.case.job.sure
    heading = how.text(say.CERTAINTY_ASKED if asked_for else say.CERTAINTY)
    if answer is None:
        later = how.text(say.CERTAINTY_ASKED_LATER if asked_for else say.CERTAINTY_LATER)
        return Section(heading, (later,), key=CERTAINTY_KEY)
    lines = certainty_items(evaluation, *answer, how)
    return Section(heading, items=tuple(lines), key=CERTAINTY_KEY)


def certainty_items(
    evaluation: Evaluation,
    price: CertaintyPrice,
    goals: Sequence[GoalCertainty],
    how: Writing,
) -> list[str]:
    """Say both totals and what differs, then each goal that is met as calculated only.

    Prices are after what is taken off, as the total is.
    """
    calculated, sure = price.calculated.price, price.sure.price
    if calculated is None:
        return []

    def amount(minor: int) -> str:
        return money(how, reduced(evaluation, minor)).text

    def more(minor: int, than: int) -> str:
        return money(how, reduced(evaluation, minor) - reduced(evaluation, than)).text

    if sure is None:
        template = say.CERTAINTY_NONE if price.sure.proven else say.CERTAINTY_OPEN
        lines = [how.say(template, calculated=amount(calculated))]
    elif not price.differing:
        lines = [how.say(say.CERTAINTY_ALIKE, calculated=amount(calculated))]
    else:
        if evaluation.case.job.sure:
            proven, at_most = say.CERTAINTY_IN_PRICE, say.CERTAINTY_IN_PRICE_AT_MOST
        else:
            proven, at_most = say.CERTAINTY_PRICE, say.CERTAINTY_AT_MOST
        template = proven if price.sure.proven else at_most
        parts = listed(how, price.differing)
        lines = [
            how.say(
                template,
                calculated=amount(calculated),
                price=amount(sure),
                more=more(sure, calculated),
                parts=parts,
            )
        ]
    asked_for = price.in_grade(evaluation.case.job.sure).price
    if asked_for is None:
        return lines
    for item in goals:
        unit = evaluation.definition(item.goal.figure).unit
        # The sentences say themselves that it is about certainty.
        goal = begun(asked(how, replace(item.goal, sure=False), unit))
        if item.price is not None:
            values = {"price": amount(item.price), "more": more(item.price, asked_for)}
            template = say.CERTAIN_GOAL if item.proven else say.CERTAIN_GOAL_AT_MOST
            lines.append(how.say(template, goal=goal, **values))
        elif not item.proven:
            lines.append(how.say(say.CERTAIN_GOAL_OPEN, goal=goal))
        elif item.promised is None or item.promised_for is None:
            lines.append(how.say(say.CERTAIN_GOAL_NEVER, goal=goal))
        else:
            least = item.goal.at_least is None
            template = say.CERTAIN_GOAL_LEAST if least else say.CERTAIN_GOAL_MOST
            value, price_then = quantity(how, item.promised, unit), amount(item.promised_for)
            lines.append(how.say(template, goal=goal, value=value, price=price_then))
    return lines
