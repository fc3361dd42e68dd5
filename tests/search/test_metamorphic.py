"""What must stay true when a problem is changed in a known way: no second solver is needed."""

from __future__ import annotations

import random
from dataclasses import replace

import pytest

from configurator.evaluation.evaluator import Evaluation
from configurator.model.jobs import Goal
from configurator.model.knowledge import gather
from configurator.search.counting import model_counting
from configurator.search.optimum import option_prices, preparing, queries
from configurator.search.optimum.preparing import Question
from configurator.search.pareto import fronts
from tests.search.random_cases import RandomCase, make

SEEDS = 40


def question_of(case: RandomCase) -> Question:
    job = case.case.job
    return Question(preparing.prepare(case.evaluation, queries.goal_figures(job)), job)


def cheapest(case: RandomCase) -> float:
    return cheapest_and_count(case)[0]


def cheapest_and_count(case: RandomCase) -> tuple[float, int]:
    question = question_of(case)
    total = model_counting.count(
        question.about(replace(question.job, budget=None)), listed=10**6
    ).total
    cheapest = option_prices.cheapest(question)
    assert cheapest.proven
    return (float("inf") if cheapest.price is None else cheapest.price), total


def prices(case: RandomCase):
    """Cheapest package with each option, by position and key; -1 where there is none."""
    question = question_of(case)
    previews = option_prices.previews(question)
    arrays = {position: array.copy() for position, array in previews.prices.items()}
    for position, number, price, proven in option_prices.close(question, previews):
        assert proven
        arrays[position][number] = price
    return {
        (position, option.key): int(price)
        for position, options in question.model.options.items()
        for option, price in zip(options, arrays[position], strict=True)
    }


def with_job(case: RandomCase, **changes) -> RandomCase:
    return RandomCase(case.trade, replace(case.case, job=replace(case.case.job, **changes)))


def with_parts(case: RandomCase, parts) -> RandomCase:
    return RandomCase(case.trade, replace(case.case, parts=parts))


@pytest.mark.parametrize("sums", [False, True], ids=["without sums", "with sums"])
@pytest.mark.parametrize("start", [0, SEEDS])
def test_one_more_part_never_raises_a_price_nor_lowers_a_count(start, sums):
    grew = 0
    for seed in range(start, start + SEEDS):
        case = make(seed, families=4, sums=sums)
        chance = random.Random(seed)
        family = chance.choice([key for key, parts in case.case.parts.items() if parts])
        more = dict(case.case.parts)
        *rest, last = more[family]
        if not rest:
            continue
        fewer = with_parts(case, {**more, family: tuple(rest)})
        if last.key in case.case.job.fixed.values():
            continue
        (before, some), (after, every) = cheapest_and_count(fewer), cheapest_and_count(case)
        assert after <= before, seed
        assert some <= every, seed
        grew += some < every
        old, new = prices(fewer), prices(case)
        for place, price in old.items():
            assert price == -1 or 0 <= new[place] <= price, (seed, place)
    assert grew > 1


@pytest.mark.parametrize("sums", [False, True], ids=["without sums", "with sums"])
def test_a_tighter_goal_never_lowers_a_price_nor_raises_a_count(sums):
    fell = 0
    for seed in range(2 * SEEDS):
        case = make(seed, families=4, sums=sums)
        chance = random.Random(seed)
        goals = list(case.case.job.goals)
        if not goals:
            goals = [Goal(next(iter(case.trade.figures)), at_least=1.0)]
        looser = with_job(case, goals=tuple(goals))
        number = chance.randrange(len(goals))
        goal, step = goals[number], float(chance.randint(1, 4))
        tightened = replace(
            goal,
            at_least=None if goal.at_least is None else goal.at_least + step,
            at_most=goal.at_most if goal.at_most is None else goal.at_most - step,
        )
        goals[number] = tightened
        tighter = with_job(case, goals=tuple(goals))
        (before, many), (after, few) = cheapest_and_count(looser), cheapest_and_count(tighter)
        assert after >= before, seed
        assert few <= many, seed
        loose, tight = prices(looser), prices(tighter)
        for place, price in tight.items():
            assert price == -1 or 0 <= loose[place] <= price, (seed, place)
        fell += few < many
    assert fell > 1


@pytest.mark.parametrize("sums", [False, True], ids=["without sums", "with sums"])
@pytest.mark.parametrize("start", [0, SEEDS])
def test_the_order_of_rules_families_and_parts_changes_nothing(start, sums):
    for seed in range(start, start + SEEDS):
        case = make(seed, families=4, sums=sums)
        chance = random.Random(seed)
        trade = case.trade
        rules = [
            *trade.figures.values(),
            *trade.limits.values(),
            *trade.fits.values(),
            *trade.totals.values(),
            *trade.operations.values(),
        ]
        families = list(trade.families.values())
        parts = {key: list(listed_parts) for key, listed_parts in case.case.parts.items()}
        chance.shuffle(rules)
        chance.shuffle(families)
        for listed_parts in parts.values():
            chance.shuffle(listed_parts)
        shuffled = RandomCase(
            gather(families, list(trade.measures.values()), [], [], rules),
            replace(case.case, parts={key: tuple(parts[key]) for key in reversed(list(parts))}),
        )
        assert prices(shuffled) == prices(case), seed
        counts, other = (
            model_counting.count(question_of(case)),
            model_counting.count(question_of(shuffled)),
        )
        assert counts.total == other.total, seed
        assert by_key(case, counts) == by_key(shuffled, other), seed
        name = next(iter(trade.figures))
        assert front(case, name) == front(shuffled, name), seed


def by_key(case: RandomCase, counts):
    evaluation = case.evaluation
    return {
        (position, option.key): number
        for position, numbers in counts.options.items()
        for option, number in zip(evaluation.options(position), numbers, strict=True)
    }


def front(case: RandomCase, figure: str):
    job = case.case.job
    evaluation: Evaluation = case.evaluation
    names = dict.fromkeys([*queries.goal_figures(job), figure])
    prepared = preparing.prepare(evaluation, list(names))
    return [(p.values, p.price) for p in fronts.front(Question(prepared, job), [(figure, "high")])]


def test_a_price_that_rises_by_so_much_raises_the_package_by_no_more():
    for seed in range(SEEDS):
        case = make(seed, families=4)
        chance = random.Random(seed)
        family = chance.choice([key for key, parts in case.case.parts.items() if parts])
        first, *rest = case.case.parts[family]
        dearer = replace(first, price=first.price + 70)
        changed = with_parts(case, {**case.case.parts, family: (dearer, *rest)})
        declared = case.trade.families[family]
        most = 70 * int(declared.pieces) * len(declared.positions)
        before, after = cheapest(case), cheapest(changed)
        assert before <= after <= before + most, seed


def test_a_fixed_part_costs_what_its_preview_said():
    for seed in range(SEEDS // 2):
        case = with_job(make(seed, families=4), fixed={}, keep=())
        for (position, key), price in prices(case).items():
            if price >= 0:
                fixed = with_job(case, fixed={position: key})
                assert cheapest(fixed) == price, (seed, position, key)


@pytest.mark.parametrize("sums", [False, True], ids=["without sums", "with sums"])
def test_how_many_vehicles_there_are_changes_no_package(sums):
    # Prices are for each vehicle; only what lies on the shelf, which none of these does, runs out.
    for seed in range(SEEDS):
        case = make(seed, families=4, sums=sums)
        cheapest_each = []
        for vehicles in (1, 3):
            cheapest = option_prices.cheapest(question_of(with_job(case, vehicles=vehicles)))
            keys = cheapest.choice and {
                position: option.key for position, option in cheapest.choice.items()
            }
            cheapest_each.append((cheapest.price, keys))
        assert cheapest_each[0] == cheapest_each[1], seed
        assert prices(with_job(case, vehicles=3)) == prices(case), seed
