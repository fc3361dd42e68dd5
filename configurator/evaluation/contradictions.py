"""What contradicts itself in a job's vehicle: cross-checks, and rules that it breaks as it stands.

A vehicle that drives every day and breaks a rule on paper was measured wrongly, or the rule does
not know something about it: either way a person has to look before anything is sold.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from configurator.core.errors import Problem
from configurator.evaluation.packages import broken_rules
from configurator.model.knowledge import conditions_behind, measures_behind
from configurator.model.value_contradictions import vehicle_contradictions

if TYPE_CHECKING:
    from configurator.evaluation.evaluator import Evaluation

# How many of the measures behind a rule are named.
NAMED = 4


def contradictions_of(evaluation: Evaluation) -> list[Problem]:
    """Return what in the vehicle's file cannot be true together, or breaks a rule as it stands.

    Parameters
    ----------
    evaluation
        The case and the trade.
    """
    case = evaluation.case
    vehicle = case.vehicle
    where = vehicle.place or vehicle.key
    problems = vehicle_contradictions(evaluation.trade, vehicle, where)
    broken = broken_rules(evaluation, evaluation.fitted)
    unasked = _without_conditions(evaluation) if broken and case.job.conditions else evaluation
    for rule in broken:
        asked = sorted(conditions_behind(evaluation.trade, rule) & set(case.job.conditions))
        if asked and unasked.verdict(rule, unasked.fitted).holds is not False:
            # Nothing was measured wrongly: the job asks for more than the vehicle does now.
            what = f"as it stands the vehicle does not bear what the job asks: {rule.name}"
            do = f"the package has to change that; or ask for less: {', '.join(asked)}"
            problems.append(Problem(where, what, do))
            continue
        measures = sorted(measures_behind(evaluation.trade, rule) & set(vehicle.values))
        named = ", ".join(measures[:NAMED])
        more = f" and {len(measures) - NAMED} more" if len(measures) > NAMED else ""
        do = f"check these measures first: {named}{more}" if measures else "check what is fitted"
        problems.append(Problem(where, f"as it stands the vehicle breaks: {rule.name}", do))
    return problems


def _without_conditions(evaluation: Evaluation) -> Evaluation:
    """Return the same vehicle for a job that says nothing of its use."""
    case = evaluation.case
    return type(evaluation)(replace(case, job=replace(case.job, conditions={})), evaluation.trade)
