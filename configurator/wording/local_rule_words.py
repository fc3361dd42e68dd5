"""Say which local rules a package keeps and which approvals it needs, each with its date."""

from __future__ import annotations

from typing import TYPE_CHECKING

from configurator.model.parts import Missing
from configurator.model.rules import Caution, Limit
from configurator.wording import note_templates as say
from configurator.wording.style import ENGLISH

if TYPE_CHECKING:
    from collections.abc import Mapping

    from configurator.evaluation.evaluator import Evaluation, Option
    from configurator.model.jobs import LocalRules
    from configurator.wording.style import Style


def local_rule_words(
    evaluation: Evaluation, choice: Mapping[str, Option], style: Style = ENGLISH
) -> list[str]:
    """Say of each local rule what it comes to in a package.

    Parameters
    ----------
    evaluation
        The case and the trade.
    choice
        The package.
    style
        Language of the reader. Names, titles and sources stand as the file of local rules has
        them: it is the shop's own.

    Notes
    -----
    Nothing is ever said to be approved: that a figure keeps a bound is all that is known.
    """
    local = evaluation.case.local_rules
    if local is None:
        return [style.text(say.NO_LOCAL_RULES)]
    return [_sentence(evaluation, choice, local, rule, style) for rule in local.rules]


def _sentence(
    evaluation: Evaluation,
    choice: Mapping[str, Option],
    local: LocalRules,
    rule: Limit | Caution,
    style: Style,
) -> str:
    source = f"{local.title}; {local.sources.get(rule.name) or style.text(say.NO_SOURCE)}"
    if isinstance(rule, Limit):
        holds = evaluation.verdict(rule, choice).holds
        template = {True: say.LOCAL_KEPT, False: say.LOCAL_BROKEN, None: say.LOCAL_NOT_CHECKED}
        return style.say(template[holds], rule=rule.name, source=source)
    values = tuple(evaluation.value(item.reference, choice) for item in rule.inputs)
    answer = evaluation.call(rule, values)
    if isinstance(answer, Missing):
        template_of = say.LOCAL_ASK
    else:
        template_of = say.LOCAL_NEEDS_APPROVAL if answer else say.LOCAL_NOT_REACHED
    return style.say(template_of, rule=rule.name, approve=rule.approve, source=source)
