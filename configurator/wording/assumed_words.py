"""Say what was assumed of a vehicle, and what comes of it where the measure usually lies."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from configurator.wording.quantities import (
    counted,
    money_record,
    money_words,
    plain,
    unit_in,
    words,
)

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from configurator.evaluation.assumed import AssumedMeasure, AtBound
    from configurator.model.parts import Value
    from configurator.wording.quantities import System

NAMED = 3
NOT_WORKED_OUT = (
    "What the cheapest package would be at these bounds was not worked out; "
    "fitwright find --assumed does it."
)


def assumed_words(
    assumed: Sequence[AssumedMeasure],
    currency: str,
    system: System | None = None,
    prices: Mapping[tuple[str, Value], int | None] | None = None,
) -> list[str]:
    """Say what was assumed, one sentence or two for each measure.

    Parameters
    ----------
    assumed
        From `configurator.evaluation.assumed.assumed_of`.
    currency, system
        Of prices and figures.
    prices
        Measure and bound → price of the cheapest package there, where that was worked out.
    """
    lines = [_said(item, currency, system, prices or {}) for item in assumed]
    bounded = any(item.bounds for item in assumed)
    return [*lines, NOT_WORKED_OUT] if bounded and prices is None else lines


def _said(
    item: AssumedMeasure,
    currency: str,
    system: System | None,
    prices: Mapping[tuple[str, Value], int | None],
) -> str:
    measure = item.measure
    readers = [*item.rules[:NAMED], *(f"the goal {figure}" for figure in item.figures)]
    more = f" and {len(item.rules) - NAMED} more" if len(item.rules) > NAMED else ""
    text = (
        f"{measure.name}: {words(item.value, measure.unit, system)} is assumed, nobody measured it "
        f"({measure.how}). Read by {', '.join(readers)}{more}."
    )
    if not item.bounds:
        return f"{text} Between which values it usually lies, nobody has declared."
    for bound in item.bounds:
        where = words(bound.value, measure.unit, system)
        text += f" At {where} {_comes_to(bound)}"
        key = (measure.name, bound.value)
        if key in prices:
            price = prices[key]
            cheapest = "nothing fits" if price is None else f"{money_words(price, currency)}"
            text += f"; the cheapest package there: {cheapest}"
        text += "."
    return text


def _comes_to(bound: AtBound) -> str:
    if bound.holds:
        return "this package still holds"
    broken = [f"breaks: {', '.join(bound.breaks)}"] if bound.breaks else []
    missed = [f"misses the goal: {', '.join(bound.misses)}"] if bound.misses else []
    return f"this package {'; and '.join([*broken, *missed])}"


def assumed_headline(assumed: Sequence[AssumedMeasure]) -> str:
    """Say how much was assumed, and whether it matters to the package; empty where nothing was.

    Examples
    --------
    >>> assumed_headline([])
    ''
    """
    if not assumed:
        return ""
    tender = [item for item in assumed if not all(bound.holds for bound in item.bounds)]
    matters = (
        f"; the package does not hold wherever {', '.join(item.measure.name for item in tender)} "
        "usually lies"
        if tender
        else ""
    )
    return f"{counted(len(assumed), 'measure')} assumed{matters}."


def assumed_record(
    assumed: Sequence[AssumedMeasure],
    currency: str,
    system: System | None = None,
    prices: Mapping[tuple[str, Value], int | None] | None = None,
) -> list[dict[str, Any]]:
    """Return what was assumed; ``cheapest`` is missing where it was not worked out."""
    records = []
    for item in assumed:
        measure = item.measure
        bounds = []
        for bound in item.bounds:
            record = {
                "value": plain(bound.value, measure.unit, system),
                "package_holds": bound.holds,
                "breaks": list(bound.breaks),
                "misses": list(bound.misses),
            }
            key = (measure.name, bound.value)
            if prices is not None and key in prices:
                record["cheapest"] = money_record(prices[key], currency)
            bounds.append(record)
        records.append(
            {
                "measure": measure.name,
                "value": plain(item.value, measure.unit, system),
                "unit": unit_in(measure.unit, system),
                "source": "default",
                "how": measure.how,
                "rules": list(item.rules),
                "goals": list(item.figures),
                "usual": bounds,
            }
        )
    return records
