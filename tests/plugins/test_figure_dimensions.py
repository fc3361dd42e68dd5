"""Every figure, limit and total, called with quantities, has the dimension it declares."""

from __future__ import annotations

from contextlib import contextmanager
from dataclasses import replace
from functools import cache

import pytest

from configurator.core import paths, units
from configurator.evaluation.evaluator import Evaluation
from configurator.files import job_files
from configurator.formulas import tyre_sizes
from configurator.model.parts import Missing, attributes_of
from configurator.model.references import (
    ConditionValue,
    EachValue,
    FigureValue,
    FittedValue,
    PartValue,
    PracticeValue,
    VehicleValue,
)
from configurator.model.rules import Total
from tests import bundled

TRADE = bundled.trade()
NUMBERS = [*TRADE.figures.values(), *TRADE.limits.values(), *TRADE.totals.values()]
JOBS = sorted((paths.catalogs() / "demo" / "jobs").glob("*.toml"))


@pytest.fixture(scope="module")
def vehicles():
    cases = [job_files.read_case(path, TRADE) for path in JOBS]
    # One pulls a trailer and carries on its roof, so that rules about them are asked.
    asked = {"trailer": 700.0, "nose weight": 80.0, "roof load": 40.0}
    conditions = {**cases[0].job.conditions, **asked}
    cases[0] = replace(cases[0], job=replace(cases[0].job, conditions=conditions))
    return [Evaluation(case, TRADE) for case in cases]


def unit_of(reference, evaluation):
    """Unit of a number that is read, None for what is not a number."""
    if isinstance(reference, PartValue | FittedValue):
        attributes = attributes_of(evaluation.families[reference.position])
        attribute = next((a for a in attributes if a.name == reference.attribute), None)
        return attribute.unit if attribute is not None and attribute.kind == "number" else None
    if isinstance(reference, FigureValue):
        return evaluation.definition(reference.name).unit
    if isinstance(reference, EachValue):
        return {"mass": "kg", "load index pressure": "bar"}.get(reference.attribute)
    for kind, table in (
        (VehicleValue, TRADE.measures),
        (ConditionValue, TRADE.conditions),
        (PracticeValue, TRADE.practices),
    ):
        if isinstance(reference, kind):
            declared = table[reference.name]
            return declared.unit if getattr(declared, "kind", "number") == "number" else None
    raise TypeError(reference)


@cache
def in_si(unit):
    return units.registry.Quantity(1.0, units.unit(unit)).to_base_units().units


def si_quantity(value, unit):
    return units.registry.Quantity(float(value), in_si(unit))


def arguments(rule, evaluation, choice, position=None):
    """Inputs of a rule as quantities; None if one is missing that the rule must have."""
    result = {}
    for rule_input in rule.inputs:
        reference = rule_input.reference
        if isinstance(reference, EachValue):
            if reference.attribute == "pieces":
                value = choice[position].pieces
            elif reference.attribute in {"place", "sprung", "position"}:
                place = next(
                    p for p in evaluation.families[position].positions if p.name == position
                )
                value = (
                    position
                    if reference.attribute == "position"
                    else getattr(place, reference.attribute)
                )
            else:
                value = evaluation.attribute(choice[position], reference.attribute)
        else:
            value = evaluation.value(reference, choice)
        if isinstance(value, Missing):
            if not rule_input.takes_missing:
                return None
            result[rule_input.parameter] = None
            continue
        unit = unit_of(reference, evaluation)
        plain = unit is None or isinstance(value, bool | str | frozenset)
        result[rule_input.parameter] = value if plain else si_quantity(value, unit)
    return result


# No demo vehicle hangs its rear differential on the body.
NOT_IN_THE_DEMO = {
    "the rear half-shaft joints take the lift",
    "the rear half-shaft joints turn freely at full droop",
    "rear joint lift room",
}
SHOCKS = ("front shocks", "rear shocks")


def _open_length(option):
    return option.part.values["open length"]


@contextmanager
def tables_with_units(monkeypatch):
    """Tables that are looked up by a symbol hold plain SI numbers: give them their units here."""
    with monkeypatch.context() as patched:
        for name, unit in (("rated_speed", "m/s"), ("capacity", "kg")):
            plain = getattr(tyre_sizes, name)

            def look_up(symbol, plain=plain, unit=unit):
                return units.registry.Quantity(plain(symbol), unit)

            patched.setattr(tyre_sizes, name, look_up)
        yield


@pytest.mark.parametrize("rule", NUMBERS, ids=lambda rule: rule.name)
def test_declared_dimension(rule, vehicles, monkeypatch):
    tried = 0
    for evaluation in vehicles:
        packages = [evaluation.fitted]
        # Optional positions filled too, so that rules about them are asked.
        packages.append({p: evaluation.options(p)[-1] for p in evaluation.families})
        longest = {p: max(evaluation.options(p), key=_open_length) for p in SHOCKS}
        packages.append({**evaluation.fitted, **longest})
        carriers = evaluation.options("spare carrier")
        on_roof = [c for c in carriers if c.part.values.get("on the roof") is True]
        packages += [{**evaluation.fitted, "spare carrier": carrier} for carrier in on_roof]
        for choice in packages:
            places = list(evaluation.families) if isinstance(rule, Total) else [None]
            for place in places:
                given = arguments(rule, evaluation, choice, place)
                if given is None:
                    continue
                with tables_with_units(monkeypatch):
                    function = rule.function(**given)
                if function is None or isinstance(function, Missing):
                    continue
                tried += 1
                if not isinstance(function, units.registry.Quantity):
                    # A plain number has no dimension: true of ratios, and of nought.
                    assert function == 0 or units.unit(rule.unit).dimensionless, rule.unit
                    continue
                assert function.dimensionality == units.unit(rule.unit).dimensionality
    assert bool(tried) is (rule.name not in NOT_IN_THE_DEMO)
