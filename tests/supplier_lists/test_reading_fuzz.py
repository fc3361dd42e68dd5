"""Suppliers' lists and mappings of any content are taken over, or refused with every place."""

from __future__ import annotations

import datetime
import io
import re
import zipfile
from pathlib import Path
from tempfile import TemporaryDirectory

from hypothesis import example, given
from hypothesis import strategies as st

from configurator.core.errors import InputError
from configurator.core.text import Report
from configurator.files import catalog_files
from configurator.supplier_lists import taking_over
from configurator.supplier_lists.mapping import Mapping
from configurator.supplier_lists.mapping_files import read_mapping, write_mapping
from configurator.supplier_lists.open_list import open_price_list
from configurator.supplier_lists.proposing import propose
from tests.fuzzing import CELLS, SETTINGS, as_bytes, exchanged, refused_or_sound, toml_texts
from tests.small_trade import TYRES, small_trade, write_catalog
from tests.supplier_lists.lists import PRICES, opened, proposed

TRADE = small_trade()


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
    check_import(as_bytes("\n".join(map(";".join, quoted))))


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
    member
    for member in WORKBOOK
    if re.search("sheet1.xml|sharedStr|workbook.xml|styles|Types", member)
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
@example("xl/workbook.xml", [(23.5 / 30, "&#10;")], [])  # a sheet called by a line break
@given(
    st.sampled_from(PARTS),
    st.lists(st.tuples(st.floats(0, 1), XML | st.text(max_size=4)), max_size=2),
    st.lists(st.tuples(st.floats(0, 1), TAGS), max_size=1),
)
def test_a_sound_workbook_with_pieces_exchanged(
    part: str, values: list[tuple[float, str]], tags: list[tuple[float, str]]
) -> None:
    pieces = re.findall(r'"[^"]*"|<|>|[^"<>]+', WORKBOOK[part].decode())
    spots = [
        k for k, piece in enumerate(pieces) if piece[0] == '"' or pieces[k - 1] == ">" != piece
    ]
    for where, value in values:
        spot = spots[int(where * (len(spots) - 1))]
        pieces[spot] = f'"{value}"' if pieces[spot].startswith('"') else value
    ends = [k for k, piece in enumerate(pieces) if piece == ">"]
    for where, tag in tags:
        pieces[ends[int(where * (len(ends) - 1))]] += tag
    changed = as_bytes("".join(pieces))
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


MAPPING_WORDS = (
    "family", "sheet", "headings", "encoding", "delimiter", "decimals", "hidden_rows", "withdrawn",
    "ignore", "columns", "same", "only", "title", "price", '"part number"', '"overall diameter"',
    "from", "unit", "currency", "confirmed", "why", "words", "multiply", "round", "plies",
)  # fmt: skip
SOUND_MAPPING = write_mapping(
    Mapping("tyres", {}, (1,), {"maker": "Nobody"}, {"Group": ("Tyres",)}, ("x",), sheet="a\nb"),
    "prices.csv",
)


def check_mapping(text: str) -> None:
    """Read a mapping, write it and read it again; take a list over with it."""
    with TemporaryDirectory() as place:
        file = Path(place) / "tyres.toml"
        file.write_bytes(as_bytes(text))
        report = Report()
        mapping = read_mapping(file, TYRES, report)
        for problem in report.errors:
            assert not re.search("[\x00-\x1f\x7f-\x9f]", str(problem))
        assert (mapping is None) == bool(report.errors)
        if mapping is None:
            return
        file.write_text(write_mapping(mapping, "prices.csv"), encoding="utf-8")
        assert read_mapping(file, TYRES, Report()) == mapping
        folder = write_catalog(Path(place) / "lists")
        prices = opened(Path(place))

        def compare() -> None:
            with taking_over.compared(prices, mapping, "tyres.toml", TYRES, folder, "EUR"):
                pass

        refused_or_sound(compare)


@SETTINGS
@given(toml_texts(MAPPING_WORDS))
def test_any_values_in_a_mapping(text: str) -> None:
    check_mapping(text)


@SETTINGS
@given(exchanged(SOUND_MAPPING))
def test_a_sound_mapping_with_a_piece_exchanged(text: str) -> None:
    check_mapping(text)


with TemporaryDirectory() as _place:
    PROPOSED = write_mapping(proposed(opened(Path(_place))), "prices.csv")


@SETTINGS
@given(exchanged(PROPOSED))
def test_a_proposed_mapping_with_a_piece_exchanged(text: str) -> None:
    check_mapping(text)
