"""What the table of options says, in two halves.

What a part is called stays while a case is talked about: it is sent to a browser once. State,
price and what an option moves follow each click: they go as short lists, and what many rows have
in common is said once.
"""

from __future__ import annotations

import hashlib
import json
from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING, Any

from configurator.core.money import exponent
from configurator.evaluation.effects import effects
from configurator.evaluation.lead_times import too_late
from configurator.model.parts import FITTED, NOTHING
from configurator.questions import edits
from configurator.questions.case_cache import basis_of
from configurator.ui.safe_text import effect_words
from configurator.wording.quantities import counted

if TYPE_CHECKING:
    from configurator.evaluation.effects import Effect
    from configurator.evaluation.evaluator import Evaluation, Option
    from configurator.model.jobs import Job
    from configurator.questions.answers import OptionState
    from configurator.search.optimum.option_prices import CheapestPackage
    from configurator.search.optimum.preparing import Prepared
    from configurator.ui.options.lookup import LookupResult
    from configurator.ui.visit import Visit

# Stands in the words of a state for the amount that the price is over the budget.
EXCESS = "{}"
_effect_words = lru_cache(maxsize=20_000)(effect_words)


@dataclass(frozen=True, slots=True)
class Look:
    """What rows can have in common.

    Parameters
    ----------
    state
        ``available``, ``over``, ``aside`` or ``impossible``.
    words
        The state in words; `EXCESS` in them stands for an amount.
    exact
        Whether the price is that of the package; a lower bound otherwise.
    marks
        What else is to be known at a glance.
    actions
        What can be decided: ``fix``, ``free``, ``why``, ``out``, ``allow``.
    """

    state: str
    words: str
    exact: bool
    marks: tuple[str, ...]
    actions: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class OptionRow:
    """An option as the table shows it; the price is in minor units, None where there is none."""

    position: str
    key: str
    title: str
    number: str
    look: Look
    price: int | None
    moves: str


def rows_of(visit: Visit) -> list[OptionRow]:
    """Return all rows, position by position."""
    exact = visit.talk.known("exact options") is not None
    return visit.talk.asked(
        f"options rows {visit.system} {exact}", lambda ready, job: _rows(visit, ready, job)
    )


def _rows(visit: Visit, prepared: Prepared, job: Job) -> list[OptionRow]:
    cheapest = visit.talk.cheapest()
    moved = _moved(prepared, job, cheapest, visit)
    evaluation = prepared.evaluation
    rows = []
    for position, states in visit.talk.options().items():
        for one in states:
            key = one.option.key
            look, price = _look(job, one, cheapest)
            moves = "; ".join(
                _effect_words(effect, evaluation.definition(effect.figure).unit, visit.system)
                for effect in moved.get((position, key), ())
            )
            number = "" if key in (FITTED, NOTHING) else key
            rows.append(OptionRow(position, key, _name(one.option), number, look, price, moves))
    return rows


def lasting(rows: list[OptionRow]) -> tuple[str, bytes]:
    """Return what stays while a case is talked about: its version, and JSON that has it as well.

    The version is made of the rest: equal names have equal versions, whoever asks.
    """
    positions: dict[str, list[tuple[str, str, str]]] = {}
    for row in rows:
        positions.setdefault(row.position, []).append((row.key, row.title, row.number))
    told = json.dumps(list(positions.items()), ensure_ascii=False)
    version = hashlib.sha256(told.encode()).hexdigest()
    return version, f'{{"version": "{version}", "positions": {told}}}'.encode()


def passing(
    visit: Visit, rows: list[OptionRow], version: str, found: LookupResult | None = None
) -> dict[str, Any]:
    """Return what a click changes: ``rows`` are numbers of a look, a price, numbers of effects.

    They come in the order of the rows that stay, of which ``version`` says which they are.
    ``facts``, number of a row → text, are there where options were looked up: only those rows are
    shown.
    """
    job, cheapest = visit.job, visit.talk.cheapest()
    evaluation = visit.talk.prepared().evaluation
    looks: dict[Look, int] = {}
    moves: dict[str, int] = {}
    short = []
    can: dict[str, list[int]] = {}
    for row in rows:
        look = looks.setdefault(row.look, len(looks))
        short.append((look, row.price, moves.setdefault(row.moves, len(moves))))
        here = can.setdefault(row.position, [0, 0])
        here[0] += row.look.state == "available"
        here[1] += 1
    return {
        "version": version,
        "currency": [job.currency, exponent(job.currency)],
        "base": cheapest.price,
        "budget": job.budget,
        "looks": [(o.state, o.words, o.exact, o.marks, o.actions) for o in looks],
        "moves": list(moves),
        "now": [
            f"{_now(evaluation, job, position, cheapest)} · {some} of {every} available"
            for position, (some, every) in can.items()
        ],
        "rows": short,
        "facts": None
        if found is None
        else {
            str(number): found.facts[row.key]
            for number, row in enumerate(rows)
            if row.position == found.position and row.key in found.facts
        },
    }


def _moved(
    prepared: Prepared, job: Job, cheapest: CheapestPackage, visit: Visit
) -> dict[tuple[str, str], list[Effect]]:
    if cheapest.choice is None:
        return {}
    first = [goal.figure for goal in job.goals]
    basis = basis_of(job)
    if visit.effects[0] != basis:
        visit.effects = (basis, {})
    return effects(
        prepared.evaluation, cheapest.choice, prepared.model.options, first, known=visit.effects[1]
    )


def _now(evaluation: Evaluation, job: Job, position: str, cheapest: CheapestPackage) -> str:
    decided = edits.decided(job, position)
    if decided == FITTED:
        now = "stays as fitted: you decided"
    elif decided:
        now = f"{_title(evaluation, position, decided)}: you decided"
    elif cheapest.choice is None:
        now = "open"
    else:
        option = cheapest.choice[position]
        now = _name(option) if option.changed else f"{_name(option)}, stays"
    return f"now: {now}"


def _title(evaluation: Evaluation, position: str, key: str) -> str:
    for option in evaluation.options(position):
        if option.key == key:
            return _name(option)
    return key


def _name(option: Option) -> str:
    return "nothing" if option.key == NOTHING else option.part.title


def _look(job: Job, one: OptionState, cheapest: CheapestPackage) -> tuple[Look, int | None]:
    option = one.option
    decided = edits.decided(job, option.position)
    ruled_out = option.key in job.excluded
    is_decided = bool(decided) and option.key == decided
    price = one.price if one.price is not None else one.if_freed
    chosen = cheapest.choice is not None and cheapest.choice[option.position].key == option.key
    exact = one.exact or price is None or (chosen and cheapest.proven)
    if chosen and cheapest.price is not None:
        price = cheapest.price
    state, words = _state(one, job, is_decided=is_decided, ruled_out=ruled_out)
    marks = _marks(option, is_decided=is_decided, ruled_out=ruled_out, chosen=chosen)
    actions = _actions(option, state, is_decided=is_decided, ruled_out=ruled_out)
    return Look(state, words, exact, marks, actions), price


def _state(one: OptionState, job: Job, *, is_decided: bool, ruled_out: bool) -> tuple[str, str]:
    """Say a state in words; what only a decision at this very position bars is set aside."""
    price = one.price
    if price is None and one.if_freed is not None and not is_decided:
        if ruled_out:
            return "aside", "ruled out by you"
        if too_late(job, one.option):
            return "aside", f"there after {counted(one.option.part.lead_time or 0, 'day')}"
        over = job.budget is not None and one.if_freed > job.budget
        return "aside", "another is decided" + (", this is over budget" if over else "")
    if price is None:
        return "impossible", "impossible"
    if job.budget is not None and price > job.budget:
        return "over", f"over budget by {EXCESS}"
    return "available", "available"


def _marks(option: Option, *, is_decided: bool, ruled_out: bool, chosen: bool) -> tuple[str, ...]:
    marks = []
    if is_decided:
        marks.append("decided")
    elif chosen:
        marks.append("in the package")
    if not option.changed:
        marks.append("as it stands")
    if ruled_out:
        marks.append("ruled out")
    return tuple(marks)


def _actions(option: Option, state: str, *, is_decided: bool, ruled_out: bool) -> tuple[str, ...]:
    if is_decided:
        return ("free", "why") if state in ("impossible", "over") else ("free",)
    if ruled_out:
        return ("allow",)
    out = () if option.key in (FITTED, NOTHING) else ("out",)
    if state == "impossible":
        return ("why", *out)
    return ("fix", *(("why",) if state == "over" else ()), *out)
