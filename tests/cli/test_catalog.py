"""``fitwright catalog``: template, import and check as a shop uses them."""

from __future__ import annotations

import datetime
import json
import subprocess
import sys
from pathlib import Path

import pytest

from configurator.files.catalog_check import examine
from tests import bundled
from tests.small_trade import LIST, small_trade, write_catalog

HEADS = "Art. no.;Description;Retail price €;Overall diameter;Brand"
PRICES = f"""Prices of a maker;;;;
{HEADS}
T-70;Tyre of seventy;110,00;28 in;A
T-81;Tyre of eighty-one;155,50;810 mm;A
"""


@pytest.fixture
def importing(shop):
    def run(*more: str, name: str = "prices.csv", text: str = PRICES, into: str = "lists/new"):
        path = shop.write(name, text)
        folder = shop.folder / into
        return shop.run(
            "catalog", "import", str(path), "--family", "tyres", "--into", str(folder), *more
        )

    return run


def confirm(shop, into: str = "lists/new", *changes: tuple[str, str]) -> None:
    path = shop.folder / into / "imports/tyres.toml"
    text = path.read_text(encoding="utf-8").replace("confirmed = false, ", "")
    for old, new in changes:
        assert old in text
        text = text.replace(old, new)
    path.write_text(text, encoding="utf-8")


# The cart's tyres need a maker code, which no column of the supplier is.
CODE = ("[same]  #", '[same]\n"maker code" = "A"\n#')


def test_a_list_is_taken_over_step_by_step(shop, importing) -> None:
    # First, a proposal that leaves nothing to doubt.
    ran = importing()
    assert ran.status == 2
    assert "a proposal (row 2 has the most words of headings)" in ran.out
    assert "encoding: utf-8" in ran.out
    assert "divided by the semicolon" in ran.out
    assert "a new part without 'maker code'" in ran.err
    assert not (shop.folder / "lists/new/tyres.csv").exists()
    confirm(shop, "lists/new", CODE)
    # Then what would change.
    ran = importing()
    assert (ran.status, ran.err) == (0, "")
    assert "2 new, 0 withdrawn" in ran.out
    assert "look at it, then add --write" in ran.out
    assert not (shop.folder / "lists/new/tyres.csv").exists()
    # A new catalog needs the date of its prices.
    ran = importing("--write")
    assert ran.status == 2
    assert "a new catalog needs the date of its prices" in ran.err
    ran = importing("--write", "--price-date", "2026-11-01")
    assert (ran.status, ran.err) == (0, "")
    assert "2 parts." in ran.out
    checked = shop.run("catalog", "check", str(shop.folder / "lists/new"), "--strict")
    assert (checked.status, checked.err) == (0, "")
    # The next month.
    later = PRICES.replace("110,00", "121,00").replace("T-81", "T-82")
    ran = importing("--write", name="next.csv", text=later)
    assert (ran.status, ran.err) == (0, "")
    assert "1 new, 1 withdrawn, 1 priced differently, 0 otherwise changed, 0 as before" in ran.out
    assert "+10.0%" in ran.out
    kept = shop.folder / f"lists/new/earlier/tyres-{datetime.date.today()}.csv"
    assert "T-81" in kept.read_text(encoding="utf-8")
    assert "T-82" in (shop.folder / "lists/new/tyres.csv").read_text(encoding="utf-8")
    # The same again writes nothing.
    assert "nothing differs" in importing("--write", name="next.csv", text=later).out
    assert len(list(kept.parent.iterdir())) == 1


def test_what_jobs_need_of_a_new_list_is_made_ready_in_the_background(
    shop, importing, monkeypatch
) -> None:
    begun = []

    class Begun:
        pid = 4711

        def __init__(self, command, **how):
            begun.append((command, how["start_new_session"]))

    importing()
    confirm(shop, "lists/new", CODE)
    job = shop.job('budget = "900 EUR"\n')
    more = ("--write", "--price-date", "2026-11-01", "--ready", job)
    with monkeypatch.context() as patch:
        patch.setattr(subprocess, "Popen", Begun)
        ran = importing(*more, "--ready", "nowhere.toml")
        assert ran.status == 2
        assert "nowhere.toml is not there" in ran.err
        assert begun == []
        ran = importing(*more)
    assert (ran.status, ran.err) == (0, "")
    assert "made ready in the background (process 4711)" in ran.out
    ((command, alone),) = begun
    assert alone
    assert command[0] == sys.executable
    assert command[-2:] == ["exact-prices", job]
    # The words of that command are those that the program takes.
    assert shop.run(*command[3:]).status == 0


def test_what_is_doubtful_has_to_be_confirmed(shop, importing) -> None:
    text = PRICES.replace("28 in", "28").replace("810 mm", "32")
    ran = importing("--write", text=text)
    assert ran.status == 2
    assert "TO CONFIRM" in ran.out
    assert "To be confirmed in " in ran.out
    assert "overall diameter" in ran.out.partition("To be confirmed in")[2]
    assert "Nothing was written to the catalog." in ran.out
    confirm(shop, "lists/new", CODE, ('unit = "mm"', 'unit = "in"'))
    assert importing(text=text).status == 0


@pytest.mark.parametrize("where", ["Total;;265,50;;", ";Zwischensumme;265,50;;", "Summe;;;;"])
def test_a_sum_below_the_list_is_no_part(shop, importing, where) -> None:
    importing()
    confirm(shop, "lists/new", CODE)
    ran = importing(text=f"{PRICES}{where}\n")
    assert (ran.status, ran.err) == (0, "")
    assert "2 new, 0 withdrawn" in ran.out


def test_a_proposal_never_overwrites_a_mapping(shop, importing) -> None:
    importing()
    path = shop.folder / "lists/new/imports/tyres.toml"
    path.write_text(path.read_text(encoding="utf-8") + "# mine\n", encoding="utf-8")
    importing()
    assert path.read_text(encoding="utf-8").endswith("# mine\n")
    other = shop.folder / "other.toml"
    importing("--mapping", str(other))
    assert other.exists()


@pytest.mark.parametrize(
    ("more", "message"),
    [
        (("--headings", "x"), "--headings: 'x' names no rows"),
        (("--headings", "1-9"), "names no rows"),
        (("--encoding", "ebcdic"), "encoding 'ebcdic' is not known"),
        (("--delimiter", "#"), "delimiter '#' is not known"),
        (("--sheet", "x"), "has no sheets"),
        (("--family", "tires"), "did you mean 'tyres'?"),
    ],
)
def test_bad_options(importing, more: tuple[str, ...], message: str) -> None:
    ran = importing(*more)
    assert ran.status == 2
    assert message in ran.err


def test_prices_in_another_currency_than_the_catalogs(importing) -> None:
    ran = importing(text=PRICES.replace("€", "USD"), into="catalogs/shop")
    assert ran.status == 2
    assert "prices in USD, but the catalog's currency is EUR" in ran.err


def test_the_folder_is_a_file(shop, importing) -> None:
    shop.write("lists/file", "x")
    assert "is a file" in importing(into="lists/file").err


def test_every_problem_is_named(shop, importing) -> None:
    importing()
    confirm(shop, "lists/new", CODE)
    ran = importing(text=PRICES + "T-90;;x;1 kg;A\nT-91;Tyre;5,00;900 mm;A\n")
    assert ran.status == 2
    assert [line.partition(": '")[0] for line in ran.err.splitlines()] == [
        "error: prices.csv row 5 column 2 ('Description'): the cell is empty, and every part needs "
        "its title; fill it in",
        "error: prices.csv row 5 column 3 ('Retail price €')",
        "error: prices.csv row 5 column 4 ('Overall diameter'): unit 'kg' does not measure the "
        "same as mm; give it in mm",
    ]
    ran = importing("--without-bad-rows", text=PRICES + "T-90;;x;1 kg;A\n")
    assert ran.status == 0
    assert ran.err.count("warning: row left out: ") == 3
    assert "1 row with problems left out, as asked" in ran.out


# -- template ------------------------------------------------------------------------------------


def test_template(shop) -> None:
    ran = shop.run("catalog", "template", "tyres", "--currency", "EUR")
    assert ran.status == 0
    assert "overall diameter [mm]" in ran.out
    assert "Across the tread." in ran.out
    for name in ("t.csv", "t.xlsx"):
        path = shop.folder / name
        assert shop.run("catalog", "template", "tyres", "--into", str(path)).status == 0
        assert path.stat().st_size > 50
        again = shop.run("catalog", "template", "tyres", "--into", str(path))
        assert (again.status, "is there already" in again.err) == (2, True)


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        (("tires",), "did you mean 'tyres'?"),
        (("tyres", "--into", "x.ods"), "neither .csv nor .xlsx"),
        (("tyres", "--into", "nowhere/x.csv"), "its folder is not there"),
        (("tyres", "--currency", "euro"), "not the code of a currency"),
    ],
)
def test_bad_templates(shop, arguments: tuple[str, ...], message: str) -> None:
    ran = shop.run("catalog", "template", *arguments)
    assert ran.status == 2
    assert message in ran.err


# -- check ---------------------------------------------------------------------------------------

MANY = (
    "part number;title;price;overall diameter [mm];section width [mm];mass [kg];note\n"
    + "".join(
        f"N{n};Tyre {n};{100 + n};{700 + n};{250 if n < 3 else ''};{20 + n};\n" for n in range(12)
    )
)
TODAY = datetime.date(2026, 11, 25)


def doubts(folder: Path, text: str, today: datetime.date = TODAY) -> list[str]:
    (folder / "tyres.csv").write_text(text, encoding="utf-8")
    examined = examine(folder, small_trade(), today)
    assert examined.errors == ()
    return [f"{warning.where}: {warning.what}" for warning in examined.warnings]


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return write_catalog(tmp_path / "lists")


def test_a_sound_list_leaves_no_doubt(folder: Path) -> None:
    assert doubts(folder, LIST) == []


@pytest.mark.parametrize(
    ("old", "new", "message"),
    [
        (";106;", ";1060;", "lists/tyres.csv row 8, column 'price': 1060.00 EUR for 'Tyre 6'"),
        (";106;", ";10.6;", "lists/tyres.csv row 8, column 'price': 10.60 EUR for 'Tyre 6'"),
        (";26;", ";260;", "row 8, column 'mass': 260 kg for 'Tyre 6', where 26 kg is usual"),
        ("N6;Tyre 6;106;706;;26", "N6;tyre  5;1;705;;25", "row 8, column 'part number': 'N6' is"),
        ("Tyre 6", "=cmd|x!A1", "'=cmd|x!A1' is text here, but a spreadsheet"),
        ("N6;", "EXAMPLE-1;", "the example of the empty list is still in it"),
        ("Tyre 6", "Tyre six", "column 'section width': filled in for 3 of 12 parts only"),
    ],
)
def test_doubts(folder: Path, old: str, new: str, message: str) -> None:
    assert old in MANY
    assert any(message in doubt for doubt in doubts(folder, MANY.replace(old, new, 1)))
    # And it is this change that raises it.
    if "section width" not in message:
        assert not any(message in doubt for doubt in doubts(folder, MANY))


@pytest.mark.parametrize(
    ("today", "message"),
    [
        (datetime.date(2027, 10, 1), ""),
        (datetime.date(2027, 10, 2), "366 days ago"),
        (datetime.date(2026, 9, 30), "is to come"),
    ],
)
def test_the_age_of_prices(folder: Path, today: datetime.date, message: str) -> None:
    assert [message in doubt for doubt in doubts(folder, LIST, today)] == (
        [True] if message else []
    )


def test_statistics(shop, folder: Path) -> None:
    (folder / "tyres.csv").write_text(LIST, encoding="utf-8")
    (statistic,) = examine(folder, small_trade(), TODAY).statistics
    assert (statistic.family, statistic.parts, statistic.prices) == (
        "tyres",
        2,
        (12950, 123400, 123400),
    )
    assert statistic.positions == {"tyres": 2, "spare tyre": 1}
    assert (statistic.filled["overall diameter"], statistic.filled["plies"]) == (2, 0)
    ran = shop.run("catalog", "check", str(shop.folder / "catalogs/shop"), "--json")
    record = json.loads(ran.out)
    assert record["statistics"]["tyres"]["prices"] == {
        "lowest": "50.00",
        "middle": "150.00",
        "highest": "200.00",
    }
    assert "50.00 to 200.00" in shop.run("catalog", "check", str(shop.folder / "catalogs/shop")).out
    dear = (shop.folder / "catalogs/shop/tyres.csv").read_text("utf-8").replace(",200,", ",1234.5,")
    (shop.folder / "catalogs/shop/tyres.csv").write_text(dear, encoding="utf-8")
    assert "1,234.50" in shop.run("catalog", "check", str(shop.folder / "catalogs/shop")).out


def test_warnings_count_only_when_strict(shop) -> None:
    folder = shop.folder / "catalogs/shop"
    tyres = folder / "tyres.csv"
    tyres.write_text(tyres.read_text().replace("Tyre of ninety", "=SUM(A1)"), encoding="utf-8")
    assert shop.run("catalog", "check", str(folder)).status == 0
    ran = shop.run("catalog", "check", str(folder), "--strict")
    assert ran.status == 2
    assert "warning: shop/tyres.csv row 4, column 'title'" in ran.err


def test_the_catalog_that_comes_with_fitwright_raises_no_doubt() -> None:
    from configurator.core import paths

    trade = bundled.trade()
    examined = examine(paths.catalogs() / "demo", trade, TODAY)
    assert (examined.errors, examined.warnings) == ((), ())
    assert len(examined.statistics) == len(trade.families)


def test_a_tyre_is_not_many_times_its_wheel(tmp_path: Path) -> None:
    from configurator.core import paths

    trade = bundled.trade()
    demo, folder = paths.catalogs() / "demo", tmp_path / "lists"
    folder.mkdir()
    for name in ("catalog.toml", "wheels.csv", "nuts.csv"):
        (folder / name).write_bytes((demo / name).read_bytes())
    # Two tyres only: their own list cannot say what is usual.
    heading, first, second, *_ = (demo / "tyres.csv").read_text(encoding="utf-8").splitlines()
    (folder / "tyres.csv").write_text(f"{heading}\n{first}\n{second}\n", encoding="utf-8")
    assert examine(folder, trade, TODAY).warnings == ()
    mass = heading.split(",").index("mass [kg]")
    cells = first.split(",")
    cells[mass] = "215"
    (folder / "tyres.csv").write_text(f"{heading}\n{','.join(cells)}\n{second}\n", encoding="utf-8")
    (warning,) = examine(folder, trade, TODAY).warnings
    assert warning.where == "lists/tyres.csv row 2, column 'mass'"
    assert "where the heaviest of the wheels has" in warning.what


def test_several_sheets_are_taken_over_as_one_list(shop, importing) -> None:
    import xlsxwriter

    rows = [line.split(";") for line in PRICES.strip().splitlines()]
    path = shop.folder / "sheets.xlsx"
    with xlsxwriter.Workbook(str(path)) as book:
        for name, lines in (("One", rows[:2]), ("Two", [rows[0], *rows[2:]])):
            sheet = book.add_worksheet(name)
            for number, cells in enumerate(lines):
                sheet.write_row(number, 0, cells)
    into = str(shop.folder / "lists" / "both")
    command = ("catalog", "import", str(path), "--family", "tyres", "--into", into)
    assert "2 sheets hold something" in shop.run(*command).err
    ran = shop.run(*command, "--sheet", "*")
    assert "read as one list: 'One', 'Two'" in ran.out
    assert 'sheets = ["One", "Two"]' in (shop.folder / "lists/both/imports/tyres.toml").read_text()
    # The next month, the mapping knows.
    assert "read as one list: 'One', 'Two'" in shop.run(*command).out
