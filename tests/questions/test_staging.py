"""Stages of a package, against all chains of its parts tried one by one."""

from __future__ import annotations

import itertools
import random

import pytest

from configurator import testing
from configurator.core.progress import Cancelled, Progress, followed
from configurator.questions import answers
from configurator.questions.staging import best_split, plan_stages
from configurator.wording.stage_words import choice_words

PLUGIN = '''
"""Five positions that need each other, and work that some of them share."""

from configurator.plugin import Attribute, Family, Position, computed, figure, fit, operation, part

NAMES = ("a", "b", "c", "d", "e")
FAMILIES = [
    Family(
        f"kind {name}", name, (Position(name),), (Attribute("size", "How large.", unit=""),),
        meaning="Of a test.",
    )
    for name in NAMES
]
kind_a, kind_b, kind_c, kind_d, kind_e = FAMILIES


@figure("reach", unit="", meaning="What all of them come to.", source="of a test")
def reach(
    a: float = part("a", "size"), b: float = part("b", "size"), c: float = part("c", "size"),
    d: float = part("d", "size"), e: float = part("e", "size"),
):
    return a + 2 * b + 3 * c + 5 * d + 7 * e


@fit("a is not larger than b", because="of a test", source="of a test")
def a_b(a: float = part("a", "size"), b: float = part("b", "size")):
    return a <= b


@fit("c and d go together", because="of a test", source="of a test")
def c_d(c: float = part("c", "size"), d: float = part("d", "size")):
    return c == d


@operation("open the front", hours=2.0)
def front(a: bool = part("a", "changed"), b: bool = part("b", "changed")):
    return a or b


@operation("open the rear", hours=3.0)
def rear(d: bool = part("d", "changed"), e: bool = part("e", "changed")):
    return d or e
'''
HOURS = {"front": ({"a", "b"}, 20000), "rear": ({"d", "e"}, 30000)}
WEIGHTS = {"a": 1, "b": 2, "c": 3, "d": 5, "e": 7}


@pytest.fixture(scope="module")
def trade(tmp_path_factory):
    path = tmp_path_factory.mktemp("stages") / "five.py"
    path.write_text(PLUGIN, encoding="utf-8")
    return testing.load([path], bundled=False)


def built(trade, prices, goals):
    """Everything fitted is of size 1 and everything new of size 2."""
    vehicle = testing.vehicle(trade, {}, {name: {"size": "1"} for name in prices})
    parts = [
        testing.part(
            trade, f"kind {name}", name.upper(), price=f"{price} EUR", values={"size": "2"}
        )
        for name, price in prices.items()
    ]
    asked = {"reach": {"at_least": str(goals[-1])}}
    case = testing.case(trade, vehicle, parts, rate="100 EUR", goals=asked, title="T")
    prepared = testing.ready(case, trade)
    (package,) = answers.find(prepared).packages
    return prepared.evaluation, package


def several(trade, prices, reach, count):
    """Return the cheapest packages that reach so much."""
    vehicle = testing.vehicle(trade, {}, {name: {"size": "1"} for name in prices})
    parts = [
        testing.part(
            trade, f"kind {name}", name.upper(), price=f"{price} EUR", values={"size": "2"}
        )
        for name, price in prices.items()
    ]
    asked = {"reach": {"at_least": str(reach)}}
    case = testing.case(trade, vehicle, parts, rate="100 EUR", goals=asked, title="T")
    prepared = testing.ready(case, trade)
    return prepared.evaluation, answers.find(prepared, count).packages


def sound(parts):
    """The two rules, said anew: a needs b, and c and d come together."""
    return not ("a" in parts and "b" not in parts) and (("c" in parts) == ("d" in parts))


def step_price(before, after, prices):
    """Parts that are new in the step, and each piece of work once if one of its parts is new."""
    new = after - before
    work = sum(price for names, price in HOURS.values() if names & new)
    return sum(prices[name] * 100 for name in new) + work


def all_chains(whole, prices, budgets):
    names = sorted(whole)
    subsets = [
        frozenset(some)
        for count in range(len(names) + 1)
        for some in itertools.combinations(names, count)
        if sound(set(some))
    ]
    for chain in itertools.product(subsets, repeat=len(budgets) - 1):
        steps = [frozenset(), *chain, frozenset(whole)]
        if any(not earlier <= later for earlier, later in itertools.pairwise(steps)):
            continue
        kept, total = 0, 0
        for (earlier, later), budget in zip(itertools.pairwise(steps), budgets, strict=True):
            price = step_price(earlier, later, prices)
            kept += budget - price
            total += price
            if kept < 0:
                break
        else:
            yield steps[1:], total


@pytest.mark.parametrize("case", range(12))
def test_the_stages_are_the_best_of_all_chains(trade, case):
    chance = random.Random(case)
    prices = {name: chance.randint(100, 900) for name in WEIGHTS}
    evaluation, package = built(trade, prices, [36])  # 18 as it stands, twice that with all new
    whole = {position for position, option in package.choice.items() if option.changed}
    assert whole == set(WEIGHTS)
    budgets = [chance.randint(60000, 220000) for _ in range(chance.choice((2, 3)))]
    plan = plan_stages(evaluation, package, budgets)
    assert plan.proven
    chains = list(all_chains(whole, prices, budgets))
    if not chains:
        assert plan.stages == ()
        return

    def rank(chain):
        steps, total = chain
        missed = [18 + sum(WEIGHTS[name] for name in parts) < 36 for parts in steps]
        pairs = itertools.pairwise([frozenset(), *steps])
        return missed, sum(a == b != frozenset(whole) for a, b in pairs), total

    best = min(chains, key=rank)
    fitted = [frozenset(stage.positions) for stage in plan.stages]
    reached = list(itertools.accumulate(fitted, frozenset.union))
    assert rank((reached, plan.price)) == rank(best)
    assert sum(len(parts) for parts in fitted) == len(whole)  # nothing is bought twice
    assert all(sound(set(parts)) for parts in reached)
    again = sum(
        price * (sum(bool(names & parts) for parts in fitted) - 1)
        for names, price in HOURS.values()
    )
    assert plan.price - plan.once == again
    assert bool(plan.twice) is bool(again)
    alike = [total for steps, total in chains if rank((steps, total))[0] == rank(best)[0]]
    assert plan.waiting_saves == plan.price - min(alike)

    def rest(steps):
        return [step_price(parts, frozenset(whole), prices) for parts in steps]

    equal = [chain for chain in chains if rank(chain) == rank(best)]
    assert rest(reached) == min(rest(steps) for steps, _ in equal)
    subsets = [
        frozenset(some)
        for count in range(len(whole) + 1)
        for some in itertools.combinations(sorted(whole), count)
        if sound(set(some))
    ]
    for step in plan.together:
        without = [parts for parts in subsets if step.position not in parts]
        assert step.last == min(step_price(parts, frozenset(whole), prices) for parts in without)


@pytest.mark.parametrize("budgets", [(30000, 90000, 90000), (60000, 120000, 120000)])
def test_of_several_packages_the_one_is_split_that_reaches_most(trade, budgets):
    """The first stage counts before the second, goals before money."""
    lowest, highest, second = budgets
    dearer = 0
    for case in range(20):
        chance = random.Random(100 + case)
        prices = {name: chance.randint(100, 900) for name in WEIGHTS}
        # 18 as it stands; 21 takes some of the parts, so there are several packages.
        evaluation, packages = several(trade, prices, 21, 12)
        of_stages = [chance.randint(lowest, highest), second]
        split = best_split(evaluation, packages, of_stages)
        plans = [plan_stages(evaluation, package, of_stages) for package in packages]
        assert split.looked_at == len(packages) > 1
        assert split.cheapest == plans[0]

        def rank(pair):
            package, plan = pair
            return [not stage.met for stage in plan.stages], plan.price, package.price

        possible = [pair for pair in zip(packages, plans, strict=True) if pair[1].stages]
        best = min(possible, key=rank) if possible else (packages[0], plans[0])
        assert (split.package, split.plan) == best
        assert split.more == best[0].price - packages[0].price
        dearer += split.more > 0
        if split.more:
            (sentence,) = choice_words(evaluation, split)
            assert "this one is the best to split" in sentence
    assert dearer


def test_what_belongs_together_is_told_with_its_rules(trade):
    evaluation, package = built(trade, dict.fromkeys(WEIGHTS, 100), [36])
    plan = plan_stages(evaluation, package, [10000, 10000])
    assert plan.stages == ()
    steps = {step.position: step for step in plan.together}
    assert steps["a"].others == ("b",)
    assert steps["a"].rules == ("a is not larger than b",)
    assert steps["b"].others == ()
    assert steps["c"].others == ("d",)
    assert steps["c"].price == 2 * 10000 + 30000
    assert steps["e"].rules == ()


def test_stages_without_a_budget_are_refused(trade):
    evaluation, package = built(trade, dict.fromkeys(WEIGHTS, 100), [36])
    with pytest.raises(ValueError, match="budget"):
        plan_stages(evaluation, package, [])


def test_it_says_how_far_it_is_and_can_be_stopped(trade):
    evaluation, package = built(trade, dict.fromkeys(WEIGHTS, 100), [36])
    with followed(Progress("{done} of up to {of}")) as progress:
        plan_stages(evaluation, package, [10000, 10000])
    # Five parts, of which a wants b, and c and d want each other: 3 x 2 x 2 vehicles.
    assert progress.words == "11 of up to 4000"
    stopped = Progress()
    stopped.cancel()
    with followed(stopped), pytest.raises(Cancelled):
        plan_stages(evaluation, package, [10000, 10000])
