"""Say what was found in a catalog, in words and as data."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from configurator.core import money
from configurator.wording.plain_data import problem_record
from configurator.wording.quantities import counted

if TYPE_CHECKING:
    from configurator.cli.terminal import Terminal
    from configurator.files.catalog_check import Examined
    from configurator.model.knowledge import Trade

_MOST_NAMED = 4  # columns


def examined_record(name: str, found: Examined) -> dict[str, Any]:
    """Return everything that was found; prices as text, in the catalog's currency."""
    return {
        "catalog": name,
        "sound": not found.errors,
        "errors": [problem_record(one) for one in found.errors],
        "warnings": [problem_record(one) for one in found.warnings],
        "parts": found.counts,
        "currency": found.currency,
        "statistics": {
            one.family: {
                "parts": one.parts,
                "positions": one.positions,
                "prices": dict(
                    zip(
                        ("lowest", "middle", "highest"),
                        (money.amount(price, found.currency) for price in one.prices or ()),
                        strict=False,
                    )
                ),
                "filled": one.filled,
            }
            for one in found.statistics
        },
    }


def say_examined(writer: Terminal, name: str, found: Examined, trade: Trade) -> None:
    """Say whether a catalog can be used, and what is in it."""
    verdict = (
        "sound" if not found.errors else f"not to be used: {counted(len(found.errors), 'error')}"
    )
    writer.heading(f"{name}: {verdict}, {counted(len(found.warnings), 'warning')}")
    rows = []
    for one in found.statistics:
        lowest, _, highest = (money.amount(n, found.currency) for n in one.prices or (0, 0, 0))
        part_filled = [f"{k} ({n})" for k, n in one.filled.items() if n < one.parts]
        more = len(part_filled) - _MOST_NAMED
        named = ", ".join(part_filled[:_MOST_NAMED]) + (f" and {more} more" if more > 0 else "")
        rows.append(
            (
                trade.families[one.family].title,
                f"{one.family}.csv",
                str(one.parts),
                f"{lowest} to {highest}",
                named or "-",
            )
        )
    prices = f"prices [{found.currency}]" if found.currency else "prices"
    headings = ("family", "list", "sound parts", prices, "not filled in every row (rows filled)")
    writer.table(headings, rows, right={2})
    places = [
        (trade.families[one.family].title, position, str(number))
        for one in found.statistics
        if len(set(one.positions.values())) > 1
        for position, number in one.positions.items()
    ]
    if places:
        writer.heading("Lists with parts that do not go everywhere")
        writer.table(("family", "position", "parts that go there"), places, right={2})
