"""Say which local rules a package keeps and which approvals it needs, each with its date."""

from __future__ import annotations

from typing import TYPE_CHECKING

from configurator.model.parts import Missing
from configurator.model.rules import Caution, Limit

if TYPE_CHECKING:
    from collections.abc import Mapping

    from configurator.evaluation.evaluator import Evaluation, Option
    from configurator.model.jobs import LocalRules

NONE_CHECKED = "No local rules were checked: the job names none. Ask what the law asks for here."


def local_rule_words(evaluation: Evaluation, choice: Mapping[str, Option]) -> list[str]:
    """Say of each local rule what it comes to in a package.

    Parameters
    ----------
    evaluation
        The case and the trade.
    choice
        The package.

    Notes
    -----
    Nothing is ever said to be approved: that a figure keeps a bound is all that is known.
    """
    local = evaluation.case.local_rules
    if local is None:
        return [NONE_CHECKED]
    return [_said(evaluation, choice, local, rule) for rule in local.rules]


def _said(
    evaluation: Evaluation,
    choice: Mapping[str, Option],
    local: LocalRules,
    rule: Limit | Caution,
) -> str:
    cited = f"{local.title}; {local.sources.get(rule.name, 'no source')}"
    if isinstance(rule, Limit):
        holds = evaluation.verdict(rule, choice).holds
        state = {True: "kept", False: "broken", None: "not checked"}[holds]
        return f"{rule.name}: {state} ({cited})."
    values = tuple(evaluation.value(item.reference, choice) for item in rule.inputs)
    answer = evaluation.call(rule, values)
    if isinstance(answer, Missing):
        return f"{rule.name}: not checked; ask {rule.approve} ({cited})."
    if answer:
        return f"{rule.name}: needs approval by {rule.approve} ({cited})."
    return f"{rule.name}: not reached, by the figures of this sheet ({cited})."
