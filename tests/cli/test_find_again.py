"""`fitwright find` of a job that was answered before: the same words, without a search."""

from __future__ import annotations

import pytest

from configurator.cli import main
from configurator.core import paths
from configurator.questions import answers, kept_outcomes

JOB = paths.catalogs() / "demo" / "jobs" / "touring-wagon-first-step.toml"


class Searched(Exception):
    """The search was asked."""


def refuse(*_, **__):
    raise Searched


@pytest.fixture
def find(tmp_path, monkeypatch, capsys):
    monkeypatch.setenv("FITWRIGHT_DATA", str(tmp_path / "data"))
    # Sources that were changed a moment ago, as those of a new clone, have no digest.
    monkeypatch.setattr(kept_outcomes, "code_digest", lambda _: "code")

    def run(*more, job=JOB):
        capsys.readouterr()
        with pytest.raises(SystemExit) as end:
            main(["find", str(job), *more])
        out, err = capsys.readouterr()
        return int(end.value.code or 0), out, err

    return run


def test_a_job_that_was_answered_is_not_searched_again(find, monkeypatch, tmp_path):
    answered, record, other_grade = find(), find("--json"), find("--as-calculated")
    assert "Cheapest package" in answered[1]
    assert answered[1] != other_grade[1]
    text = JOB.read_text(encoding="utf-8")
    assert text.count('budget = "5200 EUR"') == 1
    poor = tmp_path / "poor.toml"
    poor.write_text(text.replace("5200 EUR", "900 EUR"), encoding="utf-8")
    assert find(job=poor)[0] == 3  # which leaves what is known of the job as it is
    monkeypatch.setattr(answers, "ready", refuse)
    assert find() == answered
    assert find("--json") == record
    assert find("--as-calculated") == other_grade
    for budget, searched in (("99000 EUR", False), ("900 EUR", True)):
        job = tmp_path / "job.toml"
        job.write_text(text.replace("5200 EUR", budget), encoding="utf-8")
        ran = find(job=job)
        assert ("fault of Fitwright's own" in ran[2]) == searched, ran[2]
        assert ("Cheapest package" in ran[1]) != searched
    # What is asked beyond the cheapest package takes the search.
    for more in (("--cheapest", "2"), ("--different", "2"), ("--assumed",)):
        assert "fault of Fitwright's own" in find(*more)[2]
