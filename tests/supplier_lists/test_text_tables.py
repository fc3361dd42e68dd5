"""CSV: encoding and delimiter are found out and told, or asked for."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from configurator.supplier_lists.open_list import open_price_list
from tests.supplier_lists.lists import PRICES, csv_list, opened, proposed, refusal, rows_of

UMLAUT = PRICES.replace("Tyre one", "Größe eins")


@pytest.mark.parametrize(
    ("data", "stated", "message"),
    [
        (UMLAUT.encode(), "", "encoding: utf-8, every byte of it suits"),
        (b"\xef\xbb\xbf" + UMLAUT.encode(), "", "encoding: utf-8, by the mark"),
        (UMLAUT.encode("utf-16"), "", "encoding: utf-16, by the mark"),
        (UMLAUT.encode("utf-16-le"), "utf-16-le", "encoding: utf-16-le, as stated"),
        (UMLAUT.encode("cp1252"), "windows-1252", "encoding: windows-1252, as stated"),
    ],
)
def test_encodings(tmp_path: Path, data: bytes, stated: str, message: str) -> None:
    prices = opened(tmp_path, data, encoding=stated)
    assert message in str(prices.notes)
    rows, report, _ = rows_of(prices, proposed(prices))
    assert report.errors == []
    assert [row.title for row in rows] == ["Größe eins", "Tyre two", "Tyre seven"]


def test_windows_1252_is_recognised_and_told(tmp_path: Path) -> None:
    prices = opened(tmp_path, UMLAUT.encode("cp1252"))
    assert prices.encoding == "windows-1252"
    assert "it is no UTF-8, and every sign makes sense so, as in" in str(prices.notes)
    assert "Größe eins" in str(prices.notes)


@pytest.mark.parametrize("encoding", ["cp850", "mac_roman", "cp437"])
def test_other_encodings_are_never_taken_for_it(tmp_path: Path, encoding: str) -> None:
    text = UMLAUT.replace(" €", "")
    problem = refusal(opened, tmp_path, text.encode(encoding))
    assert problem.where == "prices.csv row 2"
    assert "not encoded as UTF-8" in problem.what
    assert "give --encoding windows-1252" in problem.do or "CSV UTF-8" in problem.do


def test_utf_16_without_a_mark_is_asked_for(tmp_path: Path) -> None:
    assert "--encoding utf-16-le" in refusal(opened, tmp_path, UMLAUT.encode("utf-16-le")).do


def test_an_error_far_down_is_found_before_anything_is_read(tmp_path: Path) -> None:
    data = PRICES.encode() + b"A8;Tyre;1;30;8\n" * 20_000 + b"B\xe4;Tyre;1;30;8\n"
    assert refusal(opened, tmp_path, data).where == "prices.csv row 20005"


@pytest.mark.parametrize(
    ("sign", "name"), [(";", "semicolon"), ("\t", "tab"), ("|", "bar"), (",", "comma")]
)
def test_delimiters(tmp_path: Path, sign: str, name: str) -> None:
    rows = [["Art. no.", "Description", "Price EUR"], ["A1", "One", "10"], ["A2", "Two", "12.50"]]
    text = "\n".join(sign.join(row) for row in rows)
    prices = opened(tmp_path, text)
    assert prices.delimiter == name
    assert f"divided by the {name}: it makes 3 cells of 100%" in str(prices.notes)
    assert opened(tmp_path, text, delimiter=name).delimiter == name


def test_a_decimal_comma_is_no_delimiter(tmp_path: Path) -> None:
    text = "Art. no.;Title, in short;Price\n" + "A1;One;1,50\nA2;Two;2,50\n" * 99
    assert opened(tmp_path, text).delimiter == "semicolon"


@pytest.mark.parametrize(
    ("cells", "message"),
    [
        ("1,50", "decimals stand behind a comma, as in '1,50'"),
        ("1.50", "decimals stand behind a point, as in '1.50'"),
        ("1.234", "nothing says whether '1.234' has decimals or thousands"),
        ("1.5\nA2;Two;1,5", "decimals stand behind a comma and behind a point"),
    ],
)
def test_the_decimal_sign_is_told(tmp_path: Path, cells: str, message: str) -> None:
    prices = opened(tmp_path, f"Art. no.;Title;Price EUR\nA1;One;{cells}\n", delimiter=";")
    proposed(prices)
    assert message in str(prices.notes).replace('"', "'")


def test_two_delimiters_as_likely(tmp_path: Path) -> None:
    problem = refusal(opened, tmp_path, "a,1;b\nc,2;d\n")
    assert "may be divided by the" in problem.what
    assert "give --delimiter" in problem.do
    assert opened(tmp_path, "a,1;b\nc,2;d\n", delimiter=";").delimiter == "semicolon"


@pytest.mark.parametrize(
    ("data", "what"),
    [
        ("just words\nand more\n", "nothing divides its rows"),
        ("", "is empty"),
        (" \n\n", "is empty"),
        ("a;b\n" + "x" * 1_100_000, "a line of more than"),
        ("a;b\n" + "\n".join(";" * 600 for _ in range(9)), "601 columns"),
        ('a;b\n"c;d\ne;f\n' * 3, "a cell opens with a quotation mark|quotation mark inside"),
        ("a;b\nc\x00;d\n", "zero"),
    ],
)
def test_no_table(tmp_path: Path, data: str, what: str) -> None:
    def read() -> None:
        list(opened(tmp_path, data).rows())

    assert re.search(what, refusal(read).what)


def test_choices_that_are_not_known(tmp_path: Path) -> None:
    path = csv_list(tmp_path)
    assert "utf-8" in refusal(open_price_list, path, encoding="latin").do
    assert "semicolon" in refusal(open_price_list, path, delimiter="#").do
    assert "no sheets" in refusal(open_price_list, path, sheet="x").what
