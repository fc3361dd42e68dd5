"""What ``fitwright plugin new`` writes, works, and its own test passes."""

from __future__ import annotations

import json
import subprocess
import sys

import pytest

from configurator.cli import main
from configurator.core.errors import InputError
from configurator.files import catalog_files
from configurator.loading import plugin_files
from configurator.model.knowledge import Trade
from configurator.testing import scaffold

pytestmark = pytest.mark.wheel


def run(*arguments):
    code = "from configurator.cli import main; main()"
    return subprocess.run(
        [sys.executable, "-c", code, *map(str, arguments)],
        capture_output=True,
        text=True,
        check=False,
    )


@pytest.fixture(scope="module")
def made(tmp_path_factory):
    folder = tmp_path_factory.mktemp("new")
    ran = run("plugin", "new", "Roof-rack", "--into", folder)
    assert ran.returncode == 0, ran.stderr
    assert "python -m pytest" in ran.stdout
    return folder / "roof_rack"


def test_its_own_test_passes(made):
    ran = subprocess.run(
        [sys.executable, "-m", "pytest", "-q", "-p", "no:cacheprovider", "."],
        cwd=made,
        capture_output=True,
        text=True,
        timeout=300,
        check=False,
    )
    assert ran.returncode == 0, ran.stdout + ran.stderr
    assert "4 passed" in ran.stdout


def test_its_job_is_answered_from_its_list(made):
    ran = run(
        "--plugins", made / "plugins", "--catalogs", made / "catalogs",
        "find", made / "job.toml", "--json",
    )  # fmt: skip
    assert ran.returncode == 0, ran.stderr
    (package,) = json.loads(ran.stdout)["packages"]
    assert package["parts"]["roof rack"] == "roof_rack-list/M-2"


def test_its_lists_and_its_template_are_sound(made):
    trade = plugin_files.load([made / "plugins"], installed=False).trade
    home = made / "catalogs" / "roof_rack-list"
    assert catalog_files.check_catalog(home, trade)[:2] == ([], [])
    template = (made / "template-roof_rack.csv").read_text(encoding="utf-8")
    (home / "roof_rack.csv").write_text(template, encoding="utf-8")
    errors, _, counts = catalog_files.check_catalog(home, trade)
    assert (errors, counts["roof_rack"]) == ([], 1)


@pytest.mark.parametrize(
    ("name", "message"),
    [
        ("../away", "cannot be the name of a plugin"),
        ("", "cannot be the name of a plugin"),
        ("9lives", "cannot be the name of a plugin"),
        ("x" * 40, "cannot be the name of a plugin"),
        ("there", "is there already"),
    ],
)
def test_a_name_that_cannot_be_used(tmp_path, name, message):
    (tmp_path / "there").mkdir()
    with pytest.raises(InputError, match=message):
        scaffold.write_plugin(name, tmp_path, Trade())
    assert [path.name for path in tmp_path.iterdir()] == ["there"]


def test_what_is_declared_already_is_refused(tmp_path, capsys):
    for name in ("tyres", "front axle"):
        with pytest.raises(SystemExit) as end:
            main(["plugin", "new", name, "--into", str(tmp_path)])
        assert end.value.code == 2
        assert "there is a family or position" in capsys.readouterr().err
    with pytest.raises(SystemExit):
        main(["plugin", "new", "winch", "--into", str(tmp_path / "nowhere")])
    assert "the folder is not there; name a folder that is there" in capsys.readouterr().err
