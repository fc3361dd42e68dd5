"""Phases of the work on a vehicle: what is done before what, whoever asks for it.

An operation says its phase; it waits for every operation of the phases before, at its own axle or
at none. So a family of parts brings its work into the sequence by itself, and nobody else's list of
work has to know it. Order within a phase is an operation's ``after``.

Examples
--------
>>> weld = Phase("welding", "Steel is joined.")
>>> gears = Phase("gears", "Ring gears are set up.", after=("welding",))
>>> sorted(phases_before({"welding": weld, "gears": gears})["gears"])
['welding']
"""

from __future__ import annotations

from dataclasses import dataclass
from graphlib import CycleError, TopologicalSorter
from typing import TYPE_CHECKING

from configurator.core.errors import PluginError

if TYPE_CHECKING:
    from collections.abc import Mapping


@dataclass(frozen=True, slots=True)
class Phase:
    """A part of the work that must be finished before others begin.

    Parameters
    ----------
    name
        As operations say it.
    meaning
        What is done in it.
    after
        Phases that must be finished before.
    before
        Phases that wait for this one: a plugin puts a phase of its own between two others.
    """

    name: str
    meaning: str
    after: tuple[str, ...] = ()
    before: tuple[str, ...] = ()
    plugin: str = ""


def phases_before(phases: Mapping[str, Phase]) -> dict[str, frozenset[str]]:
    """Say for each phase all that must be finished before it, however far back.

    Raises
    ------
    PluginError
        If phases wait for each other in a circle.
    """
    waits = {name: set(phase.after) for name, phase in phases.items()}
    for name, phase in phases.items():
        for later in phase.before:
            waits[later].add(name)
    try:
        order = list(TopologicalSorter(waits).static_order())
    except CycleError as problem:
        circle = list(reversed(problem.args[1]))
        raise PluginError(
            phases[circle[0]].plugin or circle[0],
            f"phases wait for each other in a circle: {' waits for '.join(map(repr, circle))}",
            "take one of them out of the other's 'after' or 'before'",
        ) from problem
    before: dict[str, frozenset[str]] = {}
    for name in order:
        before[name] = frozenset(waits[name]).union(*(before[other] for other in waits[name]))
    return before
