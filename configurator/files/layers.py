"""Lay a shop's own prices, lead times and notes over the lists of its suppliers.

``overrides.csv`` in the shop's catalog names a supplier's part and what differs in this shop. The
list stays as the supplier sends it, so that its next edition comes through wherever the shop says
nothing. Prices in other currencies are converted here as well, by the rates of the workshop.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from configurator.core import money
from configurator.core.errors import nearest
from configurator.core.text import Report, shown
from configurator.files.overrides import COLUMNS, HIDDEN, NOTE, STOCK, Override
from configurator.files.part_columns import LEAD_TIME, PRICE
from configurator.model.parts import Part

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from configurator.core.money import Rate
    from configurator.model.jobs import CatalogInfo


@dataclass(frozen=True, slots=True)
class Layer:
    """What one catalog brings to a job: parts, and what it says of those of other catalogs."""

    info: CatalogInfo
    parts: Mapping[str, tuple[Part, ...]]
    overrides: tuple[Override, ...] = ()


@dataclass(frozen=True, slots=True)
class Stack:
    """The layers laid over each other.

    Parameters
    ----------
    parts
        Family key → its parts with all prices in one currency, hidden ones left out.
    infos
        Of the catalogs, with what was laid over each.
    hidden
        Part key → where a shop says that it does not sell it.
    """

    parts: Mapping[str, tuple[Part, ...]]
    infos: tuple[CatalogInfo, ...]
    hidden: Mapping[str, str]


def stack(
    layers: Sequence[Layer],
    currency: str,
    rates: Mapping[str, Rate],
    where: str,
    report: Report,
    own: Sequence[Override] = (),
) -> Stack:
    """Lay catalogs over each other, later ones over earlier ones.

    Parameters
    ----------
    layers
        In the order of the job.
    currency
        In which all prices are to be.
    rates
        Other currency → its rate.
    where
        What to call the place that names the catalogs.
    report
        Takes what is wrong: a currency without a rate, a change of a part that is not there.
    own
        What the job itself changes, in its own currency; lies over everything.
    """
    used = {layer.info.currency: _rate(layer, currency, rates, where, report) for layer in layers}
    keys = {layer.info.key for layer in layers}
    families = {family: None for layer in layers for family in layer.parts}
    parts: dict[str, Part] = {}
    for layer in layers:
        for item in (part for family in layer.parts.values() for part in family):
            parts[item.key] = _converted(item, used[layer.info.currency])
    changed: dict[str, Counter[str]] = {}
    by: dict[str, dict[str, None]] = {}
    hidden: dict[str, str] = {}
    sentences = [(over, used[layer.info.currency]) for layer in layers for over in layer.overrides]
    for over, rate in [*sentences, *((over, None) for over in own)]:
        catalog = over.part.partition("/")[0]
        if catalog not in keys:
            continue  # that supplier is not asked in this job
        if over.part not in parts:
            report.warn(
                over.place,
                f"changes {shown(over.part)}, which is not in the list any more",
                nearest(over.part, parts, otherwise="delete the row"),
            )
            continue
        parts[over.part], names = _laid_over(parts[over.part], over, rate)
        if over.hidden:
            hidden[over.part] = over.place
        elif over.hidden is False:  # a later shop sells what an earlier one does not
            hidden.pop(over.part, None)
        changed.setdefault(catalog, Counter()).update(names)
        by.setdefault(catalog, {})[over.place.partition(" row ")[0]] = None
    return Stack(
        {
            family: tuple(
                parts[entry.key]
                for layer in layers
                for entry in layer.parts.get(family, ())
                if entry.key not in hidden
            )
            for family in families
        },
        tuple(_remarked(layer.info, used, changed, by) for layer in layers),
        hidden,
    )


def _rate(
    layer: Layer, currency: str, rates: Mapping[str, Rate], where: str, report: Report
) -> Rate | None:
    """Find the rate for a catalog; None where there is nothing to convert."""
    own = layer.info.currency
    if own in ("", currency):
        return None
    rate = rates.get(own)
    if rate is None or rate.into != currency:
        report.error(
            where,
            f"catalog {layer.info.key!r} is in {own}, the job in {currency}",
            f'write below [rates] in workshop.toml "{own}" = {{ rate = "0.92 {currency}", '
            "date = 2026-11-01 }, with the rate and the date you use, or leave the catalog out",
        )
        return None
    return rate


def _converted(part: Part, rate: Rate | None) -> Part:
    if rate is None:
        return part
    was = money.Money(part.price, rate.of)
    origin = {**part.origins, PRICE: f"{part.place}: {was} at {rate}"}
    return replace(part, price=money.convert(part.price, rate), origins=origin)


def _laid_over(part: Part, over: Override, rate: Rate | None) -> tuple[Part, list[str]]:
    """Put what a shop says in the place of what a list says; name what was put."""
    given = {
        PRICE: over.price,
        LEAD_TIME: over.lead_time,
        NOTE: over.note or None,
        STOCK: over.stock,
    }
    origins = dict(part.origins)
    origins.update({name: over.place for name, value in given.items() if value is not None})
    price = part.price
    if over.price is not None:
        price = over.price
        if rate is not None:
            price = money.convert(price, rate)
            origins[PRICE] += f": {money.Money(over.price, rate.of)} at {rate}"
    laid = replace(
        part,
        price=price,
        lead_time=part.lead_time if over.lead_time is None else over.lead_time,
        note=over.note or part.note,
        stock=part.stock if over.stock is None else over.stock,
        origins=origins,
    )
    names = [name for name, value in given.items() if value is not None]
    return laid, [*names, HIDDEN] if over.hidden else names


def _remarked(
    info: CatalogInfo,
    used: Mapping[str, Rate | None],
    changed: Mapping[str, Counter[str]],
    by: Mapping[str, Iterable[str]],
) -> CatalogInfo:
    remarks = list(info.remarks)
    rate = used[info.currency]
    if rate is not None:
        remarks.append(
            f"converted at {rate}, each price of one piece rounded half to even to a minor unit"
        )
    counts = changed.get(info.key)
    if counts:
        text = ", ".join(f"{name} {counts[name]}" for name in COLUMNS if counts[name])
        remarks.append(f"changed by {', '.join(by[info.key])} (parts): {text}")
    return replace(info, remarks=tuple(remarks))
