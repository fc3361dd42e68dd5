"""Say what was assumed of a vehicle, and what comes of it where the measure usually lies."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from configurator.wording import note_templates as say
from configurator.wording.quantities import money_record, plain, unit_in
from configurator.wording.style import ENGLISH, listed

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from configurator.evaluation.assumed import AssumedMeasure, AtBound
    from configurator.model.parts import Value
    from configurator.wording.quantities import System
    from configurator.wording.style import Style

NAMED = 3


def assumed_words(
    assumed: Sequence[AssumedMeasure],
    style: Style = ENGLISH,
    prices: Mapping[tuple[str, Value], int | None] | None = None,
    *,
    package: bool = True,
) -> list[str]:
    """Say what was assumed, some sentences for each measure.

    Parameters
    ----------
    assumed
        From `configurator.evaluation.assumed.assumed_of`.
    style
        Language, units and currency of the reader.
    prices
        Measure and bound → price of the cheapest package there, where that was worked out.
    package
        Whether there is a package that holds or breaks at bounds; not where nothing fits.
    """
    lines = [" ".join(_sentences(item, style, prices or {}, package)) for item in assumed]
    bounded = any(item.bounds for item in assumed)
    if not bounded or prices is not None:
        return lines
    return [*lines, style.text(say.NOT_WORKED_OUT if package else say.WHETHER_NOT_WORKED_OUT)]


def _sentences(
    item: AssumedMeasure,
    style: Style,
    prices: Mapping[tuple[str, Value], int | None],
    package: bool,
) -> list[str]:
    measure = item.measure
    sentences = [
        style.say(
            say.ASSUMED_VALUE,
            measure=style.text(measure.name),
            value=_value(item.value, measure.unit, style),
            how=style.text(measure.how),
        )
    ]
    goals = [style.say(say.GOAL_READER, figure=style.text(name)) for name in item.figures]
    readers = ", ".join([*map(style.text, item.rules[:NAMED]), *goals])
    if more := max(0, len(item.rules) - NAMED):
        sentences.append(style.say(say.READ_BY_MORE, readers=readers, more=more))
    elif readers:
        sentences.append(style.say(say.READ_BY, readers=readers))
    if not item.bounds:
        sentences.append(style.text(say.NO_USUAL_RANGE))
    for bound in item.bounds:
        if package:
            sentences.append(_at_bound(bound, measure.unit, style))
        key = (measure.name, bound.value)
        if key in prices:
            nothing, cheapest = (
                (say.NOTHING_THERE, say.CHEAPEST_THERE)
                if package
                else (say.NOTHING_WITH, say.CHEAPEST_WITH)
            )
            written = {"value": _value(bound.value, measure.unit, style)}
            price = prices[key]
            sentences.append(
                style.say(nothing, **written)
                if price is None
                else style.say(cheapest, **written, price=style.price(price))
            )
    return sentences


def _value(value: Value, unit: str, style: Style) -> str:
    """Write a value; it may be a word of the plugin that declares the measure."""
    written = style.value(value, unit)
    return style.say(say.QUOTED, word=style.text(written)) if isinstance(value, str) else written


def _at_bound(bound: AtBound, unit: str, style: Style) -> str:
    template = {
        (False, False): say.HOLDS_AT,
        (True, False): say.BREAKS_AT,
        (False, True): say.MISSES_AT,
        (True, True): say.BREAKS_AND_MISSES_AT,
    }[bool(bound.breaks), bool(bound.misses)]
    return style.say(
        template,
        value=_value(bound.value, unit, style),
        rules=listed(style, bound.breaks),
        goals=listed(style, bound.misses),
    )


def assumed_headline(assumed: Sequence[AssumedMeasure], style: Style = ENGLISH) -> str:
    """Say how much was assumed, and whether it matters to the package; empty where nothing was.

    Examples
    --------
    >>> assumed_headline([])
    ''
    """
    if not assumed:
        return ""
    tender = [item for item in assumed if not all(bound.holds for bound in item.bounds)]
    template = {
        (True, False): say.MEASURE_ASSUMED,
        (False, False): say.MEASURES_ASSUMED,
        (True, True): say.MEASURE_TENDER,
        (False, True): say.MEASURES_TENDER,
    }[len(assumed) == 1, bool(tender)]
    names = listed(style, (item.measure.name for item in tender))
    return style.say(template, number=len(assumed), names=names)


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
