"""Packages beside an earlier one, in words and as plain data."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from configurator.wording.quantities import counted, money_record, money_words

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from configurator.evaluation.evaluator import Evaluation
    from configurator.questions.like_before import LikeBefore

NOTHING = "Nothing fits this job, with whatever changes: ask fitwright why."
FEWEST = "Fewest changes: {changes}, {price}"
BETWEEN = "Cheaper, with {changes}: {price}"
CHEAPEST = "Cheapest: {changes}, {price}"
SAME = "Everything is as it was last time."
CHANGE = "{position}: {before} becomes {now}"


def heading(
    evaluation: Evaluation,
    item: LikeBefore,
    number: int,
    count: int,
    price_as: Callable[[int, str], str] = money_words,
) -> str:
    """Name a package by what it changes and costs."""
    changes = counted(len(item.changes), "change")
    price = price_as(item.package.price, evaluation.case.job.currency)
    template = FEWEST if number == 1 else CHEAPEST if number == count else BETWEEN
    return template.format(changes=changes, price=price)


def change_lines(evaluation: Evaluation, item: LikeBefore) -> list[str]:
    """Say what has become what since last time."""
    lines = []
    for position, key in item.changes.items():
        known = {option.key: option.part.title for option in evaluation.options(position)}
        now = item.package.choice[position].part.title
        lines.append(CHANGE.format(position=position, before=known.get(key, key), now=now))
    return lines or [SAME]


def again_record(evaluation: Evaluation, items: Sequence[LikeBefore]) -> dict[str, Any]:
    """Return the same as plain data."""
    currency = evaluation.case.job.currency
    return {
        "packages": [
            {
                "price": money_record(item.package.price, currency),
                "proven": item.proven,
                "parts": {p: o.key for p, o in item.package.choice.items()},
                "changes": {
                    position: {"before": key, "now": item.package.choice[position].key}
                    for position, key in item.changes.items()
                },
            }
            for item in items
        ]
    }
