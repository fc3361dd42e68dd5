"""Say what was found in a catalog, in words and as data."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from configurator.cli import answer_templates as say
from configurator.core import money
from configurator.wording.plain_data import problem_record
from configurator.wording.quantities import counted, money_words

if TYPE_CHECKING:
    from configurator.cli.terminal import Terminal
    from configurator.files.catalog_check import Examined
    from configurator.model.knowledge import Trade

_MOST_NAMED = 4  # columns


def examined_record(name: str, examined: Examined) -> dict[str, Any]:
    """Return everything that was found; prices as text, in the catalog's currency."""
    return {
        "catalog": name,
        "sound": not examined.errors,
        "errors": [problem_record(error) for error in examined.errors],
        "warnings": [problem_record(warning) for warning in examined.warnings],
        "codes": [problem_record(code) for code in examined.codes],
        "parts": examined.counts,
        "currency": examined.currency,
        "statistics": {
            statistic.family: {
                "parts": statistic.parts,
                "positions": statistic.positions,
                "prices": dict(
                    zip(
                        ("lowest", "middle", "highest"),
                        (
                            money.amount(price, examined.currency)
                            for price in statistic.prices or ()
                        ),
                        strict=False,
                    )
                ),
                "filled": statistic.filled,
            }
            for statistic in examined.statistics
        },
    }


def say_examined(writer: Terminal, name: str, examined: Examined, trade: Trade) -> None:
    """Say whether a catalog can be used, and what is in it."""
    template = say.CATALOG_UNSOUND if examined.errors else say.CATALOG_SOUND
    errors, warnings = counted(len(examined.errors), "error"), len(examined.warnings)
    writer.heading(
        template.format(catalog=name, errors=errors, warnings=counted(warnings, "warning"))
    )
    rows = []
    for statistic in examined.statistics:
        lowest, _, highest = (
            money_words(price, examined.currency).removesuffix(f" {examined.currency}")
            for price in statistic.prices or (0, 0, 0)
        )
        part_filled = [f"{k} ({n})" for k, n in statistic.filled.items() if n < statistic.parts]
        more = len(part_filled) - _MOST_NAMED
        named = ", ".join(part_filled[:_MOST_NAMED])
        if more > 0:
            named = say.AND_MORE.format(names=named, more=more)
        rows.append(
            (
                trade.families[statistic.family].title,
                f"{statistic.family}.csv",
                str(statistic.parts),
                f"{lowest} to {highest}",
                named or "-",
            )
        )
    prices = f"prices [{examined.currency}]" if examined.currency else "prices"
    headings = ("family", "list", "sound parts", prices, "not filled in every row (rows filled)")
    writer.table(headings, rows, right={2})
    places = [
        (trade.families[item.family].title, position, str(number))
        for item in examined.statistics
        if len(set(item.positions.values())) > 1
        for position, number in item.positions.items()
    ]
    if places:
        writer.heading("Lists with parts that do not go everywhere")
        writer.table(("family", "position", "parts that go there"), places, right={2})
    if examined.codes:
        writer.heading("Codes that nothing else uses: for vehicles that this catalog does not have")
        writer.items(f"{code.where}: {code.what}" for code in examined.codes)
