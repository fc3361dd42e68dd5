"""Heights of headlamps as regulations bound them, written down as local rules.

Source: 49 CFR 571.108, table I-a (2015 edition): headlamps not less than 22 inches (55.9 cm) nor
more than 54 inches (137.2 cm) above the road, to the middle of the lamp; seen quoted, not in the
code itself. UN Regulation No. 48, 6.2.4.2: dipped beams from 500 mm to 1,200 mm above the ground;
seen quoted, clause number from memory. Check the current text before quoting either as law.
"""

from __future__ import annotations

import shutil

import pytest

from configurator.core import paths, units
from configurator.evaluation.evaluator import Evaluation
from configurator.evaluation.packages import broken_rules
from configurator.files import job_files
from configurator.files.vehicle_files import vehicle_keys
from tests import bundled

TRADE = bundled.trade()
DEMO = paths.catalogs() / "demo"
REGULATIONS = {"49 CFR 571.108": ("22 in", "54 in"), "UN R48": ("500 mm", "1200 mm")}


def under(folder, regulation, vehicle, measured=""):
    """Evaluate a demo vehicle under one regulation."""
    low, high = REGULATIONS[regulation]
    shutil.copytree(DEMO, folder / "demo", dirs_exist_ok=True)
    rules = [
        ("high enough", "headlamp lower edge height", f'at_least = "{low}"'),
        ("low enough", "headlamp upper edge height", f'at_most = "{high}"'),
    ]
    text = f'title = "{regulation}"\n' + "".join(
        f'[rules."{name}"]\nfigure = "{figure}"\n{bound}\nsays = "Headlamps are {name}."\n'
        f'source = "quoted"\ndate = 2015-10-01\neffect = "forbids"\n'
        for name, figure, bound in rules
    )
    (folder / "demo" / "local" / "lamps.toml").write_text(text, encoding="utf-8")
    job = folder / "job.toml"
    job.write_text(
        f'title = "Lamps"\nvehicle = "demo/{vehicle}"\ncatalogs = ["demo"]\n'
        f'"local rules" = "demo/lamps"\n{measured}',
        encoding="utf-8",
    )
    return Evaluation(job_files.read_case(job, TRADE, [folder]), TRADE)


def test_bounds_in_inches_come_out_in_millimetres(tmp_path):
    # 22 in = 558.8 mm and 54 in = 1371.6 mm; the table prints 55.9 and 137.2 cm.
    low, high = under(tmp_path, "49 CFR 571.108", "brennhall-tarn").case.local_rules.rules
    assert (low.at_least, low.unit) == (pytest.approx(558.8), "mm")
    assert (high.at_most, high.unit) == (pytest.approx(1371.6), "mm")
    assert units.to_si(low.at_least, "mm") == pytest.approx(0.559, abs=5e-4)


@pytest.mark.parametrize("regulation", REGULATIONS)
@pytest.mark.parametrize("vehicle", vehicle_keys(DEMO))
def test_the_demo_vehicles_are_lawful_as_they_stand(tmp_path, regulation, vehicle):
    # Edges stricter than the middle of the lamp: whoever keeps these keeps those.
    evaluation = under(tmp_path, regulation, vehicle)
    assert not broken_rules(evaluation, evaluation.fitted)


def test_a_lamp_beyond_a_bound_is_refused(tmp_path):
    for edge, height, broken in (
        ("lower", "499 mm", ["high enough"]),
        ("lower", "500 mm", []),
        ("upper", "1200 mm", []),
        ("upper", "1201 mm", ["low enough"]),
    ):
        measured = f'[measured]\n"headlamp {edge} edge height" = "{height}"\n'
        evaluation = under(tmp_path, "UN R48", "brennhall-tarn", measured)
        assert [rule.name for rule in broken_rules(evaluation, evaluation.fitted)] == broken
