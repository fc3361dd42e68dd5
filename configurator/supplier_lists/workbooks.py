"""Read a sheet of a workbook row by row: saved values only, nothing is ever worked out."""

from __future__ import annotations

import contextlib
import datetime
import re
import unicodedata
import warnings
from functools import lru_cache
from typing import IO, TYPE_CHECKING, Any

from configurator.core.errors import FitwrightError
from configurator.core.text import shown
from configurator.supplier_lists.price_lists import (
    MOST_COLUMNS,
    PriceList,
    SheetRow,
    TypedNumber,
    letters,
    refuse,
    refused,
)
from configurator.supplier_lists.workbook_safety import SheetFacts, check_workbook, sheet_facts

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

_MOST_NAMED = 8


def open_workbook(path: Path, sheet: str = "", prefer: str = "") -> PriceList:
    """Open a sheet of a workbook.

    Parameters
    ----------
    path
        Of the workbook.
    sheet
        Name of the sheet; empty if only one holds anything.
    prefer
        The sheet to take if several do and it is among them.

    Raises
    ------
    InputError
        If it is not safe, broken, or the sheet has to be named.
    """
    members = check_workbook(path)
    notes = []
    linked = sum(name.startswith("xl/externalLinks/externalLink") for name in members)
    if linked:
        notes.append(f"formulas draw on {linked} other file(s); they were not looked into")
    if any(name.endswith("vbaProject.bin") for name in members):
        notes.append("holds macros; they were not run")
    try:
        with path.open("rb") as stream:
            book = _load(stream)
            sheets = [
                (worksheet.title, worksheet.sheet_state, worksheet._worksheet_path)
                for worksheet in book.worksheets
            ]
            book.close()
        title, facts = _chosen(path, sheets, sheet, prefer, notes)
    except FitwrightError:
        raise
    except Exception as problem:  # openpyxl raises what its parsing happens to meet
        raise _unreadable(path, problem) from None
    _note(facts, notes)
    return PriceList(
        path.name,
        lambda: _rows(path, title, facts),
        sheet=title,
        notes=notes,
        merged=tuple(facts.merged),
        hidden_columns=frozenset(column for column in facts.hidden_columns if column < facts.width),
        without_value=frozenset(facts.without_value),
    )


def _unreadable(path: Path, problem: Exception) -> Exception:
    reason = " ".join(str(problem).split())[:80] or type(problem).__name__
    return refused(
        path.name,
        f"cannot be read as a workbook: {reason!r}",
        "open it in a spreadsheet program and save it again as .xlsx",
    )


def _load(stream: IO[bytes]) -> Any:
    import openpyxl

    # About styles, lists and dates of year zero; it goes on while the rows are read.
    warnings.filterwarnings("ignore", category=UserWarning, module="openpyxl")
    return openpyxl.load_workbook(stream, read_only=True, data_only=True, keep_links=False)


def _chosen(
    path: Path, sheets: list[tuple[str, str, str]], sheet: str, prefer: str, notes: list[str]
) -> tuple[str, SheetFacts]:
    members = {title: member for title, _, member in sheets}
    hidden = [title for title, state, _ in sheets if state != "visible"]
    if hidden:
        notes.append(f"hidden sheets: {', '.join(shown(item) for item in hidden[:_MOST_NAMED])}")
    listed = ", ".join(shown(title) for title in members) or "none"
    if sheet:
        if sheet not in members:
            refuse(path.name, f"there is no sheet {shown(sheet)}", f"there are: {listed}")
        return sheet, sheet_facts(path, members[sheet], sheet)
    visible = [title for title, state, _ in sheets if state == "visible"]
    if prefer in visible:
        visible = [prefer]
    every = {title: sheet_facts(path, members[title], title) for title in visible}
    filled = [title for title, facts in every.items() if facts.width]
    if not filled:
        refuse(path.name, "no visible sheet holds anything", f"there are: {listed}")
    if len(filled) > 1:
        names = ", ".join(shown(item) for item in filled[:_MOST_NAMED])
        refuse(
            path.name, f"{len(filled)} sheets hold something", f"name one of {names} with --sheet"
        )
    return filled[0], every[filled[0]]


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
    # As a stream: by its name, openpyxl would refuse a workbook that is called prices.bak.
    with contextlib.ExitStack() as stack:
        try:
            book = _load(stack.enter_context(path.open("rb")))
            stack.callback(book.close)
            sheet = book[title]
            sheet.reset_dimensions()  # what a sheet says about its size is often wrong
            width = max(1, min(facts.width, MOST_COLUMNS))
            rows = sheet.iter_rows(max_col=width, max_row=facts.last_row or 1)
        except Exception as problem:  # as above
            raise _unreadable(path, problem) from None
        number = 0
        while True:
            number += 1
            try:
                texts = tuple(_text(cell) for cell in next(rows))
            except StopIteration:
                return
            except Exception as problem:  # as above
                raise _unreadable(path, problem) from None
            yield SheetRow(number, texts, number in facts.hidden_rows)


def _text(cell: Any) -> str:
    """Write what a cell shows, as far as that says more than its bare number."""
    value = cell.value
    if value is None:
        return ""
    if isinstance(value, str):
        return unicodedata.normalize("NFC", value)
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, int | float):
        return TypedNumber(_number(value, cell.number_format))
    if isinstance(value, datetime.datetime):
        midnight = value.time() == datetime.time()
        return value.date().isoformat() if midnight else value.isoformat(" ")
    return str(value)


def _number(value: int | float, form: str) -> str:
    number = f"{value:.15g}".upper() if isinstance(value, float) else str(value)
    if "E" not in number and "." in number:  # 129.49999999999997 of a formula is 129.5
        number = f"{value:.12g}"
    zeros, suffix, percent = _form(form)
    if zeros and number.isdecimal():
        return number.zfill(zeros)
    if percent:
        return f"{value * 100:.12g} %"
    return f"{number} {suffix}".rstrip()


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
