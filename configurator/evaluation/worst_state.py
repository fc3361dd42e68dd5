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

BY_NAME = {state.name: state for state in STATES}


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


def worst_state(evaluation: Evaluation, rule: Limit | Total, choice: Mapping[str, Option]) -> str:
    """Say when a package comes closest to a limit: *at full droop*.

    Returns
    -------
    str
        Empty where nothing that the rule reads moves, where its name says it, or where no state is
        worse than the others.
    """
    states = states_of(evaluation.trade, rule)
    if len(states) > 1 and {state.motion for state in states} == {"lock"}:
        return "" if "lock" in _words(rule) else "at full lock"
    if len(states) > 1:
        states = _decisive(evaluation, rule, choice, states)
    return _when(rule, states)


def only_state(trade: Trade, rule: Rule) -> str:
    """Say when a rule holds, whatever the package; empty where that is no single state."""
    return _when(rule, states_of(trade, rule))


def _when(rule: Rule, states: Sequence[State]) -> str:
    return states[0].when if len(states) == 1 and not _says(rule, states[0]) else ""


def _words(rule: Rule) -> str:
    return f"{rule.name} {getattr(rule, 'quantity', '')}"


def _says(rule: Rule, state: State) -> bool:
    """Whether the names of a rule say a state, or speak of the permitted load as fully laden does.

    Every name has to: one stands in sentences, the other in tables.
    """
    last = state.name.rpartition(" ")[2]
    named = [text for text in (rule.name, getattr(rule, "quantity", "")) if text]
    return all(last in text or (last == "laden" and "permitted" in text) for text in named)


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
