"""Read TOML files with every problem named by file and key."""

from __future__ import annotations

import codecs
import datetime
import re
import tomllib
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from configurator.core import clock, money
from configurator.core.errors import UnitError, nearest
from configurator.core.money import Money
from configurator.core.paths import why_no_file
from configurator.core.text import Misread, Report, clean, shown
from configurator.model.former_names import name_now
from configurator.model.kinds import kind_of
from configurator.model.values import reader

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from configurator.model.parts import Attribute, Value

LARGEST_FILE = 2_000_000  # bytes; these files are written by hand
OLD_NAME = "write the new name; the old one is read for this version only"


@dataclass(frozen=True, slots=True)
class TomlTable:
    """A table of a TOML file and where it stands.

    Parameters
    ----------
    where
        The file, and the heading of the table unless it is the top one.
    entries
        What is in it.
    report
        Takes what is wrong with it.
    """

    where: str
    entries: dict[str, Any]
    report: Report

    def place(self, key: str) -> str:
        """Say where a key is."""
        return f"{self.where}, {key if len(key) <= 80 else key[:77] + '...'!r}"


def spelt(key: str) -> str:
    """Spell a key as TOML does: in quotes unless it is bare.

    Examples
    --------
    >>> spelt("tyres"), spelt("engine speed")
    ('tyres', '"engine speed"')
    """
    return key if re.fullmatch(r"[A-Za-z0-9_-]+", key) else f'"{shown(key)[1:-1]}"'


def load(source: Path | str | bytes, where: str, report: Report) -> TomlTable | None:
    """Read a TOML file, or TOML text.

    Parameters
    ----------
    source
        A path, the text itself, or what is in a file.
    where
        What to call it in messages.
    report
        Takes the problems.

    Returns
    -------
    Table or None
        None if it cannot be read at all.
    """
    text: str | None
    if isinstance(source, Path):
        text = _text_of(source, where, report)
    elif len(source) > LARGEST_FILE:
        report.error(where, "the text is too long", "give a TOML text of a few pages")
        return None
    else:
        text = (
            source.removeprefix("\ufeff")
            if isinstance(source, str)
            else _decoded(source, where, report)
        )
    if text is None:
        return None
    try:
        return TomlTable(where, tomllib.loads(text), report)
    except tomllib.TOMLDecodeError as problem:
        sentences = str(problem)
        line = re.search(r"\(at line (\d+), column \d+\)", sentences)
        what = re.sub(r"\s*\(at [^()]*\)$", "", sentences)
        place = f"{where} line {line[1]}" if line else f"{where}, end of the file"
        report.error(
            place, f"TOML: {shown(what)[1:-1]}", "check signs, quotes and brackets up to there"
        )
    except (ValueError, RecursionError):  # numbers too long for Python, brackets too deep
        report.error(where, "TOML: a number or a nesting out of all bounds", "make it simpler")
    return None


def _text_of(path: Path, where: str, report: Report) -> str | None:
    if cause := why_no_file(path):
        report.error(where, f"cannot be opened: {cause}", "put a file in its place")
        return None
    try:
        with path.open("rb") as file:
            data = file.read(LARGEST_FILE + 1)
    except (OSError, ValueError) as problem:  # ValueError: a NUL in the path
        reason = getattr(problem, "strerror", None) or problem
        report.error(where, f"cannot be opened: {reason}", "check the name and the rights")
        return None
    if len(data) > LARGEST_FILE:
        report.error(where, "the file is too large", "give a TOML file of a few pages")
        return None
    return _decoded(data, where, report)


def _decoded(data: bytes, where: str, report: Report) -> str | None:
    if data[:2] in (codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE) or b"\0" in data[:400]:
        report.error(where, "encoded as UTF-16, or no text at all", "save the file as UTF-8")
        return None
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as problem:
        line = data.count(b"\n", 0, problem.start) + 1
        report.error(f"{where} line {line}", "not encoded as UTF-8", "save the file as UTF-8")
        return None
    if "\r" in text and "\n" not in text:
        report.error(
            where,
            "its lines end with CR alone, so that all of it is one line",
            "save the file with line ends LF or CR LF",
        )
        return None
    return text


def refuse_unknown(
    table: TomlTable, known: Iterable[str], what: str = "key", *, lost: bool = False
) -> None:
    """Report every key that means nothing here.

    With ``lost``, what is declared is known to be incomplete, since a plugin could not be loaded:
    then it is a warning only.
    """
    names = frozenset(known)
    for key in table.entries:
        if key in names:
            continue
        if lost:
            table.report.warn(
                table.place(key),
                f"{what} {shown(key)} is not known",
                "see why a plugin was not loaded, or check the spelling",
            )
        else:
            unknown(table, key, key, what, names)


def renamed(
    table: TomlTable, known: Iterable[str], former: Mapping[str, str], what: str
) -> TomlTable:
    """Put the names of today for old ones among a table's keys, with a hint for each.

    Parameters
    ----------
    table
        With names as keys.
    known
        Those that are declared.
    former
        Old name → the one it has now.
    what
        A key is, in a word.
    """
    names = frozenset(known)
    entries: dict[str, Any] = {}
    for key, value in table.entries.items():
        new = now(table, key, names, former, what)
        if new != key and new in table.entries:
            table.report.error(table.place(key), f"{new!r} stands there too", "delete one of them")
            continue
        entries[new] = value
    return TomlTable(table.where, entries, table.report)


def now(
    table: TomlTable, name: str, known: Iterable[str], former: Mapping[str, str], what: str
) -> str:
    """Return what a name is called now; with a hint if that is another."""
    new = name_now(name, former, known)
    if new != name:
        table.report.warn(
            table.place(name),
            f"the {what} is called {new!r} now",
            OLD_NAME,
        )
    return new


def unknown(table: TomlTable, key: str, name: str, what: str, known: Iterable[str]) -> None:
    """Report an unknown name at a key, with the nearest known one."""
    names = sorted(known)
    listed = f"use one of {', '.join(names)}" if 0 < len(names) <= 14 else "check the spelling"
    table.report.error(
        table.place(key),
        f"{what} {shown(name)} is not known",
        nearest(name, names, otherwise=listed if names else "delete it"),
    )


def text(table: TomlTable, key: str, *, required: str = "", lines: bool = False) -> str | None:
    """Take a text.

    Parameters
    ----------
    table, key
        Where it is.
    required
        An example of it, if it must be there.
    lines
        Whether it may have several lines, which are joined.
    """
    value = table.entries.get(key)
    if value is None:
        if required:
            table.report.error(
                table.where, f"{key!r} is missing", f"write {spelt(key)} = {required}"
            )
        return None
    if not isinstance(value, str):
        table.report.error(
            table.place(key),
            f"{shown(value)} is not a text",
            f'write {spelt(key)} = "..." in quotes',
        )
        return None
    try:
        written = clean(" ".join(value.split()) if lines else value)
    except Misread as problem:
        table.report.misread(table.place(key), problem)
        return None
    if not written and required:
        table.report.error(
            table.place(key), "the text is empty", f"write {spelt(key)} = {required}"
        )
        return None
    return written


def texts(table: TomlTable, key: str) -> tuple[str, ...]:
    """Take a list of texts; nothing if it is not there."""
    value = table.entries.get(key, [])
    if not isinstance(value, list) or not all(isinstance(item, str) for item in value):
        table.report.error(
            table.place(key),
            f"{shown(value)} is not a list of texts",
            f'write {spelt(key)} = ["..."]',
        )
        return ()
    return cleaned(table, key, value)


def cleaned(table: TomlTable, key: str, given: Iterable[str]) -> tuple[str, ...]:
    """Take several texts, each by itself: one that cannot be taken is reported and left out."""
    values = []
    for element in given:
        try:
            values.append(clean(element))
        except Misread as problem:
            table.report.misread(table.place(key), problem)
    return tuple(values)


def subtable(table: TomlTable, key: str) -> TomlTable:
    """Take a table within a table; an empty one if it is not there."""
    value = table.entries.get(key, {})
    heading = f"{table.where}, [{spelt(key)}]"
    if table.where.endswith("]"):  # [fitted] and tyres make [fitted.tyres]
        heading = f"{table.where[:-1]}.{spelt(key)}]"
    if not isinstance(value, dict):
        table.report.error(
            table.place(key),
            f"{shown(value)} is not a table",
            f"write [{spelt(key)}] with lines below it",
        )
        value = {}
    return TomlTable(heading, value, table.report)


def amount(table: TomlTable, key: str, *, required: str = "") -> Money | None:
    """Take an amount of money with its currency, not below zero."""
    value = table.entries.get(key)
    if isinstance(value, int | float) and not isinstance(value, bool):
        table.report.error(
            table.place(key),
            f"{shown(value)} has no currency",
            f'write {spelt(key)} = "{value} EUR"',
        )
        return None
    written = text(table, key, required=required)
    if written is None:
        return None
    try:
        read_value = money.read(written)
    except UnitError as problem:
        table.report.misread(table.place(key), problem)
        return None
    if read_value.minor < 0:
        table.report.error(table.place(key), f"{shown(written)} is below zero", "check the sign")
        return None
    return read_value


def is_currency(table: TomlTable, key: str, code: str) -> bool:
    """Whether a text is the code of a currency; reported at its key if not."""
    try:
        money.check_currency(code)
    except UnitError as problem:
        table.report.misread(table.place(key), problem)
        return False
    return True


def date(table: TomlTable, key: str) -> str:
    """Take a date that must be there, as ``2026-10-01``; empty if it is not sound."""
    value = table.entries.get(key)
    if value is None:
        table.report.error(table.where, f"{key!r} is missing", f"write {key} = 2026-10-01")
        return ""
    try:
        if isinstance(value, str):
            value = datetime.date.fromisoformat(value.strip())
    except ValueError:
        pass
    if isinstance(value, datetime.date) and not isinstance(value, datetime.datetime):
        if clock.of_this_time(value):
            return value.isoformat()
        what = f"{value} is not of this time"
        table.report.error(table.place(key), what, "check the year; write it as 2026-10-01")
        return ""
    table.report.error(table.place(key), f"{shown(value)} is no date", "write it as 2026-10-01")
    return ""


def value(table: TomlTable, key: str, attribute: Attribute) -> Value | None:
    """Take the value of an attribute; None if it is not there or not sound."""
    if key not in table.entries:
        return None
    try:
        return _value(key, table.entries[key], attribute)
    except Misread as problem:
        table.report.misread(table.place(key), problem)
        return None


def _value(key: str, written: Any, attribute: Attribute) -> Value:
    read, kind = reader(attribute, None), kind_of(attribute)
    if isinstance(written, str):
        if not written.strip():
            raise Misread(what="the text is empty", do="write a value or delete the line")
        return read(written)
    text = kind.text_of(written)
    if text is not None:
        try:
            return read(text)
        except Misread as problem:
            if "has no unit" in problem.what:
                raise Misread(
                    what=f"{written} has no unit",
                    do=f"write {spelt(key)} = '{written} {attribute.unit}'",
                ) from None
            raise
    if isinstance(written, int | float) and not isinstance(written, bool):
        raise Misread(
            what=f"{shown(written)} is a number", do=f'write {spelt(key)} = "{written}" in quotes'
        )
    raise Misread(
        what=f"{shown(written)} does not fit here",
        do=f'write {spelt(key)} = "{kind.example(attribute)}"',
    )
