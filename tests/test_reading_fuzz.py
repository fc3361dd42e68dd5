"""No input makes a traceback: it is read, or refused with a place for every problem."""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from configurator import catalog_files
from configurator.errors import InputError
from configurator.job_files import read_case, read_job, write_job
from configurator.parts import Missing
from tests.small_trade import JOB_WORDS, LIST, WAGON, small_trade, write_catalog

TRADE = small_trade()
SETTINGS = settings(
    max_examples=100, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
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
