"""Write a job as the text of its file."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from configurator.core import units
from configurator.core.money import Money

if TYPE_CHECKING:
    from collections.abc import Iterable

    from configurator.model.jobs import Job
    from configurator.model.knowledge import Trade
    from configurator.model.parts import Value
    from configurator.model.stationery import Customer

DEFAULT_CURRENCY = "EUR"


def write_job(job: Job, trade: Trade) -> str:
    """Write a job as a TOML text that reads back to an equal job.

    Parameters
    ----------
    job
        With values as they are read: normalised SI.
    trade
        Knows the units in which values are written.

    Raises
    ------
    KeyError
        If the job names something that the trade does not have.
    """
    lines = [
        f"title = {quoted(job.title)}",
        f"vehicle = {quoted(job.vehicle)}",
        f"catalogs = {_listed(job.catalogs)}",
    ]
    if job.budget is not None:
        lines.append(f"budget = {quoted(str(Money(job.budget, job.currency)))}")
    elif job.currency != DEFAULT_CURRENCY:
        lines.append(f"currency = {quoted(job.currency)}")
    if job.parts_within is not None:
        lines.append(f'parts_within = "{job.parts_within} days"')
    if job.discount:
        lines.append(f"discount = {_written(job.discount, '%')}")
    if not job.sure:
        lines.append("sure = false")
    if job.vehicles != 1:
        lines.append(f"vehicles = {job.vehicles}")
    if job.workshop is not None:
        lines.append(f"workshop = {quoted(job.workshop)}")
    if job.local_rules is not None:
        lines.append(f'"local rules" = {quoted(job.local_rules)}')
    if job.conditions:
        lines += ["", "[conditions]"]
        lines += [
            f"{_key(name)} = {_written(value, trade.conditions[name].unit)}"
            for name, value in job.conditions.items()
        ]
    for goal in job.goals:
        figure = trade.figures.get(goal.figure) or trade.totals[goal.figure]
        lines += ["", f"[goals.{_key(goal.figure)}]"]
        if goal.at_least is not None:
            lines.append(f"at_least = {_written(goal.at_least, goal.written_in or figure.unit)}")
        if goal.at_most is not None:
            lines.append(f"at_most = {_written(goal.at_most, goal.written_in or figure.unit)}")
        if goal.as_possible is not None:
            lines.append(f"as_possible = {quoted(goal.as_possible)}")
        if goal.sure:
            lines.append("sure = true")
    if job.fixed:
        lines += ["", "[fixed]"]
        lines += [f"{_key(name)} = {quoted(key)}" for name, key in job.fixed.items()]
    if job.keep:
        lines += ["", "[keep]", f"positions = {_listed(job.keep)}"]
    if job.excluded:
        lines += ["", "[exclude]", f"parts = {_listed(job.excluded)}"]
    if job.own:
        lines += ["", "[own]", f"parts = {_listed(job.own)}"]
    if job.customer is not None:
        lines += ["", "[customer]", *_customer_lines(job.customer)]
    if job.measured:
        lines += ["", "[measured]"]
        lines += [
            f"{_key(name)} = {_written(value, trade.measures[name].unit)}"
            for name, value in job.measured.items()
        ]
    for heading, entries in (("tolerances", job.tolerances), ("lifted", job.lifted)):
        if entries:
            lines += ["", f"[{heading}]"]
            lines += [f"{_key(name)} = {quoted(written)}" for name, written in entries.items()]
    if job.prices:
        lines += ["", "[prices]"]
        lines += [
            f"{_key(key)} = {quoted(str(Money(minor, job.currency)))}"
            for key, minor in job.prices.items()
        ]
    return "\n".join(lines) + "\n"


def _customer_lines(customer: Customer) -> list[str]:
    written = {
        "name": customer.name,
        "reference": customer.reference,
        "registration": customer.registration,
        "vin": customer.vin,
    }
    lines = [f"{key} = {quoted(text)}" for key, text in written.items() if text]
    if customer.address:
        lines.append(f"address = {_listed(customer.address)}")
    if customer.mileage is not None:
        lines.append(f"mileage = {_written(customer.mileage, 'km')}")
    return lines


def _written(value: Value, unit: str) -> str:
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, frozenset):
        return _listed(sorted(value))
    if isinstance(value, float):
        return quoted(units.write(value, unit))
    return str(value) if isinstance(value, int) else quoted(str(value))


def _listed(texts: Iterable[str]) -> str:
    return f"[{', '.join(quoted(text) for text in texts)}]"


def _key(name: str) -> str:
    return name if re.fullmatch(r"[A-Za-z0-9_-]+", name) else quoted(name)


def quoted(text: str) -> str:
    """Write a basic string of TOML 1.0.

    Examples
    --------
    >>> print(quoted('31" tyre') == chr(34) + "31" + chr(92) + chr(34) + " tyre" + chr(34))
    True
    """
    escaped = text.replace("\\", "\\\\").replace('"', '\\"')
    escaped = re.sub("[\x00-\x1f\x7f]", lambda sign: f"\\u{ord(sign[0]):04x}", escaped)
    return f'"{escaped}"'
