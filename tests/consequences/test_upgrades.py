"""What a choice forces, held against enumeration of all packages by the rule functions."""

from __future__ import annotations

import itertools
from dataclasses import replace
from functools import cache

import pytest

from configurator.consequences import upgrades
from configurator.consequences.rule_reach import Settled
from configurator.consequences.upgrade_graph import sets_of
from configurator.consequences.upgrade_words import forced_record
from configurator.evaluation.evaluator import Evaluation
from configurator.evaluation.packages import make_package
from configurator.model.requirements import Wish, with_wishes
from configurator.search.optimum import preparing, queries, verification
from tests.search.random_cases import make

SEEDS = 60


def packages(evaluation, job, domains=None, rules=None):
    """All packages that keep the rules, the wishes and the budget, with their prices."""
    every = {p: evaluation.options(p) for p in evaluation.families}
    result = []
    for choice in verification.packages(evaluation, job, {**every, **(domains or {})}, rules=rules):
        price = make_package(evaluation, choice).price
        if job.budget is None or price <= job.budget:
            result.append((choice, price))
    return result


def questions(seeds, reading):
    """Every choice of small random problems: what was answered, and the job as it was taken."""
    return itertools.chain.from_iterable(answered(seed, reading) for seed in seeds)


@cache
def answered(seed, reading):
    """Ask about every choice of a problem, once for all tests."""
    random_case = make(seed, families=4)
    evaluation = random_case.evaluation
    prepared = preparing.prepare(evaluation, queries.goal_figures(random_case.case.job))
    job = upgrades.asked(prepared, reading)
    answers = []
    for position in evaluation.families:
        free = replace(
            job,
            fixed={p: k for p, k in job.fixed.items() if p != position},
            keep=tuple(p for p in job.keep if p != position),
        )
        for option in evaluation.options(position):
            picked = replace(free, fixed={**free.fixed, position: option.key})
            answer = upgrades.forces(prepared, option, reading, numbers=True)
            answers.append((seed, evaluation, free, picked, answer))
    return tuple(answers)


@pytest.mark.parametrize("reading", ["fit", "goals"])
@pytest.mark.parametrize("start", range(0, SEEDS, 20))
def test_arrows_are_exactly_what_no_package_keeps(start, reading):
    for seed, evaluation, free, picked, answer in questions(range(start, start + 20), reading):
        with_it = packages(evaluation, picked)
        assert answer.possible == bool(with_it), (seed, answer.option)
        if not with_it:
            assert answer.conflict
            assert not answer.arrows
            continue
        asked = set(evaluation.families) - {answer.option.position}
        asked -= set(picked.fixed) | set(picked.keep)
        stays = {p for choice, _ in with_it for p, o in choice.items() if not o.changed}
        assert {a.position for a in answer.arrows} == asked - stays, (seed, answer.option)
        assert {k.position for k in answer.kept} == asked & stays

        others = [(c, price) for c, price in packages(evaluation, free)]
        kept_anyhow = {p for choice, _ in others for p, o in choice.items() if not o.changed}
        for arrow in answer.arrows:
            remain = {choice[arrow.position].key for choice, _ in with_it}
            assert set(arrow.remain) == remain, (seed, arrow.position)
            if arrow.anyway:
                there = {choice[arrow.position].key for choice, _ in others}
                assert not there & set(arrow.refuses)
            elif len(arrow.because) != 1:
                assert arrow.position in kept_anyhow or arrow.refuses != (
                    evaluation.fitted[arrow.position].key,
                )
        without = [p for c, p in others if c[answer.option.position].key != answer.option.key]
        adds = min(p for _, p in with_it) - min(without) if without else None
        assert answer.adds == adds, (seed, answer.option)


@pytest.mark.parametrize("reading", ["fit", "goals"])
@pytest.mark.parametrize("start", range(0, SEEDS, 20))
def test_kinds_hold_for_all_that_remains_and_their_bounds_are_reached(start, reading):
    compared = 0
    for seed, evaluation, _, _, answer in questions(range(start, start + 20), reading):
        for arrow in answer.arrows:
            options = {o.key: o for o in evaluation.options(arrow.position)}
            fitted = evaluation.fitted[arrow.position]
            for kind in arrow.kinds:
                compared += 1
                assert not kind.of(evaluation, fitted), (seed, kind)
                values = [
                    evaluation.attribute(options[key], kind.attribute) for key in arrow.remain
                ]
                assert all(kind.of(evaluation, options[key]) for key in arrow.remain), (seed, kind)
                if kind.bound == "at least":
                    assert min(values) == kind.value
                elif kind.bound == "at most":
                    assert max(values) == kind.value
                elif kind.bound == "exactly":
                    assert set(values) == {kind.value}
    assert compared


@pytest.mark.parametrize("reading", ["fit", "goals"])
@pytest.mark.parametrize("start", range(0, SEEDS, 20))
def test_reasons_are_sufficient_and_none_can_be_left_out(start, reading):
    compared = 0
    for seed, evaluation, free, _, answer in questions(range(start, start + 20), reading):
        pick = Wish("fixed", answer.option.position, part=answer.option.key)
        for arrow in answer.arrows:
            wishes = [r.wish for r in arrow.because if r.wish is not None]
            rules = [r.rule for r in arrow.because if r.rule is not None]
            assert arrow.refuses
            compared += 1
            only = {
                arrow.position: tuple(
                    o for o in evaluation.options(arrow.position) if o.key in arrow.refuses
                )
            }
            assert not any(
                all(kind.of(evaluation, option) for kind in arrow.kinds)
                for option in only[arrow.position]
                if arrow.kinds
            )

            def holds(these, those, only=only, free=free):
                picks = [] if arrow.anyway else [pick]  # noqa: B023
                job = with_wishes(free, [*picks, *these])
                return bool(packages(evaluation, job, only, those))  # noqa: B023

            assert not holds(wishes, rules), (seed, answer.option, arrow)
            for dropped in rules:
                rest = [rule for rule in rules if rule is not dropped]
                assert holds(wishes, rest), (seed, answer.option, arrow.position, dropped.name)
            for dropped in wishes:
                rest = [wish for wish in wishes if wish != dropped]
                assert holds(rest, None), (seed, answer.option, arrow.position, dropped.name)
    assert compared


def test_what_forces_back_does_so_whatever_remains():
    compared = 0
    for seed, evaluation, free, _, answer in questions(range(SEEDS), "fit"):
        place = answer.option.position
        stay = replace(free, keep=(*free.keep, place))
        stay_found = packages(evaluation, stay)
        expected = set()
        for arrow in answer.arrows:
            if arrow.anyway or not answer.option.changed:
                continue
            left = {choice[arrow.position].key for choice, _ in stay_found}
            if not left & set(arrow.remain):
                expected.add(arrow.position)
        assert set(answer.back) == expected, (seed, answer.option)
        compared += len(expected)
        grouped = {p for group in sets_of([answer]) for p in group}
        assert grouped == (expected | {place} if expected else set())
    assert compared


@pytest.mark.parametrize("start", range(0, SEEDS, 20))
def test_numbers_of_what_stays_come_from_a_package_that_keeps_it(start):
    compared = 0
    for seed, evaluation, _, picked, answer in questions(range(start, start + 20), "fit"):
        for kept in answer.kept:
            job = replace(picked, keep=(*picked.keep, kept.position))
            possible = [choice for choice, _ in packages(evaluation, job)]
            for rule in kept.rules:
                assert kept.position in evaluation.reach(rule.rule)
                verdicts = [evaluation.verdict(rule.rule, choice) for choice in possible]
                assert any(v.has == rule.after and v.needs == rule.needs for v in verdicts), seed
                before = evaluation.verdict(rule.rule, evaluation.fitted)
                assert rule.before == before.has
                compared += 1
    assert compared


@pytest.mark.parametrize("start", range(0, SEEDS, 20))
def test_a_rule_ignores_the_positions_that_are_not_named_as_open(start):
    ignored = 0
    for seed in range(start, start + 20):
        evaluation = make(seed, families=3).evaluation
        for position in evaluation.families:
            for option in evaluation.options(position):
                settled = Settled(evaluation, {position: option})
                for rule in (*evaluation.trade.limits.values(), *evaluation.trade.fits.values()):
                    dead = evaluation.reach(rule) - {position} - settled.open_positions(rule)
                    ignored += len(dead)
                    base = {**evaluation.fitted, position: option}
                    for place in dead:
                        reasons = {
                            (verdict.holds, verdict.has, verdict.needs)
                            for other in evaluation.options(place)
                            for verdict in [evaluation.verdict(rule, {**base, place: other})]
                        }
                        assert len(reasons) == 1, (seed, rule.name, place)
    assert ignored


def test_the_record_has_the_promised_shape():
    for seed in range(SEEDS):
        random_case = make(seed, families=4)
        evaluation: Evaluation = random_case.evaluation
        prepared = preparing.prepare(evaluation, queries.goal_figures(random_case.case.job))
        options = [o for p in evaluation.families for o in evaluation.options(p)]
        steps = [upgrades.forces(prepared, option) for option in options]
        if sum(len(step.arrows) for step in steps) > 4:
            break
    record = forced_record(evaluation, steps, "fit")
    assert set(record) >= {"choices", "sets", "relative_to"}
    arrows = [arrow for choice in record["choices"] for arrow in choice["forces"]]
    assert arrows
    for choice in record["choices"]:
        assert set(choice) >= {"position", "part", "forces", "not_forced", "adds"}
    for arrow in arrows:
        assert set(arrow) >= {"position", "property", "because", "direct", "through"}
        assert arrow["direct"] == (not arrow["through"])
        for reason in arrow["because"]:
            assert set(reason) >= {"rule", "has", "needs", "unit"}


def test_less_is_said_of_reasons_without_inputs_and_nothing_else_changes():
    def bare(forced):
        def of(reasons):
            return tuple(replace(reason, inputs=()) for reason in reasons)

        arrows = tuple(replace(arrow, because=of(arrow.because)) for arrow in forced.arrows)
        return replace(forced, arrows=arrows, conflict=of(forced.conflict))

    reasons = 0
    for seed in range(8):
        random_case = make(seed, families=4)
        prepared = preparing.prepare(
            random_case.evaluation, queries.goal_figures(random_case.case.job)
        )
        options = [o for p in prepared.evaluation.families for o in prepared.evaluation.options(p)]
        every = upgrades.forces_each(prepared, options, "goals")
        less = upgrades.forces_each(prepared, options, "goals", inputs=False)
        assert [bare(forced) for forced in less] == [bare(forced) for forced in every]
        reasons += sum(len(arrow.because) for forced in every for arrow in forced.arrows)
    assert reasons > 10
