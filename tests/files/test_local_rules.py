"""Local rules: read with every mistake named, in force in the search, named when none is chosen."""

from __future__ import annotations

import shutil
from dataclasses import replace

import pytest

from configurator import testing
from configurator.core import paths
from configurator.core.errors import InputError
from configurator.evaluation.evaluator import Evaluation
from configurator.evaluation.packages import broken_rules, cautions_of, figures_of, not_checked
from configurator.files import job_files
from configurator.files.catalog_files import check_catalog
from configurator.model.rules import Caution, Limit
from configurator.model.unrounded import NOT_ROUNDED
from configurator.questions import answers
from configurator.search.limits import Limits
from configurator.wording.local_rule_words import local_rule_words
from tests import bundled
from tests.short_lists import write_short_lists

TRADE = bundled.trade()
DEMO = paths.catalogs() / "demo"
JOB = (
    (DEMO / "jobs" / "vineyard-trucks.toml")
    .read_text(encoding="utf-8")
    .replace('budget = "6400 EUR"', 'budget = "6500 EUR"')  # room for a lighter package
)


def case(tmp_path, chosen, rules=None):
    """Read the vineyard's job with local rules chosen, perhaps from a file beside short lists."""
    if rules is not None:
        if not (tmp_path / "demo").exists():
            write_short_lists(tmp_path)
        (tmp_path / "demo" / "local" / "own.toml").write_text(rules, encoding="utf-8")
    file = tmp_path / "job.toml"
    line = f'"local rules" = "{chosen}"\n' if chosen else ""
    file.write_text(line + JOB, encoding="utf-8")
    return job_files.read_case(file, TRADE, [tmp_path])


def rule(name, figure, bound, effect, more=""):
    """Write one rule."""
    return (
        f'[rules."{name}"]\nfigure = "{figure}"\n{bound}\nsays = "So it is."\n'
        f'source = "invented"\ndate = 2026-01-01\neffect = "{effect}"\n{more}\n'
    )


@pytest.mark.parametrize("name", ["valley-canton", "coast-district"])
def test_the_examples_read_and_hold_both_kinds(tmp_path, name):
    rules = case(tmp_path, f"demo/{name}").local_rules.rules
    assert {type(rule) for rule in rules} == {Limit, Caution}


def test_without_a_choice_none_was_checked(tmp_path):
    without, chosen = (
        Evaluation(case(tmp_path, key), TRADE) for key in (None, "demo/valley-canton")
    )
    local = [
        unchecked
        for unchecked in not_checked(without, without.fitted)
        if unchecked.rule == "local rules"
    ]
    assert len(local) == 1
    assert "none was checked" in local[0].why
    assert all(unchecked.rule != "local rules" for unchecked in not_checked(chosen, chosen.fitted))


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
        broken = {broken_rule.name for broken_rule in broken_rules(evaluation, choice)}
        cautions = {caution.name for caution in cautions_of(evaluation, choice)}
        assert ("it does not grow" in broken) is forbidden
        assert ("growth is approved" in cautions) is forbidden


def rise_of(trade, key, spring):
    """Return what a spring lifts on a demo vehicle by Hooke's law [m], worked out here."""
    demo = testing.demo_vehicle(trade, key)
    before, load = demo.fitted["front springs"].values, demo.values["front spring load"]
    stood = before["free length"] - load / before["rate"]
    return spring["free length"] - load / spring["rate"] - stood


def with_part(evaluation, position, values):
    option = evaluation.fitted[position]
    part = replace(option.part, values={**option.part.values, **values})
    return {**evaluation.fitted, position: replace(option, part=part, changed=True)}


@pytest.mark.parametrize(
    ("diameter", "due"),
    [(776.1 * 1.0823, True), (776.1 * 1.0801, True), (776.1 * 1.0799, False)],
)
def test_a_share_is_taken_of_what_is_and_not_of_what_is_rounded(tmp_path, diameter, due):
    """From 776.1 to 840 mm is 8.23 %; rounded up to 5 mm, 780 to 840, it would be 7.7."""
    text = 'title = "Own"\n' + rule(
        "taller tyres",
        "tyre diameter",
        'change = true\nrelative = true\nat_most = "8 %"',
        "needs approval",
        'approve = "the office"',
    )
    job = case(tmp_path, "demo/own", text)
    fitted = job.vehicle.fitted["tyres"]
    was = replace(fitted, values={**fitted.values, "overall diameter": 0.7761})
    stands = replace(job.vehicle, fitted={**job.vehicle.fitted, "tyres": was})
    evaluation = Evaluation(replace(job, vehicle=stands), TRADE)
    choice = with_part(evaluation, "tyres", {"overall diameter": diameter / 1000})
    assert [
        caution.name for caution in cautions_of(evaluation, choice) if "taller" in caution.name
    ] == (["taller tyres"] if due else [])
    (line,) = local_rule_words(evaluation, choice)
    assert ("needs approval by the office" in line) is due
    assert line.endswith("(Own; invented, 2026-01-01).")
    assert "is approved" not in line


@pytest.mark.parametrize("forbids", [True, False])
def test_a_lift_is_taken_as_it_is(tmp_path, forbids):
    """A lift of 51.7 mm counts as 50 where springs are told in steps of 5."""
    effect = "forbids" if forbids else "needs approval"
    text = 'title = "Own"\n' + rule(
        "lifted", "front spring lift", 'at_most = "50 mm"', effect, 'approve = "the office"'
    )
    evaluation = Evaluation(case(tmp_path, "demo/own", text), TRADE)
    fitted = evaluation.fitted["front springs"].part.values
    for more, broken in ((0.0517, True), (0.0501, True), (0.0499, False)):
        spring = {"rate": fitted["rate"], "free length": fitted["free length"] + more}
        assert rise_of(TRADE, "valdrin-boek", spring) == pytest.approx(more)
        choice = with_part(evaluation, "front springs", spring)
        assert evaluation.figure("front spring lift", choice) == 0.05
        limits = [broken_rule.name for broken_rule in broken_rules(evaluation, choice)]
        cautions = [caution.name for caution in cautions_of(evaluation, choice)]
        assert ("lifted" in (limits if forbids else cautions)) is broken


def test_figures_that_are_not_rounded_are_not_shown(tmp_path):
    text = 'title = "Own"\n' + rule("low", "body rise", 'at_most = "90 mm"', "forbids")
    evaluation = Evaluation(case(tmp_path, "demo/own", text), TRADE)
    assert figures_of(evaluation, evaluation.fitted).keys() == {*TRADE.figures, *TRADE.totals}
    assert evaluation.trade.unrounded


def test_what_has_too_many_values_is_decided_on_whole_packages(tmp_path):
    """With the same answer as from tables: the cheapest truck whose tread stands out 9 mm."""
    text = 'title = "Own"\n' + rule(
        "covered", "front tyre beyond the arch", 'at_most = "9 mm"', "forbids"
    )
    prices = []
    for widest in (250_000, 1):
        limits = Limits(unrounded_rows=widest)
        case_of_own = case(tmp_path, "demo/own", text)
        prepared = answers.ready(case_of_own, TRADE, keep=False, limits=limits)
        evaluation = prepared.evaluation
        late = [rule.name for rule in prepared.model.late]
        assert ("covered" in late) is (widest == 1)
        assert evaluation.late(evaluation.trade.limits["covered"]) is (widest == 1)
        answer = answers.find(prepared)
        (package,) = answer.packages
        assert answer.outcome == "found"
        beyond = f"front tyre beyond the arch{NOT_ROUNDED}"
        assert evaluation.figure(beyond, package.choice) <= 0.009
        prices.append(package.price)
    assert prices[0] == prices[1]


def test_every_mistake_is_named(tmp_path):
    text = 'title = "Own"\n' + rule("a", "vehicle mas", 'at_most = "1 kg"', "forbids")
    text += rule("b", "vehicle mass", "", "forbids")
    text += rule("c", "vehicle mass", 'at_most = "3 mm"', "bans")
    text += rule("d", "vehicle mass", 'at_most = "3500 kg"', "needs approval")
    with pytest.raises(InputError) as caught:
        case(tmp_path, "demo/own", text)
    sentence = "\n".join(str(problem) for problem in caught.value.problems)
    for expected in ("vehicle mass", "no bound", "does not measure", "'bans'", "'approve'"):
        assert expected in sentence
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
        assert any(reason.rule and reason.rule.name == "light enough" for reason in answer.conflict)


KINDS = {
    "width": 'figure = "front width over tyres"\nat_most = "2000 mm"',
    "coverage": 'figure = "front tyre beyond the arch"\nat_most = "0 mm"',
    "lift": 'figure = "body rise"\nat_most = "50 mm"',
    "lamps not too low": 'figure = "headlamp lower edge height"\nat_least = "500 mm"',
    "lamps not too high": 'figure = "headlamp upper edge height"\nat_most = "1200 mm"',
    "payload": 'figure = "payload left"\nat_least = "400 kg"',
    "permitted mass": 'figure = "vehicle mass"\nat_most = "3500 kg"',
    "axle load": 'figure = "rear axle load"\nat_most = "1700 kg"',
}


@pytest.mark.parametrize("kind", KINDS)
def test_what_countries_bound_can_be_written_down(tmp_path, kind):
    head = f'[rules."{kind}"]\n{KINDS[kind]}\nsays = "So it is."\n'
    cited = 'source = "invented, article 3"\ndate = 2026-01-01\n'
    wanted = 'effect = "needs approval"\napprove = "a licensed engineer"\n'
    text = f'title = "Own"\n{head}{cited}effect = "forbids"\n'
    (limit,) = case(tmp_path, "demo/own", text).local_rules.rules
    assert limit.source == "Own: invented, article 3, 2026-01-01"
    (caution,) = case(
        tmp_path, "demo/own", f'title = "Own"\n{head}{cited}{wanted}'
    ).local_rules.rules
    assert caution.approve == "a licensed engineer"
    assert "invented, article 3, 2026-01-01" in caution.says
    for missing in ("source", "date"):
        left = "\n".join(line for line in cited.splitlines() if not line.startswith(missing))
        with pytest.raises(InputError, match=missing):
            case(tmp_path, "demo/own", f'title = "Own"\n{head}{left}\neffect = "forbids"\n')


def test_a_payload_that_local_rules_ask_for_keeps_a_heavy_package_out(tmp_path):
    free = Evaluation(case(tmp_path, None), TRADE)
    guards = next(o for o in free.options("sill guards") if o.key == "demo/GS-1200")
    heavy = {**free.fitted, "sill guards": guards}
    assert not broken_rules(free, heavy)
    # 900 kg as it stands, two guards of 15.5 kg: 869 kg are left.
    for asked, broken in (("869 kg", []), ("870 kg", ["enough is left"])):
        text = 'title = "Own"\n' + rule(
            "enough is left", "payload left", f'at_least = "{asked}"', "forbids"
        )
        evaluation = Evaluation(case(tmp_path, "demo/own", text), TRADE)
        assert [broken_rule.name for broken_rule in broken_rules(evaluation, heavy)] == broken
        assert not broken_rules(evaluation, evaluation.fitted)


def test_the_examples_leave_the_demo_vehicles_in_force(tmp_path):
    # A rule that forbids a vehicle as it came would be a poor example.
    for name in ("valley-canton", "coast-district"):
        evaluation = Evaluation(case(tmp_path, f"demo/{name}"), TRADE)
        assert not broken_rules(evaluation, evaluation.fitted)
        unknown = {unchecked.rule for unchecked in not_checked(evaluation, evaluation.fitted)}
        assert not unknown & {rule.name for rule in evaluation.case.local_rules.rules}


def test_checking_a_catalog_reads_every_file_of_local_rules(tmp_path):
    folder = shutil.copytree(DEMO, tmp_path / "demo")
    errors, _, _ = check_catalog(folder, TRADE)
    assert errors == []
    for name, figure in (("north", "track widht"), ("south", "payload lost")):
        text = f'title = "{name}"\n' + rule("a", figure, 'at_most = "1 kg"', "forbids")
        (folder / "local" / f"{name}.toml").write_text(text, encoding="utf-8")
    errors, _, _ = check_catalog(folder, TRADE)
    assert [error.where.partition(",")[0] for error in errors] == [
        "demo/local/north.toml",
        "demo/local/south.toml",
    ]


@pytest.mark.parametrize(("bound", "outside"), [("4.9 %", True), ("5.1 %", False)])
def test_a_change_is_bounded_in_per_cent_of_what_it_was(tmp_path, bound, outside):
    # 800 mm as it stands, 840 mm after: 5 % more.
    lines = f'at_most = "{bound}"\nchange = true\nrelative = true'
    text = 'title = "Own"\n' + rule("not much taller", "tyre diameter", lines, "forbids")
    text += rule("taller", "tyre diameter", lines, "needs approval", 'approve = "them"')
    evaluation = Evaluation(case(tmp_path, "demo/own", text), TRADE)
    tyre = next(o for o in evaluation.options("tyres") if o.key == "demo/PTA-25585R16")
    choice = {**evaluation.fitted, "tyres": tyre}
    before, after = (evaluation.figure("tyre diameter", c) for c in (evaluation.fitted, choice))
    assert (before, after) == (pytest.approx(0.800), pytest.approx(0.840))
    broken = {broken_rule.name for broken_rule in broken_rules(evaluation, choice)}
    cautions = {caution.name for caution in cautions_of(evaluation, choice)}
    assert ("not much taller" in broken) is outside
    assert ("taller" in cautions) is outside
    assert "not much taller" not in {
        broken_rule.name for broken_rule in broken_rules(evaluation, evaluation.fitted)
    }


def test_a_share_of_nought_is_not_checked_and_cautioned_about(tmp_path):
    lines = 'at_most = "5 %"\nchange = true\nrelative = true'
    text = 'title = "Own"\n' + rule("no lift", "body rise", lines, "forbids")
    text += rule("lift", "body rise", lines, "needs approval", 'approve = "them"')
    evaluation = Evaluation(case(tmp_path, "demo/own", text), TRADE)
    rules = {unchecked.rule for unchecked in not_checked(evaluation, evaluation.fitted)}
    assert "no lift" in rules
    assert "lift" in {caution.name for caution in cautions_of(evaluation, evaluation.fitted)}


def test_only_a_change_can_be_relative(tmp_path):
    lines = 'at_most = "5 %"\nrelative = true'
    text = 'title = "Own"\n' + rule("a", "tyre diameter", lines, "forbids")
    with pytest.raises(InputError, match="write change = true as well"):
        case(tmp_path, "demo/own", text)


def test_the_search_finds_a_lighter_package_where_payload_is_asked_for(tmp_path):
    shutil.copytree(DEMO, tmp_path / "demo")  # a lighter one is among all parts alone
    free = answers.ready(case(tmp_path, None), TRADE)
    cheapest = answers.find(free).packages[0]
    left = free.evaluation.figure("payload left", cheapest.choice)
    text = 'title = "Own"\n' + rule(
        "more is left", "payload left", f'at_least = "{left + 2.0:.3f} kg"', "forbids"
    )
    bound = answers.ready(case(tmp_path, "demo/own", text), TRADE, keep=False)
    evaluation, package = bound.evaluation, answers.find(bound).packages[0]
    assert evaluation.figure("payload left", package.choice) >= left + 2.0 - 1e-6
    assert not broken_rules(evaluation, package.choice)
    assert package.price > cheapest.price
