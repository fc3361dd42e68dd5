"""An invented shop with lists, changes, a family and rules of its own: nothing of ours is touched.

Its files are in ``tests/data/outside_shop``: two suppliers whose lists differ in units, currency
and layout, the shop's changes over them, a plugin, and a package that installs the same plugin.
"""

from __future__ import annotations

import base64
import hashlib
import importlib.util
import json
import os
import shutil
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest

from configurator import testing
from configurator.core import paths
from configurator.files import catalog_files, job_files
from configurator.loading import plugin_files
from configurator.questions import answers
from configurator.wording.plain_data import job_record, package_record
from configurator.wording.sentences import catalog_words
from tests import bundled

SHOP = Path(__file__).parents[1] / "data" / "outside_shop"
LISTS, PLUGINS = SHOP / "catalogs", SHOP / "plugins"
JOB = SHOP / "jobs" / "touring-wagon-with-bumper.toml"


@pytest.fixture(scope="module")
def trade():
    return plugin_files.load([PLUGINS], installed=False).trade


@pytest.fixture(scope="module")
def ready(trade):
    return answers.ready(job_files.read_case(JOB, trade, [LISTS]), trade, keep=False)


@pytest.fixture(scope="module")
def package(ready):
    answer = answers.find(ready)
    assert answer.outcome == "found"
    return answer.packages[0]


@pytest.mark.parametrize("name", ["talgrund", "eastmoor", "fernhill"])
def test_its_catalogs_are_sound(trade, name):
    assert catalog_files.check_catalog(LISTS / name, trade)[:2] == ([], [])


def test_its_plugin_keeps_the_contract(trade):
    case = job_files.read_case(JOB, trade, [LISTS])
    testing.assert_sound(trade, [case], "shop:winch_bumpers")


def test_lists_in_other_units_and_currencies_stand_beside_each_other(ready):
    bumpers = {bumper.key: bumper for bumper in ready.evaluation.case.parts["winch_bumpers"]}
    assert list(bumpers) == ["talgrund/TG-100", "talgrund/TG-200", "eastmoor/EM-7", "eastmoor/EM-9"]
    metric, imperial = bumpers["talgrund/TG-100"], bumpers["eastmoor/EM-9"]
    assert (metric.price, metric.values["mass"], metric.lead_time) == (890_00, 62.5, 4)
    # 1 lb = 0.45359237 kg exactly (international yard and pound agreement of 1959);
    # 1,099 USD at 0.92 EUR are 1,011.08 EUR.
    assert imperial.values["mass"] == pytest.approx(143 * 0.45359237, rel=1e-12)
    assert (imperial.price, imperial.lead_time) == (1011_08, 21)


def test_the_demo_job_is_answered_otherwise_because_of_the_shop(package):
    plain = bundled.trade()
    path = paths.catalogs() / "demo" / "jobs" / "touring-wagon-first-step.toml"
    before = answers.find(answers.ready(job_files.read_case(path, plain), plain, keep=False))
    was = {at: option.key for at, option in before.packages[0].choice.items()}
    now = {at: option.key for at, option in package.choice.items()}
    assert {at: (was.get(at), key) for at, key in now.items() if key != was.get(at)} == {
        "tyres": ("demo/TSR-26575R16", "talgrund/TG-26575R16"),
        "winch bumper": (None, "eastmoor/EM-7"),
    }


def test_the_cheapest_bumper_is_the_one_that_meets_every_rule(ready, package):
    # By hand: its own angle, and what springs and tyres give.
    evaluation = ready.evaluation
    gain = evaluation.figure("approach angle", package.choice) - evaluation.figure(
        "approach angle", evaluation.fitted
    )
    has = evaluation.figure("approach angle with the winch bumper", package.choice)
    own = package.choice["winch bumper"].part.values["approach angle"]
    step = evaluation.definition("approach angle with the winch bumper").resolution
    assert own + gain - has == pytest.approx(0, abs=step * 3.2 / 180)
    assert package.choice["winch bumper"].price == 1020_00  # the shop's own price


@pytest.mark.parametrize(
    ("part", "rule"),
    [
        ("eastmoor/EM-9", "the winch bumper lets the air through"),
        ("talgrund/TG-100", "the recovery points hold the vehicle"),
    ],
)
def test_the_others_are_refused_by_the_shops_own_rules(ready, part, rule):
    explanation = answers.why(ready, "winch bumper", part)
    assert [reason.rule.name for reason in explanation.conflict if reason.rule is not None] == [
        rule
    ]


def test_the_rule_reaches_the_figures_that_are_there_already(ready):
    """The flatter bumper is refused for the angle, and other springs could make it good."""
    explanation = answers.why(ready, "winch bumper", "talgrund/TG-200")
    asked = [reason.wish.subject for reason in explanation.conflict if reason.wish is not None]
    assert "approach angle with the winch bumper" in asked
    assert ready.evaluation.reach(
        ready.evaluation.definition("approach angle with the winch bumper")
    ) >= {"front springs", "tyres", "winch bumper"}


def test_its_mass_is_on_the_axles(ready, package):
    evaluation = ready.evaluation
    without = {**package.choice, "winch bumper": evaluation.fitted["winch bumper"]}
    part = package.choice["winch bumper"].part
    for figure, low, high in (
        ("vehicle mass", 1.0, 1.0),
        ("front axle load", 1.0, 1.3),  # it hangs ahead of the front axle
        ("rear axle load", -0.3, 0.0),
    ):
        more = evaluation.figure(figure, package.choice) - evaluation.figure(figure, without)
        share = more / part.values["mass"]
        assert low - 1e-9 <= share <= high + 1e-9, figure


def test_data_and_quotation_say_which_layer_a_price_is_from(ready, package):
    evaluation = ready.evaluation
    record = package_record(evaluation, evaluation.case.job, package)
    assert record["details"]["winch bumper"]["origins"]["price"] == "fernhill/overrides.csv row 2"
    assert (record["details"]["tyres"]["stock"], record["details"]["tyres"]["origins"]) == (
        8,
        {"stock": "fernhill/overrides.csv row 4"},
    )
    remarks = {
        catalog["catalog"]: catalog["remarks"] for catalog in job_record(evaluation)["catalogs"]
    }
    assert remarks["eastmoor"][0].startswith("converted at 1 USD = 0.92 EUR of 2026-11-01")
    assert remarks["demo"] == []
    text = " ".join(catalog_words(catalog) for catalog in evaluation.case.catalogs)
    assert "1 USD = 0.92 EUR of 2026-11-01" in text
    assert "changed by fernhill/overrides.csv" in text


def test_a_new_price_of_the_supplier_comes_through(trade, tmp_path):
    lists = tmp_path / "catalogs"
    shutil.copytree(LISTS, lists)
    path = lists / "eastmoor" / "winch_bumpers.csv"
    text = path.read_text(encoding="utf-8")
    path.write_text(text.replace("1099.00", "1000.00").replace("1150.00", "1.00"), "utf-8")
    job = tmp_path / "job.toml"
    shutil.copy(JOB, job)
    case = job_files.read_case(job, trade, [lists])
    prices = {bumper.key: bumper.price for bumper in case.parts["winch_bumpers"]}
    assert prices["eastmoor/EM-9"] == 920_00
    assert prices["eastmoor/EM-7"] == 1020_00  # this shop's own price stays


def test_as_a_user_runs_it():
    run = subprocess.run(
        [
            sys.executable, "-c", "from configurator.cli import main; main()",
            "--plugins", str(PLUGINS), "--catalogs", str(LISTS),
            "parts", "--family", "winch_bumpers", "--where", "recovery rating > 20000 lbf",
        ],
        capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert run.returncode == 0, run.stderr
    assert "Winch bumpers: 3 parts" in run.stdout
    assert "eastmoor/EM-5" not in run.stdout
    assert "1 USD = 0.92 EUR of 2026-11-01" in run.stdout


# -- the same plugin as a package ---------------------------------------------------------------


def with_pip(project, target):
    if not (importlib.util.find_spec("hatchling") and importlib.util.find_spec("pip")):
        pytest.skip("no pip or no hatchling in this environment")
    command = [sys.executable, "-m", "pip", "install", "--no-index", "--no-deps"]
    command += ["--no-build-isolation", "--disable-pip-version-check", "--target"]
    ran = subprocess.run(
        [*command, str(target), str(project)], capture_output=True, text=True, check=False
    )
    assert ran.returncode == 0, ran.stdout + ran.stderr


def by_hand(project, target):
    """Put the wheel together without a build backend."""
    info = "fernhill_winch_bumpers-1.0.0.dist-info"
    files = {
        "fernhill_winch_bumpers.py": (project / "plugins" / "winch_bumpers.py").read_bytes(),
        f"{info}/METADATA": b"Metadata-Version: 2.1\nName: fernhill-winch-bumpers\n"
        b"Version: 1.0.0\n",
        f"{info}/WHEEL": b"Wheel-Version: 1.0\nRoot-Is-Purelib: true\nTag: py3-none-any\n",
        f"{info}/entry_points.txt": b"[fitwright]\nwinch_bumpers = fernhill_winch_bumpers\n",
    }
    record = "".join(
        f"{name},sha256={base64.urlsafe_b64encode(hashlib.sha256(data).digest()).decode()},\n"
        for name, data in files.items()
    )
    wheel = target.parent / "fernhill_winch_bumpers-1.0.0-py3-none-any.whl"
    with zipfile.ZipFile(wheel, "w") as packed:
        for name, data in {**files, f"{info}/RECORD": record.encode()}.items():
            packed.writestr(name, data)
    with zipfile.ZipFile(wheel) as packed:
        packed.extractall(target)


@pytest.mark.parametrize("install", [with_pip, by_hand])
def test_installed_as_a_package_it_announces_itself(tmp_path, install):
    project, target = tmp_path / "project", tmp_path / "installed"
    shutil.copytree(SHOP, project)
    target.mkdir()
    install(project, target)
    home = str(Path(answers.__file__).parents[2])
    path = os.pathsep.join([str(target), home, os.environ.get("PYTHONPATH", "")])
    environment = {**os.environ, "PYTHONPATH": path}
    environment.pop("FITWRIGHT_PLUGINS", None)
    ran = subprocess.run(
        [sys.executable, "-c", "from configurator.cli import main; main()", "plugins", "--json"],
        capture_output=True, text=True, check=False, env=environment,
    )  # fmt: skip
    assert ran.returncode == 0, ran.stderr
    record = json.loads(ran.stdout)
    (winch_plugin,) = [plugin for plugin in record["plugins"] if plugin["name"] == "winch_bumpers"]
    assert (winch_plugin["origin"], winch_plugin["place"]) == (
        "installed",
        "fernhill_winch_bumpers",
    )
    assert winch_plugin["declares"]["family"] == 1
    assert record["failures"] == []
