"""For every rule a package that only this rule forbids: none is there for another's sake.

A rule that never stands alone is implied by others, or written so that it cannot be broken. The
cases stand in ``only_one_rule.toml``; whoever adds a rule adds a case.
"""

from __future__ import annotations

import tomllib
from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest

from configurator.core.paths import catalogs
from configurator.core.units import parse
from configurator.evaluation.evaluator import Evaluation
from configurator.evaluation.packages import broken_rules, not_checked
from configurator.files.catalog_files import read_catalog
from configurator.files.vehicle_files import read_vehicle
from configurator.model.jobs import Case, Job, Workshop
from configurator.model.knowledge import checked_rules
from configurator.model.parts import NOTHING, attributes_of
from configurator.model.rules import Limit, Total
from tests import bundled

TRADE = bundled.trade()
DEMO = catalogs() / "demo"
RULES = {rule.name: rule for rule in checked_rules(TRADE)}
WRITTEN = (Path(__file__).parent / "only_one_rule.toml").read_text(encoding="utf-8")
CASES = tomllib.loads(WRITTEN)
MAY_CHANGE = {"vehicle", "parts", "measures", "fitted", "practices", "conditions"}


@cache
def _parts():
    return read_catalog(DEMO, TRADE).parts


def _value(declared, written):
    """Read what a case writes, as its measure, attribute, practice or condition is declared."""
    kind = getattr(declared, "kind", "number")
    if kind == "number":
        return parse(written, declared.unit)
    return int(written) if kind == "whole" else written


def _values(declarations, written):
    return {name: _value(declarations[name], text) for name, text in written.items()}


def _package(case):
    vehicle = read_vehicle(DEMO, case["vehicle"], TRADE)
    measures = _values(TRADE.measures, case.get("measures", {}))
    fitted = dict(vehicle.fitted)
    for position, changes in case.get("fitted", {}).items():
        there = fitted[position]
        declared = {a.name: a for a in attributes_of(TRADE.families[there.family])}
        fitted[position] = replace(there, values={**there.values, **_values(declared, changes)})
    vehicle = replace(vehicle, values={**vehicle.values, **measures}, fitted=fitted)
    conditions = _values(TRADE.conditions, case.get("conditions", {}))
    practices = _values(TRADE.practices, case.get("practices", {}))
    job = Job("one rule", vehicle.key, ("demo",), conditions=conditions)
    workshop = Workshop(practices=practices)
    evaluation = Evaluation(Case(job, vehicle, _parts(), workshop), TRADE)
    choice = dict(evaluation.fitted)
    for position, key in case.get("parts", {}).items():
        wanted = key if key == NOTHING else f"demo/{key}"
        (choice[position],) = (o for o in evaluation.options(position) if o.key == wanted)
    return evaluation, choice


def test_every_rule_has_a_case_and_every_case_a_rule():
    missing = [name for name in RULES if name not in CASES]
    assert missing == [], "write a package into only_one_rule.toml that this rule alone forbids"
    assert [name for name in CASES if name not in RULES] == [], "no rule is called so"
    assert [name for name, case in CASES.items() if set(case) - MAY_CHANGE] == []


@pytest.mark.parametrize("name", CASES)
def test_this_rule_alone_forbids_the_package(name):
    evaluation, choice = _package(CASES[name])
    assert [rule.name for rule in broken_rules(evaluation, choice)] == [name]
    # The others hold or do not apply; none was passed over for want of a figure.
    assert [unchecked.rule for unchecked in not_checked(evaluation, choice)] == ["local rules"]
    # It is broken in earnest, not by a last digit.
    rule = RULES[name]
    if isinstance(rule, Limit | Total):
        verdict = evaluation.verdict(rule, choice)
        assert abs(verdict.has - verdict.needs) > 1e-6 * max(abs(verdict.needs), 1e-3)
