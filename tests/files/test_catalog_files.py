"""Part lists, catalogs, workshop settings and vehicles: what is read, and what is refused."""

from __future__ import annotations

from pathlib import Path

import pytest

from configurator.core.errors import InputError
from configurator.files import catalog_files
from configurator.model.parts import Missing, attributes_of
from tests.files.tyre_list import HEADING, TRADE, cell, read_list, refused, refused_cell
from tests.small_trade import LIST


def test_catalog(folder: Path) -> None:
    catalog = catalog_files.read_catalog(folder, TRADE)
    first, second = catalog.parts["tyres"]
    assert (first.key, first.title, first.price) == ("lists/A1", "Tyre one", 12950)
    assert first.place == "tyres.csv row 2"
    assert first.positions == ()
    assert second.price == 123400
    assert second.positions == ("tyres",)
    assert first.values["overall diameter"] == 0.762
    assert second.values["overall diameter"] == 0.8001  # 31.5 in
    assert first.values["ratio"] is Missing.UNKNOWN
    assert set(first.values) == {a.name for a in attributes_of(TRADE.families["tyres"])}
    assert catalog.parts["hoists"] == ()
    assert catalog.vehicles == ("wagon",)
    assert catalog.info.price_date == "2026-10-01"
    assert catalog.workshop is not None
    assert (catalog.workshop.rate, catalog.workshop.tax) == (9200, 0.2)
    assert catalog.workshop.consumables == {"gear oil": 1450}
    assert catalog.workshop.practices == {"slip": 0.9}
    assert catalog.warnings == ()


@pytest.mark.parametrize("divider", [";", "\t", ","])
@pytest.mark.parametrize("start", ["", "\ufeff"])
@pytest.mark.parametrize("ending", ["\n", "\r\n"])
def test_dialects(folder: Path, divider: str, start: str, ending: str) -> None:
    rows = [
        ["title", "overall diameter [in]", "note", "Part Number", "price [EUR]"],
        ["Tyre", "30", '"a, b; c"', "007", "1234.50"],
        ["", "", "", "", ""],
        ["Tyre", "31.5", '"31"" and so on"', "07", "99"],
    ]
    text = start + ending.join(divider.join(row) for row in rows) + ending
    first, second = read_list(folder, text)
    assert (first.key, first.note, first.price) == ("lists/007", "a, b; c", 123450)
    assert first.values["overall diameter"] == 0.762
    assert second.place == "tyres.csv row 4"
    assert second.note == '31" and so on'


@pytest.mark.parametrize(
    ("column", "text", "value"),
    [
        ("section width [cm]", "31,5", 0.315),
        ("section width [cm]", "12.4 in", 0.31496),
        ("section width [mm]", "1e2", 0.1),
        ("section width [mm]", "", Missing.UNKNOWN),
        ("mass [lb]", "10", 4.5359237),
        ("plies", "8", 8),
        ("plies", "8.0", 8),
        ("ratio", "3,727", 3.727),
        ("ratio [%]", "50", 0.5),
        ("fill [%]", "50", 0.5),
        ("PCD", "5x114.3", "5x114.3"),
        ("PCD", "0512", "0512"),
        ("marks", "M+S  3PMSF", frozenset({"M+S", "3PMSF"})),
        ("studded", "Ja", True),
        ("studded", "0", False),
        ("tread", "all  terrain", "all terrain"),
    ],
)
def test_values(folder: Path, column: str, text: str, value: object) -> None:
    value_read = cell(folder, column, text)
    assert value_read == value
    assert type(value_read) is type(value)


@pytest.mark.parametrize(
    ("column", "text", "what", "do"),
    [
        ("PCD", "5-Apr", "a date where a code should be", "column as text"),
        ("PCD", "2005-04-05", "a date where a code should be", "column as text"),
        ("PCD", "04.05.2005", "a date where a code should be", "column as text"),
        ("marks", "M 4/5/2005", "a date where a code should be", "column as text"),
        ("marks", "1.2E+15", "shortened", "column as text"),
        ("marks", "A,B", "comma", "divide several codes by spaces"),
        ("section width [mm]", "5-Apr", "a date where a number should be", "column as text"),
        ("section width [in]", "1/2", "a fraction", "write 0.5"),
        ("section width [in]", '12 1/2"""', "a fraction", "write 12.5"),
        ("section width [mm]", "1.234,5", "separator of thousands", "without separators"),
        ("section width [mm]", "1 234", "separator of thousands", "without separators"),
        ("section width [mm]", "1'234'567", "separator of thousands", "without separators"),
        ("section width [mm]", "nan", "not a finite number", "12 mm"),
        ("section width [mm]", "-inf", "not a finite number", "12 mm"),
        ("section width [mm]", "1e999", "not a finite number", "12 mm"),
        ("section width [mm]", "1_000", "not a number", "12 mm"),
        ("section width [mm]", "٣٤", "not a number", "12 mm"),
        ("section width [mm]", "#DIV/0!", "error of the spreadsheet", "formula"),
        ("section width [mm]", "wide", "not a number", "12 mm"),
        ("section width [mm]", "12 sofas", "not known", "give it in mm"),
        ("section width [mm]", "12 kg", "does not measure the same as mm", "give it in mm"),
        ("section width [mm]", "12 mmm", "not known", "did you mean 'mm'?"),
        ("fill [%]", "20 deg", "does not measure the same as %", "give it in %"),
        ("fill [%]", "120", "between 0 and 100 %", "check the number"),
        ("plies", "8.5", "not a whole number", "without decimals"),
        ("plies", "0", "between 1 and 20", "check the number"),
        ("studded", "maybe", "neither yes nor no", "yes or no"),
        ("tread", "Mudd", "not one of the words", "did you mean 'mud'?"),
        ("tread", "a\tb", "holds a tab", "space"),
        ("PCD", '"a\nb"', "holds a line break", "space"),
        ("PCD", "a\x07b", "control character U+0007", "delete"),
        ("PCD", "a\u202eb", "control character U+202E", "delete"),
        ("PCD", "x" * 2001, "2001 characters", "2000"),
    ],
)
def test_refused_values(folder: Path, column: str, text: str, what: str, do: str) -> None:
    problem = refused_cell(folder, column, text)
    assert what in problem.what
    assert do in problem.do


def test_bounds_are_kept_in_any_unit(folder: Path) -> None:
    (part,) = read_list(folder, "part number;title;price;overall diameter [m]\nA;T;1;1.2\n")
    assert part.values["overall diameter"] == 1.2
    (problem,) = refused(folder, "part number;title;price;overall diameter [m]\nA;T;1;1.201\n")
    assert "1201 mm" in problem.what
    assert "between 500 and 1200 mm" in problem.what


@pytest.mark.parametrize(
    ("heading", "place", "what", "do"),
    [
        ("overall diameter", "overall diameter", "no unit", "overall diameter [mm]"),
        ("overall diameter [kg]", "overall diameter [kg]", "does not measure", "give it in mm"),
        ("overall diameter [mmm]", "overall diameter [mmm]", "not known", "did you mean 'mm'?"),
        ("overall diameter []", "overall diameter []", "does not measure", "give it in mm"),
    ],
)
def test_refused_headings(folder: Path, heading: str, place: str, what: str, do: str) -> None:
    (problem,) = refused(folder, f"part number;title;price;{heading}\nA;T;1;762\n")
    assert problem.where == f"lists/tyres.csv row 1, column '{place}'"
    assert what in problem.what
    assert do in problem.do


def test_missing_column_names_the_one_that_may_be_meant(folder: Path) -> None:
    problems = refused(folder, "part numer;title;price [USD];overal diameter [mm]\nA;T;1;762\n")
    assert [(p.where, p.what) for p in problems] == [
        ("lists/tyres.csv row 1", "the column 'part number' is missing"),
        ("lists/tyres.csv row 1", "the column 'overall diameter' is missing"),
        (
            "lists/tyres.csv row 1, column 'price [USD]'",
            "prices in 'USD', but the catalog's currency is EUR",
        ),
    ]
    assert "did you mean 'part numer'?" in problems[0].do


def test_unknown_columns_are_kept_and_warned_of(folder: Path) -> None:
    (part,) = read_list(folder, f"{HEADING};shelf;sectoin width [mm]\nA;T;1;762;B 4;300\n")
    assert part.extra == {"shelf": "B 4", "sectoin width [mm]": "300"}
    assert part.values["section width"] is Missing.UNKNOWN
    errors, warnings, counts = catalog_files.check_catalog(folder, TRADE)
    assert errors == []
    assert [w.where for w in warnings] == [
        "lists/tyres.csv row 1, column 'sectoin width [mm]'",
        "lists/tyres.csv row 1, column 'shelf'",
    ]
    assert "section width" in warnings[0].do
    assert counts == {"tyres": 1, "hoists": 0}


def test_duplicates_name_both_rows(folder: Path) -> None:
    (problem,) = refused(folder, f"{HEADING}\nA;T;1;762\n;;;\nA;T;1;762\n")
    assert problem.where == "lists/tyres.csv row 4, column 'part number'"
    assert "already in lists/tyres.csv row 2" in problem.what
    (problem,) = refused(folder, f"{HEADING};Title\nA;T;1;762;T\n")
    assert "second column 'title'" in problem.what


def test_a_part_number_is_given_once_in_a_catalog(folder: Path) -> None:
    (folder / "hoists.csv").write_text(
        "part number;title;price;pull [kN];reach [mm];mounts\nA1;Hoist;1;40;50;M1\n",
        encoding="utf-8",
    )
    with pytest.raises(InputError, match=r"already in lists/hoists\.csv row 2"):
        catalog_files.read_catalog(folder, TRADE)


def test_all_problems_in_order(folder: Path) -> None:
    rows = "\n".join(f"A{n};T;1;762" for n in range(2, 9))
    problems = refused(folder, f"{HEADING}\n{rows}\nA9;;x;wide\nA10;T;-1;\n")
    assert [p.where for p in problems] == [
        "lists/tyres.csv row 9, column 'overall diameter [mm]'",
        "lists/tyres.csv row 9, column 'price'",
        "lists/tyres.csv row 9, column 'title'",
        "lists/tyres.csv row 10, column 'overall diameter [mm]'",
        "lists/tyres.csv row 10, column 'price'",
    ]


def test_problems_are_not_endless(folder: Path) -> None:
    rows = "\n".join(f"A{n};T;1;wide" for n in range(2000))
    problems = refused(folder, f"{HEADING}\n{rows}\n")
    assert len(problems) == 501
    assert problems[-1].where == "lists/tyres.csv row 502 and below"


def test_decimal_comma_between_commas(folder: Path) -> None:
    heading = HEADING.replace(";", ",")
    (part,) = read_list(folder, f'{heading}\nA,T,"1,5","762,5"\n')
    assert (part.price, part.values["overall diameter"]) == (150, 0.7625)
    (problem,) = refused(folder, f"{heading}\nA,T,1,762,5\n")
    assert (problem.where, problem.what) == (
        "lists/tyres.csv row 2",
        "5 cells under 4 headings",
    )
    # A comma that shifts everything must not hide behind an empty last cell.
    (problem,) = refused(folder, f"{heading},note\nA,T,1,762,5,\n")
    assert problem.what == "6 cells under 5 headings"


@pytest.mark.parametrize(
    ("divider", "first", "second", "refused_at"),
    [
        (";", "3.727", "10,5", 2),  # a point among decimal commas
        (";", "10.5", "3,727", 3),  # a comma among decimal points
        ("\t", "3,727", "4", 2),  # nothing says which it is
        ("\t", "3,727", "10,5", None),
        (";", "3.727", "10.5", None),
        (";", "3,727", "10", None),
    ],
)
def test_thousands_or_decimals(
    folder: Path, divider: str, first: str, second: str, refused_at: int | None
) -> None:
    text = f"{HEADING};ratio\nA;T;1;762;{first}\nB;T;1;762;{second}\n".replace(";", divider)
    if refused_at is None:
        assert read_list(folder, text)[0].values["ratio"] == 3.727
        return
    (problem,) = refused(folder, text)
    assert problem.where == f"lists/tyres.csv row {refused_at}, column 'ratio'"
    assert "decimals or thousands" in problem.what


def test_encoding(folder: Path) -> None:
    (problem,) = refused(folder, f"{HEADING}\nA;T;1;762\nB;R".encode() + b"\xe4der;1;762\n")
    assert problem.where == "lists/tyres.csv row 3"
    assert "not encoded as UTF-8" in problem.what
    (problem,) = refused(folder, f"{HEADING}\n".encode("utf-16"))
    assert "UTF-16" in problem.what


def test_letters_written_as_two_signs_are_the_same_letter(folder: Path) -> None:
    assert cell(folder, "PCD", "a\u0308") == "\u00e4"


def test_quotation_marks(folder: Path) -> None:
    (problem,) = refused(folder, f'{HEADING}\nA;T;1;762\nB;"T;1;762\nC;T;1;762\n')
    assert problem.where == "lists/tyres.csv row 3"
    assert "not closed" in problem.what
    problems = refused(folder, f'{HEADING}\nA;"T" x;1;762\nB;T;1;wide\n')
    assert [p.where for p in problems] == [
        "lists/tyres.csv row 2",
        "lists/tyres.csv row 3, column 'overall diameter [mm]'",
    ]


def test_rows_wider_than_the_heading(folder: Path) -> None:
    (part,) = read_list(folder, f"{HEADING};note\nA;T;1;762\n")
    assert part.note == ""
    (problem,) = refused(folder, f"{HEADING}\nA;T;1;762;5\n")
    assert problem.what == "5 cells under 4 headings"
    (problem,) = refused(folder, f"{HEADING};\nA;T;1;762;5\n")
    assert (problem.where, problem.what) == (
        "lists/tyres.csv row 2, column 5",
        "'5' stands under no heading",
    )


def test_common_columns(folder: Path) -> None:
    text = f"{HEADING};maker;lead time [week];position;note;mass [kg]\n"
    (part,) = read_list(folder, f"{text}A;T;1;762;Anrain;2;tyres | spare tyre;n;30\n")
    assert (part.maker, part.lead_time, part.note) == ("Anrain", 14, "n")
    assert part.positions == ("tyres", "spare tyre")
    assert part.values["mass"] == 30.0
    problems = refused(folder, f"{text}A;T;1 USD;762;;0.1;tires;;-1\n")
    assert len(problems) == 4
    assert "did you mean 'tyres'?" in str(problems)


@pytest.mark.parametrize("text", ["", "\n\n", "\ufeff", ";;;\n"])
def test_empty_list(folder: Path, text: str) -> None:
    (problem,) = refused(folder, text)
    assert problem.what == "the file is empty"


def test_too_many_columns(folder: Path) -> None:
    (problem,) = refused(folder, HEADING + ";x" * 200)
    assert "204 columns" in problem.what


def test_list_of_no_family(folder: Path) -> None:
    (folder / "tires.csv").write_text(LIST, encoding="utf-8")
    _, (warning,), _ = catalog_files.check_catalog(folder, TRADE)
    assert (warning.where, warning.do) == ("lists/tires.csv", "did you mean 'tyres'?")
