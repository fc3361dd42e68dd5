"""Read CSV as suppliers send it. What is found out is told; what cannot be found out is asked."""

from __future__ import annotations

import codecs
import contextlib
import csv
import re
import unicodedata
from typing import TYPE_CHECKING

from configurator.supplier_lists.price_lists import (
    MOST_COLUMNS,
    PriceList,
    SheetRow,
    refuse,
    refused,
)

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

ENCODINGS = {
    "utf-8": "utf-8-sig",
    "utf-16": "utf-16",
    "utf-16-le": "utf-16-le",
    "utf-16-be": "utf-16-be",
    "windows-1252": "cp1252",
}
DELIMITERS = {";": "semicolon", ",": "comma", "\t": "tab", "|": "bar"}
DELIMITER_NAMES = {name: sign for sign, name in DELIMITERS.items()}
# Bytes of windows-1252 that price lists of western Europe hold: letters and signs of ISO 8859-1,
# the euro, dashes, quotation marks, three dots, the trade mark. Letters of other encodings of old
# (code page 850, Mac Roman) lie between 0x80 and 0x9F.
_WINDOWS = frozenset({0x80, 0x85, *range(0x91, 0x95), 0x96, 0x97, 0x99, *range(0xA0, 0x100)})
_QUOTED_LETTERS = re.compile(rb"[A-Za-z][\x91\x93\x94][A-Za-z\xc0-\xff]")
_SAMPLE_ROWS = 200
_LONGEST_LINE = 1_000_000  # characters


def open_text(path: Path, encoding: str = "", delimiter: str = "") -> PriceList:
    """Open CSV.

    Parameters
    ----------
    path
        The file.
    encoding
        One of `ENCODINGS`; empty to find it out.
    delimiter
        Name of one of `DELIMITERS`, or the sign itself; empty to find it out.

    Raises
    ------
    InputError
        If a choice is not known, or has to be stated.
    """
    if encoding and encoding.lower() not in ENCODINGS:
        refuse(
            path.name, f"encoding {encoding!r} is not known", f"use one of {', '.join(ENCODINGS)}"
        )
    sign = DELIMITER_NAMES.get(delimiter, delimiter)
    if sign and sign not in DELIMITERS:
        names = ", ".join(DELIMITER_NAMES)
        refuse(path.name, f"delimiter {delimiter!r} is not known", f"use one of {names}")
    notes = []
    if encoding:
        encoding = encoding.lower()
        notes.append(f"encoding: {encoding}, as stated")
    else:
        encoding, why = _encoding(path)
        notes.append(f"encoding: {encoding}, {why}")
    _decode_all(path, encoding)
    if sign:
        notes.append(f"columns are divided by the {DELIMITERS[sign]}, as stated")
    else:
        sign, why = _delimiter(path, encoding)
        notes.append(f"columns are divided by the {DELIMITERS[sign]}: {why}")
    return PriceList(
        path.name,
        lambda: _rows(path, encoding, sign),
        notes=notes,
        encoding=encoding,
        delimiter=DELIMITERS[sign],
    )


def _encoding(path: Path) -> tuple[str, str]:
    with path.open("rb") as stream:
        start = stream.read(4096)
    if start.startswith(codecs.BOM_UTF8):
        return "utf-8", "by the mark at its beginning"
    if start.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)):
        return "utf-16", "by the mark at its beginning"
    if b"\0" in start:
        refuse(
            f"{path.name} row 1",
            "holds bytes of zero: it may be UTF-16 without the mark that says so",
            "save it as 'CSV UTF-8', or give --encoding utf-16-le (or utf-16-be)",
        )
    return _utf_8_or_windows(path)


def _utf_8_or_windows(path: Path) -> tuple[str, str]:
    """Tell UTF-8 from windows-1252, which no UTF-8 is taken for: every byte has to suit."""
    others: set[int] = set()
    example = ""
    suits, odd = True, False
    pieces = codecs.getincrementaldecoder("utf-8")()
    with path.open("rb") as stream:
        while True:
            data = stream.read(1 << 16)
            if suits:
                try:
                    pieces.decode(data, final=not data)
                except UnicodeDecodeError as problem:
                    suits = False
                    start = max(0, problem.start - 12)
                    line = problem.object[start : problem.start + 12]
                    example = line.decode("cp1252", "replace").split("\n")[-1].strip()
            others.update(byte for byte in set(data) if byte > 127)
            odd = odd or _QUOTED_LETTERS.search(data) is not None
            if not data:
                break
    if suits:
        return "utf-8", "every byte of it suits"
    if others <= _WINDOWS and not odd:
        return "windows-1252", f"it is no UTF-8, and every sign makes sense so, as in {example!r}"
    return "utf-8", "nothing else suits"


def _decode_all(path: Path, encoding: str) -> None:
    """Go through the file once, so that a wrong encoding is refused before anything is read."""
    row, line = 1, 0
    pieces = codecs.getincrementaldecoder(ENCODINGS[encoding])()
    with path.open("rb") as stream:
        while True:
            data = stream.read(1 << 16)
            try:
                text = pieces.decode(data, final=not data)
            except UnicodeDecodeError as problem:
                raise _not_encoded(path, encoding, row, problem) from None
            row += text.count("\n")
            line = len(text) - text.rfind("\n") - 1 + (line if "\n" not in text else 0)
            if line > _LONGEST_LINE:
                refuse(
                    f"{path.name} row {row}",
                    f"a line of more than {_LONGEST_LINE} characters",
                    "check that the file is a list in CSV",
                )
            if "\0" in text:
                refuse(f"{path.name} row {row}", "holds a byte of zero", "save it as 'CSV UTF-8'")
            if not data:
                return


def _not_encoded(path: Path, encoding: str, row: int, problem: UnicodeDecodeError) -> Exception:
    data = problem.object
    wrong = data[problem.start]
    row += data[: problem.start].count(b"\n")
    do = "save it as 'CSV UTF-8'"
    if encoding == "utf-8":
        begin = data.rfind(b"\n", 0, problem.start) + 1
        line = data[max(begin, problem.start - 16) : problem.start + 16].split(b"\n")[0]
        with contextlib.suppress(UnicodeDecodeError):
            near = line.decode("cp1252").strip()
            do += f"; or, if {near!r} is what stands there, give --encoding windows-1252"
    return refused(
        f"{path.name} row {row}", f"not encoded as {encoding.upper()} (byte {wrong:#04x})", do
    )


def _rows(path: Path, encoding: str, sign: str) -> Iterator[SheetRow]:
    with path.open(encoding=ENCODINGS[encoding], newline="") as stream:
        records = csv.reader(stream, delimiter=sign, strict=True)
        number = 0
        while True:
            number += 1
            try:
                cells = next(records)
            except StopIteration:
                return
            except csv.Error as problem:
                open_cell = "field" in str(problem) or "end of data" in str(problem)
                refuse(
                    f"{path.name} row {number}",
                    "a cell opens with a quotation mark that is not closed"
                    if open_cell
                    else "a quotation mark inside a quoted cell",
                    "write a quotation mark inside a cell twice and the whole cell in quotes",
                )
            if len(cells) > MOST_COLUMNS:
                refuse(
                    f"{path.name} row {number}",
                    f"{len(cells)} columns",
                    f"use {MOST_COLUMNS} columns at most, or check the delimiter",
                )
            # The same letter can be written as one sign or as two.
            yield SheetRow(number, tuple(unicodedata.normalize("NFC", cell) for cell in cells))


def _delimiter(path: Path, encoding: str) -> tuple[str, str]:
    """Find the sign that divides most rows into the same number of cells, two at least."""
    with path.open(encoding=ENCODINGS[encoding], newline="") as stream:
        lines = [line for _, line in zip(range(_SAMPLE_ROWS), stream, strict=False)]
    delimiter = []
    for sign in DELIMITERS:
        widths: list[int] = []
        try:
            widths.extend(len(r) for r in csv.reader(lines, delimiter=sign) if any(r))
        except csv.Error:
            continue
        usual = max(widths, key=lambda width: (widths.count(width), width), default=0)
        if usual > 1:
            delimiter.append((widths.count(usual) / len(widths), usual, sign))
    delimiter.sort(reverse=True)
    text = "".join(lines)
    # 139,50 between semicolons: a comma that mostly stands between digits is a decimal sign, if
    # another sign divides the rows.
    between = len(re.findall(r"(?<=\d),(?=\d|-)", text))
    if between > 0.7 * text.count(",") and any(s != "," and w > 0.9 for w, _, s in delimiter):
        delimiter = [item for item in delimiter if item[2] != ","]
    if not text.strip():
        refuse(path.name, "is empty", "ask for the list again")
    if not delimiter:
        refuse(
            f"{path.name} row 1",
            "nothing divides its rows into columns",
            "check that it is a list in CSV, or give --delimiter",
        )
    share, width, sign = delimiter[0]
    rivals = [DELIMITERS[item[2]] for item in delimiter[1:] if item[0] >= share - 0.05]
    if rivals:
        refuse(
            f"{path.name} row 1",
            f"its columns may be divided by the {' or the '.join([DELIMITERS[sign], *rivals])}",
            f"give --delimiter {DELIMITERS[sign]} (or {', '.join(rivals)})",
        )
    return sign, f"it makes {width} cells of {share:.0%} of the first rows"
