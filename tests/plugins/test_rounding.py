"""A figure that a limit bounds is rounded to the side that is safe for the limit."""

from __future__ import annotations

import random

import pytest

from configurator.core import paths
from configurator.evaluation.evaluator import Evaluation
from configurator.evaluation.rule_calls import call_rule
from configurator.files import job_files
from configurator.model.knowledge import Trade
from configurator.model.parts import Missing
from configurator.model.references import FigureValue, PartValue, computed
from configurator.model.rules import Total
from tests.plugins.packages import package

JOB = paths.catalogs() / "demo" / "jobs" / "touring-wagon-first-step.toml"

# Bounded on both sides, so that one of them is the other's unsafe side; comfort, a step wide.
ON_BOTH_SIDES = {
    "the front wheels have not too much caster",
    *(
        f"the {axle} {rule}"
        for axle in ("front", "rear")
        for rule in (
            "springs are not too hard",
            "springs are not too soft",
            "shocks calm the springs",
            "shocks are not too hard for the springs",
        )
    ),
}

# What is told in steps as wide as parts of one list differ from each other.
TOLD_IN_STEPS = ("spring lift",)
# By how much of its quantity a limit may look better than it is: a last digit.
LAST_DIGIT = 2e-3


class Unrounded:
    """Figures of a package, by the rule functions alone, nothing rounded on the way but steps."""

    def __init__(self, evaluation, choice, before=None):
        self.evaluation, self.choice, self.known = evaluation, choice, {}
        self.before = before or self

    def value(self, reference):
        if isinstance(reference, PartValue):
            return self.evaluation.attribute(self.choice[reference.position], reference.attribute)
        if isinstance(reference, FigureValue):
            return (self.before if reference.before else self).figure(reference.name)
        return self.evaluation.constant(reference)

    def figure(self, name):
        if name not in self.known:
            rule = self.evaluation.definition(name)
            if isinstance(rule, Total):
                self.known[name] = self.evaluation.total(rule, self.choice)
            else:
                answer = self.ask(rule)
                if name.endswith(TOLD_IN_STEPS):
                    answer = self.evaluation.figure(name, self.choice)
                self.known[name] = Missing.NOT_FITTED if answer is None else answer
        return self.known[name]

    def ask(self, rule):
        return call_rule(rule, tuple(self.value(item.reference) for item in rule.inputs))

    def margin(self, limit):
        """Tightest margin of a limit."""
        return margin_of(self.ask(limit), limit, self.evaluation, self.choice, self.value)


def margin_of(has, limit, evaluation, choice, value):
    """Tightest margin of what a limit has; None where it does not apply or is not known."""
    bounds = [
        (evaluation.bound(limit, bound, choice) if isinstance(bound, int | float) else value(bound))
        for bound in (limit.at_least, limit.at_most)
        if bound is not None
    ]
    if has is None or isinstance(has, Missing) or any(isinstance(b, Missing) for b in bounds):
        return None
    sign = 1.0 if limit.at_most is None else -1.0
    return min(sign * (has - bound) for bound in bounds)


@pytest.mark.parametrize("vehicle", ["brennhall-tarn", "norvane-plover", "valdrin-boek"])
def test_no_limit_looks_better_by_what_is_rounded_on_the_way(trade: Trade, vehicle: str):
    """A figure that a limit reads is rounded to its safe side; those behind it may not be."""
    chance = random.Random(5)
    evaluation, fitted = package(vehicle, conditions={"roof load": 40.0, "trailer": 700.0})
    stood = Unrounded(evaluation, fitted)
    limits = [limit for limit in trade.limits.values() if limit.concerns != "comfort"]
    looked_at, better = 0, {}
    for _ in range(250):
        mixed = chance.sample(sorted(fitted), chance.choice([1, 3, 8]))
        choice = {**fitted, **{p: chance.choice(evaluation.options(p)) for p in mixed}}
        seen, exact = {}, Unrounded(evaluation, choice, stood)
        for limit in limits:
            has = exact.ask(limit)
            margin = exact.margin(limit)
            if margin is None:
                continue
            rounded_margin = margin_of(
                evaluation.verdict(limit, choice, seen).has,
                limit,
                evaluation,
                choice,
                lambda bound: evaluation.value(bound, choice, seen),  # noqa: B023
            )
            looked_at += 1
            if (
                rounded_margin is not None
                and rounded_margin - margin > LAST_DIGIT * (abs(has) + abs(margin)) + 1e-9
            ):
                better[limit.name] = max(
                    better.get(limit.name, 0.0), float(rounded_margin - margin)
                )
    assert looked_at > 10_000
    assert better == {}


def test_no_limit_is_kept_by_rounding(trade: Trade):
    unsafe, looked_at = set(), 0
    for limit in trade.limits.values():
        read = [item.reference for item in limit.inputs]
        safe = "down" if limit.at_least is not None else "up"
        sides = [(read[0], safe)] if len(read) == 1 else []
        sides += [(limit.at_least, "up"), (limit.at_most, "down")]
        for reference, side in sides:
            if not isinstance(reference, FigureValue) or reference.before:
                continue
            figure = trade.figures.get(reference.name)
            if figure is not None and figure.resolution:
                looked_at += 1
                if figure.rounding != side:
                    unsafe.add(limit.name)
    assert looked_at > 50
    assert unsafe == ON_BOTH_SIDES
    assert all(trade.limits[name].concerns == "comfort" for name in unsafe)


def test_what_is_held_against_the_vehicle_before_is_not_rounded_there(trade: Trade):
    """A figure now is rounded to the safe side; before, it must not be rounded to the same one."""
    alike, looked_at = set(), 0
    for limit in trade.limits.values():
        if limit.concerns != "change":
            continue
        read = [item.reference for item in limit.inputs] + [limit.at_least, limit.at_most]
        behind = [trade.figures[r.name] for r in read if isinstance(r, FigureValue)]
        for rule in (limit, *behind):
            for reference in (item.reference for item in rule.inputs):
                if not isinstance(reference, FigureValue) or not reference.before:
                    continue
                figure = trade.figures.get(reference.name)
                if figure is not None and figure.resolution:
                    looked_at += 1
                    if not reference.exact:
                        alike.add(rule.name)
    assert looked_at > 1
    assert not alike


def test_a_figure_before_can_be_exact_and_one_of_a_package_cannot(trade: Trade):
    evaluation = Evaluation(job_files.read_case(JOB, trade), trade)
    name = "deceleration at the permitted pedal force"
    rounded = evaluation.constant(FigureValue(name, before=True))
    exact = evaluation.constant(FigureValue(name, before=True, exact=True))
    assert rounded <= exact < rounded + 0.1  # rounded down, and so is what it reads
    assert rounded != exact
    with pytest.raises(ValueError, match="only a figure before"):
        computed(name, exact=True)


def test_brakes_that_stay_as_they_are_stop_as_well_as_before(trade: Trade):
    evaluation = Evaluation(job_files.read_case(JOB, trade), trade)
    rule = trade.limits["the brakes stop about as well as before the change"]
    verdict = evaluation.verdict(rule, evaluation.fitted)
    assert verdict.holds
    assert 0.97 < verdict.has <= 1.0


def test_steering_that_stays_as_it_is_needs_no_more_damping(trade: Trade):
    for job in sorted(JOB.parent.glob("*.toml")):
        evaluation = Evaluation(job_files.read_case(job, trade), trade)
        enough = evaluation.case.vehicle.values["steering damping as it stands"]
        assert evaluation.figure("steering damping needed", evaluation.fitted) == enough, job.stem
