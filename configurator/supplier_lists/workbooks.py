"""Read a sheet of a workbook row by row: saved values only, nothing is ever worked out.

The values are read by python-calamine (.xlsx, .xls, .ods); what it does not tell, such as hidden
rows and number formats, by `sheet_facts` and `open_documents`. An .xls tells none of that.
"""

from __future__ import annotations

import datetime
import re
import unicodedata
import zipfile
from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING
from xml.etree.ElementTree import ParseError

from defusedxml.common import DefusedXmlException
from python_calamine import (
    CalamineError,
    CalamineWorkbook,
    PasswordError,
    SheetTypeEnum,
    SheetVisibleEnum,
)

from configurator.core.text import shown
from configurator.supplier_lists.open_documents import CONTENT, document_facts
from configurator.supplier_lists.price_lists import (
    MOST_COLUMNS,
    PriceList,
    SheetRow,
    TypedNumber,
    letters,
    refuse,
    refused,
)
from configurator.supplier_lists.sheet_facts import LARGEST_AREA, SheetFacts, sheet_facts
from configurator.supplier_lists.workbook_parts import (
    sheet_members,
    telling_formats,
    text_members,
)
from configurator.supplier_lists.workbook_safety import (
    LARGEST_OTHER,
    broken,
    check_archive,
    refuse_long_texts,
)

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Sequence
    from pathlib import Path

    from python_calamine import CalamineSheet

_MOST_NAMED = 8
# Number, title and price: a sheet with fewer columns holds notes.
_FEWEST_COLUMNS = 3
_LARGEST_XLS = 64_000_000  # bytes; the format itself ends at 65,536 rows of 256 columns
ALL_SHEETS = "*"


@dataclass(frozen=True, slots=True)
class _Book:
    """A workbook that was found safe: its sheets in order, which are hidden, what they hold."""

    path: Path
    titles: tuple[str, ...]
    hidden: tuple[str, ...]
    facts: Callable[[str], SheetFacts]
    notes: list[str]


def open_workbook(
    path: Path, sheet: str = "", prefer: str = "", sheets: Sequence[str] = ()
) -> PriceList:
    """Open a sheet of a workbook, or several as one list.

    Parameters
    ----------
    path
        Of the workbook.
    sheet
        Name of the sheet; empty if only one holds anything.
    prefer
        The sheet to take if several do and it is among them.
    sheets
        Names of sheets that make one list; ``"*"`` for all that are visible and hold anything.

    Raises
    ------
    InputError
        If it is not safe, broken, or the sheet has to be named.
    """
    book = _old_book(path) if not _is_archive(path) else _archive(path)
    titles = _chosen(book, sheet, prefer, sheets)
    lists = []
    for title in titles:
        facts = book.facts(title)
        notes: list[str] = []
        _note(facts, notes)
        prefix = f"sheet {shown(title)}: " if len(titles) > 1 else ""
        book.notes.extend(f"{prefix}{note}" for note in notes)
        lists.append(_price_list(path, title, facts))
    first = lists[0]
    first.notes, first.further = book.notes, tuple(lists[1:])
    if len(titles) > 1:
        first.notes.insert(0, f"read as one list: {', '.join(map(shown, titles))}")
    return first


def _is_archive(path: Path) -> bool:
    with path.open("rb") as stream:
        return stream.read(2) == b"PK"


def _price_list(path: Path, title: str, facts: SheetFacts) -> PriceList:
    return PriceList(
        path.name,
        lambda: _rows(path, title, facts),
        sheet=title,
        merged=tuple(facts.merged),
        hidden_columns=frozenset(column for column in facts.hidden_columns if column < facts.width),
        without_value=frozenset(facts.without_value),
    )


def _archive(path: Path) -> _Book:
    """Look an .xlsx or .ods over, then name its sheets."""
    try:
        with zipfile.ZipFile(path) as archive:
            sizes = {member.filename: member.file_size for member in archive.infolist()}
    except (zipfile.BadZipFile, OSError, ValueError) as problem:
        raise broken(path, problem) from None
    if CONTENT in sizes and "xl/workbook.xml" not in sizes:
        check_archive(path, [CONTENT])
        every = document_facts(path)
        return _opened(path, lambda title: every.get(title, SheetFacts()), [])
    members = _members(path, sizes)
    names = check_archive(path, members.values(), text_members([*sizes]))
    if not members or "[Content_Types].xml" not in sizes:
        raise _unreadable(path, "a part is missing")
    try:
        formats = telling_formats(path)
    except (ParseError, DefusedXmlException, LookupError, ValueError):
        raise _unreadable(path, "its styles are no sound XML") from None
    notes = []
    linked = sum(name.startswith("xl/externalLinks/externalLink") for name in names)
    if linked:
        notes.append(f"formulas draw on {linked} other file(s); they were not looked into")
    if any(name.endswith("vbaProject.bin") for name in names):
        notes.append("holds macros; they were not run")
    known: dict[str, SheetFacts] = {}

    def facts(title: str) -> SheetFacts:
        if title not in known:
            member = members.get(title, "")
            if member not in sizes:
                raise _unreadable(path, f"there is no file for the sheet {shown(title)}")
            known[title] = sheet_facts(path, member, title, formats)
            for texts in text_members(names):
                refuse_long_texts(path, texts, known[title].cells)
        return known[title]

    for title in members:  # every sheet, before any is read: a reader lays them all out
        facts(title)
    return _opened(path, facts, notes)


def _members(path: Path, sizes: dict[str, int]) -> dict[str, str]:
    """Name the files of the sheets; none if the parts that name them are not sound."""
    parts = ("xl/workbook.xml", "xl/_rels/workbook.xml.rels")
    if any(sizes.get(part, LARGEST_OTHER) >= LARGEST_OTHER for part in parts):
        return {}
    try:
        return sheet_members(path)
    except (KeyError, ParseError, DefusedXmlException, LookupError, ValueError):
        return {}
    except (zipfile.BadZipFile, zipfile.zlib.error, OSError, RuntimeError) as problem:  # type: ignore[attr-defined]
        raise broken(path, problem) from None


def _old_book(path: Path) -> _Book:
    """Look an .xls over."""
    if path.stat().st_size > _LARGEST_XLS:
        refuse(path.name, "the workbook is too large", "save it as .xlsx, or divide the list")
    notes = [
        "a workbook of the old kind (.xls): number formats and hidden rows are not read of it; "
        "save it as .xlsx if part numbers begin with zeros or rows are hidden"
    ]
    return _opened(path, lambda title: _measured(path, title), notes)


def _measured(path: Path, title: str) -> SheetFacts:
    sheet = _sheet(path, title)
    end = sheet.end
    if end is None:
        return SheetFacts()
    merged = [
        (top + 1, left, bottom + 1, right)
        for (top, left), (bottom, right) in sheet.merged_cell_ranges or ()
    ]
    if end[1] >= MOST_COLUMNS or (end[0] + 1) * (end[1] + 1) > LARGEST_AREA:
        refuse(f"{path.name} sheet {title!r}", "is larger than a price list", "divide the list")
    return SheetFacts(merged=merged, width=end[1] + 1, last_row=end[0] + 1)


def _opened(path: Path, facts: Callable[[str], SheetFacts], notes: list[str]) -> _Book:
    book = _load(path)
    sheets = [sheet for sheet in book.sheets_metadata if sheet.typ == SheetTypeEnum.WorkSheet]
    hidden = tuple(sheet.name for sheet in sheets if sheet.visible != SheetVisibleEnum.Visible)
    return _Book(path, tuple(sheet.name for sheet in sheets), hidden, facts, notes)


def _load(path: Path) -> CalamineWorkbook:
    try:
        with path.open("rb") as stream:  # of a path, the reader would go by the name's ending
            return CalamineWorkbook.from_filelike(stream)
    except PasswordError:
        refuse(path.name, "is protected by a password", "save it without one")
    except CalamineError as problem:
        raise _unreadable(path, str(problem)) from None
    except BaseException as problem:
        raise _panicked(path, problem) from None


def _sheet(path: Path, title: str) -> CalamineSheet:
    try:
        return _load(path).get_sheet_by_name(title)
    except CalamineError as problem:
        raise _unreadable(path, str(problem)) from None
    except BaseException as problem:
        raise _panicked(path, problem) from None


def _panicked(path: Path, problem: BaseException) -> BaseException:
    """Turn a panic of the reader, which is no `Exception`, into a refusal; nothing else."""
    if type(problem).__name__ == "PanicException":
        return _unreadable(path, str(problem))
    return problem


def _unreadable(path: Path, problem: str) -> Exception:
    reason = " ".join(problem.split())[:80]
    return refused(
        path.name,
        f"cannot be read as a workbook: {reason!r}",
        "open it in a spreadsheet program and save it again as .xlsx",
    )


def _chosen(book: _Book, sheet: str, prefer: str, sheets: Sequence[str]) -> list[str]:
    path = book.path
    if book.hidden:
        named = ", ".join(shown(title) for title in book.hidden[:_MOST_NAMED])
        book.notes.append(f"hidden sheets: {named}")
    listed = ", ".join(shown(title) for title in book.titles) or "none"
    visible = [title for title in book.titles if title not in book.hidden]
    wanted = [sheet] if sheet else [title for title in sheets if title != ALL_SHEETS]
    for title in wanted:
        if title not in book.titles:
            refuse(path.name, f"there is no sheet {shown(title)}", f"there are: {listed}")
    if wanted:
        return wanted
    if prefer in visible and not sheets:
        visible = [prefer]
    filled = [title for title in visible if book.facts(title).width]
    wide = [title for title in filled if book.facts(title).width >= _FEWEST_COLUMNS]
    if wide and len(wide) < len(filled):
        notes = ", ".join(shown(title) for title in filled if title not in wide)
        book.notes.append(f"sheets with too few columns for a list of parts are left out: {notes}")
        filled = wide
    if not filled:
        refuse(path.name, "no visible sheet holds anything", f"there are: {listed}")
    if len(filled) > 1 and not sheets:
        names = ", ".join(shown(title) for title in filled[:_MOST_NAMED])
        refuse(
            path.name,
            f"{len(filled)} sheets hold something",
            f"name one of {names} with --sheet, or several of them, which are read as one list",
        )
    return filled


def _note(facts: SheetFacts, notes: list[str]) -> None:
    if facts.formulas:
        notes.append(
            f"{facts.formulas} cell(s) hold formulas, the first is {facts.first_formula}: their "
            "saved values are read, nothing is worked out"
        )
    if facts.hidden_rows:
        rows = sorted(facts.hidden_rows)
        named = ", ".join(map(str, rows[:_MOST_NAMED])) + (
            " ..." if len(rows) > _MOST_NAMED else ""
        )
        notes.append(f"{len(rows)} hidden row(s): {named}")
    columns = [letters(column) for column in sorted(facts.hidden_columns) if column < facts.width]
    if columns:
        notes.append(f"hidden column(s): {', '.join(columns[:_MOST_NAMED])}")
    if facts.merged:
        first = facts.merged[0]
        notes.append(
            f"{len(facts.merged)} merged area(s), the first at {letters(first[1])}{first[0]}: the "
            "value stands in the upper left cell; the others of the area count as empty"
        )


def _rows(path: Path, title: str, facts: SheetFacts) -> Iterator[SheetRow]:
    sheet = _sheet(path, title)
    start = sheet.start
    before = ("",) * (start[1] if start else 0)  # the reader leaves empty columns in front out
    number = 0
    rows = sheet.iter_rows()
    while True:
        number += 1
        try:
            row = next(rows)
        except StopIteration:
            return
        except CalamineError as problem:
            raise _unreadable(path, str(problem)) from None
        except BaseException as problem:
            raise _panicked(path, problem) from None
        texts = [*before, *[_text(value) for value in row]]
        for column, value in enumerate(row, start=len(before)):
            at = (number, column)
            if at in facts.formats and isinstance(value, float | int):
                texts[column] = _formatted(value, facts.formats[at])
            elif at in facts.errors:
                texts[column] = facts.errors[at]
        yield SheetRow(number, tuple(texts), number in facts.hidden_rows)


def _text(value: object) -> str:
    """Write what a cell holds."""
    if isinstance(value, str):
        return value if value.isascii() else unicodedata.normalize("NFC", value)
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float | int):
        return TypedNumber(_number(value))
    if isinstance(value, datetime.datetime):
        midnight = value.time() == datetime.time()
        return value.date().isoformat() if midnight else value.isoformat(" ")
    return str(value)


def _number(value: float) -> str:
    if value == int(value) and abs(value) < 1e15:
        return str(int(value))
    number = f"{value:.15g}".upper()
    if "E" not in number and "." in number:  # 129.49999999999997 of a formula is 129.5
        number = f"{value:.12g}"
    return number


def _formatted(value: float, form: str) -> str:
    """Write a number with what its format adds."""
    number = _number(value)
    zeros, suffix, percent = _form(form)
    if zeros and number.isdecimal():
        return TypedNumber(number.zfill(zeros))
    if percent:
        return TypedNumber(f"{value * 100:.12g} %")
    return TypedNumber(f"{number} {suffix}".rstrip())


@lru_cache(maxsize=512)
def _form(form: str) -> tuple[int, str, bool]:
    """Say what a number format adds to a number: zeros in front, a sign beside it, per cent.

    Examples
    --------
    >>> _form("00000"), _form('#,##0.00 "EUR"'), _form("[$€-407] #,##0.00")
    ((5, '', False), (0, 'EUR', False), (0, '€', False))
    >>> _form("0%"), _form('0.0" %"')
    ((0, '', True), (0, '%', False))
    """
    form = form.partition(";")[0]
    if re.fullmatch(r"0{2,}", form):
        return len(form), "", False
    # A sign in quotes or behind a backslash is only shown; a bare one multiplies by a hundred.
    if "%" in re.sub(r'"[^"]*"|\\.', "", form):
        return 0, "", True
    literals = re.findall(r'"([^"]*)"|\[\$([^\]-]*)[^\]]*\]|\\(\S)|([€£$¥])', form)
    signs = ["".join(literal).strip() for literal in literals]
    return 0, " ".join(sign for sign in signs if sign), False
