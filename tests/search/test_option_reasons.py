"""Why options do not fit, in one rule or wish each: all that do not, and nothing else."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace

import pytest

from configurator.model.knowledge import checked_rules
from configurator.search.explanation.option_reasons import option_reasons
from configurator.search.optimum import preparing, queries
from configurator.search.optimum.preparing import Question
from tests.search.test_against_enumeration import everything
from tests.search.tight_cases import tight_case


def reasons_of(case, job, before_each=None):
    """Each option that is in no package by enumeration, and what is said of it."""
    prepared = preparing.prepare(case.evaluation, queries.goal_figures(job))
    packages = everything(case.evaluation, job)
    used = {pair for key in packages for pair in key}
    missing = {
        position: [n for n, option in enumerate(options) if (position, option.key) not in used]
        for position, options in prepared.model.options.items()
    }
    reasons = list(option_reasons(Question(prepared, job), missing, before_each))
    return prepared, missing, {(p, n): reason for p, n, reason in reasons}, len(reasons)


@pytest.mark.parametrize("batch", range(4))
def test_every_option_that_does_not_fit_has_one_reason_and_it_is_true(batch):
    kinds: Counter[str] = Counter()
    for seed in range(batch * 75, (batch + 1) * 75):
        case = tight_case(seed, families=4)
        if case is None:
            continue
        evaluation, job = case.evaluation, case.job
        prepared, missing, reasons, many = reasons_of(case, job)
        assert set(reasons) == {(p, n) for p, numbers in missing.items() for n in numbers}
        assert many == len(reasons)
        every = checked_rules(evaluation.trade)
        free = queries.without_wishes(job)
        for (position, number), reason in reasons.items():
            option = prepared.model.options[position][number]
            kinds[reason.kind] += 1
            if reason.kind == "fixed":
                assert job.fixed[position] != option.key
            elif reason.kind == "keep":
                assert position in job.keep
                assert option.changed
            elif reason.kind == "ruled out":
                assert option.key in job.excluded
            elif reason.kind == "sum":
                # By the rules that read no sum, and what is decided, the least of it is too much.
                name = reason.rule.name if reason.rule else reason.wish.subject
                early = [rule for rule in every if not evaluation.late(rule)]
                domains = {
                    p: {o.key: o for o in evaluation.options(p)} for p in evaluation.families
                }
                asked = replace(
                    job,
                    goals=tuple(g for g in job.goals if g.figure not in evaluation.trade.totals),
                )
                values = [
                    evaluation.figure(name, {p: domains[p][k] for p, k in key})
                    for key in everything(evaluation, asked, early)
                    if (position, option.key) in key
                ]
                best = max(values) if reason.at_least else min(values)
                assert reason.has == pytest.approx(best, abs=0.05)
                worse = reason.has < reason.needs if reason.at_least else reason.has > reason.needs
                assert worse
            elif reason.kind == "rule" and len(evaluation.reach(reason.rule)) <= 1:
                asked = replace(free, fixed={position: option.key})
                assert not everything(evaluation, asked, [reason.rule])
            elif reason.kind == "rule":
                assert position in evaluation.reach(reason.rule) or len(every) > 1
                assert reason.beside == tuple(
                    sorted(evaluation.reach(reason.rule) & {*job.fixed, *job.keep} - {position})
                )
    assert kinds["rule"] > 10
    assert kinds["sum"] > 0


def test_without_trying_each_by_itself_more_are_said_to_be_several_rules_together():
    quick = slow = 0
    for seed in range(200):
        case = tight_case(seed, families=4)
        if case is None:
            continue
        left = []
        _, _, reasons, _ = reasons_of(
            case, case.job, lambda each, left=left: left.append(sum(map(len, each.values())))
        )
        together = sum(reason.kind == "together" for reason in reasons.values())
        assert len(left) <= 1
        assert together <= sum(left)
        quick, slow = quick + sum(left), slow + together
    assert slow < quick
