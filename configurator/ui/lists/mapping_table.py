"""A mapping as rows of a table that can be edited, and back."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any

from configurator.files.part_columns import COMMON_COLUMNS
from configurator.model.parts import attributes_of
from configurator.supplier_lists.mapping import Mapping, Source
from configurator.supplier_lists.notations.registry import NOTATIONS, value_taken

if TYPE_CHECKING:
    from collections.abc import Mapping as Table
    from collections.abc import Sequence

    from configurator.model.parts import Family

OURS, THEIRS, UNIT, READ, SURE, WHY = (
    "our column", "supplier's column", "unit", "read as", "right", "why",
)  # fmt: skip
NOT_TAKEN = ""
SEPARATOR = " + "


def readings() -> list[str]:
    """List what a column may be read as: nothing, a notation, or one value of it."""
    choices = [""]
    for notation in NOTATIONS.values():
        choices.append(notation.name)
        if len(notation.gives) > 1:
            choices += [f"{notation.name}: {value}" for value in notation.gives]
    return choices


def table_rows(mapping: Mapping, family: Family) -> list[dict[str, Any]]:
    """Return a row for each column of ours, those that are taken first."""
    names = [*COMMON_COLUMNS, *(attribute.name for attribute in attributes_of(family))]
    needed = {attribute.name for attribute in attributes_of(family) if attribute.required}
    rows = []
    for name in sorted(
        names, key=lambda column: (column not in mapping.columns, column not in needed)
    ):
        source = mapping.columns.get(name, Source(NOT_TAKEN, confirmed=False))
        read = f"{source.read}: {source.take}" if source.take else source.read
        rows.append(
            {
                OURS: name,
                THEIRS: SEPARATOR.join(source.headings),
                UNIT: source.unit,
                READ: read,
                SURE: source.confirmed and bool(source.headings),
                WHY: source.why,
            }
        )
    return rows


def mapping_of(
    mapping: Mapping, rows: Sequence[Table[str, Any]], headings: Sequence[str]
) -> Mapping:
    """Return a mapping as the edited table says.

    Parameters
    ----------
    mapping
        As it was: words, factors and all that the table does not show stay.
    rows
        Of the table.
    headings
        Of the supplier's list, in order.
    """
    columns: dict[str, Source] = {}
    for row in rows:
        taken = [text for text in str(row[THEIRS] or "").split(SEPARATOR) if text in headings]
        if not taken:
            continue
        name = str(row[OURS])
        before = mapping.columns.get(name, Source(""))
        read, _, take = str(row[READ] or "").partition(": ")
        notation = NOTATIONS.get(read)
        if notation is not None and not value_taken(notation, name, take):
            take = notation.gives[0]  # shown at once, and corrected there
        columns[name] = replace(
            before,
            heading=taken[0],
            beside=tuple(taken[1:]),
            unit=str(row[UNIT] or "").strip(),
            read=read,
            take=take,
            confirmed=bool(row[SURE]),
        )
    read_from = {heading for source in columns.values() for heading in source.headings}
    ignore = tuple(heading for heading in headings if heading not in read_from)
    return replace(mapping, columns=columns, ignore=ignore)


def with_words(mapping: Mapping, name: str, words: Table[str, str]) -> Mapping:
    """Return a mapping in which the words of a column are matched to ours."""
    columns = {**mapping.columns, name: replace(mapping.columns[name], words=dict(words))}
    return replace(mapping, columns=columns)
