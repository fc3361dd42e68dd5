"""The one clock: this computer's, in its own time zone, for every day that people read.

What is saved keeps its moment in UTC; the day it is shown with, and the year in the number of a
quotation, are those of the wall clock at that moment.
"""

from __future__ import annotations

import datetime

# Days outside are slips of the keyboard: prices, rates and offers are of this time.
FIRST_YEAR, LAST_YEAR = 1990, 2099


def now() -> datetime.datetime:
    """Return this moment, in this computer's time zone."""
    return datetime.datetime.now().astimezone()


def today() -> datetime.date:
    """Return the day on the wall."""
    return now().date()


def utc(moment: datetime.datetime) -> str:
    """Write a moment as it is saved: in UTC (ISO 8601), to the second.

    Raises
    ------
    ValueError
        If it has no time zone.

    Examples
    --------
    >>> zone = datetime.timezone(datetime.timedelta(hours=2))
    >>> utc(datetime.datetime(2027, 1, 1, 0, 30, tzinfo=zone))
    '2026-12-31T22:30:00+00:00'
    """
    if moment.tzinfo is None:
        message = "a time needs a time zone"
        raise ValueError(message)
    return moment.astimezone(datetime.UTC).isoformat(timespec="seconds")


def day_of(saved: str) -> datetime.date:
    """Return the day, here, of a moment that was saved in UTC."""
    return datetime.datetime.fromisoformat(saved).astimezone().date()


def of_this_time(day: datetime.date) -> bool:
    """Whether a day can be meant.

    Examples
    --------
    >>> of_this_time(datetime.date(2026, 10, 1)), of_this_time(datetime.date(9999, 12, 31))
    (True, False)
    """
    return FIRST_YEAR <= day.year <= LAST_YEAR
