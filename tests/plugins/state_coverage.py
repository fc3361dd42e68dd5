"""Which rule holds in which state, and which rules read what a family moves.

A pair that nobody decided is a rule that may pass what breaks: it reads something that moves in
that state, and neither says so nor says why that does not matter.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from configurator.model.knowledge import Trade, checked_rules, references
from configurator.model.parts import AXLES
from configurator.model.references import FigureValue, PartValue, VehicleValue
from configurator.model.rules import Figure, Fit, Limit, Rule, Total
from configurator.model.states import STATES

if TYPE_CHECKING:
    from collections.abc import Iterator

    from configurator.model.parts import Family
    from configurator.model.states import Moves, State
    from configurator.model.vehicles import Measure

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
    """A measure taken to something that a family moves, and the rules that read both."""

    family: str
    moves: Moves
    measure: str
    read_by: tuple[str, ...]

    @property
    def why(self) -> str:
        """Why no rule reads both, where somebody said so."""
        axle, _, rest = self.measure.partition(" ")
        general = f"{{axle}} {rest}" if axle in AXLES else self.measure
        reasons = self.moves.unread
        return reasons.get(self.measure) or reasons.get(general) or reasons.get("", "")

    @property
    def decided(self) -> bool:
        """Whether a rule reads both, or somebody said why none does."""
        return bool(self.read_by or self.why)


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
    """Return what each family moves, measure by measure, with the rules that read it.

    A rule reads an arrow if it reads, itself or through figures, one of the attributes that say
    how far the part moves the thing, and the measure that was taken to it. A measure of one axle
    is moved by the parts of that axle, or of neither.
    """
    read = {rule.name: _read(trade, rule, set()) for rule in checked_rules(trade)}
    figures = {figure.name: _read(trade, figure, set()) for figure in trade.figures.values()}
    return [
        Movement(
            family.key, moves, measure.name, _reading({**read, **figures}, family, moves, measure)
        )
        for family in trade.families.values()
        for moves in family.moves or ()
        for measure in trade.measures.values()
        if measure.of == moves.thing and _places(family, measure)
    ]


def _places(family: Family, measure: Measure) -> list[str]:
    axle = measure.name.partition(" ")[0]
    other = {"front": "rear ", "rear": "front "}.get(axle, "neither")
    return [place.name for place in family.positions if not place.name.startswith(other)]


def nearest_readers(trade: Trade, movement: Movement) -> list[str]:
    """Return the rules in which what moves and what was measured first come together.

    Others read it through these.
    """
    known = {rule.name: rule for rule in (*trade.figures.values(), *checked_rules(trade))}
    reading = set(movement.read_by)
    return [
        name
        for name in movement.read_by
        if not any(
            isinstance(reference, FigureValue) and reference.name in reading - {name}
            for reference in references(known[name])
        )
    ]


def _reading(
    read: dict[str, tuple[set[tuple[str, str]], set[str]]],
    family: Family,
    moves: Moves,
    measure: Measure,
) -> tuple[str, ...]:
    wanted = {(place, name) for place in _places(family, measure) for name in moves.by}
    names = (
        name
        for name, (parts, measures) in read.items()
        if measure.name in measures and parts & wanted
    )
    return tuple(dict.fromkeys(names))


def _read(trade: Trade, rule: Rule, seen: set[str]) -> tuple[set[tuple[str, str]], set[str]]:
    """Attributes of parts and measures that a rule reads, itself and through figures."""
    parts: set[tuple[str, str]] = set()
    measures: set[str] = set()
    for reference in references(rule):
        if isinstance(reference, PartValue):
            parts.add((reference.position, reference.attribute))
        elif isinstance(reference, VehicleValue):
            measures.add(reference.name)
        elif isinstance(reference, FigureValue) and reference.name not in seen:
            seen.add(reference.name)
            deeper = trade.figures.get(reference.name) or trade.totals[reference.name]
            more = _read(trade, deeper, seen)
            parts |= more[0]
            measures |= more[1]
    return parts, measures
