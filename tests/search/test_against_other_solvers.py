"""The cheapest price, and whether there is any package, by two solvers of other kinds.

CP-SAT (lazy clause generation, OR-tools) and toulbar2 (cost function networks) are given the cases
written out from the rule functions; see ``encodings``.
"""

from __future__ import annotations

import pytest

from configurator.search.optimum import preparing, queries
from configurator.search.optimum.preparing import Question
from tests.search.encodings import Instance, encode
from tests.search.random_cases import make

SEEDS = range(1000, 1200)


def by_cp_sat(instance: Instance) -> int | None:
    cp_model = pytest.importorskip("ortools.sat.python.cp_model", reason="ortools is not installed")
    model = cp_model.CpModel()
    variables = {
        position: model.new_int_var(0, len(prices) - 1, position)
        for position, prices in instance.prices.items()
    }
    costs = []
    for position, prices in instance.prices.items():
        price = model.new_int_var(0, max(prices), f"price of {position}")
        model.add_element(variables[position], prices, price)
        costs.append(price)
    for number, relation in enumerate(instance.relations):
        cost = model.new_int_var(0, max(relation.allowed.values()), f"cost {number}")
        rows = [(*numbers, cost_of) for numbers, cost_of in relation.allowed.items()]
        model.add_allowed_assignments([*(variables[p] for p in relation.positions), cost], rows)
        costs.append(cost)
    model.minimize(sum(costs))
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.catch_sigint_signal = False  # it would not give Ctrl-C back afterwards
    status = solver.solve(model)
    if status == cp_model.INFEASIBLE:
        return None
    assert status == cp_model.OPTIMAL
    return round(solver.objective_value) + instance.fixed_cost


def by_toulbar2(instance: Instance) -> int | None:
    pytoulbar2 = pytest.importorskip("pytoulbar2", reason="pytoulbar2 is not installed")
    forbidden = 10**7
    problem = pytoulbar2.CFN(forbidden)
    for position, prices in instance.prices.items():
        problem.AddVariable(position, range(len(prices)))
        problem.AddFunction([position], prices)
    for relation in instance.relations:
        sizes = [len(instance.prices[p]) for p in relation.positions]
        table = [forbidden] * _product(sizes)
        for numbers, cost in relation.allowed.items():
            index = 0
            for number, size in zip(numbers, sizes, strict=True):
                index = index * size + number
            table[index] = cost
        problem.AddFunction(list(relation.positions), table)
    status = problem.Solve()
    return None if status is None else round(status[1]) + instance.fixed_cost


def _product(sizes: list[int]) -> int:
    solutions = 1
    for size in sizes:
        solutions *= size
    return solutions


@pytest.mark.parametrize("solve", [by_cp_sat, by_toulbar2])
def test_the_cheapest_price_is_the_same(solve):
    possible = 0
    for seed in SEEDS:
        random_case = make(seed, families=4)
        evaluation, job = random_case.evaluation, random_case.case.job
        prepared = preparing.prepare(evaluation, queries.goal_figures(job))
        ours = queries.cheapest_price(Question(prepared, job))
        instance = encode(evaluation, job)
        theirs = None if instance is None else solve(instance)
        assert theirs == ours, seed
        possible += ours is not None
    assert 40 < possible < len(SEEDS) - 20
