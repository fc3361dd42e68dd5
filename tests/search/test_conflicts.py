"""Conflicts cannot be met and are minimal; repairs work and are minimal: by enumeration."""

from __future__ import annotations

import itertools
from dataclasses import replace

import pytest

from configurator.evaluation.evaluator import Evaluation
from configurator.evaluation.packages import make_package
from configurator.model.jobs import Case, Job, Workshop
from configurator.model.knowledge import checked_rules, gather
from configurator.model.parts import Family, Part, Position
from configurator.model.references import Input, PartValue, each, inputs_of
from configurator.model.requirements import Wish, wishes_of, with_wishes
from configurator.model.rules import Limit, Total
from configurator.model.vehicles import Vehicle
from configurator.search.explanation import conflicts, model_rotation
from configurator.search.limits import Limits
from configurator.search.optimum import preparing, queries, verification
from configurator.search.optimum.preparing import Question
from configurator.wording.sentences import reason_words
from tests.search.random_cases import make


def holds(evaluation, job, rules=None):
    """Whether any package meets the job with these rules, the budget included."""
    domains = {p: evaluation.options(p) for p in evaluation.families}
    for choice in verification.packages(evaluation, job, domains, rules=rules):
        if job.budget is None or make_package(evaluation, choice).price <= job.budget:
            return True
    return False


def unmet(seeds):
    for seed in seeds:
        random_case = make(seed, families=4)
        evaluation, job = random_case.evaluation, random_case.case.job
        if not holds(evaluation, job):
            yield seed, evaluation, job


@pytest.mark.parametrize("start", range(0, 160, 20))
def test_conflicts_are_real_and_minimal(start):
    for seed, evaluation, job in unmet(range(start, start + 20)):
        prepared = preparing.prepare(evaluation, queries.goal_figures(job))
        reasons = conflicts.explain(Question(prepared, job))
        assert reasons, seed
        assert all(reason.needed for reason in reasons), seed
        wishes = [r.wish for r in reasons if r.wish is not None]
        rules = [r.rule for r in reasons if r.rule is not None]
        assert not holds(evaluation, with_wishes(job, wishes), rules), seed
        for dropped in rules:
            rest = [rule for rule in rules if rule is not dropped]
            assert holds(evaluation, with_wishes(job, wishes), rest), (seed, dropped.name)
        # A wish is only in the conflict if all rules together need it there.
        for dropped in wishes:
            rest = [wish for wish in wishes if wish != dropped]
            assert holds(evaluation, with_wishes(job, rest)), (seed, dropped.name)


@pytest.mark.parametrize("start", range(0, 120, 20))
def test_repairs_are_all_the_smallest_ones(start):
    for seed, evaluation, job in unmet(range(start, start + 20)):
        prepared = preparing.prepare(evaluation, queries.goal_figures(job))
        conflict_names = {
            frozenset(wish for wish, _ in repair.given_up): repair.price
            for repair in conflicts.repairs(Question(prepared, job))
        }
        wishes = wishes_of(job)
        expected: set[frozenset[Wish]] = set()
        for size in (1, 2, 3):
            if size == 3 and expected:
                break
            for dropped in itertools.combinations(wishes, size):
                if any(smaller <= set(dropped) for smaller in expected):
                    continue
                rest = with_wishes(job, [w for w in wishes if w not in dropped])
                if holds(evaluation, rest):
                    expected.add(frozenset(dropped))
        assert set(conflict_names) == expected, seed


def test_why_not_one_part_names_that_part():
    with_numbers = 0
    for seed in range(60):
        random_case = make(seed, families=4)
        evaluation, job = random_case.evaluation, queries.without_wishes(random_case.case.job)
        prepared = preparing.prepare(evaluation, [])
        prices = queries.previews(Question(prepared, job)).prices
        for position, options in prepared.model.options.items():
            for number, option in enumerate(options):
                if prices[position][number] >= 0:
                    continue
                pick = Wish("fixed", position, part=option.key)
                reasons = conflicts.explain(Question(prepared, job), [pick])
                rules = [r.rule for r in reasons if r.rule is not None]
                assert rules, (seed, option.key)
                assert checked_rules(evaluation.trade)
                with_numbers += 1
    assert with_numbers > 20


@pytest.mark.parametrize("sums", [False, True])
def test_an_effort_cut_short_leaves_a_real_conflict_and_says_what_is_not_shown(sums):
    cut_short = 0
    for seed in range(40):
        random_case = make(seed, families=4, sums=sums)
        evaluation, job = random_case.evaluation, random_case.case.job
        prepared = preparing.prepare(evaluation, queries.goal_figures(job))
        for questions in (0, 2):
            reasons = conflicts.explain(Question(prepared, job), questions=questions)
            assert bool(reasons) is not holds(evaluation, job), seed
            if not reasons:
                break
            wishes = [r.wish for r in reasons if r.wish is not None]
            rules = [r.rule for r in reasons if r.rule is not None]
            assert not holds(evaluation, with_wishes(job, wishes), rules), seed
            for reason in reasons:
                if reason.needed and reason.rule is not None:
                    rest = [rule for rule in rules if rule is not reason.rule]
                    assert holds(evaluation, with_wishes(job, wishes), rest), seed
                elif reason.needed:
                    rest = [wish for wish in wishes if wish != reason.wish]
                    assert holds(evaluation, with_wishes(job, rest)), seed
            cut_short += not all(reason.needed for reason in reasons)
    assert cut_short > 2


def heavy_trade(limit):
    """Ten positions, each with a part that a rule asks for, and a limit on the mass."""
    families, stock, fitted, rules = [], {}, {}, []
    for k in range(10):
        name = f"f{k}"
        families.append(Family(name, name, (Position(f"p{k}"),), ()))
        stock[name] = (Part(f"c/{name}", name, name, 0, {"mass": 2.0 + k}),)
        fitted[f"p{k}"] = None
        reads = (Input("mass", PartValue(f"p{k}", "mass")),)
        rules.append(Limit(f"strong enough {k}", "kg", lambda mass: mass, reads, at_least=1.5))
    rules.append(Total("mass", "kg", _mass, inputs_of(_mass), at_most=limit))
    vehicle = Vehicle("c/v", "V", {}, fitted)
    case = Case(Job("job", "c/v", ("c",)), vehicle, stock, Workshop("shop", rate=0))
    return Evaluation(case, gather(families, [], [], [], rules))


def _mass(mass: float = each("mass")) -> float:
    return mass


# The heaviest parts together: 11, 21, 30, 38, 45, 51, 56 kg.
@pytest.mark.parametrize(("limit", "fewest"), [(10.5, 1), (20.5, 2), (29.5, 3), (55.5, 7)])
def test_of_rules_that_all_weigh_something_the_heaviest_are_named(limit, fewest):
    evaluation = heavy_trade(limit)
    reasons = conflicts.explain(Question(preparing.prepare(evaluation, []), evaluation.case.job))
    names = {r.rule.name for r in reasons}
    assert names == {"mass", *(f"strong enough {k}" for k in range(10 - fewest, 10))}
    assert all(reason.needed for reason in reasons)


def test_neighbours_break_one_rule_and_meet_the_wishes():
    seen = 0
    for seed in range(60):
        random_case = make(seed, families=4, sums=seed % 2 == 0)
        evaluation, job = random_case.evaluation, random_case.case.job
        rules = checked_rules(evaluation.trade)
        domains = {
            p: [o for o in evaluation.options(p) if verification.permitted(job, o)]
            for p in evaluation.families
        }
        if not all(domains.values()):
            continue
        start = {p: options[0] for p, options in domains.items()}
        for choice, name in model_rotation.neighbours(evaluation, job, rules, start):
            verdicts = {r.name: evaluation.verdict(r, choice).holds for r in rules}
            assert [n for n, kept in verdicts.items() if kept is False] == [name]
            assert sum(choice[p].key != start[p].key for p in start) == 1
            price = make_package(evaluation, choice).price
            assert job.budget is None or price <= job.budget
            assert all(
                verification.meets(goal, evaluation.figure(goal.figure, choice))
                for goal in job.goals
            )
            seen += 1
    assert seen > 10


def test_where_numbers_take_too_much_effort_members_are_told_without():
    with_numbers = 0
    for seed, evaluation, job in unmet(range(60)):
        prepared = preparing.prepare(evaluation, queries.goal_figures(job))
        unexplained = replace(prepared, limits=Limits(explained_rows=-1))
        few = conflicts.explain(Question(unexplained, job))
        every = conflicts.explain(Question(prepared, job))
        assert [(r.wish, r.rule) for r in few] == [(r.wish, r.rule) for r in every], seed
        for less, more in zip(few, every, strict=True):
            if less.rule is None and less.wish.kind not in {"fixed", "keep", "ruled out"}:
                assert less == replace(more, has=None), seed
                with_numbers += more.has is not None
            for reason in (less, more):
                assert reason_words(evaluation, reason)
    assert with_numbers > 3
