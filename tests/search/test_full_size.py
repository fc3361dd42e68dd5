"""Prices of the bundled jobs at full size, against CP-SAT without its presolver (OR-Tools).

Sums over everything are left aside on both sides; `test_exact_prices` holds those against
enumeration.
"""

from __future__ import annotations

import random
from dataclasses import replace

import numpy as np
import pytest

from configurator.core import paths
from configurator.files.job_files import read_case
from configurator.questions import answers
from configurator.search.optimum import lexicographic, queries
from configurator.search.optimum.preparing import Question
from tests import bundled
from tests.benchmarks import others
from tests.benchmarks.instances import take_apart

JOBS = paths.catalogs() / "demo" / "jobs"
# Options of a job that are asked about, drawn by chance, and seconds for each: without presolving
# the solver takes as long for one as all our prices do together.
DRAWN, SECONDS = 1, 60.0


@pytest.mark.parametrize("name", sorted(path.stem for path in JOBS.glob("*.toml")))
def test_prices_are_those_of_the_solver_without_presolving(name):
    pytest.importorskip("ortools")
    trade = bundled.trade()
    case = read_case(JOBS / f"{name}.toml", trade, ())
    # The solver is given the rules as calculated.
    case = replace(case, job=replace(case.job, sure=False))
    prepared = answers.ready(case, trade, keep=False)
    question = lexicographic.settle(Question.of(prepared))
    previews = queries.previews(question)
    every = [
        (position, int(number))
        for position, prices in previews.prices.items()
        for number in np.flatnonzero(prices >= 0)
    ]
    drawn = random.Random(f"full size {name}").sample(every, DRAWN)
    held = 0
    for position, number in drawn:
        key = prepared.model.options[position][number].key
        job = replace(question.job, fixed={**question.job.fixed, position: key})
        instance = take_apart(name, question.model, job)
        solved = others.cp_sat(instance, SECONDS, workers=1, presolve=False)
        if solved.proven:
            assert solved.price == int(previews.prices[position][number]), (position, key)
            held += 1
        elif solved.price is not None:  # what it found is a package
            assert solved.price >= int(previews.prices[position][number]), (position, key)
    assert held, "nothing was proven in time"
