"""The vehicle and the package that are worked out by hand."""

from __future__ import annotations

import re
import tomllib
from dataclasses import replace
from pathlib import Path

import pytest

from configurator.evaluation.evaluator import Evaluation, Option
from configurator.files.vehicle_files import read_vehicle
from configurator.model.jobs import Case, Job, Workshop
from tests import bundled

HERE = Path(__file__).parent / "worked_example"


@pytest.fixture(scope="session")
def worked_example(tmp_path_factory: pytest.TempPathFactory):
    """Vehicle and package: the evaluation, and the choice of every position."""
    trade = bundled.trade()
    package = (HERE / "package.toml").read_text(encoding="utf-8")
    changed = tomllib.loads(package)
    # The finished vehicle is the old one with other sections: read like any vehicle.
    old = re.split(r"^(?=\[)", (HERE / "vehicles" / "wagon.toml").read_text("utf-8"), flags=re.M)
    kept = [old_item for old_item in old if _position(old_item) not in changed]
    folder = tmp_path_factory.mktemp("worked")
    (folder / "vehicles").mkdir()
    finished = "".join(kept) + "\n" + re.sub(r"^\[", "[fitted.", package, flags=re.M)
    (folder / "vehicles" / "finished.toml").write_text(finished, encoding="utf-8")
    parts = {
        place: replace(part, key=f"worked example/{place}")
        for place, part in read_vehicle(folder, "finished", trade).fitted.items()
        if place in changed
    }
    vehicle = read_vehicle(HERE, "wagon", trade)
    job = Job("worked example", vehicle.key, (), conditions={"load carried": 250.0})
    prices = {
        "gear oil": 1450,
        "seals and shims for an axle": 6800,
        "welding wire and gas": 3800,
        "primer and paint": 2400,
        "balance weights": 120,
        "tyre valves": 240,
    }
    workshop = Workshop("worked example", rate=9200, consumables=prices, tax=0.20)
    evaluation = Evaluation(Case(job, vehicle, {}, workshop), trade)
    choice = {
        place: Option(place, parts[place], evaluation.pieces(family), 0, changed=True)
        if place in changed
        else evaluation.fitted[place]
        for place, family in evaluation.families.items()
    }
    return evaluation, choice


def _position(section: str) -> str:
    heading = re.match(r'\[fitted\."?(.*?)"?\]', section)
    return heading[1] if heading else ""
