"""What sums must keep so that limits on them hold within tolerances: no sure package keeps less."""

from __future__ import annotations

import numpy as np

from configurator.evaluation.propagation import Propagation
from configurator.search.encoding import option_columns
from configurator.search.encoding.joint_values import JointValues
from configurator.search.encoding.sure_limits import least_sure_margin
from configurator.search.optimum.sure_sums import sure_margin
from tests.search.test_certainty import BATCH, sure_packages, with_tolerances


def test_a_sum_must_keep_what_the_vehicle_itself_may_be_off():
    narrowed = 0
    for seed in range(4 * BATCH):
        random_case = with_tolerances(seed, sums=True)
        evaluation, job = random_case.evaluation, random_case.case.job
        stands = Propagation(evaluation)
        for rule in evaluation.trade.totals.values():
            bounds = [b for b in (rule.at_least, rule.at_most) if b is not None]
            if len(bounds) != 1:
                continue
            least = least_sure_margin(stands, rule, bounds[0])
            narrowed += least > 0.0
            for choice, _ in sure_packages(evaluation, job):
                kept = Propagation(evaluation, choice).margin(rule)
                assert kept is None or kept.margin >= least, (seed, rule.name)
    assert narrowed, "the start of some sum must be uncertain"


def test_a_sum_must_keep_what_its_parts_are_off_at_the_least():
    counted = 0
    for seed in range(6 * BATCH):
        random_case = with_tolerances(seed, sums=True)
        evaluation, job = random_case.evaluation, random_case.case.job
        options = {p: evaluation.options(p) for p in evaluation.families}
        joint = JointValues(evaluation, {p: np.ones(len(o), bool) for p, o in options.items()})
        for rule in evaluation.trade.totals.values():
            bounds = [b for b in (rule.at_least, rule.at_most) if b is not None]
            if len(bounds) != 1:
                continue
            asked = sure_margin(joint, rule, bounds[0])
            for choice, _ in sure_packages(evaluation, job):
                kept = Propagation(evaluation, choice).margin(rule)
                numbers = option_columns.numbers_of(evaluation, choice)
                more = sum(float(asked.more[p][own[0]]) for p, own in numbers.items())
                counted += more > 0.0
                assert kept is None or kept.margin >= asked.least + more - 1e-9, (seed, rule.name)
    assert counted, "some parts of sure packages must be off"
