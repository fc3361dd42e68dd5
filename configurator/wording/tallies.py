"""How many packages there are, and what a figure costs, in words and as data."""

from __future__ import annotations

from decimal import Decimal
from typing import TYPE_CHECKING, Any

from configurator.core.money import amount
from configurator.model.sure_goals import lowered
from configurator.model.verdicts import keeps
from configurator.wording import explanation_templates as say
from configurator.wording.plain_data import job_record, part_key
from configurator.wording.quantities import (
    money_record,
    money_words,
    plain,
    printed,
    unit_in,
    words,
)
from configurator.wording.sentences import NOTICE, begun

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from configurator.evaluation.evaluator import Evaluation
    from configurator.questions.trade_offs import TradeOff
    from configurator.search.counting.model_counting import Counts
    from configurator.search.pareto.fronts import Point
    from configurator.wording.quantities import System

Record = dict[str, Any]

# Characters across and down.
WIDTH, HEIGHT = 56, 12


def number_words(number: int) -> str:
    """Say a whole number, with what it comes to where nobody would read the digits.

    Examples
    --------
    >>> number_words(1234), number_words(81330628597989806)
    ('1,234', '81,330,628,597,989,806 (about 8.1e16)')
    """
    text = f"{number:,}"
    if number < 10**12:
        return text
    return f"{text} (about {Decimal(number):.1e})".replace("e+", "e")


def _between(least: int, most: int | None) -> str:
    """Say a number of which two bounds are known.

    Examples
    --------
    >>> _between(3, 3), _between(0, 1234), _between(3, 1234), _between(3, None)
    ('3', 'at most 1,234', 'at least 3 and at most 1,234', 'at least 3')
    """
    if least == most:
        return number_words(least)
    if most is None:
        return say.AT_LEAST.format(number=number_words(least))
    if not least:
        return say.AT_MOST.format(number=number_words(most))
    return say.BETWEEN.format(least=number_words(least), most=number_words(most))


def count_words(evaluation: Evaluation, counts: Counts) -> list[str]:
    """Say how many packages there are, what was counted and what was not."""
    job = evaluation.case.job
    if counts.exact:
        number = _between(counts.total, counts.total)
    else:
        number = _between(counts.at_least or 0, counts.total)
    template = say.MEETS if number == "1" else say.MEET
    sentences = [template.format(number=begun(number)), say.A_PACKAGE]
    if counts.undecided:
        sentences.append(say.WHOLE_ONLY.format(rules=", ".join(counts.undecided)))
    if counts.within_budget is not None and job.budget is not None:
        most = counts.within_budget if counts.budget_exact else counts.budget_at_most
        if not counts.undecided:
            template = say.INSIDE
        else:
            template = say.INSIDE_CHECKED if counts.budget_exact else say.INSIDE_PRICE
        inside = _between(counts.within_budget, most)
        budget = money_words(job.budget, job.currency)
        sentences.append(template.format(budget=budget, number=inside))
    return sentences


def count_record(evaluation: Evaluation, counts: Counts, system: System | None = None) -> Record:
    """Return how many packages there are; numbers beyond 2**53 are exact, as integers."""
    return {
        **job_record(evaluation, system),
        "packages": counts.total,
        "exact": counts.exact,
        "at_least": counts.total if counts.exact else counts.at_least or 0,
        "at_most_because_of": list(counts.undecided),
        "budget_left_aside": True,
        "within_budget": None
        if counts.within_budget is None
        else {
            "packages": counts.within_budget,
            "exact": counts.budget_exact,
            "at_most": counts.within_budget if counts.budget_exact else counts.budget_at_most,
        },
        "positions": {
            position: [
                {"part": part_key(option), "title": option.part.title, "packages": number}
                for option, number in zip(evaluation.options(position), numbers, strict=True)
            ]
            for position, numbers in counts.options.items()
        },
        "notice": NOTICE,
    }


# -- what a figure costs ------------------------------------------------------------------------


def asked_for(evaluation: Evaluation, figures: Sequence[str], point: Point) -> bool:
    """Whether a level meets the goals that the job has on these figures."""
    values = dict(zip(figures, point.values, strict=True))
    return all(
        keeps(values[goal.figure], goal.at_least, goal.at_most) is True
        for goal in lowered(evaluation.case.job).goals
        if goal.figure in values and (goal.at_least is not None or goal.at_most is not None)
    )


def trade_rows(
    evaluation: Evaluation,
    figures: Sequence[str],
    points: Iterable[Point],
    system: System | None = None,
) -> list[tuple[str, ...]]:
    """Return a row of words per point: price, a value per figure, what is to be said of it."""
    job = evaluation.case.job
    units = [evaluation.definition(figure).unit for figure in figures]
    rows = []
    for point in points:
        notes = []
        if not asked_for(evaluation, figures, point):
            notes.append(say.NOT_AS_ASKED)
        if job.budget is not None and point.price > job.budget:
            notes.append(say.OVER_BUDGET)
        price = money_words(point.price, job.currency)
        values = [words(v, unit, system) for v, unit in zip(point.values, units, strict=True)]
        rows.append(
            (price if point.exact else say.AT_LEAST.format(number=price), *values, ", ".join(notes))
        )
    return rows


def trade_record(
    evaluation: Evaluation, trade_off: TradeOff, system: System | None = None
) -> Record:
    """Return what one or two figures cost."""
    figures = [name for name, _ in trade_off.figures]
    units = [evaluation.definition(figure).unit for figure in figures]
    currency = evaluation.case.job.currency

    def record(point: Point) -> Record:
        return {
            "values": [plain(v, unit, system) for v, unit in zip(point.values, units, strict=True)],
            "price": money_record(point.price, currency),
            "exact": point.exact,
            "as_asked": asked_for(evaluation, figures, point),
        }

    return {
        **job_record(evaluation, system),
        "figures": [
            {
                "figure": name,
                "unit": unit_in(unit, system),
                "better": better,
                # Of a sum, in that unit: what is better by less may be left out.
                "step": plain(step, unit, system) if step else None,
            }
            for (name, better), unit, step in zip(
                trade_off.figures, units, trade_off.steps, strict=True
            )
        ],
        "levels": [record(point) for point in trade_off.levels],
        "front": [record(point) for point in trade_off.front],
        "budget_left_aside": True,
        "notice": NOTICE,
    }


def places(
    evaluation: Evaluation, trade_off: TradeOff, system: System | None = None
) -> tuple[list[tuple[float, float]], list[tuple[float, float]]]:
    """Return where to draw every point and those on the front, in the units shown.

    One figure goes across and the price up; of two, the first goes across and the second up.
    """
    units = [evaluation.definition(name).unit for name, _ in trade_off.figures]

    currency = evaluation.case.job.currency

    def place(point: Point) -> tuple[float, float]:
        shown = [plain(v, unit, system) for v, unit in zip(point.values, units, strict=True)]
        return (shown[0], shown[1] if len(shown) > 1 else float(amount(point.price, currency)))

    def drawn(points: Iterable[Point]) -> list[tuple[float, float]]:
        return [
            place(point)
            for point in points
            if all(isinstance(value, int | float) for value in point.values)
        ]

    marked = drawn(trade_off.front)
    return drawn(trade_off.levels) or marked, marked


def drawing(
    points: Sequence[tuple[float, float]], marked: Iterable[tuple[float, float]] = ()
) -> list[str]:
    """Draw points in text: ``o`` for those that are marked, ``.`` for the others.

    Examples
    --------
    >>> drawing([(0.0, 0.0), (1.0, 1.0)], [(1.0, 1.0)])[0].endswith("o")
    True
    """
    if not points:
        return []
    across, down = [x for x, _ in points], [y for _, y in points]
    field = [[" "] * WIDTH for _ in range(HEIGHT)]
    for some, sign in ((points, "."), (marked, "o")):
        for x, y in some:
            column = _place(x, min(across), max(across), WIDTH)
            row = HEIGHT - 1 - _place(y, min(down), max(down), HEIGHT)
            field[row][column] = sign
    top, bottom = printed(max(down)), printed(min(down))
    margin = max(len(top), len(bottom))
    ticks = [top, *[""] * (HEIGHT - 2), bottom]
    lines = [
        f"{tick:>{margin}} |{''.join(line).rstrip()}"
        for tick, line in zip(ticks, field, strict=True)
    ]
    left, right = printed(min(across)), printed(max(across))
    lines.append(f"{'':>{margin}} +{'-' * WIDTH}")
    lines.append(f"{'':>{margin}}  {left}{right:>{WIDTH - len(left)}}")
    return lines


def _place(value: float, low: float, high: float, size: int) -> int:
    return round((value - low) / (high - low) * (size - 1)) if high > low else 0
