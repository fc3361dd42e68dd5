"""Open a price list, whatever kind of file it came in."""

from __future__ import annotations

from typing import TYPE_CHECKING

from configurator.core.paths import why_no_file
from configurator.supplier_lists.price_lists import refuse
from configurator.supplier_lists.text_tables import open_text
from configurator.supplier_lists.workbooks import open_workbook

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

    from configurator.supplier_lists.price_lists import PriceList

_OLD_BOOK = b"\xd0\xcf\x11\xe0"  # an OLE file: .xls, or a workbook with a password
LONGEST_TEXT_FILE = 1_000_000_000  # bytes; read piece by piece


def open_price_list(
    path: Path,
    *,
    sheet: str = "",
    encoding: str = "",
    delimiter: str = "",
    prefer: str = "",
    sheets: Sequence[str] = (),
) -> PriceList:
    """Open a price list.

    Parameters
    ----------
    path
        A workbook (.xlsx, .xls, .ods) or CSV; told apart by what is in it, not by its name.
    sheet
        Of a workbook; needed if several hold anything.
    encoding, delimiter
        Of CSV; found out and told where that is certain.
    prefer
        The sheet to take if several hold anything and none is named.
    sheets
        Sheets of a workbook that make one list.

    Raises
    ------
    InputError
        If it cannot be read, is not safe to read, or a choice has to be stated.
    """
    try:
        if reason := why_no_file(path):
            refuse(path.name, f"cannot be opened: {reason}", "name a file")
        with path.open("rb") as stream:
            start = stream.read(8)
            size = stream.seek(0, 2)
    except (OSError, ValueError) as problem:  # ValueError: a NUL in the path
        reason = getattr(problem, "strerror", None) or str(problem)
        refuse(path.name, f"cannot be opened: {reason}", "check the name and the rights")
    if start.startswith((b"PK", _OLD_BOOK)):
        if encoding or delimiter:
            refuse(path.name, "a workbook has neither encoding nor delimiter", "leave them out")
        return open_workbook(path, sheet, prefer, sheets)
    if start.startswith((b"%PDF", b"\x89PNG", b"\xff\xd8\xff", b"\x1f\x8b", b"7z\xbc\xaf")):
        refuse(path.name, "neither a workbook nor CSV", "ask for the list as .xlsx or CSV")
    if sheet or sheets:
        refuse(path.name, "this is CSV, which has no sheets", "leave --sheet out")
    if size > LONGEST_TEXT_FILE:
        refuse(path.name, "the file is too large", "divide the list")
    return open_text(path, encoding, delimiter)
