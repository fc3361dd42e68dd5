"""A shop's plugins are tried on the job that is asked about, once for each version of them."""

from __future__ import annotations

import json

import pytest

from configurator import testing
from configurator.core import paths
from configurator.loading import plugin_files
from configurator.testing import contract
from configurator.testing.plugin_trial import tried

RULE = """
from configurator.plugin import limit, part
{first}

@limit("the tyres are small", unit="mm", at_most=2000.0, because="so it is", source="none")
def small(diameter: float = part("tyres", "overall diameter")):
    return {answer}
"""


def loaded_with(folder, answer="diameter", first=""):
    (folder / "own.py").write_text(RULE.format(answer=answer, first=first), encoding="utf-8")
    return plugin_files.load([folder], installed=False)


def case_of(trade):
    return testing.case(trade, testing.demo_vehicle(trade), testing.demo_parts(trade, ["tyres"]))


@pytest.mark.parametrize(
    ("answer", "first", "message"),
    [
        ("diameter", "", ""),
        ("diameter + 0 * time()", "from time import time", "reads time, which it does not declare"),
        ("str(diameter)", "", "answers '0."),
        ("diameter**2", "", "comes out in m ** 2, which does not measure what mm does"),
        ("1 / (diameter - diameter)", "", "fails for diameter=0."),
    ],
)
def test_what_could_make_an_answer_wrong_is_named(tmp_path, answer, first, message):
    loaded = loaded_with(tmp_path, answer, first)
    assert loaded.trade.failures == ()
    faults = tried(loaded, case_of(loaded.trade), tmp_path / "record.json")
    assert all(fault.startswith("plugin shop:own: the tyres are small: ") for fault in faults)
    assert any(message in fault for fault in faults) if message else faults == []


def test_once_for_each_version(tmp_path, monkeypatch):
    record, asked = tmp_path / "record.json", []
    whole = contract.faults_in_answers

    def counted(trade, cases, plugin):
        asked.append(plugin)
        return whole(trade, cases, plugin)

    monkeypatch.setattr("configurator.testing.plugin_trial.faults_in_answers", counted)
    loaded = loaded_with(tmp_path, "str(diameter)")
    case = case_of(loaded.trade)
    first = tried(loaded, case, record)
    assert first
    assert tried(loaded, case, record) == first  # said again, and not asked again
    assert asked == ["shop:own"]
    sound = loaded_with(tmp_path)
    assert tried(sound, case_of(sound.trade), record) == []
    assert asked == ["shop:own", "shop:own"]
    record.write_text("{ not sound", encoding="utf-8")
    assert tried(sound, case_of(sound.trade), record) == []
    assert len(asked) == 3
    assert len(json.loads(record.read_text(encoding="utf-8"))) == 1


def test_without_a_place_to_remember_it_is_tried_each_time(tmp_path):
    loaded = loaded_with(tmp_path, "str(diameter)")
    nowhere = tmp_path / "own.py" / "record.json"
    case = case_of(loaded.trade)
    assert tried(loaded, case, nowhere) == tried(loaded, case, nowhere) != []


def test_bundled_plugins_are_not_tried(tmp_path):
    loaded = plugin_files.load(installed=False)
    assert tried(loaded, case_of(loaded.trade), tmp_path / "record.json") == []
    assert not (tmp_path / "record.json").exists()


def test_find_says_it(tmp_path, capsys):
    from configurator.cli import main

    loaded_with(tmp_path, "str(diameter)")
    job = paths.catalogs() / "demo" / "jobs" / "touring-wagon-first-step.toml"
    with pytest.raises(SystemExit):
        main(["--plugins", str(tmp_path), "figures", str(job)])
    err = capsys.readouterr().err
    assert "warning: plugin shop:own: the tyres are small: answers" in err
