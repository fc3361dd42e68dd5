"""A quotation as it was given, with everything it rests on, as plain JSON.

What is written down must be readable for years, by people too: names are the trade's own, figures
stand in the units their rules declare, money is text. A later format gets a number of its own, and
this module then reads both.
"""

from __future__ import annotations

import hashlib
from importlib.metadata import PackageNotFoundError, packages_distributions, version
from pathlib import Path
from typing import TYPE_CHECKING, Any

from configurator import __version__
from configurator.consequences.upgrade_words import forced_record
from configurator.core.errors import FitwrightError
from configurator.documents.quotation import locale_of, quotation
from configurator.files.job_text import write_job
from configurator.model.parts import attributes_of
from configurator.model.references import ConditionValue, FigureValue, PracticeValue, VehicleValue
from configurator.model.rules import Caution, Figure, Limit, Operation, Total
from configurator.store import snapshot_shape
from configurator.store.catalog_paths import absolute
from configurator.wording.plain_data import job_record, package_record
from configurator.wording.quantities import money_record, plain
from configurator.wording.sentences import NOTICE

if TYPE_CHECKING:
    import datetime
    from collections.abc import Mapping, Sequence

    from configurator.consequences.upgrade_records import Forced
    from configurator.evaluation.evaluator import Evaluation, Option
    from configurator.evaluation.packages import Package
    from configurator.loading.plugin_files import FoundPlugin
    from configurator.model.jobs import Job
    from configurator.model.knowledge import Trade
    from configurator.model.parts import Value
    from configurator.model.rules import Rule
    from configurator.wording.plain_data import Record

FORMAT = 1


def snapshot(
    evaluation: Evaluation,
    package: Package,
    plugins: Sequence[FoundPlugin],
    *,
    proven: bool,
    day: datetime.date,
    locale: str = "en_GB",
    forced: Sequence[Forced] | None = None,
    base: Path | None = None,
    valid: datetime.date | None = None,
) -> Record:
    """Write down a quotation with everything it rests on.

    Parameters
    ----------
    evaluation, package
        What is quoted.
    plugins
        Those in use.
    proven
        Whether the package is proven to be the cheapest, or the N-th, that meets the job.
    day
        Of the quotation.
    locale
        How the paper writes numbers, dates and money.
    forced
        What each changed part forces; None if that was not worked out.
    base
        Folder of the job's file; see `job_file`.
    valid
        Last day on which the prices hold; 30 days after ``day`` by default.
    """
    case = evaluation.case
    changed = {position for position, option in package.choice.items() if option.changed}
    return {
        "format": FORMAT,
        "made_with": made_with(plugins),
        "proven": proven,
        "job": {
            **job_record(evaluation),
            "currency": case.job.currency,
            "file": job_file(case.job, evaluation.trade, base),
        },
        "paper": {
            "locale": locale,
            **quotation(evaluation, package, locale=locale_of(locale), day=day, valid=valid),
        },
        "package": package_record(evaluation, case.job, package),
        "changed": [position for position in package.choice if position in changed],
        "attributes": {
            position: attributes(evaluation, option) for position, option in package.choice.items()
        },
        "given": given(evaluation),
        "workshop": workshop(evaluation),
        "rules": rules(evaluation),
        "forced": None if forced is None else forced_record(evaluation, forced, "fit"),
        "notice": NOTICE,
    }


def job_file(job: Job, trade: Trade, base: Path | None = None) -> str:
    """Write a job as a file that can be read from any folder.

    Parameters
    ----------
    job
        The job.
    trade
        Knows the units in which values are written.
    base
        Folder of the job's file: catalogs that are named by a path from there are written with the
        whole path. None for a job that names no paths.
    """
    return write_job(job if base is None else absolute(job, base), trade)


def readable(record: Mapping[str, Any], number: str) -> Mapping[str, Any]:
    """Return a snapshot, as the newest format has it.

    Raises
    ------
    FitwrightError
        If a newer Fitwright wrote it, or it is damaged.
    """
    if record.get("format") != FORMAT:
        message = (
            f"quotation {number}: kept in format {record.get('format')!r}, this Fitwright reads "
            f"format {FORMAT}; install the newest release"
        )
        raise FitwrightError(message)
    snapshot_shape.check(record, number)
    return record


def made_with(plugins: Sequence[FoundPlugin]) -> Record:
    """Return versions of the program and of the plugins.

    A file in a folder has no version: the hash of its text (SHA-256) tells whether it is the same.
    """
    return {
        "program": __version__,
        "plugins": [
            {
                "name": plugin.name,
                "origin": plugin.origin,
                "version": _version(plugin),
                "sha256": _digest(plugin),
            }
            for plugin in plugins
        ],
    }


def _version(plugin: FoundPlugin) -> str | None:
    if plugin.origin == "bundled":
        return __version__
    if plugin.origin != "installed":
        return None
    top = plugin.place.partition(":")[0].partition(".")[0].strip()
    for name in packages_distributions().get(top, []):
        try:
            return f"{name} {version(name)}"
        except PackageNotFoundError:
            continue
    return None


def _digest(plugin: FoundPlugin) -> str | None:
    file = getattr(plugin.module, "__file__", None)
    try:
        return hashlib.sha256(Path(file).read_bytes()).hexdigest() if file else None
    except OSError:
        return None


def _quantity(value: Value, unit: str) -> Record:
    return {"value": plain(value, unit), "unit": unit}


def attributes(evaluation: Evaluation, option: Option) -> Record:
    """Return what a part is said to be: its attributes."""
    family = evaluation.families[option.position]
    return {
        attribute.name: _quantity(option.part.values[attribute.name], attribute.unit)
        for attribute in attributes_of(family)
        if attribute.name in option.part.values
    }


def given(evaluation: Evaluation) -> Record:
    """Return measures of the vehicle, conditions and workshop practice, defaults included."""
    trade, constants = evaluation.trade, evaluation.constants
    declared = [
        *((str(VehicleValue(name)), measure.unit) for name, measure in trade.measures.items()),
        *(
            (str(ConditionValue(name)), condition.unit)
            for name, condition in trade.conditions.items()
        ),
        *((str(PracticeValue(name)), practice.unit) for name, practice in trade.practices.items()),
    ]
    return {name: _quantity(constants[name], unit) for name, unit in declared if name in constants}


def workshop(evaluation: Evaluation) -> Record:
    """Return what the workshop charges."""
    settings, currency = evaluation.case.workshop, evaluation.case.job.currency
    return {
        "title": settings.title,
        "hourly rate": money_record(settings.rate, currency),
        "tax": settings.tax,
        "consumables": {
            name: money_record(price, currency) for name, price in settings.consumables.items()
        },
    }


def rules(evaluation: Evaluation) -> Record:
    """Return all rules in use, by kind and name: what they mean, why, from where."""
    trade = evaluation.trade
    every: list[Rule] = [
        *trade.figures.values(),
        *trade.totals.values(),
        *trade.limits.values(),
        *trade.fits.values(),
        *trade.operations.values(),
        *trade.cautions.values(),
    ]
    return {f"{type(rule).__name__.lower()}: {rule.name}": _rule(rule) for rule in every}


def _amount(used: float | FigureValue) -> float | str:
    return used if isinstance(used, int | float) else str(used)


def _rule(rule: Rule) -> Record:
    record: Record = {"plugin": rule.plugin}
    if isinstance(rule, Operation):
        return {
            **record,
            "hours": rule.hours,
            "uses": {name: _amount(used) for name, used in rule.uses.items()},
        }
    if isinstance(rule, Caution):
        return {**record, "says": rule.says, "inspect": rule.inspect, "approve": rule.approve}
    record["source"] = rule.source
    if isinstance(rule, Figure | Total):
        record["meaning"] = rule.meaning
    if isinstance(rule, Figure):
        return {**record, "unit": rule.unit, "resolution": rule.resolution}
    record["because"] = rule.because
    if isinstance(rule, Limit | Total):
        record["unit"] = rule.unit
        for name in ("at_least", "at_most"):
            bound = getattr(rule, name)
            record[name] = bound if bound is None or isinstance(bound, float | int) else str(bound)
    return record
