"""What is sure where certainty is not marked for all parts at once, against enumeration."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from configurator.model.references import FigureValue
from configurator.search.limits import LIMITS
from configurator.search.optimum import levels, option_prices, preparing, queries, sure_ceilings
from configurator.search.optimum.branch_and_bound import Undecided
from configurator.search.optimum.lately import Lately
from configurator.search.optimum.preparing import Question
from tests.search.narrow import CEILINGS
from tests.search.test_certainty import key_of, sure_packages, with_sure_goals, with_tolerances

SEEDS = range(30)
SHORT, WIDE = LIMITS, CEILINGS


def asked(seed, limits, *, sums, sure=False):
    """Ask what is sure of a case in which that is not marked."""
    random_case = with_tolerances(seed, sums=sums)
    evaluation, job = random_case.evaluation, random_case.case.job
    figures = queries.goal_figures(job)
    prepared = preparing.prepare(evaluation, figures, sure=sure, limits=limits)
    question = Question(prepared, job)
    return question, sure_packages(evaluation, job)


@pytest.mark.parametrize("limits", [SHORT, WIDE], ids=["joined", "too wide"])
@pytest.mark.parametrize("sums", [False, True])
def test_packages_and_prices_are_those_of_sure_packages(sums, limits):
    beyond = raised = 0
    for seed in SEEDS:
        question, expected = asked(seed, limits, sums=sums)
        job = question.job
        prices = sorted(price for _, price in expected)
        listed = list(option_prices.in_order(question))
        assert [price for price, _, _ in listed] == prices, seed
        assert {key_of(choice) for _, choice, _ in listed} == {key_of(c) for c, _ in expected}
        assert sure_ceilings.apart(question) or question.model.broken
        assert all(proven for _, _, proven in listed), seed
        raised += len(list(sure_ceilings.ceilings(question))) > 1

        fresh = replace(question.prepared, lately=Lately())
        question = Question(fresh, job)
        previews = option_prices.previews(question)
        least = min(prices, default=None)
        if previews.cheapest is not None:
            assert least is None or previews.cheapest <= least, seed
        for position, options in question.model.options.items():
            for number, option in enumerate(options):
                own = [price for choice, price in expected if choice[position].key == option.key]
                shown, known = previews.prices[position][number], min(own, default=-1)
                if previews.exact[position][number]:
                    assert shown == known, (seed, option)
                else:
                    beyond += 1
                    assert known < 0 or shown <= known, (seed, option)
                freed = previews.if_freed[position][number]
                assert not previews.freed_exact[position][number] or freed == known, (seed, option)
    assert beyond, "prices beyond the ceiling must be bounds in some"
    assert raised, "some ceilings must be raised"


@pytest.mark.parametrize("most", [3, 6, 9])
def test_of_too_many_parts_the_cheapest_packages_are_proven_and_others_are_not(most):
    limits = replace(LIMITS, marked_options=most)
    proven_some = undecided = dearer = 0
    for seed in SEEDS:
        question, expected = asked(seed, limits, sums=False, sure=True)
        prices = sorted(price for _, price in expected)
        listed, least = [], None
        try:
            for package in option_prices.in_order(question):
                listed.append(package)
        except Undecided as given_up:
            least = given_up.least
        known = [price for price, _, proven in listed if proven]
        assert known == prices[: len(known)], seed
        assert {key_of(c) for _, c, _ in listed} <= {key_of(c) for c, _ in expected}, seed
        if least is None:
            assert known == prices, seed
        else:
            undecided += 1
            assert all(price >= least for price in prices[len(known) :]), seed
        dearer += any(not proven for _, _, proven in listed)
        proven_some += bool(known)
        package = option_prices.cheapest(question)
        if package.proven:
            assert package.price == min(prices, default=None), seed
        else:
            assert package.price is None or package.price >= prices[0], seed
            assert not prices or package.least <= prices[0], seed
    assert undecided, "some must have too many parts"
    if most > 3:
        assert proven_some


def test_what_was_made_for_a_job_serves_one_that_picks_more():
    served = 0
    for seed in SEEDS:
        question, expected = asked(seed, SHORT, sums=False)
        if not expected:
            continue
        option_prices.cheapest(question)
        choice, _ = max(expected, key=lambda package: package[1])
        for position, option in choice.items():
            job = replace(question.job, fixed={**question.job.fixed, position: option.key})
            before = question.prepared.lately.certain
            package = option_prices.cheapest(question.about(job))
            own = [price for other, price in expected if other[position].key == option.key]
            assert (package.price, package.proven) == (min(own), True), (seed, position)
            served += question.prepared.lately.certain == before
            previews = option_prices.previews(question.about(job), [position])
            number = [o.key for o in question.model.options[position]].index(option.key)
            shown = previews.prices[position][number]
            assert shown == min(own) or not previews.exact[position][number]
            assert not (np.delete(previews.prices[position], number) >= 0).any()
    assert served


def test_goals_that_are_to_be_sure_are_met_too():
    looked = 0
    for seed in SEEDS:
        random_case = with_sure_goals(seed, sums=False, limits=True)
        evaluation, job = random_case.evaluation, replace(random_case.case.job, sure=True)
        prepared = preparing.prepare(evaluation, queries.goal_figures(job), sure=False)
        marked = preparing.prepare(evaluation, queries.goal_figures(job), sure=True)
        packages = [option_prices.cheapest(Question(each, job)) for each in (prepared, marked)]
        assert packages[0].proven, seed
        assert packages[0].price == packages[1].price, seed
        looked += packages[0].price is not None
    assert looked


def test_levels_of_figures_are_never_too_dear():
    compared = 0
    for seed in range(30):
        question, _ = asked(seed, SHORT, sums=False)
        for goal in question.job.goals:
            if question.evaluation.late(question.evaluation.definition(goal.figure)):
                continue
            if not question.evaluation.reach_of(FigureValue(goal.figure)):
                continue
            others = sure_packages(
                question.evaluation, queries.without_goal(question.job, goal.figure)
            )
            best: dict = {}
            for choice, price in others:
                value = question.evaluation.figure(goal.figure, choice)
                best[value] = min(price, best.get(value, price))
            reached = {level.value: level for level in levels.levels_of(question, goal.figure)}
            assert best.keys() <= reached.keys(), seed
            for value, price in best.items():
                compared += 1
                level = reached[value]
                assert level.price == price if level.exact else level.price <= price, seed
    assert compared
