"""Packages that differ are packages of the problem, each the cheapest of its kind: enumerated."""

from __future__ import annotations

import itertools

import pytest

from configurator.core.errors import InputError
from configurator.model.parts import NOTHING
from configurator.questions import answers
from configurator.search.limits import Limits
from configurator.search.optimum import preparing, queries
from configurator.search.optimum.preparing import Question
from configurator.search.pareto import diverse
from tests.search.narrow import CEILINGS
from tests.search.random_cases import make
from tests.search.test_certainty import sure_packages, with_tolerances
from tests.search.test_counts_and_fronts import listed


@pytest.mark.parametrize("sums", [False, True], ids=["without sums", "with sums"])
@pytest.mark.parametrize("start", range(0, 160, 40))
def test_each_is_the_cheapest_that_differs_from_those_before(start, sums):
    several = 0
    for seed in range(start, start + 40):
        random_case = make(seed, families=4, sums=sums)
        evaluation, job = random_case.evaluation, random_case.case.job
        prepared = preparing.prepare(evaluation, queries.goal_figures(job))
        several += _compared(Question(prepared, job), listed(random_case), seed)
    assert several > 5


def test_of_tables_that_are_too_wide_they_are_the_same():
    several = 0
    for seed in range(40):
        random_case = make(seed, families=4)
        evaluation, job = random_case.evaluation, random_case.case.job
        prepared = preparing.prepare(evaluation, queries.goal_figures(job), limits=CEILINGS)
        several += _compared(Question(prepared, job), listed(random_case), seed)
    assert several > 5


def test_where_certainty_is_not_marked_they_are_the_same():
    several = 0
    for seed in range(60):
        random_case = with_tolerances(seed, sums=False)
        evaluation, job = random_case.evaluation, random_case.case.job
        prepared = preparing.prepare(evaluation, queries.goal_figures(job), sure=False)
        several += _compared(Question(prepared, job), sure_packages(evaluation, job), seed)
    assert several > 5


def _compared(question, listed_packages, seed):
    """Hold packages that differ against all there are; return how many came after the first."""
    evaluation, job = question.evaluation, question.job
    several = 0
    big = diverse.big_choices(question)
    packages = [
        (choice, price)
        for choice, price in listed_packages
        if job.budget is None or price <= job.budget
    ]
    for least in (1, 2):
        kinds = list(itertools.islice(diverse.kinds(question, big, least), 4))
        before: list = []
        for kind in kinds:
            left = _differing_from(evaluation, big, packages, before, least)
            keys = {p: o.key for p, o in kind.choice.items()}
            assert (keys, kind.price) in [
                ({p: o.key for p, o in choice.items()}, price) for choice, price in packages
            ], seed
            assert kind.proven
            assert kind.price == min(left), (seed, least)
            before.append(kind.choice)
            several += len(before) > 1
        if len(kinds) < 4:  # there are no more
            assert not _differing_from(evaluation, big, packages, before, least), seed
    return several


def _differing_from(evaluation, big, packages, before, least):
    return [
        price
        for choice, price in packages
        if all(len(diverse.differing(evaluation, big, choice, other)) >= least for other in before)
    ]


def test_a_difference_is_the_same_from_both_sides_and_none_from_itself():
    for seed in range(60):
        random_case = make(seed)
        evaluation, job = random_case.evaluation, random_case.case.job
        prepared = preparing.prepare(evaluation, queries.goal_figures(job))
        big = diverse.big_choices(Question(prepared, job))
        for first, other in itertools.pairwise([choice for choice, _ in listed(random_case)][:20]):
            assert not diverse.differing(evaluation, big, first, first)
            assert diverse.differing(evaluation, big, first, other) == diverse.differing(
                evaluation, big, other, first
            )


def test_the_answer_falls_back_to_one_big_choice_where_two_cannot_differ():
    leasts = set()
    for seed in range(60):
        random_case = make(seed)
        try:
            prepared = answers.ready(random_case.case, random_case.trade, keep=False)
        except InputError:
            continue  # with these values a goal cannot be worked out
        different = answers.different(prepared, 3)
        leasts.add(different.least)
        cheapest = answers.find(prepared).packages
        assert [p.price for p in different.packages[:1]] == [p.price for p in cheapest]
        for first, other in itertools.combinations(different.packages, 2):
            differing = diverse.differing(
                prepared.evaluation, different.big, first.choice, other.choice
            )
            assert len(differing) >= different.least
    assert leasts == {1, 2}


def test_what_lies_close_among_all_that_is_listed_is_no_difference():
    # Few values stand in these lists: two of them are close only if much is called so.
    limits = Limits(alike_share=0.6)
    close = 0
    for seed in range(60):
        random_case = make(seed, families=4)
        evaluation, job = random_case.evaluation, random_case.case.job
        prepared = preparing.prepare(evaluation, queries.goal_figures(job), limits=limits)
        for big in diverse.big_choices(Question(prepared, job)):
            options = [
                (option, value)
                for position in big.positions
                for option in prepared.model.options[position]
                if option.key != NOTHING
                and isinstance(value := evaluation.attribute(option, big.attribute), float)
            ]
            values = [value for _, value in options]
            for (option, value), (other, other_value) in itertools.combinations(options, 2):
                if abs(value - other_value) < 0.6 * (max(values) - min(values)) * (1 - 1e-6):
                    assert not diverse.differs_at(evaluation, big, option, other)
                    close += value != other_value
    assert close
