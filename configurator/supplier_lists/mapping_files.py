"""The file of a mapping: read and checked, written, and changed with its comments kept."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

import tomlkit

from configurator.core.errors import nearest
from configurator.core.text import LONGEST_TEXT, Report, shown
from configurator.files import toml_files
from configurator.files.part_columns import COMMON_COLUMNS, PRICE
from configurator.model.former_names import name_now
from configurator.model.kinds import kind_of
from configurator.model.parts import attributes_of
from configurator.supplier_lists.mapping import Mapping, Source
from configurator.supplier_lists.notations.registry import ARITHMETIC, NOTATIONS, value_taken
from configurator.supplier_lists.text_tables import DELIMITER_NAMES, ENCODINGS

if TYPE_CHECKING:
    from collections.abc import Mapping as Table
    from collections.abc import Sequence
    from pathlib import Path

    from configurator.model.parts import Family
    from configurator.supplier_lists.notations.notation import Notation

MOST_HEADING_ROWS = 4
_KEYS = (
    "from", "read", "take", "unit", "currency", "confirmed", "why", "words", "multiply", "round",
)  # fmt: skip


def read_mapping(
    path: Path, family: Family, report: Report, former: Table[str, str] | None = None
) -> Mapping | None:
    """Read a mapping.

    Parameters
    ----------
    path
        Of the file.
    family
        Whose parts are imported.
    report
        Takes every problem.
    former
        Old name → new, of families and their columns: a mapping with old ones is read all the same.

    Returns
    -------
    Mapping or None
        None if there is an error.
    """
    before = len(report.errors)
    top = toml_files.load(path, path.name, report)
    if top is None:
        return None
    words = (
        "family", "sheet", "sheets", "headings", "encoding", "delimiter", "decimals", "hidden_rows",
        "withdrawn", "ignore", "columns", "same", "only",
    )  # fmt: skip
    toml_files.refuse_unknown(top, words)
    named = toml_files.text(top, "family", required=f'"{family.key}"')
    old = former or {}
    if named and name_now(named, old, [family.key]) != family.key:
        report.error(
            top.place("family"),
            f"this mapping is for {shown(named)}",
            f"name another mapping, or import with --family {named}",
        )
    numeric = frozenset(
        attribute.name for attribute in attributes_of(family) if kind_of(attribute).numeric
    )
    known = [*COMMON_COLUMNS, *(attribute.name for attribute in attributes_of(family))]
    columns = toml_files.renamed(toml_files.subtable(top, "columns"), known, old, "column")
    toml_files.refuse_unknown(columns, known, "column")
    same = toml_files.renamed(toml_files.subtable(top, "same"), known, old, "column")
    toml_files.refuse_unknown(same, known, "column")
    for name in same.entries:
        if name in columns.entries:
            report.error(same.place(name), "stands under [columns] as well", "delete one of them")
    mapping = Mapping(
        family.key,
        {name: _source(columns, name, numeric, report) for name in columns.entries},
        _heading_rows(top, report),
        {name: toml_files.text(same, name) or "" for name in same.entries},
        _only(top, report),
        toml_files.texts(top, "ignore"),
        _sheet_name(top),
        _one_of(top, "encoding", tuple(ENCODINGS), report),
        _one_of(top, "delimiter", tuple(DELIMITER_NAMES), report),
        _one_of(top, "decimals", ("comma", "point"), report),  # type: ignore[arg-type]
        _one_of(top, "hidden_rows", ("take", "leave out"), report),
        _one_of(top, "withdrawn", ("remove", "keep"), report) or "remove",
        toml_files.texts(top, "sheets"),
    )
    return mapping if len(report.errors) == before else None


def _sheet_name(top: toml_files.TomlTable) -> str:
    """Take the name of a sheet letter by letter: some are called by a blank or a line break."""
    name = top.entries.get("sheet", "")
    if isinstance(name, str) and len(name) <= LONGEST_TEXT:
        return name
    top.report.error(
        top.place("sheet"), f"{shown(name)} is not the name of a sheet", 'write sheet = "..."'
    )
    return ""


def _one_of(table: toml_files.TomlTable, key: str, known: tuple[str, ...], report: Report) -> str:
    word = toml_files.text(table, key) or ""
    if word and word not in known:
        report.error(
            table.place(key),
            f"{shown(word)} is not known",
            nearest(word, known, otherwise=f"use one of {', '.join(known)}"),
        )
        return ""
    return word


def _heading_rows(top: toml_files.TomlTable, report: Report) -> tuple[int, ...]:
    rows = top.entries.get("headings")
    sound = (
        isinstance(rows, list)
        and 0 < len(rows) <= MOST_HEADING_ROWS
        and all(type(row) is int and 0 < row <= 1000 for row in rows)
        and rows == list(range(rows[0], rows[0] + len(rows)))
    )
    if not sound:
        report.error(
            top.place("headings"),
            f"{shown(rows)} names no rows that follow each other" if rows else "is missing",
            "write headings = [1], or the numbers of the rows that hold the headings",
        )
        return (1,)
    return tuple(rows)  # type: ignore[arg-type]


def _only(top: toml_files.TomlTable, report: Report) -> dict[str, tuple[str, ...]]:
    table = toml_files.subtable(top, "only")
    only = {name: toml_files.texts(table, name) for name in table.entries}
    for name, texts in only.items():
        if not texts:
            report.error(
                table.place(name), "no texts are named", f'write {toml_files.spelt(name)} = ["..."]'
            )
    return only


def _source(
    columns: toml_files.TomlTable, name: str, numeric: frozenset[str], report: Report
) -> Source:
    written = columns.entries[name]
    if isinstance(written, str):
        columns = toml_files.TomlTable(columns.where, {name: {"from": written}}, report)
    entry = toml_files.subtable(columns, name)
    toml_files.refuse_unknown(entry, _KEYS)
    flags = {}
    for key, otherwise in (("confirmed", True), ("round", False)):
        value = entry.entries.get(key, otherwise)
        if not isinstance(value, bool):
            report.error(
                entry.place(key), f"{shown(value)} is neither true nor false", f"write {key} = true"
            )
        flags[key] = value is True
    multiply = entry.entries.get("multiply", "")
    if multiply != "" and (
        isinstance(multiply, bool)
        or not re.fullmatch(r"[0-9]{1,6}(\.[0-9]{1,9})?", str(multiply))
        or not float(multiply)
    ):
        report.error(
            entry.place("multiply"), f"{shown(multiply)} is no factor", "write multiply = 1.2"
        )
        multiply = ""
    words = toml_files.subtable(entry, "words")
    first, *beside = _headings(entry) or ("",)
    read = _one_of(entry, "read", tuple(NOTATIONS), report)
    take = toml_files.text(entry, "take") or ""
    if read:
        _check_notation(entry, NOTATIONS[read], name, take, 1 + len(beside))
    elif beside and name in numeric:
        report.error(
            entry.place("from"),
            "a number is read from several columns, and nothing says how",
            'write read = "sum" or the like beside it, or name one column',
        )
    return Source(
        first,
        toml_files.text(entry, "currency" if name == PRICE else "unit") or "",
        flags["confirmed"],
        toml_files.text(entry, "why") or "",
        {key: toml_files.text(words, key) or "" for key in words.entries},
        str(multiply),
        flags["round"],
        tuple(beside),
        read,
        take,
    )


def _headings(entry: toml_files.TomlTable) -> tuple[str, ...]:
    """Take one heading, or a list of them."""
    if isinstance(entry.entries.get("from"), list):
        headings = toml_files.texts(entry, "from")
        if not headings:
            entry.report.error(
                entry.place("from"), "names no heading", 'write from = ["...", "..."]'
            )
        return headings
    text = toml_files.text(entry, "from", required='"heading of the supplier\'s column"')
    return (text,) if text else ()


def _check_notation(
    entry: toml_files.TomlTable, notation: Notation, name: str, take: str, count: int
) -> None:
    """Refuse a notation that does not give what the column takes, or lacks a column."""
    needed = max(1, len(notation.inputs))
    if count < needed or (count > needed and notation.name not in ARITHMETIC):
        listed = ", ".join(notation.inputs) or "one column"
        entry.report.error(
            entry.place("from"),
            f"{notation.name!r} is read from {listed}; {count} named",
            f"write from = {list(notation.inputs or ('...',))}",
        )
    if not value_taken(notation, name, take):
        entry.report.error(
            entry.place("take" if take else "read"),
            f"{notation.name!r} gives {', '.join(notation.gives)}, and nothing says which of them "
            f"{name!r} takes",
            f'write take = "{notation.gives[0]}"',
        )


def write_mapping(mapping: Mapping, source: str, lacking: Sequence[str] = ()) -> str:
    """Write a mapping as TOML that a person can read and correct.

    Parameters
    ----------
    mapping
        What to write.
    source
        The file it was made for.
    lacking
        Columns that every part needs and that nothing was found for.
    """
    lines = [
        f"# How {_comment(source)} becomes the list {mapping.family}.csv. Read again next month.",
        "# A column with confirmed = false is not certain: look at it, then write true, correct it",
        "# or delete the line. Nothing is written to the catalog before.",
        f"family = {_quoted(mapping.family)}",
    ]
    lines += [
        f"{key} = {_quoted(value)}"
        for key, value in (
            ("sheet", mapping.sheet),
            ("encoding", mapping.encoding),
            ("delimiter", mapping.delimiter),
            ("decimals", mapping.decimals),
            ("hidden_rows", mapping.hidden_rows),
        )
        if value
    ]
    if mapping.sheets:
        lines.append(f"sheets = [{', '.join(map(_quoted, mapping.sheets))}]")
    lines += [
        f"headings = {list(mapping.headings)}  # rows; the parts begin below",
        "# What becomes of parts that the list no longer has: remove, or keep (several suppliers).",
        f"withdrawn = {_quoted(mapping.withdrawn)}",
        "# Columns of the supplier that are not taken.",
        f"ignore = [{', '.join(_quoted(item) for item in mapping.ignore)}]",
        "",
        "# Prices are what a customer pays, tax included. For a list without a tax of 20 %, write",
        "# multiply = 1.2 into the braces of the price; round = true rounds finer decimals.",
        "[columns]",
    ]
    lines += [
        f"{_quoted(name)} = {_inline(name, column)}" for name, column in mapping.columns.items()
    ]
    lines += [
        f'# {_quoted(name)} = {{ from = "..." }}  # every part needs it, and nothing was found'
        for name in lacking
    ]
    lines += ["", '[same]  # what holds for every part, such as: maker = "..."']
    lines += [f"{_quoted(name)} = {_quoted(text)}" for name, text in mapping.same.items()]
    lines += ["", '[only]  # rows to take, by the supplier\'s column, such as: "Group" = ["Tyres"]']
    lines += [
        f"{_quoted(name)} = [{', '.join(_quoted(text) for text in texts)}]"
        for name, texts in mapping.only.items()
    ]
    return "\n".join(lines) + "\n"


def _inline(name: str, source: Source) -> str:
    headings = ", ".join(map(_quoted, source.headings))
    entries = [f"from = [{headings}]" if source.beside else f"from = {_quoted(source.heading)}"]
    if source.read:
        entries.append(f"read = {_quoted(source.read)}")
    if source.take:
        entries.append(f"take = {_quoted(source.take)}")
    if source.unit or name == PRICE:  # an empty currency asks to be filled in
        entries.append(f"{'currency' if name == PRICE else 'unit'} = {_quoted(source.unit)}")
    if source.multiply:
        entries.append(f"multiply = {source.multiply}")
    if source.rounded:
        entries.append("round = true")
    if source.words:
        words = ", ".join(f"{_quoted(a)} = {_quoted(b)}" for a, b in source.words.items())
        entries.append(f"words = {{ {words} }}")
    if not source.confirmed:
        entries.append("confirmed = false")
    if source.why:
        entries.append(f"why = {_quoted(source.why)}")
    return f"{{ {', '.join(entries)} }}"


def _comment(text: str) -> str:
    return re.sub(r"[\x00-\x1f\x7f-\x9f\u2028\u2029]", " ", text)


def _quoted(text: str) -> str:
    r"""Quote a text for TOML.

    Examples
    --------
    >>> print(_quoted('31" \\ wide'))
    "31\" \\ wide"
    """
    return tomlkit.string(text).as_string()
