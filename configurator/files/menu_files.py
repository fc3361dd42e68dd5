"""Read a menu: vehicles, levels of goals and shared parts of which all combinations are priced."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import tomlkit

from configurator.core.text import Report, shown, sound
from configurator.files import toml_files
from configurator.model.knowledge import positions_of

if TYPE_CHECKING:
    from collections.abc import Mapping
    from pathlib import Path

    from configurator.files.toml_files import TomlTable
    from configurator.model.knowledge import Trade

_KEYS = ("title", "vehicles", "catalogs", "workshop", "budget", "conditions", "goals", "fixed")
_BOUNDS = ("at_least", "at_most")


@dataclass(frozen=True, slots=True)
class Menu:
    """A menu as its file says it.

    Parameters
    ----------
    title
        For words.
    vehicles
        Keys of the vehicles.
    goals
        Figure → bound → its levels, as they are written.
    fixed
        Position → keys of the parts to be tried there.
    common
        What all its jobs say: catalogs, workshop, budget, conditions.
    """

    title: str
    vehicles: tuple[str, ...]
    goals: Mapping[str, Mapping[str, tuple[str, ...]]]
    fixed: Mapping[str, tuple[str, ...]]
    common: Mapping[str, Any]

    def job_text(
        self, vehicle: str, goals: Mapping[str, Mapping[str, str]], fixed: Mapping[str, str]
    ) -> str:
        """Write one of its jobs as the text of a file."""
        job: dict[str, Any] = {"title": f"{self.title}: {vehicle}", "vehicle": vehicle}
        job |= self.common
        if goals:
            job["goals"] = {figure: dict(bounds) for figure, bounds in goals.items()}
        if fixed:
            job["fixed"] = dict(fixed)
        return tomlkit.dumps(job)


def read_menu(path: Path, trade: Trade) -> Menu:
    """Read a menu's file.

    Raises
    ------
    InputError
        With everything that is wrong with it; levels and parts are checked with each job.
    """
    report = Report()
    top = toml_files.load(path, path.name, report)
    return sound(None if top is None else _menu(top, trade, report), report)


def _menu(top: TomlTable, trade: Trade, report: Report) -> Menu:
    toml_files.refuse_unknown(top, _KEYS)
    vehicles = toml_files.texts(top, "vehicles")
    catalogs = toml_files.texts(top, "catalogs")
    for key, values in (("vehicles", vehicles), ("catalogs", catalogs)):
        if not values and key not in {p.where for p in report.errors}:
            report.error(top.where, f"there are no {key}", f'write {key} = ["..."]')
    figures = {**trade.figures, **trade.totals}
    goals: dict[str, dict[str, tuple[str, ...]]] = {}
    table = toml_files.subtable(top, "goals")
    for figure in table.entries:
        if figure not in figures:
            toml_files.unknown(table, figure, figure, "figure", figures)
            continue
        bounds = toml_files.subtable(table, figure)
        toml_files.refuse_unknown(bounds, _BOUNDS)
        goals[figure] = {
            bound: _several(bounds, bound) for bound in _BOUNDS if bound in bounds.entries
        }
    positions = positions_of(trade)
    parts = toml_files.subtable(top, "fixed")
    fixed: dict[str, tuple[str, ...]] = {}
    for position in parts.entries:
        if position not in positions:
            toml_files.unknown(parts, position, position, "position", positions)
            continue
        fixed[position] = _several(parts, position)
    common: dict[str, Any] = {"catalogs": list(catalogs)}
    for key in ("workshop", "budget"):
        text = toml_files.text(top, key)
        if text is not None:
            common[key] = text
    conditions = toml_files.subtable(top, "conditions")
    if conditions.entries:
        common["conditions"] = dict(conditions.entries)
    title = toml_files.text(top, "title", required='"..."') or ""
    return Menu(title, tuple(dict.fromkeys(vehicles)), goals, fixed, common)


def _several(table: TomlTable, key: str) -> tuple[str, ...]:
    """Read one text or a list of them."""
    written = table.entries[key]
    if isinstance(written, str):
        return (written,)
    if isinstance(written, list) and written and all(isinstance(each, str) for each in written):
        return tuple(dict.fromkeys(written))
    table.report.error(
        table.place(key), f"{shown(str(written))} is no list of texts", 'write ["...", "..."]'
    )
    return ()
