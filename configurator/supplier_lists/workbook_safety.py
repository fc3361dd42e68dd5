"""Look an archive of a workbook over before it is read: how large it unpacks, what it declares.

Everything is judged by what it holds, nothing by what it is called.
"""

from __future__ import annotations

import zipfile
from typing import TYPE_CHECKING
from xml.parsers import expat
from xml.sax import SAXException
from xml.sax.handler import ContentHandler

from defusedxml.common import DefusedXmlException
from defusedxml.expatreader import DefusedExpatParser

from configurator.supplier_lists.price_lists import refuse, refused
from configurator.supplier_lists.sheet_facts import LONGEST_TAG, read_member

if TYPE_CHECKING:
    from collections.abc import Collection
    from pathlib import Path
    from typing import IO

# Unpacked. Half a million rows of fifteen columns make about 400 MB of XML.
LARGEST_WORKBOOK = 1_500_000_000  # bytes
LARGEST_TEXTS = 300_000_000  # bytes: the table of texts is held in memory
LARGEST_OTHER = 32_000_000  # bytes, of any part that is no sheet
MOST_MEMBERS = 2_000
LONGEST_CELL = 32_767  # characters, of the format
LARGEST_CELLS = 2_500_000_000  # characters: cells times the longest text that they may share
_MARKS = (b"\xef\xbb\xbf", b"\xff\xfe", b"\xfe\xff")


class _RootSeenError(Exception):
    """The declarations before the first element are over."""


class _Root(ContentHandler):
    def startElement(self, _name: str, _attributes: object) -> None:
        raise _RootSeenError


def check_archive(path: Path, sheets: Collection[str], texts: Collection[str] = ()) -> list[str]:
    """Refuse a workbook that is not safe to open.

    Parameters
    ----------
    path
        Of the workbook: an archive, .xlsx or .ods.
    sheets, texts
        Names of the files in it that hold sheets, and that hold the table of texts.

    Returns
    -------
    list of str
        Names of the files it holds.

    Raises
    ------
    InputError
        If it is broken, unpacks to too much, or its XML declares a document type: that is how
        entities that multiply are smuggled in, and no spreadsheet program writes one.
    """
    try:
        with zipfile.ZipFile(path) as archive:
            members = archive.infolist()
            _refuse_sizes(path, members)
            for member in members:
                with archive.open(member) as stream:
                    start = stream.read(512)
                if not _is_xml(start):
                    continue
                most = LARGEST_WORKBOOK if member.filename in sheets else LARGEST_OTHER
                most = LARGEST_TEXTS if member.filename in texts else most
                if member.file_size > most:
                    refuse(
                        path.name,
                        f"its part {member.filename[:60]!r} unpacks to "
                        f"{member.file_size / 1e6:,.0f} MB; it was not opened",
                        "save the sheet as CSV and import that",
                    )
            for member in members:
                with archive.open(member) as stream:
                    if _is_xml(stream.read(512)):
                        stream.seek(0)
                        _refuse_document_type(path, member.filename, stream)
            return [member.filename for member in members]
    except (zipfile.BadZipFile, NotImplementedError, RuntimeError, EOFError, OSError) as problem:
        raise broken(path, problem) from None
    except (ValueError, OverflowError, zipfile.zlib.error) as problem:  # type: ignore[attr-defined]
        raise broken(path, problem) from None


def broken(path: Path, problem: Exception) -> Exception:
    """Make the refusal of an archive that cannot be unpacked."""
    reason = " ".join(str(problem).split())[:80] or type(problem).__name__
    return refused(
        path.name, f"the workbook is damaged: {reason!r}", "ask for it again, or save it again"
    )


def _is_xml(start: bytes) -> bool:
    for mark in _MARKS:
        start = start.removeprefix(mark)
    return start.replace(b"\0", b"").lstrip()[:1] == b"<"


def _refuse_sizes(path: Path, members: list[zipfile.ZipInfo]) -> None:
    if len(members) > MOST_MEMBERS:
        refuse(path.name, f"a workbook of {len(members)} files", "save it again as .xlsx")
    total = sum(member.file_size for member in members)
    if total > LARGEST_WORKBOOK:
        refuse(
            path.name,
            f"unpacks to {total / 1e6:,.0f} MB; it was not opened",
            f"check where it is from; at most {LARGEST_WORKBOOK / 1e6:,.0f} MB are read",
        )


def _refuse_document_type(path: Path, member: str, stream: IO[bytes]) -> None:
    """Read up to the first element: a document type can be declared before it only."""
    parser = DefusedExpatParser(forbid_dtd=True)
    parser.setContentHandler(_Root())
    fed = 0
    try:
        while data := stream.read(1 << 14):
            parser.feed(data)
            fed += len(data)
            if fed > LONGEST_TAG:
                refuse(f"{path.name} part {member[:60]!r}", "has no end", "save it again")
    except _RootSeenError:
        return
    except DefusedXmlException:
        refuse(
            path.name,
            f"its part {member[:60]!r} declares a document type; it was not opened",
            "ask for the list from a spreadsheet program, which never writes one",
        )
    except (SAXException, LookupError, ValueError) as problem:  # an encoding nobody knows
        line = problem.getLineNumber() if hasattr(problem, "getLineNumber") else 1
        refuse(
            path.name,
            f"its part {member[:60]!r} is no sound XML (line {line})",
            "ask for it again, or save it again",
        )


def refuse_long_texts(path: Path, member: str, cells: int) -> None:
    """Refuse a table of texts whose longest, shared by every cell, would fill the memory."""
    longest, current = [0], [0]
    most = min(LONGEST_CELL, LARGEST_CELLS // max(cells, 1))

    def start(name: str, _: object) -> None:
        if name.rpartition(":")[2] == "si":
            current[0] = 0

    def letters(data: str) -> None:
        current[0] += len(data)
        if current[0] > longest[0]:
            longest[0] = current[0]
            if longest[0] > most:
                refuse(
                    f"{path.name} part {member[:60]!r}",
                    f"a text of more than {most} characters, which {cells} cells may share",
                    "shorten it, or save the sheet as CSV",
                )

    parser = expat.ParserCreate()
    parser.StartElementHandler = start
    parser.CharacterDataHandler = letters
    read_member(path, member, parser, f"{path.name} part {member[:60]!r}")
