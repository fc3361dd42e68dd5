"""Above a permitted mass other rules begin, and that is cautioned about."""

from __future__ import annotations

from dataclasses import replace

import pytest

from configurator.core import paths
from configurator.evaluation.evaluator import Evaluation
from configurator.evaluation.packages import cautions_of
from configurator.files import job_files
from tests import bundled

TRADE = bundled.trade()
JOB = paths.catalogs() / "demo" / "jobs" / "vineyard-trucks.toml"


@pytest.mark.parametrize(("permitted", "message"), [(3500.0, False), (3501.0, True)])
def test_a_heavy_vehicle_is_cautioned_about(permitted, message):
    case = job_files.read_case(JOB, TRADE)
    values = {**case.vehicle.values, "permitted mass": permitted}
    evaluation = Evaluation(replace(case, vehicle=replace(case.vehicle, values=values)), TRADE)
    names = {caution.name for caution in cautions_of(evaluation, evaluation.fitted)}
    assert ("the vehicle is permitted more than 3,500 kg" in names) is message
