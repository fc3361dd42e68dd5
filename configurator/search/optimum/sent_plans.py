"""A prepared case that travels: made in one process, used in others that have the same lists.

What took long to make is sent: the tables of the rules and the circuit. What holds the functions
of plugins, the evaluation, is made anew where the plan arrives, which takes no time.
"""

from __future__ import annotations

from dataclasses import dataclass, fields
from typing import TYPE_CHECKING, Any

from configurator.model.knowledge import checked_rules
from configurator.search.encoding.constraint_model import Model
from configurator.search.encoding.joint_values import JointValues
from configurator.search.encoding.sure_limits import SureTable
from configurator.search.optimum.preparing import Prepared, seated

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from configurator.evaluation.evaluator import Evaluation, Option
    from configurator.model.rules import Rule
    from configurator.search.circuit.mini_buckets import Loose
    from configurator.search.circuit.nodes import Circuit

# What the process where a plan arrives has itself.
OWN = frozenset({"evaluation", "options", "late", "joint", "unsure_by_parts", "unsure_by_package"})


@dataclass(frozen=True, slots=True)
class SentPlan:
    """A prepared case as plain data: arrays, numbers and names.

    Parameters
    ----------
    tables
        The fields of the model but `OWN`.
    options
        Position → keys of what can be chosen there, by which a plan knows its case again.
    late
        Names of the rules that are decided on whole packages only.
    circuit, loose
        As in `Prepared`.
    unsure
        Of limits with verdicts on certainty for the parts behind them: name, classes, verdicts.
    unsure_by_package
        Names of those whose certainty is decided on whole packages only.
    alive
        Position → which options are in packages, and pairs of them, where certainty is marked.
    """

    tables: Mapping[str, Any]
    options: Mapping[str, tuple[str, ...]]
    late: tuple[str, ...]
    circuit: Circuit
    loose: Loose | None
    unsure: tuple[tuple[str, Any, Any], ...] = ()
    unsure_by_package: tuple[str, ...] = ()
    alive: tuple[Any, Any] | None = None


def to_send(prepared: Prepared) -> SentPlan:
    """Return what is sent of a prepared case."""
    model = prepared.model
    tables = {
        item.name: getattr(model, item.name) for item in fields(Model) if item.name not in OWN
    }
    late = tuple(rule.name for rule in model.late)
    joint = model.joint
    return SentPlan(
        tables,
        _keys(model.options),
        late,
        prepared.circuit,
        prepared.loose,
        tuple((each.rule.name, each.classes, each.sure) for each in model.unsure_by_parts),
        tuple(rule.name for rule in model.unsure_by_package),
        None if joint is None else (joint.alive, joint.pairs),
    )


def _keys(options: Mapping[str, Sequence[Option]]) -> dict[str, tuple[str, ...]]:
    return {position: tuple(option.key for option in of) for position, of in options.items()}


def arrived(plan: SentPlan, evaluation: Evaluation) -> Prepared:
    """Put a plan into use.

    Parameters
    ----------
    plan
        From `to_send`.
    evaluation
        Of the same case, with the same lists and plugins.

    Raises
    ------
    ValueError
        If the plan is one of another case.
    """
    options = {position: evaluation.options(position) for position in evaluation.families}
    rules = {rule.name: rule for rule in checked_rules(evaluation.trade)}
    if _keys(options) != plan.options or not rules.keys() >= set(plan.late):
        message = "the plan is one of another case"
        raise ValueError(message)
    late: list[Rule] = [rules[name] for name in plan.late]
    model = Model(evaluation, options, late=late, **plan.tables)
    trade = evaluation.trade
    model.unsure_by_parts = [
        SureTable(trade.limits[name], classes, sure) for name, classes, sure in plan.unsure
    ]
    model.unsure_by_package = [
        trade.limits[name] if name in trade.limits else trade.totals[name]
        for name in plan.unsure_by_package
    ]
    if plan.alive is not None:
        alive, pairs = plan.alive
        model.joint = JointValues(evaluation, alive)
        if pairs is not None:
            model.joint.narrow(alive, pairs)
    return seated(model, plan.circuit, plan.loose)
