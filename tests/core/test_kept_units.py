"""Answers about units on disk: the same as from the library, and never believed when harmed."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest

from configurator.core import kept_units, units

TEXTS = ("mm", "Nm", "ft-lb", "rpm", "%", "deg", "l/100 km", "degC", "")


@pytest.fixture
def place(tmp_path, monkeypatch):
    """Nothing is remembered, and the folder for what can be made anew is there."""
    monkeypatch.setenv("FITWRIGHT_DATA", str(tmp_path))
    monkeypatch.setattr(units, "ANSWERS", {question: {} for question in units.ANSWERS})
    kept_units.place().parent.mkdir()
    return kept_units.place()


def fill():
    """Put what the library says about some units where it is remembered."""
    for text in TEXTS:
        units.ANSWERS["to_si"][text] = units._to_si.__wrapped__(text)
        units.ANSWERS["dimension"][text] = units.dimension.__wrapped__(text)
        units.ANSWERS["kind_of_unit"][text] = units.kind_of_unit.__wrapped__(text)
    return {question: dict(answers) for question, answers in units.ANSWERS.items()}


def forget():
    for answers in units.ANSWERS.values():
        answers.clear()


def test_what_is_kept_is_what_the_library_says_bit_for_bit(place):
    filled = fill()
    kept_units.save()
    forget()
    kept_units.load()
    assert filled == units.ANSWERS
    assert filled["to_si"]["degC"] == (1.0, 273.15)


@pytest.mark.parametrize(
    "harm", ["one digit", "another version", "cut short", "another shape", "a list", "empty"]
)
def test_a_file_that_was_harmed_is_left_aside(place, harm):
    fill()
    kept_units.save()
    forget()
    text = place.read_text(encoding="utf-8")
    kept = json.loads(text)
    if harm == "one digit":
        kept["answers"]["to_si"]["mm"][0] = 0.01
    elif harm == "another version":
        kept["origin"] = "pint 0, other"
        kept["digest"] = kept_units._digest(kept["origin"], kept["answers"])
    elif harm == "another shape":  # under a digest that holds
        kept["answers"]["to_si"]["mm"] = "0.001"
        kept["digest"] = kept_units._digest(kept["origin"], kept["answers"])
    elif harm == "a list":
        kept = [kept]
    harmed = {"cut short": text[: len(text) // 2], "empty": ""}.get(harm, json.dumps(kept))
    assert harmed != text
    place.write_text(harmed, encoding="utf-8")
    kept_units.load()
    assert not any(units.ANSWERS.values())
    fill()
    kept_units.save()  # made anew in its place
    assert place.read_text(encoding="utf-8") == text


def test_nothing_is_left_where_nothing_is_kept(place):
    place.parent.rmdir()
    fill()
    kept_units.save()
    assert not place.parent.exists()


def test_only_so_many_answers_are_remembered(place, monkeypatch):
    monkeypatch.setattr(units, "MOST_ANSWERS", 2)
    asked = []

    def length(text):
        asked.append(text)
        return len(text)

    remembered = units._remembered(length)
    assert [remembered(text) for text in ("m", "mm", "kgm", "m", "kgm")] == [1, 2, 3, 1, 3]
    assert asked == ["m", "mm", "kgm", "kgm"]


def test_a_command_that_asks_for_known_units_does_not_load_their_library(place):
    job = Path(__file__).parents[2] / "catalogs" / "demo" / "jobs" / "touring-wagon-first-step.toml"
    code = (
        "import sys\n"
        "from configurator.cli import main\n"
        "try:\n    main(['find', sys.argv[1]])\n"
        "except SystemExit as end:\n    assert not end.code\n"
        "print('pint' in sys.modules)"
    )
    loaded = [
        subprocess.run(
            [sys.executable, "-c", code, str(job)], capture_output=True, text=True, check=True
        ).stdout.split()[-1]
        for _ in range(2)
    ]
    assert loaded == ["True", "False"]
