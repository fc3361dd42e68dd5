"""What choices force is worked out once, and is what it is without being kept."""

from __future__ import annotations

from dataclasses import replace

import pytest

from configurator.consequences import upgrades
from configurator.consequences.known_upgrades import forced_by_each
from configurator.questions import edits
from configurator.questions.case_cache import Shelf
from configurator.questions.session import Session
from tests.search.random_cases import make


def opened(random_case, shelf):
    case = random_case.case
    return Session(
        case.job, random_case.trade, lambda job: replace(case, job=job), shelf, keep=False
    )


@pytest.mark.parametrize("seed", range(4))
def test_several_sessions_share_it_and_a_decision_on_parts_asks_anew(seed, monkeypatch):
    random_case = make(seed, families=4)
    shelf = Shelf()
    talk = opened(random_case, shelf)
    evaluation = talk.prepared().evaluation
    options = [evaluation.options(position)[-1] for position in evaluation.families]
    first = forced_by_each(talk, options[:2])
    asked = []
    forces_each = upgrades.forces_each
    monkeypatch.setattr(
        upgrades,
        "forces_each",
        lambda ready, these: asked.append(these) or forces_each(ready, these),
    )
    other = opened(random_case, shelf)
    every = forced_by_each(other, options)
    assert [item is kept for item, kept in zip(every, first, strict=False)] == [True, True]
    assert asked == [options[2:]]
    assert every == forces_each(other.prepared(), options)
    assert forced_by_each(talk, options) == every
    assert len(asked) == 1
    place = options[0].position
    other.change(edits.fix(other.job, place, options[0].key), "fix")
    assert forced_by_each(other, options[1:]) == forces_each(other.prepared(), options[1:])
    assert len(asked) == 2
