"""The parts of the talk, in two halves.

What a part is called stays while a case is talked about: it is sent to a browser once. State,
price and effect follow each tap: they go as short lists, and what many rows share is said once.
"""

from __future__ import annotations

import hashlib
import json
from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING, Any

from configurator.evaluation.effects import effects
from configurator.evaluation.lead_times import too_late
from configurator.model.parts import FITTED, NOTHING
from configurator.questions import edits
from configurator.questions.case_cache import basis_of
from configurator.questions.closed_prices import BOXED, CLOSED
from configurator.ui.talk import talk_words as say
from configurator.ui.talk.asked_often import ASKED_OFTEN
from configurator.ui.talk.reasons_short import short_reasons
from configurator.ui.talk.systems import place_of, system_of
from configurator.wording.quantities import counted

if TYPE_CHECKING:
    from collections.abc import Callable, Hashable, Mapping

    from configurator.evaluation.effects import Effect
    from configurator.evaluation.evaluator import Evaluation
    from configurator.model.jobs import Job
    from configurator.questions.answers import OptionState
    from configurator.questions.session import Session
    from configurator.search.optimum.cheapest_package import CheapestPackage
    from configurator.search.optimum.preparing import Prepared
    from configurator.ui.visit import Visit

    Moves = Mapping[tuple[str, str], list[Effect]]

# What options move by themselves, as an answer of the session is named.
EFFECTS = "effects of parts"
FITS, OVER, ASIDE, NOT = "fits", "over", "aside", "not"
_effect = lru_cache(maxsize=20_000)(say.effect)


@dataclass(frozen=True, slots=True)
class Look:
    """What rows can have in common.

    Parameters
    ----------
    state
        `FITS`, `OVER` budget, set `ASIDE` by a choice, or `NOT` possible.
    words
        What stands beside the price, where that is not all.
    exact
        Whether the price is that of the package; a lower bound otherwise.
    marks
        ``chosen`` by somebody, ``in`` the package, ``fitted`` now, ``out`` (ruled out).
    actions
        What can be done: ``fix``, ``free``, ``why``, ``idea``, ``out``, ``allow``.
    """

    state: str
    words: str
    exact: bool
    marks: tuple[str, ...]
    actions: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class OptionLine:
    """An option as the page shows it; the price is in minor units, None where there is none."""

    position: str
    key: str
    look: Look
    price: int | None
    moves: str


def part_names(evaluation: Evaluation) -> tuple[str, bytes]:
    """Return what stays while a case is talked about: its version, and JSON that has it as well.

    The version is made of the rest: equal names have equal versions, whoever asks.
    """
    positions = []
    for position, _ in ordered(evaluation):
        options = [
            (
                option.key,
                say.option_title(option),
                "" if option.key in (FITTED, NOTHING) else option.key.partition("/")[2],
                option.price,
                option.pieces,
            )
            for option in evaluation.options(position)
        ]
        positions.append((position, system_of(evaluation.families[position]), options))
    text = json.dumps(positions, ensure_ascii=False)
    version = hashlib.sha256(text.encode()).hexdigest()
    return version, f'{{"version": "{version}", "positions": {text}}}'.encode()


def ordered(evaluation: Evaluation) -> list[tuple[str, str]]:
    """Return positions with their family, tyres and wheels first."""
    by_place = sorted(evaluation.families.items(), key=lambda pair: place_of(pair[1]))
    return [(position, family.key) for position, family in by_place]


def parts(visit: Visit, evaluation: Evaluation) -> dict[str, Any] | None:
    """Return what a tap changes: per position lists of a look, a price, an effect and a reason.

    They come in the order of the names that stay (`part_names`). ``facts``, key of a part → text,
    are there where a position is filtered: only those rows are shown. Prices are those of the last
    answer where the next are still to come (``stale``); None where there was none.
    """
    lines = option_lines(visit)
    if lines is None:
        return None
    looks: dict[Look, int] = {}
    moves: dict[str, int] = {}
    reasons: dict[str, int] = {"": 0}
    short, known = short_reasons(visit)
    rows: dict[str, list[tuple[int, int | None, int, int]]] = {}
    for line in lines:
        rows.setdefault(line.position, []).append(
            (
                looks.setdefault(line.look, len(looks)),
                line.price,
                moves.setdefault(line.moves, len(moves)),
                reasons.setdefault(
                    short.get((line.position, line.key), "") if line.look.state == NOT else "",
                    len(reasons),
                ),
            )
        )
    open_prices = sum(not line.look.exact for line in lines)
    stale = visit.talk.known(EFFECTS) is None or (
        visit.talk.known("options") is None and visit.talk.known("exact options") is None
    )
    return {
        "base": visit.talk.cheapest().price,
        "looks": [(o.state, o.words, o.exact, o.marks, o.actions) for o in looks],
        "moves": list(moves),
        "reasons": list(reasons),
        "rows": [rows[position] for position, _ in ordered(evaluation)],
        "open": 0 if stale else open_prices,
        "stale": stale,
        "reasonsKnown": known,
        "long": visit.talk.is_ready and visit.talk.joins_long_lists,
    }


def option_lines(visit: Visit) -> list[OptionLine] | None:
    """Return all options, position by position; None as long as nothing is known of them.

    What is chosen and what is in the package is always that of the job as it stands. Prices and
    effects are those of the last answer until the next are there.
    """
    exact = visit.talk.known("exact options") is not None
    priced = exact or visit.talk.known("options") is not None
    boxed = visit.talk.known(BOXED) is not None
    moved: Moves | None = visit.talk.known(EFFECTS)
    basis = basis_of(visit.job)
    if priced:
        visit.priced = (basis, visit.talk.options())
    if moved is not None:
        visit.moved = (basis, moved)
    if priced and moved is not None:
        return visit.talk.asked(
            f"option lines {visit.system} {exact} {boxed} {len(visit.talk.known(CLOSED) or ())}",
            lambda ready, job: _lines(visit, ready.evaluation, job, visit.talk.options(), moved),
            narrowed=True,
        )
    (known, states), (moved_in, last) = visit.priced, visit.moved
    if known != basis:
        return None
    return _lines(
        visit, visit.talk.evaluation, visit.job, states, last if moved_in == basis else {}
    )


def look_for_effects(visit: Visit) -> Callable[[Session], Moves]:
    """Return what works out what options move by themselves, for the case at hand."""
    basis = basis_of(visit.job)
    if visit.effects[0] != basis:
        visit.effects = (basis, {})
    tried = visit.effects[1]
    return lambda talk: talk.asked(
        EFFECTS, lambda ready, job: _moved(ready, job, talk.cheapest(), tried), for_goals=True
    )


def _lines(
    visit: Visit,
    evaluation: Evaluation,
    job: Job,
    states: Mapping[str, list[OptionState]],
    moved: Moves,
) -> list[OptionLine]:
    cheapest = visit.talk.cheapest()
    return [
        _line(evaluation, job, state, cheapest, moved, visit)
        for each in states.values()
        for state in each
    ]


def _line(
    evaluation: Evaluation,
    job: Job,
    state: OptionState,
    cheapest: CheapestPackage,
    moved: Moves,
    visit: Visit,
) -> OptionLine:
    at = (state.option.position, state.option.key)
    look, price = look_of(job, state, cheapest)
    moved_words = "; ".join(
        _effect(change, evaluation.definition(change.figure).unit, visit.system)
        for change in moved.get(at, ())
    )
    return OptionLine(*at, look, price, moved_words)


def _moved(
    prepared: Prepared,
    job: Job,
    cheapest: CheapestPackage,
    tried: dict[Hashable, dict[str, list[Effect]]],
) -> Moves:
    if cheapest.choice is None:
        return {}
    # What people ask for says more than what moves most.
    first = list(dict.fromkeys([*(goal.figure for goal in job.goals), *ASKED_OFTEN]))
    return effects(
        prepared.evaluation, cheapest.choice, prepared.model.options, first, most=2, known=tried
    )


def look_of(job: Job, state: OptionState, cheapest: CheapestPackage) -> tuple[Look, int | None]:
    """Return how an option looks, and the price to show with it."""
    option = state.option
    decided = edits.decided(job, option.position)
    out = option.key in job.excluded
    mine = bool(decided) and option.key == decided
    price = state.price if state.price is not None else state.if_freed
    inside = cheapest.choice is not None and cheapest.choice[option.position].key == option.key
    exact = state.exact or price is None or (inside and cheapest.proven)
    if inside and cheapest.price is not None:
        price = cheapest.price
    kind, words = _state(state, job, mine=mine, out=out)
    marks = [
        mark
        for mark, there in (
            ("chosen", mine), ("in", inside), ("fitted", not option.changed), ("out", out)
        )
        if there
    ]  # fmt: skip
    actions = _actions(option.key, kind, mine=mine, out=out, inside=inside)
    return Look(kind, words, exact, tuple(marks), actions), price


def _state(state: OptionState, job: Job, *, mine: bool, out: bool) -> tuple[str, str]:
    """Say a state; what only a choice at this very position bars is set aside."""
    price = state.price
    if price is None and state.if_freed is not None and not mine:
        if out:
            return ASIDE, "ruled out by you"
        if too_late(job, state.option):
            return ASIDE, f"delivery {counted(state.option.part.lead_time or 0, 'day')}"
        over = job.budget is not None and state.if_freed > job.budget
        return ASIDE, "over budget" if over else ""
    if price is None:
        return NOT, ""
    if job.budget is not None and price > job.budget:
        return OVER, ""
    return FITS, ""


def _actions(key: str, state: str, *, mine: bool, out: bool, inside: bool) -> tuple[str, ...]:
    if mine:
        return ("free", "why") if state in (NOT, OVER) else ("free",)
    if out:
        return ("allow",)
    removable = () if key in (FITTED, NOTHING) else ("out",)
    if state == NOT:
        return ("why", *removable)
    more = (*(("why",) if state == OVER else ()), *(() if inside else ("idea",)))
    return ("fix", *more, *removable)
