"""What holds within usual tolerances, against every package asked one by one."""

from __future__ import annotations

import math
import random
from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from configurator.evaluation.evaluator import Evaluation
from configurator.evaluation.how_sure import is_sure
from configurator.evaluation.packages import make_package
from configurator.evaluation.propagation import Propagation
from configurator.model.jobs import Goal
from configurator.model.parts import Missing
from configurator.model.references import VehicleValue
from configurator.model.requirements import with_wishes
from configurator.model.sure_goals import parted
from configurator.model.tolerances import reserve_of
from configurator.model.vehicles import Measure
from configurator.questions.certainty_price import options_within, price_of_certainty
from configurator.search.counting import model_counting
from configurator.search.encoding.partitions import NO_MATTER, refined
from configurator.search.explanation import conflicts
from configurator.search.limits import LIMITS
from configurator.search.optimum import levels, option_prices, preparing, queries, verification
from configurator.search.optimum.preparing import Question
from configurator.search.optimum.sure_ceilings import MARGINS
from tests.search.random_cases import RandomCase, make

BATCH = 15


def _greatest(**values):
    """Has a kink wherever two values are alike, and many are."""
    return max(values.values())


def _apart(**values):
    first, *others = values.values()
    return abs(first - sum(others))


def with_tolerances(seed: int, *, sums: bool) -> RandomCase:
    """Give the values of a random trade tolerances, and its limits something that they concern."""
    given = make(seed, sums=sums)
    chance = random.Random(seed + 1000)
    trade = given.trade

    def wide(attribute):
        tolerance = chance.choice(("", "0.3", "0.8", "25 %", "40 %"))
        return attribute if attribute.name == "code" else replace(attribute, tolerance=tolerance)

    families = {
        key: replace(family, attributes=tuple(wide(a) for a in family.attributes))
        for key, family in trade.families.items()
    }
    limits = {
        name: replace(
            _tight(given.evaluation, rule, chance),
            concerns=chance.choice(("law", "plate", "contact", "law", "comfort")),
        )
        for name, rule in trade.limits.items()
    }
    totals = {
        name: replace(rule, concerns="plate" if rule.at_most or rule.at_least else "")
        for name, rule in trade.totals.items()
    }
    figures = {
        name: replace(
            rule,
            tolerance=chance.choice(("", "", "0.2")),
            function=chance.choice((rule.function, rule.function, _greatest, _apart)),
        )
        for name, rule in trade.figures.items()
    }
    trade = replace(trade, families=families, limits=limits, totals=totals, figures=figures)
    job = replace(given.case.job, sure=True)
    vehicle = given.case.vehicle
    if chance.random() < 0.8:  # of what is not known it cannot be said that it is no worse now
        fitted = {
            position: part
            and replace(part, values={**part.values, "a": Missing.UNKNOWN, "b": Missing.UNKNOWN})
            for position, part in vehicle.fitted.items()
        }
        vehicle = replace(vehicle, fitted=fitted)
    if sums and chance.random() < 0.7:  # what the sum starts from was weighed
        weighed = Measure("weighed", "any", "scales", tolerance=chance.choice(("2", "5", "9")))
        start = replace(totals["mass"], start=VehicleValue("weighed"))
        measures = {**trade.measures, "weighed": weighed}
        trade = replace(trade, measures=measures, totals={**totals, "mass": start})
        vehicle = replace(vehicle, values={**vehicle.values, "weighed": 100.0})
    return RandomCase(trade, replace(given.case, job=job, vehicle=vehicle))


def _tight(evaluation, rule, chance):
    """Move a limit's bound to where many packages just keep it."""
    bound = rule.at_least if rule.at_most is None else rule.at_most
    if not isinstance(bound, float):
        return rule
    drawn = (
        {p: chance.choice(evaluation.options(p)) for p in evaluation.families} for _ in range(20)
    )
    values = sorted(
        has for choice in drawn if (has := evaluation.verdict(rule, choice).has) is not None
    )
    if not values:
        return rule
    if rule.at_most is None:
        return replace(rule, at_least=values[len(values) // 3])
    return replace(rule, at_most=values[-1 - len(values) // 3])


def sure_packages(evaluation, job):
    """All packages that keep the rules and the wishes, surely, with their prices."""
    domains = {p: evaluation.options(p) for p in evaluation.families}
    return [
        (choice, make_package(evaluation, choice).price)
        for choice in verification.packages(evaluation, replace(job, sure=False), domains)
        if is_sure(evaluation, choice)
    ]


@cache
def listed_case(seed, *, sums):
    """Make a case with tolerances, and list once for all tests what they hold the search against.

    Returns
    -------
    tuple
        The case, its sure packages, and for each goal the cheapest price of each value of its
        figure among those that need not meet it.
    """
    random_case = with_tolerances(seed, sums=sums)
    evaluation, job = random_case.evaluation, random_case.case.job
    best: dict = {goal.figure: {} for goal in job.goals}
    for figure, prices in best.items():
        for choice, price in sure_packages(evaluation, queries.without_goal(job, figure)):
            value = evaluation.figure(figure, choice)
            prices[value] = min(price, prices.get(value, price))
    return random_case, sure_packages(evaluation, job), best


def key_of(choice):
    return tuple((p, o.key) for p, o in sorted(choice.items()))


def with_sure_goals(seed: int, *, sums: bool, limits: bool) -> RandomCase:
    """Ask of goals in turn that they be sure, beside limits that are or are not."""
    given = with_tolerances(seed, sums=sums)
    chance = random.Random(seed + 2000)
    evaluation, job = given.evaluation, given.case.job
    names = [*given.trade.figures]
    names += [name for name in given.trade.totals if chance.random() < 0.3]
    goals = []
    for name in chance.sample(names, min(len(names), 3)):
        values = []
        for _ in range(20):
            choice = {p: chance.choice(evaluation.options(p)) for p in evaluation.families}
            value = evaluation.figure(name, choice)
            values += [value] if isinstance(value, float) else []
        if not values:
            continue
        values.sort()
        low = values[len(values) // 3] if chance.random() < 0.7 else None
        high = values[-1 - len(values) // 3] if low is None or chance.random() < 0.2 else None
        goals.append(Goal(name, low, high, sure=chance.random() < 0.7))
    job = replace(job, goals=tuple(goals), sure=limits)
    return RandomCase(given.trade, replace(given.case, job=job))


def met_packages(evaluation, job):
    """All packages of a job, goals held one by one against what the propagation says."""
    plain = replace(job, goals=tuple(replace(g, sure=False) for g in job.goals), sure=False)
    domains = {p: evaluation.options(p) for p in evaluation.families}
    for choice in verification.packages(evaluation, plain, domains):
        if job.sure and not is_sure(evaluation, choice):
            continue
        known = Propagation(evaluation, choice)
        for goal in job.goals:
            if not goal.sure:
                continue
            uncertain = known.figure(goal.figure)
            reserve = reserve_of(uncertain.effects.values())
            rule = evaluation.definition(goal.figure)
            step = getattr(rule, "resolution", 0.0)
            low, high = float(uncertain.exact) - reserve, float(uncertain.exact) + reserve
            if step:
                low, high = (math.floor(low / step + 1e-6), math.ceil(high / step - 1e-6))
                low, high = low * step, high * step
            if goal.at_least is not None and low < goal.at_least - 1e-9:
                break
            if goal.at_most is not None and high > goal.at_most + 1e-9:
                break
        else:
            yield choice, make_package(evaluation, choice).price


@pytest.mark.parametrize("limits", [False, True])
@pytest.mark.parametrize("sums", [False, True])
@pytest.mark.parametrize("batch", range(3))
def test_goals_that_are_to_be_sure_are_met_by_every_package_and_no_other_is_lost(
    batch, sums, limits
):
    decided = 0
    for seed in range(batch * BATCH, (batch + 1) * BATCH):
        random_case = with_sure_goals(seed, sums=sums, limits=limits)
        evaluation, job = random_case.evaluation, random_case.case.job
        expected = list(met_packages(evaluation, job))
        few = replace(LIMITS, checked_values=0)
        figures = queries.goal_figures(job)
        prepared = preparing.prepare(evaluation, figures, sure=limits, limits=few)
        question = Question(prepared, job)
        cheapest = min((price for _, price in expected), default=None)
        cheapest_sure = option_prices.cheapest(question)
        assert (cheapest_sure.price, cheapest_sure.proven) == (cheapest, True), seed

        listed = list(option_prices.in_order(question))
        assert {key_of(choice) for _, choice, _ in listed} == {key_of(c) for c, _ in expected}
        asked = [
            verification.packages(evaluation, job, {p: [o] for p, o in choice.items()})
            for choice, _ in expected
        ]
        assert all(next(packages, None) for packages in asked), seed

        previews = option_prices.previews(question)
        for position, options in prepared.model.options.items():
            for number, option in enumerate(options):
                prices = [p for choice, p in expected if choice[position].key == option.key]
                own, known = previews.prices[position][number], min(prices, default=-1)
                if previews.exact[position][number]:
                    assert own == known, (seed, option)
                else:
                    assert known < 0 or own <= known, (seed, option)

        counts = model_counting.count(question, [])
        assert counts.total == len(expected) if counts.exact else counts.total >= len(expected)

        plain = replace(job, goals=tuple(replace(g, sure=False) for g in job.goals))
        decided += len(expected) != len(list(met_packages(evaluation, plain)))

        for name in queries.goal_figures(job):
            if evaluation.late(evaluation.definition(name)) or parted(name)[1] is None:
                continue
            rest = replace(job, goals=tuple(g for g in job.goals if g.figure != parted(name)[0]))
            best: dict = {}
            for choice, price in met_packages(evaluation, rest):
                value = evaluation.figure(name, choice)
                best[value] = min(price, best.get(value, price))
            reached = levels.levels_of(question, name)
            exact = {level.value: level.price for level in reached if level.exact}
            assert exact.items() <= best.items(), seed
            assert best.keys() <= {level.value for level in reached}, seed
    assert decided, "certainty of goals must decide something in some of them"


def test_a_conflict_of_goals_that_are_to_be_sure_is_one_and_is_smallest():
    explained = 0
    for seed in range(60):
        random_case = with_sure_goals(seed, sums=False, limits=False)
        evaluation, job = random_case.evaluation, random_case.case.job
        job = replace(job, budget=None)
        if not job.goals or any(met_packages(evaluation, job)):
            continue
        prepared = preparing.prepare(evaluation, queries.goal_figures(job))
        reasons = conflicts.explain(Question(prepared, job))
        wishes = [reason.wish for reason in reasons if reason.wish is not None]
        rules = [reason.rule for reason in reasons if reason.rule is not None]
        assert reasons, seed
        kept = with_wishes(job, wishes)
        domains = {p: evaluation.options(p) for p in evaluation.families}
        packages = verification.packages(evaluation, kept, domains, rules=rules)
        assert next(packages, None) is None, seed
        explained += any(parted(wish.subject)[1] for wish in wishes)
    assert explained > 3


@pytest.mark.parametrize("marked", ["every limit", "few"])
@pytest.mark.parametrize("sums", [False, True])
@pytest.mark.parametrize("batch", range(4))
def test_cheapest_options_levels_and_counts_are_those_of_sure_packages(batch, sums, marked):
    # What is not marked is decided package by package.
    marked_rows = LIMITS.marked_rows if marked == "every limit" else 0
    # Combinations of values that are in no package are left out however few there are.
    limits = replace(LIMITS, marked_rows=marked_rows, checked_values=0)
    for seed in range(batch * BATCH, (batch + 1) * BATCH):
        random_case, expected, best = listed_case(seed, sums=sums)
        evaluation, job = random_case.evaluation, random_case.case.job
        figures = queries.goal_figures(job)
        prepared = preparing.prepare(evaluation, figures, sure=True, limits=limits)
        question = Question(prepared, job)
        cheapest = min((price for _, price in expected), default=None)
        cheapest_sure = option_prices.cheapest(question)
        assert (cheapest_sure.price, cheapest_sure.proven) == (cheapest, True), seed

        previews = option_prices.previews(question)
        for position, options in prepared.model.options.items():
            for number, option in enumerate(options):
                prices = [p for choice, p in expected if choice[position].key == option.key]
                own, known = previews.prices[position][number], min(prices, default=-1)
                assert sums or marked == "few" or previews.exact[position][number]
                if previews.exact[position][number]:
                    assert own == known, (seed, option)
                else:
                    assert known < 0 or own <= known, (seed, option)

        # Narrowed to a job that is to be sure, a case has what is not sure no more.
        narrowed = preparing.prepare(evaluation, figures, within=job, sure=True, limits=limits)
        of_narrowed = option_prices.in_order(Question(narrowed, job))
        assert [price for price, _, _ in of_narrowed] == sorted(p for _, p in expected), seed
        if narrowed.within is not None and narrowed.within.sure:
            with pytest.raises(ValueError, match="narrowed to a job"):
                Question(narrowed, replace(job, sure=False))

        listed = list(option_prices.in_order(question))
        assert [price for price, _, _ in listed] == sorted(p for _, p in expected), seed
        assert {key_of(choice) for _, choice, _ in listed} == {key_of(c) for c, _ in expected}

        counts = model_counting.count(question, [])
        assert counts.total == len(expected) if counts.exact else counts.total >= len(expected)

        for goal in job.goals:
            if evaluation.late(evaluation.definition(goal.figure)):
                continue
            reached = levels.levels_of(question, goal.figure)
            assert sums or marked == "few" or all(level.exact for level in reached)
            exact = {level.value: level.price for level in reached if level.exact}
            assert exact.items() <= best[goal.figure].items(), seed
            assert best[goal.figure].keys() <= {level.value for level in reached}, seed


@pytest.mark.parametrize("sums", [False, True])
def test_what_certainty_costs_is_found_among_the_options_up_to_a_price(sums):
    looked_for = dearer = 0
    for seed in range(5 * BATCH):
        random_case, packages, _ = listed_case(seed, sums=sums)
        evaluation, job = random_case.evaluation, random_case.case.job
        expected = [price for _, price in packages]
        prepared = preparing.prepare(evaluation, queries.goal_figures(job))
        price = price_of_certainty(prepared)
        assert (price.sure.price, price.sure.proven) == (min(expected, default=None), True), seed
        if price.sure.price is not None:
            within = options_within(prepared, job, price.sure.price)
            for position, numbers in within.items():
                chosen = price.sure.choice[position]
                assert any(evaluation.options(position)[n] is chosen for n in numbers), seed
            dearer += price.sure.price > price.calculated.price * (1 + MARGINS[0])
        if price.calculated.choice is not None:
            looked_for += not is_sure(evaluation, price.calculated.choice)
    assert looked_for, "some must be looked for"
    assert dearer or sums, "and some among dearer options"


@pytest.mark.parametrize("sums", [False, True])
def test_the_same_tables_answer_as_calculated_too(sums):
    differing = 0
    for seed in range(120):
        random_case = with_tolerances(seed, sums=sums)
        evaluation, job = random_case.evaluation, random_case.case.job
        plain = replace(job, sure=False)
        marked = preparing.prepare(evaluation, queries.goal_figures(job), sure=True)
        unmarked = preparing.prepare(
            Evaluation(random_case.case, random_case.trade), queries.goal_figures(job)
        )
        both = [option_prices.cheapest(Question(each, plain)) for each in (marked, unmarked)]
        assert both[0].price == both[1].price, seed
        shown = [option_prices.previews(Question(each, plain)) for each in (marked, unmarked)]
        for position, own in shown[0].prices.items():
            known = shown[0].exact[position] & shown[1].exact[position]
            assert np.array_equal(own[known], shown[1].prices[position][known]), seed
        differing += both[0].price != option_prices.cheapest(Question(marked, job)).price
    assert differing > 1, "certainty must cost something in some of them"


def test_values_are_told_apart_until_nothing_is_mixed():
    chance = np.random.default_rng(5)
    for _ in range(60):
        sizes = chance.integers(1, 7, 3)
        rows = [chance.integers(0, size, 40) for size in sizes]
        blocks = [chance.integers(0, 2, size) for size in sizes]
        key = (rows[0] * 100 + rows[1] * 10 + rows[2]).astype(np.int64)
        answers = np.array([hash((int(k), 7)) % 3 - 1 for k in key], np.int64)
        refined_blocks = refined(rows, blocks, answers)
        seen: dict = {}
        for place, answer in enumerate(answers.tolist()):
            if answer != NO_MATTER:
                here = tuple(int(b[r[place]]) for b, r in zip(refined_blocks, rows, strict=True))
                assert seen.setdefault(here, answer) == answer
        for old, new in zip(blocks, refined_blocks, strict=True):
            pairs = {(int(n), int(o)) for n, o in zip(new, old, strict=True)}
            assert len({n for n, _ in pairs}) == len(pairs), "blocks are only split"
