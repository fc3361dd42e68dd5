"""A sheet as PDF, spreadsheet and Markdown; text of catalogs stays text in each of them."""

from __future__ import annotations

import io
import json
import re
from dataclasses import asdict, replace
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Any

from configurator.core.atomic_files import write_atomically
from configurator.core.errors import InputError, Problem
from configurator.documents.layout import Number, ToFill

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from configurator.documents.layout import Cell, Sheet, SheetTable

KINDS = (".pdf", ".xlsx", ".md")
# The longest name of a tab, and what may not be in it.
TAB, NOT_IN_TAB = 31, re.compile(r"[\[\]:*?/\\']")
# Numbers of papers in a spreadsheet: ISO/IEC 29500-1, 18.3.1.63 (from memory).
PAPERS = {"us-letter": 1, "a4": 9}
WIDEST = 60  # letters in a column of a spreadsheet; longer text is wrapped
# What a font shows as nothing and a reader of the text stumbles over.
_CONTROLS = re.compile(r"[\x00-\x08\x0b-\x1f\x7f-\x9f\ufffe\uffff]")


def write(sheet: Sheet, path: Path) -> None:
    """Write a sheet as what its file is called: ``.pdf``, ``.xlsx`` or ``.md``.

    Raises
    ------
    InputError
        If the name ends in something else, its folder is not there, or it cannot be written; what
        was there before is unchanged then.
    """
    check_names([path])
    kind = path.suffix.lower()
    made = pdf(sheet) if kind == ".pdf" else xlsx(sheet) if kind == ".xlsx" else markdown(sheet)
    # Whom it is for stands on it, which is nobody else's business on a shared computer.
    write_atomically(path, made, private=True)


def check_names(paths: Sequence[Path]) -> None:
    """Refuse files whose kind is not clear or whose folder is not there, before anything long.

    Raises
    ------
    InputError
        With all of them.
    """
    problems = [
        Problem(
            str(path),
            "what kind of file this is to be is not clear",
            f"let its name end in {', '.join(KINDS[:-1])} or {KINDS[-1]}",
        )
        for path in paths
        if path.suffix.lower() not in KINDS
    ]
    if problems:
        raise InputError(problems)
    check_folders(paths)


def check_folders(paths: Sequence[Path]) -> None:
    """Refuse files whose folder is not there.

    Raises
    ------
    InputError
        With all of them.
    """
    problems = [
        Problem(str(path), "its folder is not there", "make the folder or name another")
        for path in paths
        if not path.absolute().parent.is_dir()
    ]
    if problems:
        raise InputError(problems)


def pdf(sheet: Sheet) -> bytes:
    """Set a sheet in type: tagged, its text can be selected; it goes in as JSON, not as markup."""
    return bytes(_compiler().compile(sys_inputs={"data": json.dumps(data_of(sheet))}))


@cache
def _compiler() -> Any:
    import typst

    # Kept: finding the fonts takes longer than setting a sheet.
    return typst.Compiler(str(Path(__file__).with_name("sheet.typ")))


def data_of(sheet: Sheet) -> dict[str, Any]:
    """Return a sheet as plain JSON for the template."""
    data: dict[str, Any] = _sound(asdict(replace(sheet, letterhead=None)))
    data["name"] = _sound(sheet.name)
    head = sheet.letterhead
    if head is not None:
        data["letterhead"] = {
            "name": _sound(head.name),
            "lines": _sound(head.lines),
            "png": list(head.png),
            "svg": head.svg,
        }
    data["sections"] = [_sound(asdict(item)) for item in sheet.filled]
    return data


def _sound(value: Any) -> Any:
    """Make plain JSON of values; signs that cannot be set are shown as such."""
    if isinstance(value, dict):
        return {key: _sound(element) for key, element in value.items()}
    if isinstance(value, list | tuple):
        return [_sound(element) for element in value]
    if isinstance(value, str):
        return _CONTROLS.sub("\ufffd", re.sub(r"[\t\n]+", " ", value))
    return value if isinstance(value, int | float) or value is None else str(value)


# -- a spreadsheet --------------------------------------------------------------------------------


def xlsx(sheet: Sheet) -> bytes:
    """Return a sheet as a spreadsheet: a tab per table, amounts as numbers, every text as text."""
    import xlsxwriter

    options = {"strings_to_formulas": False, "strings_to_urls": False, "in_memory": True}
    data = io.BytesIO()
    book = xlsxwriter.Workbook(data, options)
    book.set_properties({"title": f"{sheet.name}: {sheet.title}"})
    bold = book.add_format({"bold": True})
    wrapped = book.add_format({"text_wrap": True, "valign": "top"})
    notes = book.add_worksheet("Notes")
    for section in sheet.filled:
        if section.table is not None and section.table.rows:
            name = _tab_name(section.short or section.heading, book.sheetnames)
            _fill(book, book.add_worksheet(name), section.table, bold, wrapped)
    for tab in book.worksheets():
        tab.set_paper(PAPERS[sheet.paper])
        tab.fit_to_pages(1, 0)
    lines: list[tuple[str, Any]] = [(f"{sheet.name}: {sheet.title}", bold)]
    head = sheet.letterhead
    top = [*((head.name, *head.lines) if head else ()), *sheet.receiver, *sheet.lines]
    lines += [(line, wrapped) for line in top if line]
    for section in sheet.filled:
        sentences = [*section.sentences, *section.items]
        if sentences:
            lines += [
                ("", wrapped),
                (section.heading, bold),
                *((sentence, wrapped) for sentence in sentences),
            ]
    notes.set_column(0, 0, 100)
    row = 0
    for text, form in lines:
        notes.write_string(row, 0, text[:32767], form)
        row += 1
    for section in sheet.filled:
        for drawing in section.drawings:
            row += 1
            notes.write_string(row, 0, f"{drawing.title}: the drawing is in the PDF.", wrapped)
    book.close()
    return data.getvalue()


def _fill(book: Any, tab: Any, table: SheetTable, bold: Any, wrapped: Any) -> None:
    tab.freeze_panes(1, 0)
    tab.repeat_rows(0)
    tab.set_landscape()
    every: list[Sequence[Cell]] = [[column.heading for column in table.columns], *table.rows]
    for row, cells in enumerate(every):
        for column, cell in enumerate(cells):
            if isinstance(cell, Number):
                form = book.add_format({"num_format": cell.form, "valign": "top"})
                tab.write_number(row, column, float(cell.value), form)
            elif isinstance(cell, str):
                tab.write_string(row, column, cell[:32767], wrapped if row else bold)
    for column in range(len(table.columns)):
        longest = max((len(_text(cells[column])) for cells in every), default=0)
        tab.set_column(column, column, min(WIDEST, longest + 2))


def _tab_name(text: str, taken: Iterable[str] = ()) -> str:
    """Shorten a heading to the name of a tab that is not taken.

    Examples
    --------
    >>> _tab_name("Parts: what and why?"), _tab_name("parts", ["Notes", "Parts"])
    ('Parts  what and why', 'parts 2')
    """
    # A spreadsheet keeps the name "History" for itself.
    used = {item.casefold() for item in (*taken, "history")}
    plain = NOT_IN_TAB.sub(" ", _CONTROLS.sub(" ", text)).strip()[:TAB].strip() or "Table"
    name, number = plain, 1
    while name.casefold() in used:
        number += 1
        name = f"{plain[: TAB - 4].strip()} {number}"
    return name


def _text(cell: Cell) -> str:
    if isinstance(cell, Number):
        return cell.text
    return "" if isinstance(cell, ToFill) else cell


# -- Markdown -------------------------------------------------------------------------------------


def markdown(sheet: Sheet) -> str:
    """Write a sheet as Markdown without any HTML; drawings are named, not shown."""
    lines = [f"# {_plain(f'{sheet.kind}: {sheet.title}')}", ""]
    head = sheet.letterhead
    top = [*((head.name, *head.lines) if head else ()), *sheet.receiver, *sheet.lines]
    lines += [part for line in top if line for part in (_plain(line), "")]
    for section in sheet.filled:
        lines += [f"## {_plain(section.heading)}", ""]
        lines += [part for sentence in section.sentences for part in (_plain(sentence), "")]
        if section.items:
            lines += [*(f"- {_plain(entry)}" for entry in section.items), ""]
        table = section.table
        if table is not None and table.rows:
            lines += [_row([column.heading for column in table.columns])]
            lines += ["| " + " | ".join("--:" if c.right else "---" for c in table.columns) + " |"]
            lines += [*(_row(cells) for cells in table.rows), ""]
        for drawing in section.drawings:
            lines += [f"Drawing: {_plain(drawing.title)}, in the PDF.", ""]
    return "\n".join(lines)


def _row(cells: Sequence[Cell]) -> str:
    texts = [
        ("[ ]" if cell.kind == "tick" else "") if isinstance(cell, ToFill) else _plain(_text(cell))
        for cell in cells
    ]
    return f"| {' | '.join(texts)} |"


def _plain(text: str) -> str:
    r"""Keep signs that mean something in Markdown or HTML from meaning it.

    Examples
    --------
    >>> print(_plain("a|b <i>"))
    a\|b \<i\>
    """
    one_line = re.sub(r"[\x00-\x1f\x7f-\x9f\u2028\u2029]+", " ", text)
    return re.sub(r"([\\`*_\[\]<>|#&])", r"\\\1", one_line)
