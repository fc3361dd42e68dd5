"""What has changed since a quotation was given, in words and as data."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from configurator.core import units
from configurator.wording.quantities import money_record, words

if TYPE_CHECKING:
    from configurator.evaluation.packages import Package
    from configurator.store.access import KeptQuotation
    from configurator.store.comparison import Change, QuotationComparison
    from configurator.wording.plain_data import Record
    from configurator.wording.quantities import System


def change_words(change: Change, system: System | None = None) -> str:
    """Say a change in one line.

    Examples
    --------
    >>> from configurator.store.comparison import Change
    >>> change_words(Change("figure", "front track", 1480.0, 1500.0, "mm"))
    'front track: was 1,480 mm, is 1,500 mm'
    >>> change_words(Change("withdrawn", "tyres, Mud 31", "shop/T-31", None))
    'tyres, Mud 31: shop/T-31 is no longer available'
    """
    before, after = (
        value_words(item, change.unit, system) for item in (change.before, change.after)
    )
    if change.kind == "withdrawn":
        return f"{change.subject}: {before} is no longer available"
    if change.kind == "caution":
        return f"new: {after}" if change.before is None else f"no longer said: {before}"
    if change.before is None:
        return f"{change.subject}: new, is {after}"
    if change.after is None:
        return f"{change.subject}: was {before}, is no longer there"
    return f"{change.subject}: was {before}, is {after}"


def value_words(value: Any, unit: str, system: System | None = None) -> str:
    """Say a value as it stands in a snapshot.

    Examples
    --------
    >>> value_words({"amount": "1212.50", "currency": "EUR"}, "")
    '1,212.50 EUR'
    >>> value_words(300.0, "mm", "imperial")
    '11.81 in'
    """
    if isinstance(value, dict):
        if set(value) == {"amount", "currency"}:
            whole, point, rest = str(value["amount"]).partition(".")
            sign = "-" if whole.startswith("-") else ""
            return f"{sign}{int(whole.lstrip('-')):,}{point}{rest} {value['currency']}"
        if set(value) == {"value", "unit"}:
            return value_words(value["value"], value["unit"], system)
        return (
            ", ".join(f"{key} {value_words(element, '')}" for key, element in value.items())
            or "none"
        )
    if isinstance(value, list):
        return ", ".join(map(str, value)) or "none"
    if isinstance(value, int | float) and not isinstance(value, bool):
        return words(units.to_si(float(value), unit), unit, system)
    return words(value, unit)


def quotation_record(kept: KeptQuotation) -> Record:
    """Return what a list says of a quotation."""
    return {
        "number": kept.number,
        "job": kept.job,
        "version": kept.version,
        "title": kept.title,
        "made_at": kept.made_at,
        "made_by": kept.made_by,
        "price": money_record(kept.price, kept.currency),
        "anew_of": kept.anew_of,
        "customer": kept.customer,
        "valid_until": kept.valid_until,
    }


def comparison_record(comparison: QuotationComparison, currency: str) -> Record:
    """Return a comparison as data."""
    same: Package | None = comparison.same_parts
    return {
        "changes": [
            {
                "kind": change.kind,
                "subject": change.subject,
                "before": change.before,
                "after": change.after,
                "unit": change.unit,
                "says": change_words(change),
            }
            for change in comparison.changes
        ],
        "same_parts_today": None if same is None else money_record(same.price, currency),
        "stands_against": list(comparison.stands_against),
        "not_compared": list(comparison.not_compared),
    }
