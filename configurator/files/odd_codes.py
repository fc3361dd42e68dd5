"""Codes that nothing else in a catalog uses: a thread, a spline or a flange that fits nothing.

A column of codes is one whose codes also stand elsewhere: in another list, or on a vehicle. A code
in it that stands nowhere else is likely misspelt, or its counterpart is missing.
"""

from __future__ import annotations

from collections import defaultdict
from difflib import get_close_matches
from typing import TYPE_CHECKING

from configurator.core.errors import Problem
from configurator.core.text import Report, shown
from configurator.files.vehicle_files import load_vehicle
from configurator.model.kinds import kind_of
from configurator.model.parts import attributes_of

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence
    from pathlib import Path

    from configurator.model.knowledge import Trade
    from configurator.model.parts import Attribute, Part, Value

_MOST_NAMED = 5


def doubt_codes(
    folder: Path,
    trade: Trade,
    parts: Mapping[str, Sequence[Part]],
    vehicles: Sequence[str],
    report: Report,
) -> list[Problem]:
    """Return the codes that nothing else uses, one message for each column.

    They are warnings where one is spelt nearly like a code that is used, or where most of a column
    is: that is likely a slip. Otherwise they may be for vehicles that the shop does not have.

    Parameters
    ----------
    folder
        Of the catalog.
    trade
        What plugins declare.
    parts
        Family → its parts.
    vehicles
        Keys of the catalog's vehicles.
    report
        Takes the warnings; they are not returned as well.
    """
    problems: list[Problem] = []
    used: dict[str, set[tuple[str, str]]] = defaultdict(set)
    columns: dict[tuple[str, str], dict[str, list[Part]]] = {}
    for key, listed in parts.items():
        for attribute in _coded(trade, key):
            where = (key, attribute.name)
            column = columns.setdefault(where, defaultdict(list))
            for part in listed:
                for code in codes_of(part.values[attribute.name]):
                    column[code].append(part)
                    used[code].add(where)
    for code, where in _on_vehicles(folder, trade, vehicles):
        used[code].add(where)
    for (key, name), column in columns.items():
        same = {key, f"fitted {key}"}  # a family shares words of its own with what is fitted of it
        shared = [code for code in column if any(place not in same for place, _ in used[code])]
        odd = [code for code in column if len(used[code]) == 1]
        if not shared or not odd:
            continue
        first = column[odd[0]][0]
        more = len(odd) - _MOST_NAMED
        named = ", ".join(map(shown, odd[:_MOST_NAMED])) + (f" and {more} more" if more > 0 else "")
        alike = {code: near for code in odd if (near := _alike(code, used, (key, name)))}
        hints = ", ".join(f"{shown(near)} for {shown(code)}" for code, near in alike.items())
        problem = Problem(
            f"{folder.name}/{first.place}, column {name!r}",
            f"nothing else in the catalog uses {named}",
            f"did you mean {hints}?" if hints else "check the spelling, or what it is to fit",
        )
        if alike or len(odd) > len(column) / 2:
            report.warnings.append(problem)
        else:
            problems.append(problem)
    return problems


def codes_of(value: Value) -> tuple[str, ...]:
    """Return the codes of a value: several of a set, one of a text, none of what is not known.

    Examples
    --------
    >>> codes_of("M14x1.5"), codes_of(frozenset({"RG200"})), codes_of(3.5)
    (('M14x1.5',), ('RG200',), ())
    """
    if isinstance(value, frozenset):
        return tuple(sorted(value))
    return (value,) if isinstance(value, str) and value else ()


def _coded(trade: Trade, family: str) -> Iterator[Attribute]:
    for attribute in attributes_of(trade.families[family]):
        if kind_of(attribute).has_choices and not attribute.choices:
            yield attribute


def _on_vehicles(
    folder: Path, trade: Trade, vehicles: Sequence[str]
) -> Iterator[tuple[str, tuple[str, str]]]:
    """Yield the codes of a catalog's vehicles; what is wrong with them is reported elsewhere."""
    for key in vehicles:
        vehicle = load_vehicle(folder, key, trade, Report())
        if vehicle is None:
            continue
        for name, value in vehicle.values.items():
            for code in codes_of(value):
                yield code, ("vehicle", name)
        for part in vehicle.fitted.values():
            if part is None:
                continue
            for attribute in _coded(trade, part.family):
                for code in codes_of(part.values[attribute.name]):
                    yield code, (f"fitted {part.family}", attribute.name)


def _alike(code: str, used: Mapping[str, set[tuple[str, str]]], own: tuple[str, str]) -> str:
    """Return a code used elsewhere that differs in spelling only, or nearly."""
    others = {_plain(other): other for other, where in used.items() if where - {own}}
    near = get_close_matches(_plain(code), others, n=1, cutoff=0.85)
    return others[near[0]] if near else ""


def _plain(code: str) -> str:
    return "".join(code.casefold().split()).replace(",", ".")
