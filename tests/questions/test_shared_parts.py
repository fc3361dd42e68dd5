"""What vehicles share, against every common choice tried one by one."""

from __future__ import annotations

import itertools
from dataclasses import replace

import pytest

from configurator.core.errors import FitwrightError
from configurator.questions import answers
from configurator.questions.case_cache import posed
from configurator.questions.shared_parts import ALTERNATIVES, FleetVehicle, cheapest_shared
from configurator.search.optimum import preparing
from configurator.wording.sharing_words import sharing_record, summary_lines
from tests.search.random_cases import make


def fleet_of(seed):
    """Two vehicles with the same lists, of a random case, that are asked for different things."""
    random_case = make(seed)
    evaluation = random_case.evaluation
    prepared = preparing.prepare(evaluation, answers_goals(evaluation))
    job = evaluation.case.job
    other = posed(prepared, replace(job, goals=job.goals[:1], fixed={}, budget=None))
    return [
        FleetVehicle("one", posed(prepared, replace(job, budget=None)), 2),
        FleetVehicle("two", other),
    ]


def answers_goals(evaluation):
    return list(dict.fromkeys(goal.figure for goal in evaluation.case.job.goals))


def one_by_one(fleet, positions):
    """Fix every combination of common parts in every job, and ask for the cheapest package."""
    keys = []
    for position in positions:
        options = [
            {o.key for o in vehicle.prepared.evaluation.options(position) if o.changed}
            for vehicle in fleet
        ]
        keys.append(sorted(set.intersection(*options)))
    packages = []
    for parts in itertools.product(*keys):
        fixed = dict(zip(positions, parts, strict=True))
        total = 0
        for vehicle in fleet:
            job = vehicle.prepared.evaluation.case.job
            if any(job.fixed.get(p, key) != key for p, key in fixed.items()):
                break
            asked = replace(job, fixed={**job.fixed, **fixed}, budget=None)
            if set(fixed) & set(job.keep) or set(parts) & set(job.excluded):
                break
            price = answers.cheapest(posed(vehicle.prepared, asked)).price
            if price is None:
                break
            total += vehicle.count * price
        else:
            packages.append((total, parts))
    return sorted(packages)


@pytest.mark.parametrize("seed", range(25))
def test_the_cheapest_common_parts_are_those_of_all_combinations(seed):
    fleet = fleet_of(seed)
    places = list(fleet[0].prepared.evaluation.families)[:2]
    for positions in ([places[0]], places):
        expected = one_by_one(fleet, positions)
        answer = cheapest_shared(fleet, positions)
        assert [choice.price for choice in answer.choices] == [
            price for price, _ in expected[: ALTERNATIVES + 1]
        ]
        if expected and answer.apart_price is not None:
            assert answer.cost == expected[0][0] - answer.apart_price
            assert all(choice.proven for choice in answer.choices)


def test_what_is_over_a_jobs_budget_is_said():
    fleet = fleet_of(1)
    positions = [next(iter(fleet[0].prepared.evaluation.families))]
    answer = cheapest_shared(fleet, positions)
    best = answer.choices[0]
    assert best.prices[1] > 1
    assert not any("budget" in line for line in summary_lines(fleet, positions, answer))
    vehicle = fleet[1]
    job = vehicle.prepared.evaluation.case.job
    dear = replace(job, budget=best.prices[1] - 1)
    fleet[1] = replace(vehicle, prepared=posed(vehicle.prepared, dear))
    (line,) = (line for line in summary_lines(fleet, positions, answer) if "budget" in line)
    assert line.startswith("two: 0.01 ")
    assert " over the budget of " in line
    record = sharing_record(fleet, answer)["choices"][0]["over_budget"]
    assert [over["amount"] for over in record] == ["0.00", "0.01"]


def test_a_fleet_of_nothing_is_refused():
    with pytest.raises(FitwrightError, match="needs vehicles"):
        cheapest_shared([], ["a"])
