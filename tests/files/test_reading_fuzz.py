"""Lists, vehicles, catalogs, jobs and links of any content are read, or refused in words."""

from __future__ import annotations

import math
import re
import zlib
from base64 import urlsafe_b64encode
from pathlib import Path
from tempfile import TemporaryDirectory

from hypothesis import given
from hypothesis import strategies as st

from configurator.files import catalog_files, job_link
from configurator.files.job_files import read_case, read_job, write_job
from configurator.model.parts import Missing
from tests.fuzzing import CELLS, SETTINGS, as_bytes, exchanged, refused_or_sound, toml_texts
from tests.small_trade import (
    ABOUT,
    JOB_WORDS,
    LIST,
    WAGON,
    WORKSHOP,
    small_trade,
    write_catalog,
)

TRADE = small_trade()

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
    check_list(as_bytes(text))


@SETTINGS
@given(
    st.sampled_from([";", ",", "\t"]),
    st.lists(st.tuples(CELLS, CELLS, CELLS, CELLS, CELLS, CELLS, CELLS, CELLS), max_size=3),
)
def test_any_cells_under_sound_headings(divider: str, rows: list[tuple[str, ...]]) -> None:
    headings = (
        "part number", "title", "price", "overall diameter [mm]", "plies", "marks", "fill [%]",
        "PCD",
    )  # fmt: skip
    table = [headings, *(tuple('"' + c.replace('"', '""') + '"' for c in row) for row in rows)]
    check_list(as_bytes("\n".join(divider.join(row) for row in table)))


@SETTINGS
@given(st.integers(0, len(LIST)), st.integers(0, len(LIST)), st.text(max_size=5))
def test_a_sound_list_with_a_piece_exchanged(start: int, end: int, piece: str) -> None:
    check_list(as_bytes(LIST[:start] + piece + LIST[end:]))


def check_file(name: str, text: str) -> None:
    """Put a text in the place of a file of a sound catalog, and read everything in it."""
    with TemporaryDirectory() as place:
        folder = write_catalog(Path(place) / "lists")
        path = folder / name
        path.parent.mkdir(exist_ok=True)
        path.write_bytes(as_bytes(text))
        errors, warnings, _ = catalog_files.check_catalog(folder, TRADE)
        for problem in (*errors, *warnings):
            assert problem.where.strip()
            assert problem.do.strip()
            assert not re.search("[\x00-\x1f\x7f-\x9f]", str(problem)), problem
        read = refused_or_sound(catalog_files.read_catalog, folder, TRADE)
        assert (read is None) == bool(errors)
        job = folder.parent / "job.toml"
        job.write_text(JOB, encoding="utf-8")
        refused_or_sound(read_case, job, TRADE, [folder.parent])


JOB = """
title = "A wagon"
vehicle = "lists/wagon"
catalogs = ["lists"]
budget = "900 EUR"
"local rules" = "lists/here"
[conditions]
"cruising speed" = "90 km/h"
[goals."tyre radius"]
at_least = "380 mm"
[fixed]
tyres = "lists/A1"
[prices]
"lists/A2" = "1 EUR"
"""
LOCAL = """
title = "Roads of nowhere"
[rules."not too wide"]
figure = "tyre radius"
change = true
relative = true
at_most = "5 %"
says = "the wheel may grow by a twentieth"
source = "invented"
date = 2026-01-01
effect = "needs approval"
approve = "the new radius"
"""
LAID_OVER = """catalog;part number;price [EUR];lead time [day];note;stock;hidden
others;A1;99,50;3;ours;2;no
others;A2;;;;;yes
"""
FILES = {
    "vehicles/wagon.toml": WAGON,
    "workshop.toml": WORKSHOP + '[rates]\ndate = 2026-11-01\nUSD = "0.92 EUR"\n',
    "catalog.toml": ABOUT,
    "local/here.toml": LOCAL,
    "overrides.csv": LAID_OVER,
    "tyres.csv": LIST,
}
CATALOG_WORDS = (
    *JOB_WORDS, "currency", "price_date", "source", "rate", "tax", "consumables", "practices",
    "rates", "date", "USD", "slip", '"gear oil"', "paper", "note", "figures", "fitted", "rules",
    "figure", "change", "relative", "at_most", "says", "effect", "approve",
)  # fmt: skip


@SETTINGS
@given(
    st.sampled_from(sorted(FILES)).flatmap(
        lambda name: st.tuples(st.just(name), exchanged(FILES[name]))
    )
)
def test_a_sound_file_of_a_catalog_with_a_piece_exchanged(file: tuple[str, str]) -> None:
    check_file(*file)


@SETTINGS
@given(
    st.sampled_from([name for name in sorted(FILES) if name.endswith(".toml")]),
    toml_texts(CATALOG_WORDS),
)
def test_any_values_in_a_file_of_a_catalog(name: str, text: str) -> None:
    check_file(name, text)


def check_job(text: str) -> None:
    """Read a job from its text, from its file and from a link to it."""
    job = refused_or_sound(read_job, text, TRADE)
    if job is not None:
        assert read_job(write_job(job, TRADE), TRADE) == job
        assert job_link.from_parameter(job_link.to_parameter(job, TRADE), TRADE) == job
    with TemporaryDirectory() as place:
        folder = write_catalog(Path(place) / "lists")
        (folder / "local").mkdir()
        (folder / "local" / "here.toml").write_text(LOCAL, encoding="utf-8")
        path = folder.parent / "job.toml"
        path.write_bytes(as_bytes(text))
        refused_or_sound(read_case, path, TRADE, [folder.parent])


@SETTINGS
@given(toml_texts(JOB_WORDS))
def test_any_values_in_a_job(text: str) -> None:
    check_job(text)


@SETTINGS
@given(exchanged(JOB))
def test_a_sound_job_with_a_piece_exchanged(text: str) -> None:
    check_job(text)


@SETTINGS
@given(st.text(max_size=60))
def test_any_text_as_a_job(text: str) -> None:
    refused_or_sound(read_job, text, TRADE)


@SETTINGS
@given(st.binary(max_size=80), st.sampled_from([b"", b"\xff\xfe", b"\xfe\xff", b"\xef\xbb\xbf"]))
def test_any_bytes_as_a_job(data: bytes, start: bytes) -> None:
    with TemporaryDirectory() as place:
        path = Path(place) / "job.toml"
        path.write_bytes(start + data)
        refused_or_sound(read_case, path, TRADE, [])


@SETTINGS
@given(st.text(max_size=60) | exchanged(job_link.to_parameter(read_job(JOB, TRADE), TRADE)))
def test_any_text_as_a_link(text: str) -> None:
    refused_or_sound(job_link.from_parameter, text, TRADE)


@SETTINGS
@given(exchanged(JOB))
def test_any_text_packed_as_a_link(text: str) -> None:
    data = as_bytes(text)
    packed = urlsafe_b64encode(zlib.compress(data)).decode().rstrip("=")
    refused_or_sound(job_link.from_parameter, f"1.{packed}.{zlib.crc32(data):08x}", TRADE)
