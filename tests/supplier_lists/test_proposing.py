"""What is proposed, with which doubts, and that a mapping keeps what a person wrote."""

from __future__ import annotations

import dataclasses
from pathlib import Path

import pytest

from configurator.core.text import Report
from configurator.supplier_lists.headings import heading_parts
from configurator.supplier_lists.mapping import Mapping, Source, doubtful
from configurator.supplier_lists.mapping_files import read_mapping, write_mapping
from configurator.supplier_lists.proposing import propose
from tests import bundled
from tests.small_trade import TYRES
from tests.supplier_lists.lists import HEADS, PRICES, opened, proposed, read_back, refusal


def sources(mapping: Mapping) -> dict[str, tuple[str, str, bool]]:
    return {
        name: (column.heading, column.unit, column.confirmed)
        for name, column in mapping.columns.items()
    }


def test_a_plain_list_leaves_no_doubt(tmp_path: Path) -> None:
    mapping = proposed(opened(tmp_path))
    assert sources(mapping) == {
        "part number": ("Art. no.", "", True),
        "title": ("Description", "", True),
        "price": ("Retail price", "EUR", True),
        "overall diameter": ("Overall diameter (in)", "in", True),
        "plies": ("Plies", "", True),
    }
    assert (mapping.decimals, mapping.delimiter, mapping.headings) == ("comma", "semicolon", (1,))


@pytest.mark.parametrize(
    ("heading", "cells", "expected", "reason"),
    [
        ("Overall diameter", ("30", "31", "32"), ("in", False), "only inch makes the values"),
        ("Overall diameter", ("762", "787", "812"), ("mm", False), "only mm makes the values"),
        ("Overall diameter", ("30 in", "31 in", "32 in"), ("", True), "has its own unit"),
        ("Diameter in", ("30", "31", "32"), ("in", True), "a usual word for it"),
        ("Ø", ("762", "787", "812"), ("mm", False), "the sign of a diameter"),
        ("Overall diameter (kg)", ("30", "31", "32"), None, ""),
        ("Overall diameter (mm)", ("wide", "wider", "x"), None, ""),
        ("Overall diameter, inches", ("30", "31", "32"), ("in", True), "with the unit in"),
    ],
)
def test_units(
    tmp_path: Path, heading: str, cells: tuple, expected: tuple | None, reason: str
) -> None:
    rows = "".join(f"A{n};T{n};{n},50;{cell}\n" for n, cell in enumerate(cells, start=1))
    mapping = proposed(opened(tmp_path, f"Art. no.;Title;Price EUR;{heading}\n{rows}"))
    value = mapping.columns.get("overall diameter")
    if expected is None:
        assert value is None
        assert heading in mapping.ignore
        return
    assert value is not None
    unit = {"inch": "in"}.get(value.unit, value.unit)
    assert ((unit, value.confirmed), reason in value.why) == (expected, True), value


def test_values_speak_where_the_heading_does_not(tmp_path: Path) -> None:
    rows = "".join(f"A{n};T{n};{n},50;{700 + n};mud;{90 + n};x\n" for n in range(1, 5))
    text = f"Art. no.;Title;Price EUR;Außen (mm);Muster;Breit (mm);Sonst (kg)\n{rows}"
    mapping = proposed(opened(tmp_path, text))
    # Only the overall diameter is bound to what 701 mm is within; 91 mm may be many things.
    assert sources(mapping)["tread"] == ("Muster", "", False)
    assert "suit nothing else" in mapping.columns["tread"].why
    assert "overall diameter" not in mapping.columns
    rows = rows.replace(";x\n", ";30\n")
    text = f"Art. no.;Title;Price EUR;Außen (mm);Muster;Breit (deg);Sonst (kg)\n{rows}"
    proposed_sources = sources(proposed(opened(tmp_path, text)))
    assert proposed_sources["mass"] == ("Sonst (kg)", "kg", False)
    assert proposed_sources["camber"] == ("Breit (deg)", "deg", False)


def test_two_columns_as_likely(tmp_path: Path) -> None:
    text = "Art. no.;Title;List price EUR;Retail price EUR\nA1;One;1,50;2,50\nA2;Two;3,50;4,50\n"
    mapping = proposed(opened(tmp_path, text))
    price = mapping.columns["price"]
    assert not price.confirmed
    assert "may be it as well" in price.why


@pytest.mark.parametrize(
    ("heading", "cell", "unit", "sure"),
    [
        ("Price", "1,50", "", False),
        ("Price", "1,50 $", "", False),
        ("Price", "1,50 USD", "USD", True),
        ("Preis €", "1,50", "EUR", True),
        ("Net price EUR", "1,50", "EUR", False),
        ("Dealer price EUR", "1,50", "EUR", False),
        ("Netto EUR", "1,50", "EUR", False),
        ("Netto", "1,50 €", "EUR", False),
        ("EUR", "1,50", "EUR", False),
        ("Ab Lager €", "1,50", "EUR", False),
    ],
)
def test_currency_and_kind_of_price(
    tmp_path: Path, heading: str, cell: str, unit: str, sure: bool
) -> None:
    mapping = proposed(
        opened(tmp_path, f"Art. no.;Title;{heading}\nA1;One;{cell}\nA2;Two;{cell}\n")
    )
    price = mapping.columns["price"]
    assert (price.unit, price.confirmed) == (unit, sure)


def test_a_heading_that_only_names_a_currency_is_no_rival_of_a_price(tmp_path: Path) -> None:
    text = "Art. no.;Title;Price EUR;Fracht EUR\nA1;One;1,50;9,50\nA2;Two;3,50;9,50\n"
    mapping = proposed(opened(tmp_path, text))
    assert sources(mapping)["price"] == ("Price EUR", "EUR", True)
    assert mapping.ignore == ("Fracht EUR",)


def test_part_numbers_that_stand_twice_are_doubted(tmp_path: Path) -> None:
    text = "Number;Title;Price EUR\nA1;One;1,50\nA1;Two;2,50\n"
    number = proposed(opened(tmp_path, text)).columns["part number"]
    assert not number.confirmed
    assert "stand there twice" in number.why


def test_no_headings(tmp_path: Path) -> None:
    problem = refusal(lambda: proposed(opened(tmp_path, "1;2;3\n4;5;6\n")))
    assert problem.what == "no row looks like headings"
    assert "--headings" in problem.do


def test_notes_above_the_headings(tmp_path: Path) -> None:
    text = f"Prices of Gritstane;;;;\nDescription of terms: price, tyre;;;;\n;;;;\n{PRICES}"
    assert proposed(opened(tmp_path, text)).headings == (4,)


def test_headings_given_twice_are_told_apart(tmp_path: Path) -> None:
    text = "Art. no.;Title;Price EUR;Note;Note\nA1;One;1,50;x;y\n"
    mapping = proposed(opened(tmp_path, text))
    assert {"Note", "Note (column E)"} == {mapping.columns["note"].heading, *mapping.ignore}


@pytest.mark.parametrize(
    ("text", "name", "unit"),
    [
        ("Diameter [mm]", "diameter", "mm"),
        ('Ø (")', "ø", '"'),
        ("Gewicht in kg", "gewicht", "kg"),
        ("Gewicht, kg", "gewicht", "kg"),
        ("Lieferzeit (Tage)", "lieferzeit", "day"),
        ("Price US$", "price", "USD"),
        ("Kit in box", "kit in box", None),
        ("Fits in", "fits", "in"),
        ("", "", None),
    ],
)
def test_heading_parts(text: str, name: str, unit: str | None) -> None:
    assert heading_parts(text) == (name, unit)


def test_a_mapping_survives_its_file(tmp_path: Path) -> None:
    mapping = dataclasses.replace(
        proposed(opened(tmp_path)),
        same={"maker": 'The "Maker" \\ Co'},
        only={"Group": ("Tyres", "Räder")},
        ignore=("a\tb", "c"),
        sheet="Prices 'n' more",
        encoding="windows-1252",
        hidden_rows="leave out",
        withdrawn="keep",
    )
    mapping.columns["price"] = Source(  # type: ignore[index]
        "Price", "EUR", False, "why not", multiply="1.2", rounded=True
    )
    mapping.columns["tread"] = Source("Tread", words={"MT": "mud"})  # type: ignore[index]
    # A tab cannot stand in a heading; all else comes back as it was.
    expected = dataclasses.replace(mapping, ignore=("c",))
    path = tmp_path / "m.toml"
    path.write_text(write_mapping(expected, "x\ny.csv"), encoding="utf-8")
    report = Report()
    assert read_mapping(path, TYRES, report) == expected
    assert report.errors == []
    assert doubtful(expected) == ("price",)


def test_a_currency_that_is_not_stated_is_asked_for(tmp_path: Path) -> None:
    mapping = proposed(opened(tmp_path, "Art. no.;Title;Price\nA1;One;1,50\n"))
    assert 'currency = "", confirmed = false' in write_mapping(mapping, "x.csv")
    assert read_back(mapping, tmp_path) == mapping


def test_a_short_way_to_write_a_column(tmp_path: Path) -> None:
    path = tmp_path / "m.toml"
    path.write_text('family = "tyres"\nheadings = [1]\n[columns]\ntitle = "Name"\n', "utf-8")
    mapping_read = read_mapping(path, TYRES, Report())
    assert mapping_read is not None
    assert mapping_read.columns == {"title": Source("Name")}


def test_a_bad_mapping_names_everything(tmp_path: Path) -> None:
    path = tmp_path / "m.toml"
    path.write_text(
        """
        family = "wheels"
        headings = [3, 5]
        decimals = "colon"
        shet = "x"
        [columns]
        titel = { from = "x" }
        price = { from = 3, multiply = "much", confirmed = "yes", colour = 1 }
        maker = {}
        [same]
        maker = "x"
        [only]
        Group = []
        """,
        encoding="utf-8",
    )
    report = Report()
    assert read_mapping(path, TYRES, report) is None
    text = "\n".join(map(str, report.errors))
    for sentence in (
        "m.toml, 'family': this mapping is for 'wheels'",
        "'headings': [3, 5] names no rows that follow each other".replace("[3, 5]", "'[3, 5]'"),
        "'decimals': 'colon' is not known; use one of comma, point",
        "key 'shet' is not known; did you mean 'sheet'?",
        "column 'titel' is not known; did you mean 'title'?",
        "[columns.price], 'from': '3' is not a text",
        "'much' is no factor",
        "'yes' is neither true nor false",
        "key 'colour' is not known",
        "[columns.maker]: 'from' is missing",
        "stands under [columns] as well",
        "no texts are named",
    ):
        assert sentence in text, sentence


def test_read_back_is_what_was_proposed(tmp_path: Path) -> None:
    mapping = proposed(opened(tmp_path))
    assert read_back(mapping, tmp_path) == mapping
    assert HEADS.split(";")[0] == mapping.columns["part number"].heading


def test_part_numbers_do_not_say_where_decimals_stand(tmp_path: Path) -> None:
    rows = "".join(f"F 00{n}.2;Tyre {n};1{n},50 €;{n + 29},5\n" for n in range(1, 6))
    prices = opened(tmp_path, f"Art. no.;Description;Retail price;Overall diameter (in)\n{rows}")
    assert proposed(prices).decimals == "comma"
    # Nor do they where the heading says nothing, as no number begins so.
    prices = opened(tmp_path, f"Bez.;Description;Retail price;Overall diameter (in)\n{rows}")
    assert proposed(prices).decimals == "comma"


def test_words_are_asked_once_whatever_their_capitals(tmp_path: Path) -> None:
    rows = "".join(
        f"A{n};Tyre {n};1{n},50 €;{word}\n"
        for n, word in enumerate(("Schlamm", "SCHLAMM", "Strasse", "Muster"))
    )
    text = f"Art. no.;Description;Retail price;Tread\n{rows}Art. no.;Description;Price;Tread\n"
    mapping = proposed(opened(tmp_path, text))
    assert mapping.columns["tread"].words == {"Schlamm": "", "Strasse": "", "Muster": ""}


def test_a_unit_of_two_words_ends_a_heading() -> None:
    assert heading_parts("Damping N s/m") == ("damping", "N s/m")
    assert heading_parts("Rim min in") == ("rim min", "in")


def test_both_lengths_of_an_absorber_may_stand_in_one_cell(tmp_path: Path) -> None:
    family = bundled.trade().families["shocks"]
    rows = "".join(f"A{n};Halde {n};8{n},50 €;3{n}0 – 5{n}5\n" for n in range(1, 5))
    prices = opened(tmp_path, f"Art. no.;Description;Retail price;Länge min - max (mm)\n{rows}")
    mapping, _ = propose(prices, family)
    read = {name: mapping.columns[name] for name in ("closed length", "open length")}
    assert [(s.read, s.take, s.unit) for s in read.values()] == [
        ("range", "lowest", "mm"),
        ("range", "highest", "mm"),
    ]
