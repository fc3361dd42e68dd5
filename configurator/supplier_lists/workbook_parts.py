"""Which file of an .xlsx holds which sheet, and which of its styles say more than a number."""

from __future__ import annotations

import posixpath
import re
import zipfile
from typing import TYPE_CHECKING

from defusedxml import ElementTree

if TYPE_CHECKING:
    from pathlib import Path
    from xml.etree.ElementTree import Element

_SHARED = {9: "0%", 10: "0.00%"}  # of the formats that every workbook has: ECMA-376-1, 18.8.30
_PLAIN = re.compile(r"(?!0{2,})[#0,.?\s]*|General", re.IGNORECASE)


def sheet_members(path: Path) -> dict[str, str]:
    """Return the name of each sheet and of the file that holds it.

    Raises
    ------
    KeyError
        If the workbook lacks a part that it has to have.
    """
    with zipfile.ZipFile(path) as archive:
        book = _parsed(archive, "xl/workbook.xml")
        relations = {
            relation.get("Id"): relation.get("Target", "")
            for relation in _parsed(archive, "xl/_rels/workbook.xml.rels")
        }
    members = {}
    for sheet in book.iter():
        if _local(sheet) != "sheet":
            continue
        target = next(
            (relations.get(value, "") for key, value in sheet.items() if key.endswith("}id")), ""
        )
        absolute = target.startswith("/")
        member = target.lstrip("/") if absolute else posixpath.normpath(f"xl/{target}")
        members[sheet.get("name", "")] = member
    return members


def text_members(names: list[str]) -> list[str]:
    """Name the files that hold the texts that cells share."""
    return [name for name in names if name.lower().endswith("sharedstrings.xml")]


def telling_formats(path: Path) -> dict[str, str]:
    """Return the number of each style whose number format adds something, and the format."""
    with zipfile.ZipFile(path) as archive:
        if "xl/styles.xml" not in archive.namelist():
            return {}
        styles = _parsed(archive, "xl/styles.xml")
    codes: dict[int, str] = dict(_SHARED)
    result: dict[str, str] = {}
    for element in styles.iter():
        if _local(element) == "numFmt" and (number := element.get("numFmtId", "")).isdecimal():
            codes[int(number)] = element.get("formatCode", "")
    for element in styles.iter():
        if _local(element) != "cellXfs":
            continue
        for style_number, style in enumerate(element):
            stated = style.get("numFmtId", "0")
            code = codes.get(int(stated), "") if stated.isdecimal() else ""
            if code and not _PLAIN.fullmatch(code.partition(";")[0]):
                result[str(style_number)] = code
    return result


def _parsed(archive: zipfile.ZipFile, member: str) -> Element:
    root: Element = ElementTree.fromstring(archive.read(member), forbid_dtd=True)
    return root


def _local(element: Element) -> str:
    return element.tag.rpartition("}")[2]
