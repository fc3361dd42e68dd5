"""The vehicles of the demo lists: sound as they stand."""

from __future__ import annotations

from functools import lru_cache

import pytest

from configurator.catalog_files import read_catalog
from configurator.evaluation import Evaluation
from configurator.homes import catalogs
from configurator.jobs import Case, Job
from configurator.plugin_loading import load
from configurator.vehicle_files import read_vehicle, vehicle_keys

DEMO = catalogs() / "demo"


@lru_cache
def _evaluation(key: str) -> Evaluation:
    trade = load(installed=False).trade
    catalog = read_catalog(DEMO, trade)
    vehicle = read_vehicle(DEMO, key, trade)
    job = Job("as it stands", vehicle.key, ("demo",))
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
