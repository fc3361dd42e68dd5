"""The decorators that make rules of plain functions: figures, limits, fits, totals, work, cautions.

See `configurator.model.rules` for what they make.
"""

from __future__ import annotations

import inspect
from typing import TYPE_CHECKING, Any

from configurator.model.references import inputs_of
from configurator.model.rules import Caution, Figure, Fit, Limit, Operation, Total
from configurator.model.states import checked_states

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from configurator.model.rules import Rounding


def figure(
    name: str,
    *,
    unit: str,
    resolution: float = 0.0,
    rounding: Rounding = "nearest",
    meaning: str = "",
    source: str,
    states: tuple[str, ...] = (),
    not_in: Mapping[str, str] | None = None,
    least_of: tuple[str, ...] = (),
    regardless: Mapping[str, str] | None = None,
    tolerance: str = "",
) -> Callable[[Callable[..., Any]], Figure]:
    """Declare a figure. See `Figure` for the arguments."""

    def declare(function: Callable[..., Any]) -> Figure:
        return Figure(
            name,
            unit,
            function,
            inputs_of(function),
            resolution,
            rounding,
            meaning or inspect.getdoc(function) or "",
            source,
            states=checked_states(states),
            not_in=_reasons(not_in),
            least_of=least_of,
            regardless=tuple((regardless or {}).items()),
            tolerance=tolerance,
        )

    return declare


def limit(
    name: str,
    *,
    quantity: str = "",
    unit: str,
    at_least: Any = None,
    at_most: Any = None,
    because: str,
    source: str,
    states: tuple[str, ...] = (),
    not_in: Mapping[str, str] | None = None,
    regardless: Mapping[str, str] | None = None,
    exact_fit: bool = False,
    concerns: str = "",
) -> Callable[[Callable[..., Any]], Limit]:
    """Declare a limit on what the function returns. See `Limit` for the arguments."""

    def declare(function: Callable[..., Any]) -> Limit:
        return Limit(
            name,
            unit,
            function,
            inputs_of(function),
            at_least,
            at_most,
            because,
            source,
            states=checked_states(states),
            not_in=_reasons(not_in),
            regardless=tuple((regardless or {}).items()),
            quantity=quantity,
            exact_fit=exact_fit,
            concerns=concerns,
        )

    return declare


def fit(
    name: str,
    *,
    because: str,
    source: str,
    states: tuple[str, ...] = (),
    not_in: Mapping[str, str] | None = None,
    regardless: Mapping[str, str] | None = None,
    concerns: str = "",
) -> Callable[[Callable[..., Any]], Fit]:
    """Declare a yes-or-no rule. See `Fit` for the arguments."""

    def declare(function: Callable[..., Any]) -> Fit:
        return Fit(
            name,
            function,
            inputs_of(function),
            because,
            source,
            states=checked_states(states),
            not_in=_reasons(not_in),
            regardless=tuple((regardless or {}).items()),
            concerns=concerns,
        )

    return declare


def total(
    name: str,
    *,
    unit: str,
    start: Any = 0.0,
    at_least: Any = None,
    at_most: Any = None,
    meaning: str = "",
    because: str = "",
    source: str,
    states: tuple[str, ...] = (),
    not_in: Mapping[str, str] | None = None,
    concerns: str = "",
) -> Callable[[Callable[..., Any]], Total]:
    """Declare a sum over everything on the vehicle. See `Total` for the arguments."""

    def declare(function: Callable[..., Any]) -> Total:
        return Total(
            name,
            unit,
            function,
            inputs_of(function),
            start,
            at_least,
            at_most,
            meaning or inspect.getdoc(function) or "",
            because,
            source,
            states=checked_states(states),
            not_in=_reasons(not_in),
            concerns=concerns,
        )

    return declare


def _reasons(not_in: Mapping[str, str] | None) -> tuple[tuple[str, str], ...]:
    """Spell out why a rule says nothing about a state or the states of a motion."""
    reasons = not_in or {}
    return tuple(
        (state, reason) for name, reason in reasons.items() for state in checked_states((name,))
    )


def operation(
    name: str,
    *,
    hours: float,
    station: str = "",
    after: tuple[str, ...] = (),
    uses: Mapping[str, Any] | None = None,
    check: bool = False,
    system: str = "",
    phase: str = "",
) -> Callable[[Callable[..., Any]], Operation]:
    """Declare workshop time; the function says whether it is needed. See `Operation`."""

    def declare(function: Callable[..., Any]) -> Operation:
        return Operation(
            name,
            function,
            inputs_of(function),
            hours,
            station,
            after,
            dict(uses or {}),
            check,
            system=system,
            phase=phase,
        )

    return declare


def caution(
    name: str,
    *,
    says: str,
    inspect: str = "",
    approve: str = "",
    again: Mapping[float, str] | None = None,
) -> Callable[[Callable[..., Any]], Caution]:
    """Declare a caution; the function says when it applies. See `Caution`."""

    def declare(function: Callable[..., Any]) -> Caution:
        inputs, later = inputs_of(function), tuple((again or {}).items())
        return Caution(name, function, inputs, says, inspect, approve, again=later)

    return declare
