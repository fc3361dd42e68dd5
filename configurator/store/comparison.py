"""What has changed since a quotation was given, and what the same parts would cost today."""

from __future__ import annotations

import math
from dataclasses import dataclass
from decimal import Decimal
from typing import TYPE_CHECKING, Any, Literal

from configurator.evaluation.lead_times import too_late
from configurator.evaluation.packages import broken_rules, make_package
from configurator.model.parts import NOTHING
from configurator.search.optimum.verification import met_by, permitted
from configurator.store.snapshot import attributes, given, made_with, rules, workshop
from configurator.wording.plain_data import job_record, package_record
from configurator.wording.quantities import money_record

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from configurator.evaluation.evaluator import Evaluation, Option
    from configurator.evaluation.packages import Package
    from configurator.loading.plugin_files import FoundPlugin

Kind = Literal[
    "program",
    "plugin",
    "catalog",
    "withdrawn",
    "part",
    "price",
    "vehicle and use",
    "workshop",
    "rule",
    "figure",
    "goal",
    "work",
    "caution",
    "total",
]
# Numbers closer than this share are the same: two machines may differ in the last bit.
_SAME = 1e-9


@dataclass(frozen=True, slots=True)
class Change:
    """One thing that is no longer as it was.

    Parameters
    ----------
    kind
        Of what.
    subject
        What has changed: a part with its position, a rule, a figure.
    before, after
        As plain data; None where it was not there, or is not there any more.
    unit
        Of numbers.
    """

    kind: Kind
    subject: str
    before: Any
    after: Any
    unit: str = ""


@dataclass(frozen=True, slots=True)
class QuotationComparison:
    """A quotation held against today's catalogs, rules and prices.

    Parameters
    ----------
    changes
        What has changed.
    same_parts
        The same parts at today's prices; None where one of them is not there any more.
    stands_against
        Why the same parts are no answer to the job today: rules they break, goals they miss, what
        the job rules out. Empty where they still are, or were not all there to be asked.
    not_compared
        What could not be compared, and why.
    """

    changes: tuple[Change, ...]
    same_parts: Package | None
    stands_against: tuple[str, ...]
    not_compared: tuple[str, ...] = ()


def compare(
    kept: Mapping[str, Any], evaluation: Evaluation, plugins: Sequence[FoundPlugin]
) -> QuotationComparison:
    """Hold a quotation against today's catalogs, rules and prices.

    Parameters
    ----------
    kept
        From `configurator.store.snapshot.snapshot`.
    evaluation
        Of the kept job, with what its catalogs, vehicle and workshop say today.
    plugins
        Those in use today.
    """
    choice, missing = _same_choice(kept, evaluation)
    listed = list(_around(kept, evaluation, plugins))
    listed += missing
    listed += _parts(kept, evaluation, choice)
    if missing:
        why = "figures, goals, work, cautions: not all parts are there to work them out"
        return QuotationComparison(tuple(listed), None, (), (why,))
    package = make_package(evaluation, choice)
    listed += _outcome(kept, evaluation, package)
    return QuotationComparison(tuple(listed), package, tuple(_against(evaluation, package)))


def _same_choice(
    kept: Mapping[str, Any], evaluation: Evaluation
) -> tuple[dict[str, Option], list[Change]]:
    """Find the parts of a quotation in today's catalogs; say which are not there."""
    choice: dict[str, Option] = {}
    missing = []
    package = kept["package"]
    for position, key in package["parts"].items():
        if position not in evaluation.families:
            missing.append(Change("withdrawn", position, key, None))
            continue
        options = {option.key: option for option in evaluation.options(position)}
        option = options.get(NOTHING if key is None else key)
        if option is None:
            title = package["details"][position]["title"]
            missing.append(Change("withdrawn", f"{position}, {title}", key, None))
        else:
            choice[position] = option
    for position, fitted in evaluation.fitted.items():
        if position not in package["parts"]:  # nobody knew of it then: it stays as it is
            choice[position] = fitted
    return choice, missing


def _against(evaluation: Evaluation, package: Package) -> Iterator[str]:
    job, choice = evaluation.case.job, package.choice
    for rule in broken_rules(evaluation, choice):
        yield f"breaks a rule: {rule.name}"
    for goal in job.goals:
        if not met_by(evaluation, goal, choice):
            yield f"misses a goal: {goal.figure}"
    for option in choice.values():
        if not permitted(job, option):
            late = too_late(job, option)
            yield f"{'there too late' if late else 'ruled out by the job'}: {option.position}"
    if job.budget is not None and package.price > job.budget:
        yield "over the budget"


# -- one thing after the other ------------------------------------------------------------------


def _around(
    kept: Mapping[str, Any], evaluation: Evaluation, plugins: Sequence[FoundPlugin]
) -> Iterator[Change]:
    then, now = kept["made_with"], made_with(plugins)
    if then["program"] != now["program"]:
        yield Change("program", "Fitwright", then["program"], now["program"])
    before, after = ({item["name"]: item for item in made["plugins"]} for made in (then, now))
    for name, key, other in _both(before, after):
        if key is None or other is None or key["sha256"] != other["sha256"]:
            yield Change("plugin", name, _edition(key), _edition(other))
    before, after = (
        {item["catalog"]: item["price_date"] for item in job["catalogs"]}
        for job in (kept["job"], job_record(evaluation))
    )
    yield from _changes("catalog", before, after, "{}, date of its prices")
    yield from _quantities("vehicle and use", kept["given"], given(evaluation))
    before, after = dict(kept["workshop"]), workshop(evaluation)
    yield from _changes("workshop", before.pop("consumables"), after.pop("consumables"))
    yield from _changes("workshop", before, after)
    for name, key, other in _both(kept["rules"], rules(evaluation)):
        if key is None or other is None:
            yield Change("rule", name, key and "in use", other and "in use")
        else:
            yield from _changes("rule", key, other, f"{name}, {{}}")


def _edition(plugin: Mapping[str, Any] | None) -> str | None:
    if plugin is None:
        return None
    return f"{plugin['version'] or 'no version'} (sha256 {(plugin['sha256'] or 'unknown')[:12]})"


def _parts(
    kept: Mapping[str, Any], evaluation: Evaluation, choice: Mapping[str, Option]
) -> Iterator[Change]:
    currency = evaluation.case.job.currency
    for position, option in choice.items():
        then = kept["package"]["details"].get(position)
        if then is None:
            continue
        subject = f"{position}, {then['title']}"
        price = money_record(option.price, currency)
        if not _same_amount(then["price"], price):
            yield Change("price", subject, then["price"], price)
        now = {
            "title": option.part.title,
            "pieces": option.pieces,
            "maker": option.part.maker,
            "lead_time_days": option.part.lead_time,
        }
        before = {name: then[name] for name in now}
        yield from _changes("part", before, now, f"{subject}: {{}}")
        yield from _quantities(
            "part",
            kept["attributes"].get(position, {}),
            attributes(evaluation, option),
            f"{subject}: {{}}",
        )


def _outcome(kept: Mapping[str, Any], evaluation: Evaluation, package: Package) -> Iterator[Change]:
    then = kept["package"]
    now = package_record(evaluation, evaluation.case.job, package)
    yield from _quantities("figure", then["figures"], now["figures"])
    before, after = (
        {item["figure"]: "met" if item["met"] else "missed" for item in record["goals"]}
        for record in (then, now)
    )
    yield from _changes("goal", before, after)
    before, after = (
        {item["name"]: item["price"] for item in record["work"]["operations"]}
        for record in (then, now)
    )
    yield from _changes("work", before, after)
    before, after = ({text: text for text in record["cautions"]} for record in (then, now))
    for _, key, other in _both(before, after):
        if key is None or other is None:
            yield Change("caution", (key or other or "").partition(":")[0], key, other)
    if not _same_amount(then["price"], now["price"]):
        yield Change("total", "parts and work together", then["price"], now["price"])


def _same_amount(record: Any, other: Any) -> bool:
    """Whether two amounts are the same money, written with however many decimals."""
    if record is None or other is None or record["currency"] != other["currency"]:
        return bool(record == other)
    return Decimal(record["amount"]) == Decimal(other["amount"])


def _both(
    before: Mapping[str, Any], after: Mapping[str, Any]
) -> Iterator[tuple[str, Any | None, Any | None]]:
    for name in dict.fromkeys([*before, *after]):
        yield name, before.get(name), after.get(name)


def _changes(
    kind: Kind, before: Mapping[str, Any], after: Mapping[str, Any], subject: str = "{}"
) -> Iterator[Change]:
    for name, key, other in _both(before, after):
        if key != other:
            yield Change(kind, subject.replace("{}", name), key, other)


def _quantities(
    kind: Kind, before: Mapping[str, Any], after: Mapping[str, Any], subject: str = "{}"
) -> Iterator[Change]:
    for name, key, other in _both(before, after):
        first, second = (key or {}).get("value"), (other or {}).get("value")
        units = {(it or {}).get("unit") for it in (key, other) if it is not None}
        if len(units) > 1:  # a rule shows its number in another unit: not to be held side by side
            yield Change(kind, subject.replace("{}", name), key, other)
        elif not _alike(first, second):
            unit = next(iter(units), "") or ""
            yield Change(kind, subject.replace("{}", name), first, second, unit)


def _alike(item: Any, other: Any) -> bool:
    numbers = [isinstance(it, int | float) and not isinstance(it, bool) for it in (item, other)]
    if all(numbers):
        return math.isclose(item, other, rel_tol=_SAME, abs_tol=1e-12)
    return bool(item == other)
