"""What came of a job, read from disk: the same as worked out, and of this very case only."""

from __future__ import annotations

import json
import subprocess
import sys
from dataclasses import fields, replace
from pathlib import Path

import numpy as np
import pytest

from configurator.core import paths, sealed_arrays
from configurator.evaluation.evaluator import Evaluation
from configurator.files import job_files
from configurator.questions import answers, goal_certainty, kept_outcomes
from configurator.questions.case_cache import posed
from configurator.questions.goal_certainty import certainty_in_full
from tests import bundled

JOB = paths.catalogs() / "demo" / "jobs" / "touring-wagon-first-step.toml"


@pytest.fixture(scope="module")
def trade():
    return bundled.trade()


@pytest.fixture(scope="module")
def worked_out(trade, tmp_path_factory):
    """The case as it is made ready for kept outcomes, what came of it, and its folder."""
    with pytest.MonkeyPatch.context() as patch:
        folder = tmp_path_factory.mktemp("data")
        patch.setenv("FITWRIGHT_DATA", str(folder))
        # Sources that were changed a moment ago, as those of a new clone, have no digest.
        patch.setattr(kept_outcomes, "code_digest", lambda _: "code")
        prepared = answers.ready(job_files.read_case(JOB, trade), trade, alone=True)
        yield prepared, certainty_in_full(prepared), folder / "circuits"


def refuse(*_, **__):
    pytest.fail("it was kept")


def name_of(prepared):
    return kept_outcomes.name_of(prepared.evaluation, prepared.limits)


def look_up(prepared):
    return kept_outcomes.look_up(prepared.evaluation, prepared.limits)


def outcome_of(folder):
    (path,) = folder.glob("*-outcome.npz")
    with np.load(path) as data:
        return path.stem, json.loads(data["outcome"].tobytes())


def test_what_is_read_is_what_was_worked_out(worked_out, monkeypatch):
    prepared, (price, goals), _ = worked_out
    monkeypatch.setattr(goal_certainty, "price_of_certainty", refuse)
    monkeypatch.setattr(goal_certainty, "goal_certainties", refuse)
    again, goals_again = certainty_in_full(prepared)
    assert goals_again == goals
    assert len(goals) == 2
    assert again.differing == price.differing != ()
    for package, before in ((again.calculated, price.calculated), (again.sure, price.sure)):
        assert (package.price, package.proven) == (before.price, before.proven)
        assert {p: o.key for p, o in package.choice.items()} == {
            p: o.key for p, o in before.choice.items()
        }


def test_the_name_is_the_same_on_every_run(worked_out, trade):
    prepared, _, folder = worked_out
    name, _ = outcome_of(folder)
    assert name_of(prepared) == name
    code = (
        "import sys; from pathlib import Path\n"
        "from configurator.files import job_files\n"
        "from configurator.evaluation.evaluator import Evaluation\n"
        "from configurator.questions import kept_outcomes\n"
        "from configurator.search.limits import LIMITS\n"
        "from configurator.loading import plugin_files\n"
        "trade = plugin_files.load(installed=False).trade\n"
        "case = job_files.read_case(Path(sys.argv[1]), trade)\n"
        "kept_outcomes.code_digest = lambda _: 'code'\n"
        "print(kept_outcomes.name_of(Evaluation(case, trade), LIMITS))\n"
    )
    names = {
        subprocess.run(
            [sys.executable, "-c", code, str(JOB)],
            cwd=Path(__file__).parents[2],
            env={"PYTHONHASHSEED": seed, "PATH": "", "FITWRIGHT_DATA": str(folder.parent)},
            capture_output=True,
            text=True,
            check=True,
        ).stdout.strip()
        for seed in ("1", "2")
    }
    assert names == {name}


def changed(case, **values):
    return replace(case, job=replace(case.job, **values))


def test_whatever_it_hangs_on_changes_the_name(worked_out, trade, monkeypatch):
    prepared, _, folder = worked_out
    name, _ = outcome_of(folder)
    case = prepared.evaluation.case
    tyre = case.parts["tyres"][0]
    goal = case.job.goals[0]
    others = [
        changed(case, conditions={**case.job.conditions, "cruising speed": 25.0}),
        changed(case, goals=(replace(goal, at_least=goal.at_least + 0.001), *case.job.goals[1:])),
        changed(case, measured={"vehicle mass": 2000.0}),
        changed(case, prices={tyre.key: 1}),
        changed(case, excluded=(tyre.key,)),
        changed(case, tolerances={"measured lengths": "1 mm"}),
        replace(case, parts={**case.parts, "tyres": (replace(tyre, price=1),)}),
        replace(case, vehicle=replace(case.vehicle, title="Another")),
        replace(case, workshop=replace(case.workshop, rate=1)),
    ]
    names = [name_of(posed_case(prepared, other)) for other in others]
    assert None not in names
    assert len({*names, name}) == len(others) + 1
    fewer = replace(prepared.limits, listed_packages=1)
    assert name_of(replace(prepared, limits=fewer)) != name
    monkeypatch.setattr(kept_outcomes, "code_digest", lambda _: "other code")
    assert name_of(prepared) != name
    monkeypatch.setattr(kept_outcomes, "code_digest", lambda _: "")
    assert name_of(prepared) is None  # its sources may have been changed


def posed_case(prepared, case):
    other = posed(prepared, case.job)
    other.model.evaluation.case = case
    return other


def test_the_title_and_the_budget_do_not(worked_out):
    prepared, _, folder = worked_out
    name, _ = outcome_of(folder)
    other = changed(prepared.evaluation.case, title="Another", budget=None)
    assert name_of(posed_case(prepared, other)) == name


def test_where_others_bring_rules_nothing_is_kept(worked_out):
    prepared, _, _ = worked_out
    evaluation = posed(prepared, prepared.evaluation.case.job)
    trade = evaluation.evaluation.trade
    rule = next(iter(trade.fits.values()))
    foreign = replace(rule, name="of a shop", function=lambda: True)
    evaluation.model.evaluation.trade = replace(trade, fits={**trade.fits, foreign.name: foreign})
    assert name_of(evaluation) is None


@pytest.mark.parametrize(
    "harm", ["cheaper", "another part", "not sure", "no such part", "no goals", "a list"]
)
def test_what_does_not_hold_is_worked_out_anew(worked_out, harm, monkeypatch):
    prepared, (price, _), folder = worked_out
    name, outcome = outcome_of(folder)
    kept = json.dumps(outcome)
    if harm == "cheaper":
        outcome["sure"][0] -= 100
    elif harm == "another part":
        outcome["calculated"][1][price.differing[0]] = outcome["sure"][1][price.differing[0]]
    elif harm == "not sure":
        outcome["sure"] = outcome["calculated"]
    elif harm == "no such part":
        outcome["sure"][1]["tyres"] = "demo/none such"
    elif harm == "no goals":
        del outcome["goals"]
    else:
        outcome = [outcome]
    monkeypatch.setenv("FITWRIGHT_DATA", str(folder.parent))
    for written, known in ((json.dumps(outcome), False), (kept, True)):
        sealed_arrays.write(name, {"outcome": np.frombuffer(written.encode(), np.uint8)})
        assert (look_up(prepared) is not None) == known


@pytest.fixture
def answered(worked_out, monkeypatch):
    """The job, its answer, and how both are kept; what was kept before stands there afterwards."""
    prepared, (price, goals), folder = worked_out
    name, outcome = outcome_of(folder)
    monkeypatch.setenv("FITWRIGHT_DATA", str(folder.parent))
    answer = answers.find(prepared)
    evaluation, limits = prepared.evaluation, prepared.limits
    kept_outcomes.keep(evaluation, limits, price, goals, answer)
    yield prepared, answer
    written = json.dumps(outcome).encode()
    sealed_arrays.write(name, {"outcome": np.frombuffer(written, np.uint8)})


def asked_again(prepared, **values):
    """Ask a case of its own, as a program that is started anew does."""
    case = prepared.evaluation.case
    evaluation = Evaluation(changed(case, **values), prepared.evaluation.trade)
    known = kept_outcomes.look_up(evaluation, prepared.limits)
    return None if known is None else known.answer(evaluation)


def test_the_answer_is_the_same_again(answered):
    prepared, answer = answered
    again = asked_again(prepared)
    (package,), (before,) = again.packages, answer.packages
    assert {p: o.key for p, o in package.choice.items()} == {
        p: o.key for p, o in before.choice.items()
    }
    assert (package.price, package.work) == (before.price, before.work)
    for field in fields(answer):
        if field.name != "packages":
            assert getattr(again, field.name) == getattr(answer, field.name), field.name


def test_a_budget_decides_whether_a_kept_package_is_the_answer(answered):
    prepared, answer = answered
    price = answer.packages[0].price
    assert asked_again(prepared, budget=price).packages[0].price == price
    assert asked_again(prepared, budget=None).packages[0].price == price
    assert asked_again(prepared, budget=price - 1) is None


def test_an_answer_at_another_price_is_not_kept_and_certainty_is(answered, worked_out):
    """As where a budget decides how high something can be: certainty leaves the budget aside."""
    prepared, answer = answered
    _, (price, goals), _ = worked_out
    dearer = replace(answer.packages[0], price=answer.packages[0].price + 100)
    evaluation, limits = prepared.evaluation, prepared.limits
    kept_outcomes.keep(evaluation, limits, price, goals, replace(answer, packages=(dearer,)))
    known = look_up(prepared)
    assert known is not None
    assert known.certainty.sure.price == price.sure.price
    assert known.cheapest is None


def test_another_grade_or_goal_is_asked_anew(answered):
    prepared, _ = answered
    job = prepared.evaluation.case.job
    assert asked_again(prepared, sure=not job.sure) is None
    assert asked_again(prepared, goals=job.goals[1:]) is None


def test_a_kept_package_that_the_rules_refuse_is_none(answered):
    """Whatever stands in the file, the rules are asked once more."""
    prepared, _ = answered
    evaluation = Evaluation(prepared.evaluation.case, prepared.evaluation.trade)
    known = kept_outcomes.look_up(evaluation, prepared.limits)
    assert known.answer(evaluation) is not None
    fitted = replace(known, cheapest=evaluation.fitted)
    assert fitted.answer(evaluation) is None


def test_without_an_answer_only_certainty_is_known(worked_out, monkeypatch):
    prepared, _, folder = worked_out
    monkeypatch.setenv("FITWRIGHT_DATA", str(folder.parent))
    known = look_up(prepared)
    assert known is not None
    assert known.answer(prepared.evaluation) is None
