"""In which state a package comes closest to a limit, and which thing decides a figure.

A reader of *17 mm of slip left* wants to know when: at full droop. A rule says in which states it
holds; where these are several, it reads a figure of each, and the worst state is the one whose
figures alone would lead to the same number.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from configurator.model.knowledge import references
from configurator.model.references import FigureValue
from configurator.model.rules import Figure, Limit, Total
from configurator.model.states import RIDE_HEIGHT, STATES
from configurator.model.verdicts import TOLERANCE

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from configurator.evaluation.evaluator import Evaluation, Option
    from configurator.model.knowledge import Trade
    from configurator.model.rules import Rule
    from configurator.model.states import State


def states_of(trade: Trade, rule: Rule) -> tuple[State, ...]:
    """Return the states in which a rule holds, itself or through the nearest figures that say so.

    Ride height is left out: it goes without saying.
    """
    names = _own_states(rule)
    seen: set[str] = set()
    reading: list[Rule] = [rule]
    while not names and reading:
        deeper = [figure for each in reading for figure in _figures(trade, each, seen)]
        names = [name for figure in deeper for name in _own_states(figure)]
        reading = [figure for figure in deeper if not getattr(figure, "states", ())]
    return tuple(state for state in STATES if state.name in names)


def _own_states(rule: Rule) -> list[str]:
    return [name for name in getattr(rule, "states", ()) if name != RIDE_HEIGHT]


def _figures(trade: Trade, rule: Rule, seen: set[str]) -> Iterable[Rule]:
    for reference in references(rule):
        if isinstance(reference, FigureValue) and reference.name not in seen:
            seen.add(reference.name)
            figure = trade.worked_out(reference.name)
            if figure is not None:
                yield figure


def worst_state(
    evaluation: Evaluation, rule: Limit | Total, choice: Mapping[str, Option], text: str
) -> str:
    """Say when a package comes closest to a limit: *at full droop*.

    Parameters
    ----------
    evaluation, choice
        A package.
    rule
        Limit that it comes close to.
    text
        Beside which it is said: what the text says is not said again.

    Returns
    -------
    str
        Empty where nothing that the rule reads moves, or where no state is worse than the others.
    """
    states = states_of(evaluation.trade, rule)
    if len({state.when for state in states}) > 1:
        states = _decisive(evaluation, rule, choice, states)
    return _when(states, text)


def only_state(trade: Trade, rule: Rule, text: str) -> str:
    """Say when a rule holds, whatever the package; empty where that is no single state."""
    return _when(states_of(trade, rule), text)


def _when(states: Sequence[State], text: str) -> str:
    """Say the only state of several, full lock to either side being one; not what a text says.

    Speaking of the permitted load is speaking of a fully laden vehicle.
    """
    if len({state.when for state in states}) != 1:
        return ""
    when = states[0].when
    last = when.rpartition(" ")[2]
    spoken = last in text or (last == "laden" and "permitted" in text)
    return "" if spoken else when


def _decisive(
    evaluation: Evaluation,
    rule: Limit | Total,
    choice: Mapping[str, Option],
    states: tuple[State, ...],
) -> tuple[State, ...]:
    """Return the states whose own figures lead to the number that a limit has."""
    if not isinstance(rule, Limit):
        return ()
    inputs = [rule_input.reference for rule_input in rule.inputs]
    values = [evaluation.value(reference, choice) for reference in inputs]
    of_state: dict[str, int] = {}
    for place, reference in enumerate(inputs):
        figure = evaluation.trade.worked_out(getattr(reference, "name", ""))
        own: tuple[str, ...] = (
            getattr(figure, "states", ()) if isinstance(reference, FigureValue) else ()
        )
        if len(own) == 1 and own[0] in {state.name for state in states}:
            of_state[own[0]] = place
    has = evaluation.call(rule, tuple(values))
    if len(of_state) < len(states) or not isinstance(has, int | float):
        return ()
    decisive = []
    for state in states:
        alone = list(values)
        for place in of_state.values():
            alone[place] = values[of_state[state.name]]
        answer = evaluation.call(rule, tuple(alone))
        if isinstance(answer, int | float) and abs(answer - has) <= TOLERANCE * max(1.0, abs(has)):
            decisive.append(state)
    return tuple(decisive)


def decisive_figure(evaluation: Evaluation, name: str, choice: Mapping[str, Option]) -> str:
    """Name the figure that another is the least of: *clearance under front hub reduction*.

    Returns
    -------
    str
        Empty where the figure is the least of none, or where one value does not stand out.
    """
    figure = evaluation.definition(name)
    if not isinstance(figure, Figure) or not figure.least_of:
        return ""
    values = {
        each: value
        for each in figure.least_of
        if isinstance(value := evaluation.figure(each, choice), int | float)
    }
    if len(values) < 2:
        return ""
    least = min(values.values())
    named = [each for each, value in values.items() if value <= least + TOLERANCE]
    return named[0] if len(named) == 1 else ""
