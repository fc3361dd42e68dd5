"""Read a fleet: jobs of several vehicles, and what they are to share."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from configurator.core.text import Report, sound
from configurator.files import toml_files
from configurator.model.knowledge import positions_of
from configurator.model.parts import Attribute

if TYPE_CHECKING:
    from pathlib import Path

    from configurator.files.toml_files import TomlTable
    from configurator.model.knowledge import Trade

_COUNT = Attribute("count", "How many of it there are.", "", "whole", 1, 1000)


@dataclass(frozen=True, slots=True)
class Fleet:
    """A fleet as its file says it.

    Parameters
    ----------
    title
        For words.
    share
        Positions where all vehicles are to have the same part.
    jobs
        File of each vehicle's job, and how many of it there are.
    """

    title: str
    share: tuple[str, ...]
    jobs: tuple[tuple[Path, int], ...]


def read_fleet(path: Path, trade: Trade) -> Fleet:
    """Read a fleet's file; jobs are looked up beside it.

    Raises
    ------
    InputError
        With everything that is wrong with it.
    """
    report = Report()
    top = toml_files.load(path, path.name, report)
    fleet = None if top is None else _fleet(top, path.parent, trade, report)
    return sound(fleet, report)


def _fleet(top: TomlTable, folder: Path, trade: Trade, report: Report) -> Fleet:
    toml_files.refuse_unknown(top, ("title", "share", "vehicles"))
    positions = positions_of(trade)
    share = toml_files.texts(top, "share")
    if not share:
        report.error(top.where, "nothing is shared", 'write share = ["tyres"]')
    for position in share:
        if position not in positions:
            toml_files.unknown(top, "share", position, "position", positions)
    entries = top.entries.get("vehicles")
    jobs: list[tuple[Path, int]] = []
    if not isinstance(entries, list) or not entries:
        report.error(top.where, "there are no vehicles", 'write [[vehicles]] with job = "FILE"')
        entries = []
    for number, entry in enumerate(entries, 1):
        where = f"{top.where}, [[vehicles]] {number}"
        if not isinstance(entry, dict):
            report.error(where, "it is no table", 'write [[vehicles]] with job = "FILE"')
            continue
        table = toml_files.TomlTable(where, entry, report)
        toml_files.refuse_unknown(table, ("job", "count"))
        name = toml_files.text(table, "job", required='"wagon.toml"')
        count = toml_files.value(table, "count", _COUNT)
        if name is None:
            continue
        if not (folder / name).is_file():
            report.error(table.place("job"), f"{name!r} is not there", "name the file of a job")
            continue
        jobs.append((folder / name, count if isinstance(count, int) else 1))
    return Fleet(
        toml_files.text(top, "title", required='"..."') or "",
        tuple(dict.fromkeys(share)),
        tuple(jobs),
    )
