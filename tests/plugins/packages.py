"""Packages of the demo's vehicles and parts, with what a test wants to have otherwise."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

from configurator.core.paths import catalogs
from configurator.core.units import parse
from configurator.evaluation.evaluator import Evaluation
from configurator.evaluation.operations import operations_of
from configurator.evaluation.packages import broken_rules
from configurator.files.catalog_files import read_catalog
from configurator.files.vehicle_files import read_vehicle
from configurator.model.jobs import Case, Job
from configurator.model.parts import NOTHING, attributes_of
from tests import bundled

TRADE = bundled.trade()
DEMO = catalogs() / "demo"


@cache
def _parts():
    return read_catalog(DEMO, TRADE).parts


def package(vehicle, parts=None, conditions=None, measures=None, fitted=None):
    """Evaluate a demo vehicle with some parts: the evaluation, and the choice.

    Parameters
    ----------
    vehicle
        Key of a demo vehicle.
    parts
        Position → part number of a demo list, or that of an empty position.
    conditions, measures
        Name → value in SI.
    fitted
        Position → attribute of what is fitted there → value as it is written in a file; None where
        nothing is fitted there.
    """
    there = read_vehicle(DEMO, vehicle, TRADE)
    parts_there = dict(there.fitted)
    for position, values in (fitted or {}).items():
        part = parts_there.pop(position)
        if values is not None:
            parts_there[position] = _otherwise(part, values)
    there = replace(there, values={**there.values, **(measures or {})}, fitted=parts_there)
    job = Job("package", there.key, ("demo",), conditions=conditions or {})
    evaluation = Evaluation(Case(job, there, _parts()), TRADE)
    choice = dict(evaluation.fitted)
    for position, key in (parts or {}).items():
        wanted = key if key == NOTHING else f"demo/{key}"
        (choice[position],) = (o for o in evaluation.options(position) if o.key == wanted)
    return evaluation, choice


def _otherwise(part, values):
    units = {
        attribute.name: attribute.unit for attribute in attributes_of(TRADE.families[part.family])
    }
    changed = {name: parse(written, units[name]) for name, written in values.items()}
    return replace(part, values={**part.values, **changed})


def refusals(evaluation, choice):
    """Names of the rules that a package breaks."""
    return [rule.name for rule in broken_rules(evaluation, choice)]


def has(evaluation, choice, rule):
    """Return what a package has of a limit's or total's quantity."""
    known = TRADE.limits.get(rule) or TRADE.totals[rule]
    return evaluation.verdict(known, choice).has


def work(evaluation, choice):
    """Names of the operations that a package asks for."""
    return {operation.name for operation in operations_of(evaluation, choice)}
