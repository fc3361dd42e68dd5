"""Local rules: read with every mistake named, in force in the search, named when none is chosen."""

from __future__ import annotations

import shutil

import pytest

from configurator import answers, homes, job_files, plugin_loading
from configurator.errors import InputError
from configurator.evaluation import Evaluation
from configurator.packages import broken_rules, cautions_of, not_checked
from configurator.rules import Caution, Limit

TRADE = plugin_loading.load(installed=False).trade
DEMO = homes.catalogs() / "demo"
JOB = (DEMO / "jobs" / "vineyard-trucks.toml").read_text(encoding="utf-8")


def case(tmp_path, chosen, rules=None):
    """Read the vineyard's job with local rules chosen, perhaps from a file of one's own."""
    if rules is not None:
        shutil.copytree(DEMO, tmp_path / "demo", dirs_exist_ok=True)
        (tmp_path / "demo" / "local" / "own.toml").write_text(rules, encoding="utf-8")
    file = tmp_path / "job.toml"
    line = f'"local rules" = "{chosen}"\n' if chosen else ""
    file.write_text(line + JOB, encoding="utf-8")
    return job_files.read_case(file, TRADE, [tmp_path] if rules is not None else [])


def rule(name, figure, bound, effect, more=""):
    """Write one rule."""
    return (
        f'[rules."{name}"]\nfigure = "{figure}"\n{bound}\nsays = "So it is."\n'
        f'source = "invented"\ndate = 2026-01-01\neffect = "{effect}"\n{more}\n'
    )


@pytest.mark.parametrize("name", ["valley-canton", "coast-district"])
def test_the_examples_read_and_hold_both_kinds(tmp_path, name):
    rules = case(tmp_path, f"demo/{name}").local_rules.rules
    assert {type(one) for one in rules} == {Limit, Caution}


def test_without_a_choice_none_was_checked(tmp_path):
    without, chosen = (
        Evaluation(case(tmp_path, key), TRADE) for key in (None, "demo/valley-canton")
    )
    told = [one for one in not_checked(without, without.fitted) if one.rule == "local rules"]
    assert len(told) == 1
    assert "none was checked" in told[0].why
    assert all(one.rule != "local rules" for one in not_checked(chosen, chosen.fitted))


def test_a_bound_between_two_packages_forbids_or_needs_approval(tmp_path):
    free = Evaluation(case(tmp_path, None), TRADE)
    tyre = next(o for o in free.options("tyres") if o.key == "demo/PTA-25585R16")
    before = free.figure("tyre diameter", free.fitted)
    after = free.figure("tyre diameter", {**free.fitted, "tyres": tyre})
    assert before != after
    grows = after > before
    half = (after - before) / 2 * 1000
    bound = f'{"at_most" if grows else "at_least"} = "{half:.3f} mm"\nchange = true'
    text = (
        'title = "Own"\n'
        + rule("it does not grow", "tyre diameter", bound, "forbids")
        + rule("growth is approved", "tyre diameter", bound, "needs approval", 'approve = "them"')
    )
    evaluation = Evaluation(case(tmp_path, "demo/own", text), TRADE)
    for choice, forbidden in (
        (evaluation.fitted, False),
        ({**evaluation.fitted, "tyres": tyre}, True),
    ):
        broken = {one.name for one in broken_rules(evaluation, choice)}
        cautions = {one.name for one in cautions_of(evaluation, choice)}
        assert ("it does not grow" in broken) is forbidden
        assert ("growth is approved" in cautions) is forbidden


def test_every_mistake_is_named(tmp_path):
    text = 'title = "Own"\n' + rule("a", "vehicle mas", 'at_most = "1 kg"', "forbids")
    text += rule("b", "vehicle mass", "", "forbids")
    text += rule("c", "vehicle mass", 'at_most = "3 mm"', "bans")
    text += rule("d", "vehicle mass", 'at_most = "3500 kg"', "needs approval")
    with pytest.raises(InputError) as caught:
        case(tmp_path, "demo/own", text)
    said = "\n".join(str(one) for one in caught.value.problems)
    for expected in ("vehicle mass", "no bound", "does not measure", "'bans'", "'approve'"):
        assert expected in said
    with pytest.raises(InputError, match="there are no local rules"):
        case(tmp_path, "demo/valley-kanton")


def test_a_job_with_local_rules_is_written_as_it_was_read(tmp_path):
    job = case(tmp_path, "demo/valley-canton").job
    assert job_files.read_job(job_files.write_job(job, TRADE), TRADE) == job


@pytest.mark.parametrize("forbid", [False, True])
def test_the_search_keeps_what_is_forbidden_out(tmp_path, forbid):
    # No truck is as narrow as a hand: with this rule nothing can be found, and it is the reason.
    text = 'title = "Own"\n' + rule(
        "light enough",
        "front width over tyres",
        f'at_most = "{100 if forbid else 9000} mm"',
        "forbids",
    )
    evaluation = case(tmp_path, "demo/own", text)
    answer = answers.find(answers.ready(evaluation, TRADE, keep=False))
    assert (answer.outcome == "nothing fits") is forbid
    if forbid:
        assert any(one.rule and one.rule.name == "light enough" for one in answer.conflict)
