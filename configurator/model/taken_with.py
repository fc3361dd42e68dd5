"""A measure holds for the part it was taken with.

The room above an axle tube was measured over this tube, on this bump stop. A rule that reads it
must read what the part in the package differs from the one that was there; else the number says
nothing about the package, and the rule is not checked once that part changes. A measure says what
it was taken with (``taken_with=("{axle} bump stops: pressed height",)``), a rule to which that does
not matter why (``regardless={"{axle} springs": "..."}``); the rest follows from what rules read.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

from configurator.core.errors import nearest
from configurator.model.parts import Missing, attributes_of
from configurator.model.references import (
    FigureValue,
    FittedValue,
    Input,
    PartValue,
    VehicleValue,
)

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator, Mapping

    from configurator.model.parts import Family
    from configurator.model.references import Reference
    from configurator.model.rules import Figure, Fit, Limit, Rule, Total
    from configurator.model.vehicles import Measure

# Names of parameters that a guard adds to a rule's own begin with this.
GUARD = "taken_with_"


@dataclass(frozen=True, slots=True)
class Dependence:
    """What a measure was taken with; ``attribute`` is empty where any other part changes it."""

    measure: str
    position: str
    attribute: str = ""

    def __str__(self) -> str:
        return f"{self.position}: {self.attribute}" if self.attribute else self.position


def dependences_of(measure: Measure) -> tuple[Dependence, ...]:
    """Read what a measure was taken with.

    Examples
    --------
    >>> from configurator.model.vehicles import Measure
    >>> room = Measure("room", "", "", taken_with=("bump stops: pressed height", "front axle"))
    >>> [(item.position, item.attribute) for item in dependences_of(room)]
    [('bump stops', 'pressed height'), ('front axle', '')]
    """
    parts = (text.partition(":") for text in measure.taken_with)
    return tuple(
        Dependence(measure.name, position.strip(), attribute.strip())
        for position, _, attribute in parts
    )


def unknown_part(measure: Measure, positions: Mapping[str, Family]) -> str:
    """Say what a measure claims to be taken with that nobody declares; empty where all is well."""
    for item in dependences_of(measure):
        if item.position not in positions:
            return f"no plugin declares {item.position!r} ({nearest(item.position, positions)})"
        known = {attribute.name for attribute in attributes_of(positions[item.position])}
        if item.attribute and item.attribute not in known:
            hint = nearest(item.attribute, known)
            return f"{item.position!r} has no attribute {item.attribute!r} ({hint})"
    return ""


class Guarded:
    """A rule's function that does not answer where a measure no longer holds.

    Parameters
    ----------
    function
        As it was written.
    guards
        What its measures were taken with that it does not read the difference of, each with the
        names of three parameters: whether the part is another, its attribute, that of the fitted.
    """

    def __init__(
        self,
        function: Callable[..., Any],
        guards: tuple[tuple[Dependence, tuple[str, str, str]], ...],
    ) -> None:
        self.function = function
        self.guards = guards

    def __call__(self, *args: Any, **values: Any) -> Any:
        """Answer as the function does, or that nobody knows."""
        own = {name: value for name, value in values.items() if not name.startswith(GUARD)}
        answer = self.function(*args, **own)
        if answer is None or isinstance(answer, Missing):
            return answer
        return Missing.UNKNOWN if any(self.stale(values)) else answer

    def stale(self, values: Mapping[str, Any]) -> Iterator[Dependence]:
        """Yield what differs from what the measures were taken with."""
        for item, (changed, now, then) in self.guards:
            if values.get(changed) is not True:
                continue
            if item.attribute and values[now] is not None and values[now] == values[then]:
                continue
            yield item


def unguarded(function: Callable[..., Any]) -> Callable[..., Any]:
    """Return a rule's function as its author wrote it."""
    return function.function if isinstance(function, Guarded) else function


@dataclass(frozen=True, slots=True)
class Reads:
    """Attributes of parts that a rule reads, as they are chosen and as they were fitted."""

    chosen: frozenset[tuple[str, str]]
    fitted: frozenset[tuple[str, str]]

    def difference(self, item: Dependence) -> bool:
        """Whether both of them are read of what a measure was taken with."""
        both = self.chosen & self.fitted
        if item.attribute:
            return (item.position, item.attribute) in both
        return any(position == item.position for position, _ in both)


def reads_of(rule: Rule, references: Callable[[Rule], Iterable[Reference]], lookup: Any) -> Reads:
    """Collect what a rule reads of parts, itself and through figures.

    Parameters
    ----------
    rule
        Whose reads.
    references
        Everything a rule reads, its bounds included.
    lookup
        Returns the figure or total of a name; None where there is none.
    """
    chosen: set[tuple[str, str]] = set()
    fitted: set[tuple[str, str]] = set()
    seen: set[tuple[str, bool]] = set()

    def visit(rule: Rule, before: bool) -> None:
        for reference in references(rule):
            if isinstance(reference, FittedValue):
                fitted.add((reference.position, reference.attribute))
            elif isinstance(reference, PartValue):
                (fitted if before else chosen).add((reference.position, reference.attribute))
            elif isinstance(reference, FigureValue):
                then = before or reference.before
                deeper = lookup(reference.name)
                if deeper is not None and (reference.name, then) not in seen:
                    seen.add((reference.name, then))
                    visit(deeper, then)

    visit(rule, False)
    return Reads(frozenset(chosen), frozenset(fitted))


def unread_differences(
    rule: Figure | Limit | Fit | Total,
    measures: Mapping[str, Measure],
    references: Callable[[Rule], Iterable[Reference]],
    lookup: Any,
) -> list[Dependence]:
    """List what a rule's own measures were taken with that it does not read the difference of."""
    wanted = [
        item
        for reference in references(rule)
        if isinstance(reference, VehicleValue) and reference.name in measures
        for item in dependences_of(measures[reference.name])
    ]
    if not wanted:
        return []
    reads = reads_of(rule, references, lookup)
    settled = {name for name, _ in getattr(rule, "regardless", ())}
    return list(
        dict.fromkeys(
            item
            for item in wanted
            if not reads.difference(item)
            and str(item) not in settled
            and item.position not in settled
        )
    )


def guarded(rule: Any, guards: Iterable[Dependence]) -> Any:
    """Return a rule that is not checked once a part differs from what was measured."""
    named: list[tuple[Dependence, tuple[str, str, str]]] = []
    inputs = list(rule.inputs)
    known: dict[str, tuple[str, str, str]] = {}
    for item in guards:
        if str(item) not in known:
            stem = f"{GUARD}{len(known)}"
            changed, now, then = names = (f"{stem}_changed", f"{stem}_now", f"{stem}_then")
            known[str(item)] = names
            inputs.append(Input(changed, PartValue(item.position, "changed"), takes_missing=True))
            if item.attribute:
                here = PartValue(item.position, item.attribute)
                was = FittedValue(item.position, item.attribute)
                inputs.append(Input(now, here, takes_missing=True))
                inputs.append(Input(then, was, takes_missing=True))
        named.append((item, known[str(item)]))
    if not named:
        return rule
    return replace(rule, function=Guarded(rule.function, tuple(named)), inputs=tuple(inputs))
