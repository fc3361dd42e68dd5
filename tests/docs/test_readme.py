"""What the README tells people to do, works."""

from __future__ import annotations

import re
import shutil
import subprocess
import sys
import tomllib

import pytest

from configurator.cli import main
from configurator.core import paths
from configurator.files import catalog_files, job_files
from tests import bundled
from tests.docs.blocks import ROOT, blocks, page


def test_the_job_file_reads(tmp_path):
    (job,) = [body for language, body in blocks(page("README.md")) if language == "toml"]
    assert tomllib.loads(job)["vehicles"] == 6
    path = tmp_path / "job.toml"
    path.write_text(job, encoding="utf-8")
    case = job_files.read_case(path, bundled.trade())
    assert [goal.figure for goal in case.job.goals] == [
        "crawl ratio",
        "front track",
        "clearance under rear axle",
    ]


def test_the_row_of_a_list_is_sound(tmp_path):
    (rows,) = [body for language, body in blocks(page("docs/lists.md")) if language == "csv"]
    folder = tmp_path / "ourshop"
    folder.mkdir()
    shutil.copy(paths.catalogs() / "demo" / "catalog.toml", folder)
    (folder / "nuts.csv").write_text(rows, encoding="utf-8")
    errors, _, _ = catalog_files.check_catalog(folder, bundled.trade())
    assert errors == []


def test_every_command_and_target_is_there():
    text = "\n".join(page(name) for name in ("README.md", "docs/jobs.md", "docs/saved-jobs.md"))
    call = "from configurator.cli import main; main()"
    stdout = subprocess.run(
        [sys.executable, "-c", call, "--help"], capture_output=True, text=True, check=True
    ).stdout
    named = set(re.findall(r"^fitwright ([\w-]+)", text, re.MULTILINE))
    assert len(named) > 5
    for name in named:
        assert re.search(rf"^ +{name} ", stdout, re.MULTILINE), name
    targets = set(re.findall(r"`make (\w+)`", text)) | set(
        re.findall(r"^make (\w+)", text, re.MULTILINE)
    )
    makefile = (ROOT / "Makefile").read_text(encoding="utf-8")
    for target in targets:
        assert re.search(rf"^{target}:", makefile, re.MULTILINE), target


def test_the_first_job_in_python_says_what_the_command_says(tmp_path, monkeypatch, capsys):
    """The block is run as it stands, beside the job of the same page."""
    by_language = dict(blocks(page("README.md")))
    assert len([line for line in by_language["python"].splitlines() if line]) <= 6
    (tmp_path / "JOB.toml").write_text(by_language["toml"], encoding="utf-8")
    monkeypatch.chdir(tmp_path)
    exec(compile(by_language["python"], "README.md", "exec"), {})
    price = capsys.readouterr().out.strip()
    with pytest.raises(SystemExit):
        main(["find", "JOB.toml"])
    assert price
    assert price in capsys.readouterr().out


def test_every_page_that_is_pointed_to_is_there():
    for name in ("README.md", "DEVELOPERS.md"):
        for target in re.findall(r"\]\(([\w./-]+)\)", page(name)):
            assert (ROOT / target).exists(), (name, target)


def test_the_readme_is_short():
    assert len(page("README.md").splitlines()) < 150
