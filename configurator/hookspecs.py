"""The hooks a plugin may implement. With `configurator.plugin`, the whole extension surface.

Most plugin files implement none of them: whatever a file declares at its top level (families,
measures, conditions, practices, phases, rules, former names) is taken as its answer. Implement a
hook where the answer depends on the context.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import pluggy

if TYPE_CHECKING:
    from configurator.model.former_names import FormerNames
    from configurator.model.parts import Family
    from configurator.model.phases import Phase
    from configurator.model.rules import Rule
    from configurator.model.vehicles import Condition, Measure, Practice

PROJECT = "fitwright"
INTERFACE = (1, 1)

hookspec = pluggy.HookspecMarker(PROJECT)
hookimpl = pluggy.HookimplMarker(PROJECT)


@dataclass(frozen=True, slots=True)
class Context:
    """What a hook may know when it is asked.

    Parameters
    ----------
    version
        Of Fitwright.
    interface
        Version of the plugin interface, ``(major, minor)``.
    """

    version: str
    interface: tuple[int, int] = INTERFACE


@hookspec
def families(context: Context) -> list[Family]:
    """Kinds of parts: their lists, attributes and positions."""
    raise NotImplementedError


@hookspec
def measures(context: Context) -> list[Measure]:
    """Figures of the vehicle that rules read, with how a workshop measures them."""
    raise NotImplementedError


@hookspec
def conditions(context: Context) -> list[Condition]:
    """Statements about the use of the vehicle that a job may make."""
    raise NotImplementedError


@hookspec
def practices(context: Context) -> list[Practice]:
    """Numbers of workshop practice that a shop may change in its settings."""
    raise NotImplementedError


@hookspec
def phases(context: Context) -> list[Phase]:
    """Phases of the work, and which of them wait for which."""
    raise NotImplementedError


@hookspec
def rules(context: Context) -> list[Rule]:
    """Figures, limits, fits, totals, operations and cautions."""
    raise NotImplementedError


@hookspec
def former_names(context: Context) -> list[FormerNames]:
    """Names that were changed, under which files may still call what is declared."""
    raise NotImplementedError
