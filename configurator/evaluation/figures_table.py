"""Every figure of a package beside the vehicle as it stands, the closest to a limit first."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from configurator.evaluation.packages import margins_of
from configurator.model.knowledge import references
from configurator.model.references import FigureValue
from configurator.model.rules import Total

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from configurator.evaluation.evaluator import Evaluation, Option
    from configurator.evaluation.packages import Margin
    from configurator.model.parts import Value
    from configurator.model.rules import Figure


@dataclass(frozen=True, slots=True)
class FigureRow:
    """A figure before and after.

    Parameters
    ----------
    figure
        The figure or total.
    before, after
        In SI; `Missing` where it does not apply or is not known.
    difference
        ``after`` less ``before``; None where either is missing or no number.
    margin
        Of the limit that reads this figure and is closest to being reached; None if none does.
    """

    figure: Figure | Total
    before: Value
    after: Value
    difference: float | None
    margin: Margin | None


def figure_rows(evaluation: Evaluation, choice: Mapping[str, Option]) -> list[FigureRow]:
    """Work out every figure of a package and of the vehicle as it stands.

    Returns
    -------
    list of FigureRow
        By margin, the closest first; figures that no limit reads come last, by name.
    """
    closest: dict[str, Margin] = {}
    for margin in margins_of(evaluation, choice):
        rule = margin.rule
        names = [r.name for r in references(rule) if isinstance(r, FigureValue) and not r.before]
        for name in [rule.name] if isinstance(rule, Total) else names:
            closest.setdefault(name, margin)
    rows = []
    every: list[Figure | Total] = [
        *evaluation.trade.figures.values(),
        *evaluation.trade.totals.values(),
    ]
    for figure in every:
        before = evaluation.figure(figure.name, evaluation.fitted)
        after = evaluation.figure(figure.name, choice)
        difference = (
            float(after) - float(before)
            if isinstance(after, int | float) and isinstance(before, int | float)
            else None
        )
        rows.append(FigureRow(figure, before, after, difference, closest.get(figure.name)))
    return sorted(
        rows,
        key=lambda row: (
            row.margin is None,
            row.margin.share if row.margin else 0.0,
            row.figure.name,
        ),
    )


def by_source(rows: Sequence[FigureRow]) -> list[tuple[str, list[str]]]:
    """Group figures by where their formulas are from.

    Returns
    -------
    list of tuple
        Source, and the names of its figures; both sorted. A figure that gives no source stands
        under ``"no source given"``.
    """
    figures: dict[str, list[str]] = {}
    for row in rows:
        figures.setdefault(row.figure.source or "no source given", []).append(row.figure.name)
    return [(source, sorted(names)) for source, names in sorted(figures.items())]
