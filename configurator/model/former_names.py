"""Names that were changed: what a job, a vehicle's file or a list still calls by the old one."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from configurator.model.parts import AXLES

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping


@dataclass(frozen=True, slots=True)
class FormerNames:
    """Old name → the one it has now, of families, positions, attributes, figures and the like.

    Files that use an old name are read all the same, with a hint, as long as nothing else is
    declared under it. ``{axle}`` stands for ``front`` and ``rear``.

    Parameters
    ----------
    names
        Old → new.
    until
        The version of Fitwright, or of the plugin, that stops reading the old names.
    """

    names: Mapping[str, str]
    until: str = ""


def names_now(declared: Iterable[FormerNames]) -> dict[str, str]:
    """Return old name → new name, front and rear apart.

    Examples
    --------
    >>> names_now([FormerNames({"{axle} hubs": "{axle} hub reductions"})])["rear hubs"]
    'rear hub reductions'
    """
    spread: dict[str, str] = {}
    for former in declared:
        for old, new in former.names.items():
            for axle in AXLES if "{axle}" in old else ("",):
                spread[old.replace("{axle}", axle)] = new.replace("{axle}", axle)
    return spread


def name_now(name: str, former: Mapping[str, str], known: Iterable[str]) -> str:
    """Return what a name is called now; itself where it is declared, or was never changed.

    Examples
    --------
    >>> name_now("front hubs", {"front hubs": "front hub reductions"}, ["front hub reductions"])
    'front hub reductions'
    >>> name_now("front hubs", {"front hubs": "front hub reductions"}, ["front hubs", "tyres"])
    'front hubs'
    """
    new = former.get(name)
    if new is None:
        return name
    names = frozenset(known)
    return new if name not in names and new in names else name
