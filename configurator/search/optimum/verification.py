"""The referee: python-constraint over the original rule functions.

It knows nothing of classes, tables or circuits. Every package that is shown was produced by it,
from domains that the search has narrowed; and it lists all packages of small problems by itself,
which is what the tests hold the search against.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import constraint

from configurator.core.errors import FitwrightError
from configurator.evaluation.how_sure import is_sure
from configurator.evaluation.lead_times import too_late
from configurator.evaluation.packages import make_package
from configurator.model.knowledge import checked_rules
from configurator.model.references import FigureValue
from configurator.model.sure_goals import lowered, lowered_goal
from configurator.model.verdicts import keeps

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Mapping, Sequence

    from configurator.evaluation.evaluator import Evaluation, Option
    from configurator.evaluation.packages import Package
    from configurator.model.jobs import Goal, Job
    from configurator.model.rules import Rule


class RefereeDisagrees(FitwrightError):
    """The search promised a package that the rules refuse: a fault of Fitwright's own."""


def packages(
    evaluation: Evaluation,
    job: Job,
    domains: Mapping[str, Sequence[Option]],
    *,
    rules: Sequence[Rule] | None = None,
) -> Iterator[dict[str, Option]]:
    """List every package within the domains that keeps all rules and all wishes but the budget.

    Parameters
    ----------
    evaluation
        The case and the trade.
    job
        Whose wishes count.
    domains
        Position → options to choose from, every position.
    rules
        Limits, fits and bounded totals in force; all by default.

    Yields
    ------
    dict
        Position → option.
    """
    problem = constraint.Problem()
    for position, options in domains.items():
        kept = [n for n, o in enumerate(options) if permitted(job, o)]
        if not kept:
            return
        problem.addVariable(position, kept)
    order = list(domains)

    def watch(positions: Sequence[str], holds: Callable[[Mapping[str, Option]], bool]) -> None:
        # python-constraint hands over option numbers, one per position, in this order.
        def check(*numbers: int) -> bool:
            return holds({p: domains[p][n] for p, n in zip(positions, numbers, strict=True)})

        problem.addConstraint(constraint.FunctionConstraint(check), list(positions))

    for rule in checked_rules(evaluation.trade) if rules is None else rules:
        reach = [p for p in order if p in evaluation.reach(rule)]
        if reach:
            watch(reach, _keeps_rule(evaluation, rule))
        elif evaluation.verdict(rule, {}).holds is False:
            return
    for goal in lowered(job).goals:
        positions = evaluation.reach_of(FigureValue(goal.figure))
        reach = [p for p in order if p in positions]
        if reach:
            watch(reach, _meets_goal(evaluation, goal))
        elif not meets(goal, evaluation.figure(goal.figure, {})):
            return
    for solution in problem.getSolutionIter():
        choice = {p: domains[p][solution[p]] for p in order}
        if not job.sure or is_sure(evaluation, choice):
            yield choice


def _keeps_rule(evaluation: Evaluation, rule: Rule) -> Callable[[Mapping[str, Option]], bool]:
    return lambda choice: evaluation.verdict(rule, choice).holds is not False


def _meets_goal(evaluation: Evaluation, goal: Goal) -> Callable[[Mapping[str, Option]], bool]:
    return lambda choice: meets(goal, evaluation.figure(goal.figure, choice))


def meets(goal: Goal, value: Any) -> bool:
    """Whether a value meets a goal; one that is missing cannot be shown to."""
    if goal.at_least is None and goal.at_most is None:
        return True
    return keeps(value, goal.at_least, goal.at_most) is True


def met_by(evaluation: Evaluation, goal: Goal, choice: Mapping[str, Option]) -> bool:
    """Whether a package meets a goal, within usual tolerances where the goal asks for that."""
    parts = lowered_goal(goal)
    return all(meets(part, evaluation.figure(part.figure, choice)) for part in parts)


def permitted(job: Job, option: Option) -> bool:
    """Whether a job's fixed, kept and ruled-out parts, and the wait it bears, leave an option."""
    fixed = job.fixed.get(option.position)
    if fixed is not None and option.key != fixed:
        return False
    if option.position in job.keep and option.changed:
        return False
    return option.key not in job.excluded and not too_late(job, option)


def confirm(evaluation: Evaluation, job: Job, choice: Mapping[str, Option]) -> Package:
    """Have python-constraint produce the package that the search promised.

    Raises
    ------
    RefereeDisagrees
        If the rules refuse it.
    """
    domains = {position: (option,) for position, option in choice.items()}
    for package in packages(evaluation, job, domains):
        return make_package(evaluation, package)
    text = ", ".join(f"{p}={o.key}" for p, o in sorted(choice.items()))
    message = (
        f"the search promised a package that the rules refuse ({text}); "
        "this is a fault of Fitwright's own: please report it with the job file"
    )
    raise RefereeDisagrees(message)
