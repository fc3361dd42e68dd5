"""What choices force, read from disk: the same as worked out, and of this very question only."""

from __future__ import annotations

from dataclasses import replace

import pytest

from configurator.consequences import kept_consequences, upgrades
from configurator.consequences.kept_consequences import KeptConsequences
from configurator.core import paths
from configurator.files import job_files
from configurator.model.parts import Missing
from configurator.questions import answers
from configurator.questions.case_cache import posed
from tests import bundled

JOB = paths.catalogs() / "demo" / "jobs" / "touring-wagon-first-step.toml"


@pytest.fixture(scope="module")
def prepared(tmp_path_factory):
    """The case, where what choices force is kept: some that force others, one in no package."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("FITWRIGHT_DATA", str(tmp_path_factory.mktemp("data")))
        # Sources that were changed a moment ago, as those of a new clone, have no digest.
        patch.setattr(kept_consequences, "code_digest", lambda _: "code")
        trade = bundled.trade()
        yield answers.ready(job_files.read_case(JOB, trade), trade)


@pytest.fixture(scope="module")
def options(prepared):
    evaluation = prepared.evaluation
    tyres = evaluation.options("tyres")
    least, most = (
        choose(tyres, key=lambda o: o.part.values["overall diameter"]) for choose in (min, max)
    )
    return [*upgrades.choices_of(prepared)[-3:], least, most]


@pytest.mark.parametrize(("reading", "numbers"), [("goals", False), ("fit", True)])
def test_what_is_read_is_what_was_worked_out(prepared, options, reading, numbers, monkeypatch):
    first = upgrades.forces_each(prepared, options, reading, numbers=numbers)
    assert any(forced.arrows for forced in first)
    assert any(forced.conflict for forced in first)
    assert any(kept.rules for forced in first for kept in forced.kept) is numbers
    with monkeypatch.context() as patch:
        patch.setattr(upgrades, "_Question", refuse)
        assert upgrades.forces_each(prepared, options, reading, numbers=numbers) == first
    # What is not to be kept is not looked up either.
    anew = unkept(prepared)
    with monkeypatch.context() as patch:
        patch.setattr(upgrades, "_Question", refuse)
        with pytest.raises(LookupError):
            upgrades.forces_each(anew, options, reading, numbers=numbers)
    # Nor does what is kept of some choices hinder the others.
    more = prepared.evaluation.options("spare carrier")[-1]
    both = upgrades.forces_each(prepared, [more, options[0]], reading, numbers=numbers)
    assert both == [upgrades.forces(unkept(prepared), more, reading, numbers=numbers), first[0]]


def refuse(*_):
    raise LookupError


def unkept(prepared):
    return replace(prepared, keep=False)


def test_only_the_same_question_is_answered(prepared, options, monkeypatch):
    upgrades.forces_each(prepared, options[:1], "goals")
    assert known(prepared, options[0]) is not None
    assert known(prepared, options[0], reading="fit", numbers=False) is None
    assert known(prepared, options[0], numbers=True) is None
    assert known(prepared, options[0], inputs=False) is None
    other = next(o for o in prepared.evaluation.options("wheels") if o.changed)
    assert known(prepared, other) is None
    case = prepared.evaluation.case
    tyre = case.parts["tyres"][0]
    for changed in (
        replace(case, job=replace(case.job, budget=100)),
        replace(case, job=replace(case.job, excluded=(tyre.key,))),
        replace(case, job=replace(case.job, sure=not case.job.sure)),
        replace(case, parts={**case.parts, "tyres": (replace(tyre, price=1),)}),
        replace(case, vehicle=replace(case.vehicle, title="Another")),
    ):
        ready = posed(prepared, case.job)
        ready.model.evaluation.case = changed
        assert known(ready, options[0]) is None
    fewer = replace(prepared.limits, listed_packages=1)
    assert known(replace(prepared, limits=fewer), options[0]) is None
    monkeypatch.setattr(kept_consequences, "code_digest", lambda _: "other code")
    assert known(prepared, options[0]) is None


def known(prepared, option, reading="goals", *, numbers=False, inputs=True):
    asked = (prepared.evaluation, prepared.limits, reading)
    return KeptConsequences(*asked, numbers=numbers, inputs=inputs).look_up(option)


def test_values_of_every_kind_come_back_as_they_are():
    values = (0.1, 1, True, None, "M12", frozenset({"b", "a"}), (Missing.UNKNOWN, ()))
    restored = kept_consequences._restored(kept_consequences._written(values), {})
    assert restored == values
    assert [type(value) for value in restored] == [type(value) for value in values]
