"""The work of a package in a sequence that works: what waits for what, and when all is done.

Operations are put in order by what each must come after, and within that so that one bay and one
axle are finished before the next is begun. An operation waits for the parts of the positions that
it reads; the longest chain of waiting and working gives the earliest finish.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from graphlib import CycleError, TopologicalSorter
from itertools import groupby
from typing import TYPE_CHECKING

from configurator.core.errors import PluginError
from configurator.evaluation.lead_times import wait_of
from configurator.evaluation.operations import amounts_of, operations_of
from configurator.model.parts import AXLES, NOTHING
from configurator.model.phases import phases_before
from configurator.model.references import PartValue

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from configurator.evaluation.evaluator import Evaluation, Option
    from configurator.evaluation.packages import Package
    from configurator.model.phases import Phase
    from configurator.model.rules import Operation

# Hours worked in a day: common practice, no source.
HOURS_A_DAY = 8.0


@dataclass(frozen=True, slots=True)
class AwaitedPart:
    """A new part that an operation waits for; ``days`` is None where the catalog does not say."""

    position: str
    part: str
    title: str
    days: int | None


@dataclass(frozen=True, slots=True)
class WorkStep:
    """An operation in its place.

    Parameters
    ----------
    number
        In the sequence, from 1.
    operation
        What is done.
    axle
        ``"front"`` or ``"rear"``, empty where it is of neither or both.
    after
        Names of the operations of this package that must be finished before, the nearest only.
    waits_for
        New parts that must be there.
    start, finish
        Earliest, from the order of the parts on [day]; with enough hands and bays.
    uses
        Consumables and outside work: name → amount.
    """

    number: int
    operation: Operation
    axle: str
    after: tuple[str, ...]
    waits_for: tuple[AwaitedPart, ...]
    start: float
    finish: float
    uses: Mapping[str, float] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Block:
    """Steps that follow each other at one station and axle."""

    station: str
    axle: str
    steps: tuple[WorkStep, ...]

    @property
    def hours(self) -> float:
        """Working time [hour]."""
        return sum(step.operation.hours for step in self.steps)


@dataclass(frozen=True, slots=True)
class WorkPlan:
    """The work of a package.

    Parameters
    ----------
    steps
        In a sequence that works.
    hours
        Working time of all [hour].
    consumables
        Name → amount, of all steps together.
    finish
        Earliest finish, from the order of the parts on [day].
    chain
        The operations that decide it, first to last; the first waits for ``held_by``.
    held_by
        The part whose lead time the chain begins with; None where it begins with work.
    unknown
        New parts without a lead time: with them the finish may be later.
    """

    steps: tuple[WorkStep, ...]
    hours: float
    consumables: Mapping[str, float]
    finish: float
    chain: tuple[str, ...]
    held_by: AwaitedPart | None
    unknown: tuple[AwaitedPart, ...]

    @property
    def blocks(self) -> tuple[Block, ...]:
        """Steps by station and axle, in sequence."""
        grouped = groupby(self.steps, key=lambda step: (step.operation.station, step.axle))
        return tuple(Block(*key, tuple(steps)) for key, steps in grouped)

    @property
    def checks(self) -> tuple[WorkStep, ...]:
        """Steps that adjust or check what was built."""
        return tuple(step for step in self.steps if step.operation.check)


def work_plan(
    evaluation: Evaluation, package: Package, hours_a_day: float = HOURS_A_DAY
) -> WorkPlan:
    """Put the work of a package in sequence.

    Parameters
    ----------
    evaluation
        The case and the trade.
    package
        Whose work.
    hours_a_day
        Hours worked in a day; lead times and work are added up in days.

    Raises
    ------
    PluginError
        If operations wait for each other in a circle.
    """
    trade = evaluation.trade
    before = precedence(trade.operations.values(), trade.phases)
    needed = operations_of(evaluation, package.choice)
    sequence = in_sequence(needed, before)
    direct = _nearest(needed, before)
    done: dict[str, WorkStep] = {}
    decided_by: dict[str, str | AwaitedPart | None] = {}
    for number, item in enumerate(sequence, 1):
        waits = tuple(waits_of(evaluation, item, package.choice))
        start, by = 0.0, None
        events: list[tuple[float, str | AwaitedPart]] = [
            *((float(wait.days), wait) for wait in waits if wait.days is not None),
            *((done[name].finish, name) for name in direct[item.name]),
        ]
        for moment, what in events:
            if moment > start:
                start, by = moment, what
        decided_by[item.name] = by
        done[item.name] = WorkStep(
            number,
            item,
            axle_of(item),
            tuple(direct[item.name]),
            waits,
            start,
            start + item.hours / hours_a_day,
            amounts_of(evaluation, item, package.choice),
        )
    used: dict[str, float] = {}
    for step in done.values():
        for name, amount in step.uses.items():
            used[name] = used.get(name, 0.0) + amount
    parts = _new_parts(evaluation, package.choice)
    finish = max((step.finish for step in done.values()), default=0.0)
    chain, held_by = _chain(done, decided_by)
    for wait in parts:
        # A part that no operation waits for is still part of what is handed over.
        if wait.days is not None and wait.days > finish:
            finish, chain, held_by = float(wait.days), (), wait
    return WorkPlan(
        tuple(done.values()),
        sum(entry.hours for entry in sequence),
        used,
        finish,
        chain,
        held_by,
        tuple(wait for wait in parts if wait.days is None),
    )


def precedence(operations: Iterable[Operation], phases: Mapping[str, Phase]) -> dict[str, set[str]]:
    """Say for each operation everything that must be finished before it, however far back.

    What it names itself, and what is done at its axle or at none in the phases before its own. Also
    through operations that a package does not need: alignment comes after the brakes even if no
    wheel is taken off.

    Raises
    ------
    PluginError
        If operations wait for each other in a circle.

    Examples
    --------
    >>> from configurator.model.rules import Operation
    >>> weld, fill, drive = (
    ...     Operation(name, bool, (), 1.0, after=after)
    ...     for name, after in (("weld", ()), ("fill", ("weld",)), ("drive", ("fill",)))
    ... )
    >>> sorted(precedence([drive, fill, weld], {})["drive"])
    ['fill', 'weld']
    """
    known = {operation.name: operation for operation in operations}
    earlier = phases_before(phases)
    named = {
        name: [
            *(other for other in entry.after if other in known),
            *(
                other.name
                for other in known.values()
                if other.phase in earlier.get(entry.phase, ())
                and (axle_of(other) in ("", axle_of(entry)) or not axle_of(entry))
            ),
        ]
        for name, entry in known.items()
    }
    try:
        order = list(TopologicalSorter(named).static_order())
    except CycleError as problem:
        # The sorter lists each before the one that waits for it.
        circle = list(reversed(problem.args[1]))
        text = " waits for ".join(repr(name) for name in circle)
        raise PluginError(
            known[circle[0]].plugin or circle[0],
            f"operations wait for each other in a circle: {text}",
            "take one of them out of the other's 'after'",
        ) from problem
    before: dict[str, set[str]] = {}
    for name in order:
        before[name] = set(named[name]).union(*(before[other] for other in named[name]))
    return before


def in_sequence(operations: Sequence[Operation], before: Mapping[str, set[str]]) -> list[Operation]:
    """Order operations: what must come first, then by bay and axle, then as declared."""
    waiting = list(operations)
    done: list[Operation] = []
    while waiting:
        names = {pending.name for pending in waiting}
        ready = [pending for pending in waiting if not before[pending.name] & names]
        last = done[-1] if done else None

        def turn(operation: Operation, last: Operation | None = last) -> tuple[bool, bool]:
            same_station = last is not None and operation.station == last.station
            same_axle = last is not None and axle_of(operation) == axle_of(last)
            return not (same_station and same_axle), not same_station

        # The first of equals is the one declared first.
        following = min(ready, key=turn)
        waiting.remove(following)
        done.append(following)
    return done


def axle_of(operation: Operation) -> str:
    """Say at which axle an operation is done; empty where its name tells of none or both.

    Examples
    --------
    >>> from configurator.model.rules import Operation
    >>> axle_of(Operation("fit the rear brakes", bool, (), 1.0))
    'rear'
    """
    named = [axle for axle in AXLES if axle in operation.name.split()]
    return named[0] if len(named) == 1 else ""


def waits_of(
    evaluation: Evaluation, operation: Operation, choice: Mapping[str, Option]
) -> list[AwaitedPart]:
    """List the new parts that an operation waits for: those of the positions it reads.

    Positions behind a figure count only where it reads none by name.
    """
    named = [rule_input.reference for rule_input in operation.inputs]
    places = {item.position for item in named if isinstance(item, PartValue)}
    reach = places or evaluation.reach(operation)
    return [wait for wait in _new_parts(evaluation, choice) if wait.position in reach]


def _new_parts(evaluation: Evaluation, choice: Mapping[str, Option]) -> list[AwaitedPart]:
    vehicles = evaluation.case.job.vehicles
    return [
        AwaitedPart(position, option.key, option.part.title, wait_of(option, vehicles))
        for position, option in choice.items()
        if option.changed and option.key != NOTHING
    ]


def _nearest(
    operations: Sequence[Operation], before: Mapping[str, set[str]]
) -> dict[str, list[str]]:
    """Of what must come before each, leave out what something nearer already waits for."""
    names = [operation.name for operation in operations]
    nearest = {}
    for name in names:
        earlier = [other for other in names if other in before[name]]
        nearest[name] = [
            other for other in earlier if not any(other in before[nearer] for nearer in earlier)
        ]
    return nearest


def _chain(
    done: Mapping[str, WorkStep], decided_by: Mapping[str, str | AwaitedPart | None]
) -> tuple[tuple[str, ...], AwaitedPart | None]:
    """Follow back what decides the last finish."""
    if not done:
        return (), None
    name = max(done, key=lambda item: done[item].finish)
    chain = [name]
    while isinstance(by := decided_by[name], str):
        name = by
        chain.append(name)
    return tuple(reversed(chain)), by
