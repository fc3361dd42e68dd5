"""`fitwright needs` of what was answered before: the same words, without a search."""

from __future__ import annotations

import pytest

from configurator.cli import main
from configurator.consequences import kept_consequences
from configurator.core import paths
from configurator.questions import answers, kept_outcomes

JOB = paths.catalogs() / "demo" / "jobs" / "touring-wagon-first-step.toml"


def refuse(*_, **__):
    raise LookupError


@pytest.fixture
def run(tmp_path, monkeypatch, capsys):
    monkeypatch.setenv("FITWRIGHT_DATA", str(tmp_path / "data"))
    # Sources that were changed a moment ago, as those of a new clone, have no digest.
    for module in (kept_outcomes, kept_consequences):
        monkeypatch.setattr(module, "code_digest", lambda _: "code")

    def run(*words):
        capsys.readouterr()
        with pytest.raises(SystemExit) as end:
            main([words[0], str(JOB), *words[1:]])
        out, err = capsys.readouterr()
        return int(end.value.code or 0), out, err

    return run


def test_what_was_answered_is_answered_again_without_a_search(run, monkeypatch):
    asked = [
        ("needs",),
        ("needs", "--goals", "--choice", "wheels=demo/FS16-7-6-E20"),
        ("needs", "--goals", "--choice", "wheels=demo/FS16-7-6-E20", "--json"),
    ]
    run("find")
    before = [run(*words) for words in asked]
    assert all(code == 0 and "tyres" in out for code, out, _ in before)
    monkeypatch.setattr(answers, "ready", refuse)
    assert [run(*words) for words in asked] == before
    for words in (("needs", "--goals"), ("needs", "--unchanged"), ("needs", "--json")):
        assert "fault of Fitwright's own" in run(*words)[2]


def test_the_parts_asked_about_are_those_of_the_package_that_was_shown(run):
    shown, alone = run("needs"), run("find")
    assert "Cheapest package" in alone[1]
    assert run("needs") == shown
