"""When a package is ready, in words and as plain data."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from configurator.wording.quantities import counted, money_record, money_words

if TYPE_CHECKING:
    import datetime
    from collections.abc import Callable, Sequence

    from configurator.questions.ready_by import ReadyBy

HEADINGS = ("ready on", "price", "parts in within", "work begins", "last part")
BY = "Ready by {day}: the cheapest package costs {price} and is ready on {ready}."
NOT_BY = "Nothing is ready by {day}; the earliest is {ready}, for {price}."
NOTHING = "Nothing fits, however long you wait: ask fitwright why."
EARLIER = "Ready on {ready} instead, it costs {more} more."
CALENDAR = (
    "Parts travel every day; work is done from Monday to Friday, {hours} hours a day, on {lifts}."
)
OF_THESE = (
    "These are the cheapest packages for each delivery time; a dearer one with less work may be "
    "ready sooner still."
)
UNKNOWN = "No list gives a lead time for {parts}: with them it may be later."


def date_rows(
    dates: Sequence[ReadyBy], currency: str, price_as: Callable[[int, str], str] = money_words
) -> list[list[str]]:
    """Return a row for each day on which something is ready."""
    return [
        [
            each.schedule.finished.isoformat(),
            price_as(each.package.price, currency),
            counted(each.parts_within, "day"),
            each.schedule.begun.isoformat(),
            each.schedule.last_part or "-",
        ]
        for each in dates
    ]


def ready_lines(
    dates: Sequence[ReadyBy],
    by: datetime.date | None,
    lifts: int,
    hours: float,
    currency: str,
    price_as: Callable[[int, str], str] = money_words,
) -> list[str]:
    """Say what is ready by a day, what an earlier one costs, and what is assumed of the work."""
    if not dates:
        return [NOTHING]
    lines = []
    within = [each for each in dates if by is None or each.schedule.finished <= by]
    if by is not None and not within:
        first = dates[0]
        price = price_as(first.package.price, currency)
        ready = first.schedule.finished.isoformat()
        lines.append(NOT_BY.format(day=by.isoformat(), ready=ready, price=price))
    elif by is not None:
        chosen = within[-1]
        price = price_as(chosen.package.price, currency)
        ready = chosen.schedule.finished.isoformat()
        lines.append(BY.format(day=by.isoformat(), price=price, ready=ready))
        for sooner in reversed(within[:-1]):
            more = price_as(sooner.package.price - chosen.package.price, currency)
            lines.append(EARLIER.format(ready=sooner.schedule.finished.isoformat(), more=more))
    lines.append(CALENDAR.format(hours=f"{hours:g}", lifts=counted(lifts, "lift")))
    lines.append(OF_THESE)
    unknown = sorted({title for each in dates for title in each.schedule.unknown})
    if unknown:
        lines.append(UNKNOWN.format(parts=", ".join(unknown)))
    return lines


def ready_record(dates: Sequence[ReadyBy], by: datetime.date | None, currency: str) -> Any:
    """Return the same as plain data."""
    return {
        "by": None if by is None else by.isoformat(),
        "dates": [
            {
                "ready": each.schedule.finished.isoformat(),
                "begun": each.schedule.begun.isoformat(),
                "price": money_record(each.package.price, currency),
                "parts_within_days": each.parts_within,
                "proven": each.proven,
                "in_time": by is None or each.schedule.finished <= by,
                "parts": {p: o.key for p, o in each.package.choice.items() if o.changed},
            }
            for each in dates
        ],
    }
