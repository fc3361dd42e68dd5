"""Which rule holds in which state, and which rules read what a family moves.

A pair that nobody decided is a rule that may pass what breaks: it reads something that moves in
that state, and neither says so nor says why that does not matter.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from configurator.model.knowledge import Trade, checked_rules, references
from configurator.model.references import FigureValue, PartValue, VehicleValue
from configurator.model.rules import Figure, Fit, Limit, Rule, Total
from configurator.model.states import STATES

if TYPE_CHECKING:
    from collections.abc import Iterator

    from configurator.model.parts import Family
    from configurator.model.states import Moves, State

# Words for a rule that need not say anything.
NOTHING_MOVES = "reads nothing that moves in it"
HOLDS = "holds"


@dataclass(frozen=True, slots=True)
class Decision:
    """What a rule says about a state; ``why`` is empty where nobody decided."""

    rule: str
    state: str
    why: str


@dataclass(frozen=True, slots=True)
class Movement:
    """What a family moves, and the rules that read it."""

    family: str
    moves: Moves
    read_by: tuple[str, ...]

    @property
    def decided(self) -> bool:
        """Whether a rule reads it, or somebody said why none does."""
        return bool(self.read_by or self.moves.unread)


def decisions(trade: Trade) -> Iterator[Decision]:
    """Go through every rule with a number or a verdict and every state but the measured one."""
    for rule in (*trade.figures.values(), *trade.totals.values(), *checked_rules(trade)):
        if isinstance(rule, Figure | Limit | Fit | Total):
            for state in STATES:
                if state.motion:
                    yield Decision(rule.name, state.name, _decided(trade, rule, state))


def _decided(trade: Trade, rule: Figure | Limit | Fit | Total, state: State) -> str:
    if state.name in rule.states:
        return HOLDS
    reasons = dict(rule.not_in)
    if state.name in reasons:
        return reasons[state.name]
    return "" if _moves(trade, rule, state) else NOTHING_MOVES


def _moves(trade: Trade, rule: Any, state: State) -> bool:
    """Whether something that a rule reads changes in a state that nobody spoke of further down."""
    for reference in references(rule):
        if isinstance(reference, VehicleValue):
            if state.motion in (trade.measures[reference.name].moves_with or ()):
                return True
        elif isinstance(reference, FigureValue):
            deeper = trade.figures.get(reference.name) or trade.totals[reference.name]
            spoken = {name for name, _ in deeper.not_in} | set(deeper.states)
            motions = {each.motion for each in STATES if each.name in spoken}
            if state.motion not in motions and _moves(trade, deeper, state):
                return True
    return False


def movements(trade: Trade) -> list[Movement]:
    """Return what each family moves with the rules that read it, in order of declaration.

    A rule reads an arrow if it reads, itself or through figures, one of the attributes that say
    how far the part moves the thing, and a measure that was taken to it.
    """
    read = {rule.name: _read(trade, rule, set()) for rule in checked_rules(trade)}
    return [
        Movement(family.key, moves, _reading(read, family, moves))
        for family in trade.families.values()
        for moves in family.moves or ()
    ]


def _reading(
    read: dict[str, tuple[set[tuple[str, str]], set[str]]], family: Family, moves: Moves
) -> tuple[str, ...]:
    wanted = {(place.name, name) for place in family.positions for name in moves.by}
    names = (
        name for name, (parts, things) in read.items() if moves.thing in things and parts & wanted
    )
    return tuple(dict.fromkeys(names))


def _read(trade: Trade, rule: Rule, seen: set[str]) -> tuple[set[tuple[str, str]], set[str]]:
    """Attributes of parts that a rule reads, and the things that its measures were taken to."""
    parts: set[tuple[str, str]] = set()
    things: set[str] = set()
    for reference in references(rule):
        if isinstance(reference, PartValue):
            parts.add((reference.position, reference.attribute))
        elif isinstance(reference, VehicleValue):
            things.add(trade.measures[reference.name].of)
        elif isinstance(reference, FigureValue) and reference.name not in seen:
            seen.add(reference.name)
            deeper = trade.figures.get(reference.name) or trade.totals[reference.name]
            more = _read(trade, deeper, seen)
            parts |= more[0]
            things |= more[1]
    return parts, things - {""}
