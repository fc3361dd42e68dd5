"""Packages that are sure, built sixty times within usual tolerances: do their rules hold?

The draws ask the rule functions and nothing else: no table, no slope, nothing rounded. All bundled
jobs, with their totals, take minutes: ``python -m tests.evaluation.test_sure_packages_hold``.
"""

from __future__ import annotations

import random
import sys
from dataclasses import replace

from configurator.core import paths
from configurator.evaluation.propagation import Propagation
from configurator.files import job_files
from configurator.model.knowledge import checked_rules
from configurator.model.rules import TOLD_HOW_SURE, Limit, Total
from configurator.questions import answers
from configurator.search.optimum import option_prices
from configurator.search.optimum.preparing import Question
from tests import bundled
from tests.evaluation.draws import Draw, is_number

DRAWS = 60
MOST_BROKEN = 3
JOBS = paths.catalogs() / "demo" / "jobs"
QUICK = "touring-wagon-first-step"


def both_packages(job):
    """Evaluation, and the cheapest package as calculated and the one that is sure."""
    trade = bundled.trade()
    prepared = answers.ready(job_files.read_case(job, trade), trade, sure=True)
    asked = replace(prepared.evaluation.case.job, budget=None)
    broken = [
        option_prices.cheapest(Question(prepared, replace(asked, sure=sure)))
        for sure in (False, True)
    ]
    return prepared.evaluation, *broken


def with_sure_goals(job, figures=None):
    """Evaluation and the cheapest package whose goals, all or on some figures, are sure."""
    trade = bundled.trade()
    case = job_files.read_case(job, trade)
    goals = tuple(
        replace(goal, sure=figures is None or goal.figure in figures) for goal in case.job.goals
    )
    case = replace(case, job=replace(case.job, goals=goals, budget=None))
    prepared = answers.ready(case, trade)
    return prepared.evaluation, answers.cheapest(prepared)


def missed_draws(evaluation, choice, seed=2):
    """Of so many draws, those in which a goal that is to be sure is missed, unrounded."""
    chance = random.Random(seed)
    shared = Propagation(evaluation, choice), {}
    missed = []
    for _ in range(DRAWS):
        draw = Draw(evaluation, choice, chance, *shared)
        names = []
        for goal in evaluation.case.job.goals:
            value = draw.figure(goal.figure, choice) if goal.sure else None
            low = goal.at_least is not None and goal.sure and value < goal.at_least - 1e-9
            high = goal.at_most is not None and goal.sure and value > goal.at_most + 1e-9
            names += [goal.figure] if low or high else []
        if names:
            missed.append(names)
    return missed


def broken_draws(evaluation, choice, seed=1):
    """Of so many draws, those in which a counted rule is broken, and worse than before."""
    chance = random.Random(seed)
    rules = [
        rule
        for rule in checked_rules(evaluation.trade)
        if isinstance(rule, Limit | Total) and rule.concerns in TOLD_HOW_SURE
    ]
    broken = []
    shared, stood = (Propagation(evaluation, choice), {}), (Propagation(evaluation), {})
    for _ in range(DRAWS):
        built = Draw(evaluation, choice, chance, *shared)
        before = Draw(evaluation, evaluation.fitted, chance, *stood)
        before.shares = built.shares  # the same vehicle
        names = [rule.name for rule in rules if is_broken(evaluation, rule, built, before)]
        if names:
            broken.append(names)
    return broken


def is_broken(evaluation, rule, built, before):
    margin = margin_of(rule, built)
    if margin is None:
        return False
    bound = rule.at_least if rule.at_least is not None else rule.at_most
    # A gap by practice is there for errors of measurement, in part: contact is what must not be.
    allowed = evaluation.tolerances.allowed_in(rule, bound)
    if margin >= -allowed - 1e-9:
        return False
    stood = margin_of(rule, before)
    return stood is None or margin < stood - 1e-9


def margin_of(rule, draw):
    try:
        margin = draw.margin(rule)
    except TypeError:  # a value that is not there, or not known
        return None
    return margin if is_number(margin) else None


def test_a_sure_package_breaks_a_rule_in_three_of_sixty_draws_at_most():
    evaluation, calculated, sure = both_packages(JOBS / f"{QUICK}.toml")
    assert sure.proven
    assert len(broken_draws(evaluation, sure.choice)) <= MOST_BROKEN
    # The draws would show it: as calculated more are broken.
    assert len(broken_draws(evaluation, calculated.choice)) > MOST_BROKEN


def test_a_goal_that_is_sure_is_missed_in_three_of_sixty_draws_at_most():
    figure = "clearance under rear axle"
    evaluation, sure = with_sure_goals(JOBS / f"{QUICK}.toml", [figure])
    assert sure.proven
    assert len(missed_draws(evaluation, sure.choice)) <= MOST_BROKEN
    # The draws would show it: as calculated more miss it.
    job, trade = JOBS / f"{QUICK}.toml", bundled.trade()
    prepared = answers.ready(job_files.read_case(job, trade), trade)
    calculated = answers.cheapest(prepared)
    assert len(missed_draws(evaluation, calculated.choice)) > MOST_BROKEN


def main() -> None:
    """Print for each bundled job what its two packages cost, and how many draws break a rule."""
    for job in sorted(JOBS.glob("*.toml")):
        evaluation, *packages = both_packages(job)
        for title, package in zip(("as calculated", "sure"), packages, strict=True):
            if package.choice is None:
                sys.stdout.write(f"{job.stem}: {title}: nothing\n")
                continue
            broken = broken_draws(evaluation, package.choice)
            names = sorted({name for each in broken for name in each})
            sys.stdout.write(
                f"{job.stem}: {title}: {package.price / 100:,.2f}, "
                f"{len(broken)} of {DRAWS} draws broken: {', '.join(names) or 'none'}\n"
            )
            sys.stdout.flush()
        evaluation, package = with_sure_goals(job)
        if package.choice is None:
            sys.stdout.write(f"{job.stem}: goals sure: nothing\n")
        else:
            missed = missed_draws(evaluation, package.choice)
            names = sorted({name for each in missed for name in each})
            sys.stdout.write(
                f"{job.stem}: goals sure: {package.price / 100:,.2f}, "
                f"{len(missed)} of {DRAWS} draws missed: {', '.join(names) or 'none'}\n"
            )
        sys.stdout.flush()


if __name__ == "__main__":
    main()
