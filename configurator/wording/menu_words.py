"""A menu in words and as plain data."""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING, Any

from configurator.wording.quantities import counted, money_words

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

PRICING = "pricing the menu"
PRICED = "{done} of {of} jobs"
WRITTEN = "{jobs} in {table}."
OUTCOME = "{count} {outcome}"
PROBLEM = "job {job}: {problem}"
# Jobs that failed are named up to here; the table has them all.
MOST_NAMED = 5
NOT_LABELS = ("job", "outcome", "price", "currency", "parts", "problem")


def labels(
    vehicle: str, goals: Mapping[str, Mapping[str, str]], fixed: Mapping[str, str]
) -> dict[str, str]:
    """Name what tells a job of a menu from the others, a column each.

    Examples
    --------
    >>> labels("demo/a", {"track": {"at_most": "1.6 m"}}, {"tyres": "demo/T"})
    {'vehicle': 'demo/a', 'track at most': '1.6 m', 'tyres': 'demo/T'}
    """
    columns = {"vehicle": vehicle}
    for figure, bounds in goals.items():
        for bound, level in bounds.items():
            columns[f"{figure} {bound.replace('_', ' ')}"] = level
    return {**columns, **fixed}


def summary_lines(rows: Sequence[Mapping[str, Any]], table: str) -> list[str]:
    """Say how many jobs came to what, and which failed."""
    lines = [WRITTEN.format(jobs=counted(len(rows), "job"), table=table)]
    outcomes = Counter(row["outcome"] for row in rows)
    lines += [
        OUTCOME.format(count=count, outcome=outcome) for outcome, count in outcomes.most_common()
    ]
    failed = [row for row in rows if row["problem"]]
    lines += [PROBLEM.format(**row) for row in failed[:MOST_NAMED]]
    return lines


def best_table(rows: Sequence[Mapping[str, Any]]) -> tuple[list[str], list[list[str]]]:
    """Return headings and rows: the cheapest job of each vehicle."""
    best: dict[str, Mapping[str, Any]] = {}
    for row in rows:
        if row["price"] is None:
            continue
        known = best.get(row["vehicle"])
        if known is None or row["price"] < known["price"]:
            best[row["vehicle"]] = row
    names = [name for name in (rows[0] if rows else {}) if name not in NOT_LABELS]
    lines = [
        [*(row[name] for name in names), money_words(row["price"], row["currency"])]
        for row in best.values()
    ]
    return [*names, "from"], lines


def summary_record(rows: Sequence[Mapping[str, Any]]) -> dict[str, Any]:
    """Return how many jobs came to what, as plain data."""
    return {
        "jobs": len(rows),
        "outcomes": dict(Counter(row["outcome"] for row in rows)),
        "failed": [
            {"job": row["job"], "problem": row["problem"]} for row in rows if row["problem"]
        ],
    }
