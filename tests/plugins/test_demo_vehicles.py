"""The vehicles of the demo lists: sound as they stand, and no rule is there for nothing."""

from __future__ import annotations

import random
import re
from functools import lru_cache

import pytest

from configurator.core.paths import catalogs
from configurator.evaluation.evaluator import Evaluation
from configurator.files.catalog_files import read_catalog
from configurator.files.vehicle_files import read_vehicle, vehicle_keys
from configurator.model.jobs import Case, Job
from tests import bundled

DEMO = catalogs() / "demo"
TRIES = 300  # mixes of parts for each rule and vehicle


# More than any demo vehicle bears: what the job asks is refused as well.
ASKED = {
    "trailer": 4000.0,
    "nose weight": 300.0,
    "roof load": 200.0,
    "grade of the long descent": 0.12,
}
WITHOUT_BRAKES = {"trailer": 750.0}


@lru_cache
def _evaluation(key: str, asked: tuple[tuple[str, float], ...] = ()) -> Evaluation:
    trade = bundled.trade()
    catalog = read_catalog(DEMO, trade)
    vehicle = read_vehicle(DEMO, key, trade)
    job = Job("as it stands", vehicle.key, ("demo",), conditions=dict(asked))
    return Evaluation(Case(job, vehicle, catalog.parts), trade)


@pytest.mark.parametrize("key", vehicle_keys(DEMO))
def test_every_rule_holds_for_the_vehicle_as_it_stands(key: str):
    evaluation = _evaluation(key)
    trade = evaluation.trade
    wrong = []
    for rule in (*trade.limits.values(), *trade.fits.values(), *trade.totals.values()):
        verdict = evaluation.verdict(rule, evaluation.fitted)
        if verdict.holds is False or verdict.unknown:
            wrong.append((rule.name, verdict))
    assert wrong == []


def test_every_rule_refuses_some_mix_of_the_demo_parts():
    evaluations = [
        _evaluation(key, asked)
        for key in vehicle_keys(DEMO)
        for asked in ((), tuple(ASKED.items()), tuple(WITHOUT_BRAKES.items()))
    ]
    trade = evaluations[0].trade
    rules = [*trade.limits.values(), *trade.fits.values()]
    both = {re.sub("front|rear", "either", rule.name): False for rule in rules}
    for rule in rules:
        name = re.sub("front|rear", "either", rule.name)
        both[name] = both[name] or any(_refuses(rule, evaluation) for evaluation in evaluations)
    assert [name for name, refuses in both.items() if not refuses] == []


def _refuses(rule, evaluation: Evaluation) -> bool:
    chance = random.Random(rule.name)
    positions = sorted(evaluation.reach(rule))
    options = {position: evaluation.options(position) for position in positions}
    for _ in range(TRIES):
        mix = {position: chance.choice(options[position]) for position in positions}
        if evaluation.verdict(rule, {**evaluation.fitted, **mix}).holds is False:
            return True
    return False
