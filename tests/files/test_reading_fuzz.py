"""No input makes a traceback: it is read, or refused with a place for every problem.

``FITWRIGHT_FUZZ=20000 pytest tests/test_reading_fuzz.py`` tries so many cases instead of 2,000.
"""

from __future__ import annotations

import datetime
import io
import math
import os
import re
import zipfile
from collections.abc import Callable
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from configurator.core.errors import InputError
from configurator.core.text import Report
from configurator.files import catalog_files
from configurator.files.job_files import read_case, read_job, write_job
from configurator.model.parts import Missing
from configurator.supplier_lists import taking_over
from configurator.supplier_lists.mapping import read_mapping, write_mapping
from configurator.supplier_lists.open_list import open_price_list
from configurator.supplier_lists.proposing import propose
from tests.small_trade import JOB_WORDS, LIST, TYRES, WAGON, small_trade, write_catalog
from tests.supplier_lists.lists import PRICES

TRADE = small_trade()
TESTS = 12  # in this file
SETTINGS = settings(
    max_examples=int(os.environ.get("FITWRIGHT_FUZZ", "2000")) // TESTS,
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture],
)

# Pieces that mean something to the readers, among any text at all.
CELLS = st.one_of(
    st.text(max_size=12),
    st.sampled_from(
        [
            "", "A1", "762", "31.5 in", "1/2", "1.234,5", "1,234", "nan", "-1e400", "5-Apr",
            "2005-04-05", "yes", "12 degC*mm", "1 dB", "3 m**999", "1 mm/mm", "5 '", '5 "', "½",
            "٣", "²", "1_0", "+", "-", ".", ",", "e5", "0x10", "tyres|spare tyre", "\x00", "\ud7ff",
            "9" * 400, "1 " + "m" * 300, "1 mm*mm*mm*mm*mm*mm*mm*mm", "inf mm", "1e5 EUR",
        ]
    ),
    st.floats().map(str),
)  # fmt: skip
HEADINGS = st.one_of(
    st.sampled_from(
        [
            "part number", "title", "price", "price [EUR]", "overall diameter [mm]", "plies",
            "overall diameter [in]", "marks", "tread", "studded", "fill [%]", "camber [deg]",
            "mass [kg]", "mass [degC]", "position", "lead time [day]", "lead time [mm]", "note",
            "[mm]", "ratio [-]", "ratio []", "plies [%]",
        ]
    ),
    st.text(max_size=8),
)  # fmt: skip


def refused_or_sound(read: Callable[..., Any], *arguments: object) -> Any:
    """Return what is read, or None if it is refused as it should be."""
    try:
        return read(*arguments)
    except InputError as problem:
        refused = problem
    assert refused.problems
    for one in refused.problems:
        assert one.where.strip()
        assert one.what.strip()
        assert one.do.strip()
        # One line each, with nothing in it that a terminal would obey.
        assert not re.search("[\x00-\x1f\x7f-\x9f]", str(one)), str(one)
    return None


def check_list(data: bytes) -> None:
    with TemporaryDirectory() as place:
        folder = write_catalog(Path(place) / "lists")
        (folder / "tyres.csv").write_bytes(data)
        catalog = refused_or_sound(catalog_files.read_catalog, folder, TRADE)
    if catalog is None:
        return
    for part in catalog.parts["tyres"]:
        diameter = part.values["overall diameter"]
        assert isinstance(diameter, float)
        assert 0.5 <= diameter <= 1.2
        for value in part.values.values():
            assert not isinstance(value, float) or math.isfinite(value)
            assert value is Missing.UNKNOWN or type(value) in (float, int, str, bool, frozenset)


@SETTINGS
@given(st.binary(max_size=300))
def test_any_bytes_as_a_list(data: bytes) -> None:
    check_list(data)


@SETTINGS
@given(
    st.sampled_from([";", ",", "\t"]),
    st.lists(HEADINGS, max_size=8),
    st.lists(st.lists(CELLS, max_size=9), max_size=5),
)
def test_any_cells_as_a_list(divider: str, headings: list[str], rows: list[list[str]]) -> None:
    text = "\n".join(divider.join(row) for row in [headings, *rows])
    check_list(text.encode("utf-8", "surrogatepass"))


@SETTINGS
@given(
    st.sampled_from([";", ",", "\t"]),
    st.lists(st.tuples(CELLS, CELLS, CELLS, CELLS, CELLS, CELLS, CELLS, CELLS), max_size=3),
)
def test_any_cells_under_sound_headings(divider: str, rows: list[tuple[str, ...]]) -> None:
    headings = (
        "part number", "title", "price", "overall diameter [mm]", "plies", "marks", "fill [%]",
        "bolt circle",
    )  # fmt: skip
    table = [headings, *(tuple('"' + c.replace('"', '""') + '"' for c in row) for row in rows)]
    check_list("\n".join(divider.join(row) for row in table).encode("utf-8", "surrogatepass"))


@SETTINGS
@given(st.integers(0, len(LIST)), st.integers(0, len(LIST)), st.text(max_size=5))
def test_a_sound_list_with_a_piece_exchanged(start: int, end: int, piece: str) -> None:
    check_list((LIST[:start] + piece + LIST[end:]).encode("utf-8", "surrogatepass"))


@SETTINGS
@given(st.integers(0, len(WAGON)), st.integers(0, 12), st.text(max_size=6) | CELLS)
def test_a_sound_vehicle_with_a_piece_exchanged(start: int, length: int, piece: str) -> None:
    with TemporaryDirectory() as place:
        folder = write_catalog(Path(place) / "lists")
        text = WAGON[:start] + piece + WAGON[start + length :]
        (folder / "vehicles" / "wagon.toml").write_bytes(text.encode("utf-8", "surrogatepass"))
        refused_or_sound(catalog_files.read_vehicle, folder, "wagon", TRADE)


VALUES = st.recursive(
    st.sampled_from(
        [
            '""',
            "0",
            "-1",
            "1e999",
            "nan",
            "true",
            "2026-10-01",
            "07:32:00",
            "'x'",
            '"lists/A1"',
            '"12 mm"',
            '"1900 rpm"',
            '"none"',
            '"fitted"',
            '"99 EUR"',
            '"\\u0000"',
            '"high"',
            "99999999999999999999",
            '"./lists"',
            '"/"',
            '"../.."',
            '"."',
            '"a/../../b"',
        ]
    ),
    lambda inner: (
        st.lists(inner, max_size=3).map(lambda v: f"[{', '.join(v)}]")
        | st.tuples(st.sampled_from(JOB_WORDS), inner).map(lambda v: f"{{ {v[0]} = {v[1]} }}")
    ),
    max_leaves=4,
)


@SETTINGS
@given(st.lists(st.tuples(st.sampled_from(JOB_WORDS), VALUES), unique_by=lambda e: e[0]))
def test_any_values_in_a_job(entries: list[tuple[str, str]]) -> None:
    text = "\n".join(f"{key} = {value}" for key, value in entries)
    job = refused_or_sound(read_job, text, TRADE)
    if job is not None:
        assert read_job(write_job(job, TRADE), TRADE) == job
    with TemporaryDirectory() as place:
        folder = write_catalog(Path(place) / "lists")
        path = folder.parent / "job.toml"
        path.write_text(text, encoding="utf-8")
        refused_or_sound(read_case, path, TRADE, [folder.parent])


@SETTINGS
@given(st.text(max_size=60))
def test_any_text_as_a_job(text: str) -> None:
    refused_or_sound(read_job, text, TRADE)


# -- suppliers' lists ------------------------------------------------------------------------------


def take_over(path: Path, folder: Path) -> None:
    """Import a list as the command does, without a person who looks at what is doubtful."""
    prices = open_price_list(path)
    mapping, _ = propose(prices, TYRES)
    file = path.with_name("m.toml")
    file.write_text(write_mapping(mapping, path.name), encoding="utf-8")
    report = Report()
    again = read_mapping(file, TYRES, report)
    if again is None:
        raise InputError(report.errors)
    assert again == mapping
    with taking_over.compared(prices, mapping, "m.toml", TYRES, folder, "EUR") as made:
        if made.errors:
            raise InputError(made.errors)
        taking_over.write_list(made, datetime.date(2026, 11, 25))
    # Whatever is written without an error, the catalog reads without one.
    catalog_files.read_catalog(folder, TRADE)


def check_import(data: bytes) -> None:
    with TemporaryDirectory() as place:
        folder = write_catalog(Path(place) / "lists")
        path = Path(place) / "prices"
        path.write_bytes(data)
        before = (folder / "tyres.csv").read_bytes()
        refused_or_sound(take_over, path, folder)
        catalog_files.read_catalog(folder, TRADE)
        if (folder / "tyres.csv").read_bytes() != before:
            assert (folder / "earlier" / "tyres-2026-11-25.csv").read_bytes() == before


@SETTINGS
@given(st.binary(max_size=200), st.sampled_from([b"", b"PK", b"\xff\xfe", b"a;b\n"]))
def test_any_bytes_as_a_price_list(data: bytes, start: bytes) -> None:
    check_import(start + data)


@SETTINGS
@given(
    st.integers(0, len(PRICES)),
    st.integers(0, 10),
    st.text(max_size=5) | CELLS,
    st.sampled_from(["utf-8", "utf-16", "cp1252"]),
)
def test_a_sound_price_list_with_a_piece_exchanged(
    start: int, length: int, piece: str, encoding: str
) -> None:
    text = PRICES[:start] + piece + PRICES[start + length :]
    check_import(text.encode(encoding, "ignore"))


@SETTINGS
@given(st.lists(st.tuples(CELLS, CELLS, CELLS, CELLS, CELLS), max_size=4))
def test_any_cells_under_a_suppliers_headings(rows: list[tuple[str, ...]]) -> None:
    heads = tuple(PRICES.split("\n")[0].split(";"))
    table = [heads, ("A1", "T", "1,50 €", "30", "8"), *rows]
    quoted = [['"' + cell.replace('"', '""') + '"' for cell in row] for row in table]
    check_import("\n".join(map(";".join, quoted)).encode("utf-8", "surrogatepass"))


def _workbook() -> dict[str, bytes]:
    import xlsxwriter

    data = io.BytesIO()
    with xlsxwriter.Workbook(data, {"in_memory": True}) as book:
        sheet = book.add_worksheet("Prices")
        money, date = book.add_format({"num_format": '0.00 "€"'}), {"num_format": "d-mmm"}
        for number, line in enumerate(PRICES.splitlines()):
            sheet.write_row(number, 0, line.split(";"))
        sheet.write_row(4, 0, ("A8", "Tyre", 100.5, 31, 8))
        sheet.write_number(4, 2, 100.5, money)
        sheet.write_row(5, 0, ("A9", "Tyre", 100.5, 31, 8))
        sheet.write_formula(5, 2, "=1+1", None, 2)
        sheet.write_datetime(7, 1, datetime.datetime(2026, 4, 5), book.add_format(date))
        sheet.merge_range(8, 0, 8, 3, "note")
        sheet.set_row(9, None, None, {"hidden": True})
    with zipfile.ZipFile(data) as archive:
        return {name: archive.read(name) for name in archive.namelist()}


def test_the_lists_that_are_changed_are_sound(tmp_path: Path) -> None:
    stream = io.BytesIO()
    with zipfile.ZipFile(stream, "w") as archive:
        for name, content in WORKBOOK.items():
            archive.writestr(name, content)
    for name, data in (("a", PRICES.encode()), ("b", stream.getvalue())):
        folder = write_catalog(tmp_path / name / "lists")
        path = folder.parent / "prices"
        path.write_bytes(data)
        take_over(path, folder)


WORKBOOK = _workbook()
PARTS = [
    one for one in WORKBOOK if re.search("sheet1.xml|sharedStr|workbook.xml|styles|Types", one)
]
# fmt: off
XML = st.sampled_from(
    [
        "", "XFD1", "A0", "B2", "C3", "1048577", "s", "b", "e", "d", "n", "str", "inlineStr", "1",
        "99", "-1", "1e999", "nan", "true", "-", "9" * 30, "x", "A1:XFD1048576", "&#10;", "&a;",
        "&lt;b&gt;", "0", "2", "0.5", "hidden", "\ud7ff", "1/2", "5-Apr", "#N/A", "=1+1",
    ]
)
TAGS = st.sampled_from(
    [
        "</c>", "<c>", "<f>1+1</f>", "<f/>", "<v>99999</v>", "<v></v>", "<is><t>x</t></is>",
        "</row>", "<!DOCTYPE x>", "<!-- x -->", "<?x?>", "<![CDATA[x]]>", "<row/>", "<row r='3'>",
        "<sheetData/>", "<v>1</v>", "<c><v>7</v></c>", "<mergeCell ref='A1:B2'/>",
        "<col min='1' max='9' hidden='1'/>",
    ]
)
# fmt: on


@SETTINGS
@given(
    st.sampled_from(PARTS),
    st.lists(st.tuples(st.floats(0, 1), XML | st.text(max_size=4)), max_size=2),
    st.lists(st.tuples(st.floats(0, 1), TAGS), max_size=1),
)
def test_a_sound_workbook_with_pieces_exchanged(
    part: str, values: list[tuple[float, str]], tags: list[tuple[float, str]]
) -> None:
    pieces = re.findall(r'"[^"]*"|<|>|[^"<>]+', WORKBOOK[part].decode())
    spots = [k for k, one in enumerate(pieces) if one[0] == '"' or pieces[k - 1] == ">" != one]
    for where, value in values:
        spot = spots[int(where * (len(spots) - 1))]
        pieces[spot] = f'"{value}"' if pieces[spot].startswith('"') else value
    ends = [k for k, one in enumerate(pieces) if one == ">"]
    for where, tag in tags:
        pieces[ends[int(where * (len(ends) - 1))]] += tag
    changed = "".join(pieces).encode("utf-8", "surrogatepass")
    data = io.BytesIO()
    with zipfile.ZipFile(data, "w") as archive:
        for name, content in WORKBOOK.items():
            archive.writestr(name, changed if name == part else content)
    check_import(data.getvalue())


@SETTINGS
@given(st.floats(0, 1), st.integers(0, 40), st.binary(max_size=8))
def test_a_sound_workbook_with_bytes_exchanged(where: float, length: int, piece: bytes) -> None:
    stream = io.BytesIO()
    with zipfile.ZipFile(stream, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, content in WORKBOOK.items():
            archive.writestr(name, content)
    data = stream.getvalue()
    start = int(where * len(data))
    check_import(data[:start] + piece + data[start + length :])
