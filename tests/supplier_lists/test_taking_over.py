"""Rows become a part list, differences are told, and what the shop wrote itself stays."""

from __future__ import annotations

import dataclasses
import datetime
from pathlib import Path

import pytest

from configurator.core.errors import InputError
from configurator.files import catalog_files, part_lists
from configurator.supplier_lists import taking_over
from configurator.supplier_lists.mapping import Mapping, Source
from configurator.supplier_lists.plausible import implausible
from tests.small_trade import TYRES, small_trade, write_catalog
from tests.supplier_lists.lists import PRICES, csv_list, opened, proposed, rows_of, take_over

DAY = datetime.date(2026, 11, 25)
TRADE = small_trade()


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return write_catalog(tmp_path / "lists")


def compare(tmp_path: Path, folder: Path, text: str = PRICES, **changes: object):
    prices = opened(tmp_path, text)
    mapping = dataclasses.replace(proposed(prices), **changes)  # type: ignore[arg-type]
    how = {"without_bad_rows": changes.pop("without_bad_rows", False)}
    return taking_over.compared(prices, mapping, "tyres.toml", TYRES, folder, "EUR", **how)


def parts(folder: Path) -> dict:
    tyres = catalog_files.read_catalog(folder, TRADE).parts["tyres"]
    return {part.key.partition("/")[2]: part for part in tyres}


def test_differences(tmp_path: Path, folder: Path) -> None:
    # The list has A1 for 129.50 with 762 mm, A2 for 1234 with 31.5 in: 30 in are 762 mm.
    with compare(tmp_path, folder) as made:
        assert made.errors == []
        differences = made.differences
        assert dict(differences.counts) == {
            "new": 1, "withdrawn": 0, "priced": 1, "changed": 2, "same": 0,
        }  # fmt: skip
        assert differences.new == [("A7", "Tyre seven", 9900)]
        assert differences.priced == [("A1", "Tyre one", 12950, 13950)]
        assert differences.changed[0] == ("A1", "Tyre one", [("plies", "", "8")])
        assert dict(differences.columns) == {"plies": 2}
    assert "139" not in (folder / "tyres.csv").read_text()  # looked at, not written


def test_written_and_read_by_the_catalog(tmp_path: Path, folder: Path) -> None:
    path = csv_list(tmp_path)
    take_over(path, folder, proposed(opened(tmp_path)), DAY)
    parts_read = parts(folder)
    assert [*parts_read] == ["A1", "A2", "A7"]
    assert parts_read["A1"].price == 13950
    assert parts_read["A2"].values["overall diameter"] == 0.8001
    # What the supplier says nothing about stays as the shop wrote it.
    assert parts_read["A2"].positions == ("tyres",)
    # The same list again changes nothing.
    with compare(tmp_path, folder) as made:
        assert dict(made.differences.counts) == {
            "new": 0, "withdrawn": 0, "priced": 0, "changed": 0, "same": 3,
        }  # fmt: skip


def test_what_the_shop_added_stays(tmp_path: Path, folder: Path) -> None:
    (folder / "tyres.csv").write_text(
        "shelf;part number;title;price;overall diameter [mm];section width [cm];lead time [week]\n"
        "B 4;A1;Tyre one;129,50;762;31,5;2\n;A9;Tyre nine;50;29 in;;\n",
        encoding="utf-8",
    )
    (tmp_path / "x").mkdir()
    mapping = dataclasses.replace(proposed(opened(tmp_path)), withdrawn="keep")
    take_over(csv_list(tmp_path), folder, mapping, DAY)
    parts_read = parts(folder)
    assert [*parts_read] == ["A1", "A2", "A7", "A9"]
    assert parts_read["A1"].extra == {"shelf": "B 4"}
    assert parts_read["A1"].values["section width"] == 0.315
    assert parts_read["A1"].lead_time == 14
    # Kept although the supplier no longer has it, in the unit that the column has now.
    assert parts_read["A9"].values["overall diameter"] == 0.7366
    assert parts_read["A9"].price == 5000


def test_a_withdrawn_part_goes(tmp_path: Path, folder: Path) -> None:
    text = PRICES.replace("A1;", "A8;")
    with compare(tmp_path, folder, text) as made:
        assert made.differences.withdrawn == [("A1", "Tyre one", 12950)]
        taking_over.write_list(made, DAY)
    assert "A1" not in parts(folder)
    assert "A1" in (folder / "earlier" / "tyres-2026-11-25.csv").read_text(encoding="utf-8")


def test_what_may_be_a_slip_of_the_whole_list_has_to_be_accepted(
    tmp_path: Path, folder: Path
) -> None:
    text = PRICES.replace("A1;", "A8;").replace("A2;", "A9;")
    with compare(tmp_path, folder, text) as made:
        with pytest.raises(InputError, match="2 of 2 parts would be removed"):
            taking_over.write_list(made, DAY)
        assert [*parts(folder)] == ["A1", "A2"]
        taking_over.write_list(made, DAY, [taking_over.REMOVALS])
    assert [*parts(folder)] == ["A8", "A9", "A7"]


def test_nothing_sound_is_lost(tmp_path: Path, folder: Path) -> None:
    # A1 has no readable price, A2 is given twice with two prices: both stay as they were.
    before = parts(folder)
    text = PRICES.replace("139,50 €", "on request") + "A2;Tyre two;999,00 €;31,5;8\n"
    prices = opened(tmp_path, text)
    mapping = dataclasses.replace(proposed(prices), decimals="comma")
    with taking_over.compared(
        prices, mapping, "tyres.toml", TYRES, folder, "EUR", without_bad_rows=True
    ) as made:
        assert (made.errors, made.held, made.tally.withheld) == ([], 2, {"A1", "A2"})
        assert made.differences.withdrawn == []
        taking_over.write_list(made, DAY)
    after = parts(folder)
    assert [*after] == ["A7", "A1", "A2"]
    assert [after[key].price for key in before] == [before[key].price for key in before]
    assert [after[key].values for key in before] == [before[key].values for key in before]


def test_a_row_given_twice_alike_is_taken_once(tmp_path: Path, folder: Path) -> None:
    with compare(tmp_path, folder, PRICES + "A7;Tyre seven;99,- €;32;10\n") as made:
        assert (made.errors, made.tally.alike, made.length) == ([], 1, 3)


def test_mode_and_link_of_the_list_stay(tmp_path: Path, folder: Path) -> None:
    path = folder / "tyres.csv"
    shared = tmp_path / "shared.csv"
    path.rename(shared)
    shared.chmod(0o640)
    path.symlink_to(shared)
    take_over(csv_list(tmp_path), folder, proposed(opened(tmp_path)), DAY)
    assert path.is_symlink()
    assert shared.stat().st_mode & 0o777 == 0o640
    assert "A7" in shared.read_text(encoding="utf-8")


def test_every_problem_has_its_place(tmp_path: Path, folder: Path) -> None:
    text = PRICES + (
        "A8;;1,50;30;8\n;Tyre nine;1,50;30;8\nA1;Tyre ten;x;3 kg;8,5\n5-Apr;Tyre;1,50;99;8\n"
        "A11;Tyre;1,50 $;;8\n;A note in one cell;;;\n"
    )
    with compare(tmp_path, folder, text) as made:
        messages = [f"{error.where}: {error.what}" for error in made.errors]
        assert messages == [
            "prices.csv row 5 column 2 ('Description'): the cell is empty, and every part needs "
            "its title",
            "prices.csv row 6 column 1 ('Art. no.'): the cell is empty, and every part needs its "
            "part number",
            "prices.csv row 7 column 3 ('Retail price'): 'x' is not a price",
            "prices.csv row 7 column 4 ('Overall diameter (in)'): unit 'kg' does not measure the "
            "same as mm",
            "prices.csv row 7 column 5 ('Plies'): '8.5' is not a whole number",
            "prices.csv row 7: part number 'A1' is already in row 2, with other values",
            "prices.csv row 8 column 1 ('Art. no.'): '5-Apr' is a date where a code should be",
            messages[7],
            "prices.csv row 9 column 3 ('Retail price'): '1,50 $' is not in EUR",
            "prices.csv row 9 column 4 ('Overall diameter (in)'): the cell is empty, and every "
            "part needs its overall diameter",
        ]
        assert "row 8 column 4" in messages[7]
        assert "out of bounds" in messages[7]
        assert (made.tally.rows, made.tally.bad, made.tally.remarks) == (8, 5, 1)
        assert made.tally.remark_examples == ["prices.csv row 10: 'A note in one cell'"]
        with pytest.raises(InputError, match="there are errors"):
            taking_over.write_list(made, DAY)
    assert not (folder / "earlier").exists()


def test_bad_rows_are_left_out_only_when_asked(tmp_path: Path, folder: Path) -> None:
    prices = opened(tmp_path, PRICES + "A8;Tyre;x;30;8\n")
    mapping = proposed(prices)
    with taking_over.compared(
        prices, mapping, "tyres.toml", TYRES, folder, "EUR", without_bad_rows=True
    ) as made:
        assert made.errors == []
        assert [row_left.where for row_left in made.left_out] == [
            "prices.csv row 5 column 3 ('Retail price')"
        ]
        taking_over.write_list(made, DAY)
    assert [*parts(folder)] == ["A1", "A2", "A7"]


def test_a_new_part_needs_what_every_part_needs(tmp_path: Path, folder: Path) -> None:
    text = "Art. no.;Description;Retail price EUR\nA1;Tyre one;10,50\nA7;Tyre seven;20,50\n"
    with compare(tmp_path, folder, text) as made:
        (problem,) = made.errors
        assert problem.where == "prices.csv row 3"
        assert "a new part without 'overall diameter'" in problem.what
    # The part that is in the list already keeps its own.
    text = text.replace("A7;Tyre seven;20,50\n", "")
    with compare(tmp_path, folder, text, withdrawn="keep") as made:
        assert made.errors == []
        with pytest.raises(InputError, match=r"from 129\.50 to 10\.50 EUR"):
            taking_over.write_list(made, DAY)
        taking_over.write_list(made, DAY, [taking_over.PRICES])
    assert parts(folder)["A1"].values["overall diameter"] == 0.762
    assert parts(folder)["A1"].price == 1050


def test_words_factors_and_constants(tmp_path: Path, folder: Path) -> None:
    text = PRICES.replace("Plies", "Profile").replace(";8\n", ";MT\n").replace(";10\n", ";AT\n")
    prices = opened(tmp_path, text)
    mapping = proposed(prices)
    columns = {
        **mapping.columns,
        "tread": Source("Profile", words={"MT": "mud", "AT": "all terrain"}),
        "price": dataclasses.replace(mapping.columns["price"], multiply="1.2"),
    }
    mapping = dataclasses.replace(mapping, columns=columns, same={"maker": "Gritstane"}, ignore=())
    rows, report, _ = rows_of(prices, mapping)
    assert report.errors == []
    assert [row.price for row in rows] == [16740, 148080, 11880]
    assert [row.values["tread"] for row in rows] == ["mud", "mud", "all terrain"]
    assert {row.values["maker"] for row in rows} == {"Gritstane"}


def test_only_some_rows(tmp_path: Path) -> None:
    text = PRICES.replace("Plies", "Group").replace(";8\n", ";Tyres\n").replace(";10\n", ";Caps\n")
    prices = opened(tmp_path, text)
    mapping = dataclasses.replace(proposed(prices), only={"Group": ("Tyres",)})
    rows, report, tally = rows_of(prices, mapping)
    assert ([row.number for row in rows], tally.others, report.errors) == (["A1", "A2"], 1, [])


def test_next_months_list_has_other_columns(tmp_path: Path) -> None:
    mapping = proposed(opened(tmp_path))
    prices = opened(tmp_path, PRICES.replace("Description", "Descriptions").replace("Plies", "PR"))
    rows, report, tally = rows_of(prices, mapping)
    assert rows == []
    assert not tally.complete
    assert [error.where for error in report.errors] == [
        "tyres.toml, 'title'",
        "tyres.toml, 'plies'",
    ]
    assert report.errors[0].do == "did you mean 'Descriptions'?"
    assert [warning.what for warning in report.warnings] == [
        "the column 'Descriptions' is new and not taken",
        "the column 'PR' is new and not taken",
    ]


def test_next_months_headings_stand_lower(tmp_path: Path) -> None:
    mapping = proposed(opened(tmp_path))
    rows, report, _ = rows_of(opened(tmp_path, f"News of the month;;;;\n{PRICES}"), mapping)
    (problem,) = report.errors
    assert (rows, problem.where) == ([], "prices.csv row 1")
    assert "they seem to stand in row 2 now" in problem.what
    assert problem.do == "write headings = [2] into tyres.toml"


def test_text_stays_text(tmp_path: Path, folder: Path) -> None:
    text = (
        PRICES.replace("Tyre one", "=1+1")
        .replace("Tyre two", "../<b>&x</b>")
        .replace("Tyre seven", '"a ""quoted"", one"')
    )
    with compare(tmp_path, folder, text) as made:
        assert "'=1+1'" in str(made.tally.formula_like)
        taking_over.write_list(made, DAY)
    assert [part.title for part in parts(folder).values()] == [
        "=1+1",
        "../<b>&x</b>",
        'a "quoted", one',
    ]


def test_a_list_that_is_wrong_itself(tmp_path: Path, folder: Path) -> None:
    (folder / "tyres.csv").write_text("part number;title;price\nA1;T;x\n", encoding="utf-8")
    with compare(tmp_path, folder) as made:
        assert "lists/tyres.csv row 1" in {error.where for error in made.errors}


def test_a_number_that_another_list_of_the_catalog_has(tmp_path: Path, folder: Path) -> None:
    (folder / "hoists.csv").write_text(
        "title;part number;price;pull [kN];reach [mm];mounts\nHoist;A7;1;40;50;M1\n",
        encoding="utf-8",
    )
    (folder / "odd.csv").write_bytes(b"\xff\xfe\x00")
    (folder / "odder.csv").write_text("a;b\nA1;x\n", encoding="utf-8")
    with compare(tmp_path, folder) as made:
        (problem,) = made.errors
        assert problem.where == "prices.csv row 4"
        assert problem.what == "part number 'A7' is already in hoists.csv row 2"


def test_a_list_that_is_too_long(tmp_path: Path, folder: Path, monkeypatch) -> None:
    monkeypatch.setattr(taking_over, "MOST_ROWS", 2)
    with compare(tmp_path, folder) as made:
        (problem,) = made.errors
        assert "makes a list of 3 parts" in problem.what
    assert part_lists.MOST_ROWS > 2


def test_no_room_to_compare(tmp_path: Path, folder: Path, monkeypatch) -> None:
    import sqlite3

    def full(_: str) -> None:
        msg = "database or disk is full"
        raise sqlite3.OperationalError(msg)

    monkeypatch.setattr(taking_over, "open_store", full)
    with pytest.raises(InputError, match="no room to compare the lists"), compare(tmp_path, folder):
        pass


def test_nothing_can_be_taken(tmp_path: Path, folder: Path) -> None:
    with compare(tmp_path, folder, only={"Plies": ("99",)}) as made:
        assert "no row of it can be taken" in str(made.errors[0])


def test_memory_does_not_grow_with_the_list(tmp_path: Path, folder: Path) -> None:
    import tracemalloc

    def peak(count: int) -> int:
        rows = "".join(f"N{n};Tyre {n};{n % 900 + 1},50;30;8\n" for n in range(count))
        prices = opened(tmp_path, PRICES + rows)
        mapping: Mapping = proposed(prices)
        tracemalloc.start()
        with taking_over.compared(prices, mapping, "m", TYRES, folder, "EUR") as made:
            assert made.errors == []
            assert made.differences.counts["new"] == count + 1
        result = tracemalloc.get_traced_memory()[1]
        tracemalloc.stop()
        return result

    small, large = peak(1_000), peak(9_000)
    # Only the part numbers and their rows are remembered, for telling which is given twice.
    assert (large - small) / 8_000 < 300  # bytes per part


def test_headings_that_stand_again_are_left_out(tmp_path: Path) -> None:
    head, *rows = PRICES.splitlines()
    again = "art. no.;Description;Retail price;Overall diameter;Plies"
    prices = opened(tmp_path, "\n".join([head, rows[0], again, rows[1], head, rows[2], ""]))
    mapping = proposed(prices)
    read, report, tally = rows_of(prices, mapping)
    assert (report.errors, tally.remarks, tally.alike) == ([], 2, 0)
    assert [row.number for row in read] == ["A1", "A2", "A7"]


def test_headings_that_stand_again_over_other_columns_are_refused(tmp_path: Path) -> None:
    head, *rows = PRICES.splitlines()
    other = "Art. no.;Description;Plies;Overall diameter (in);Retail price"
    prices = opened(tmp_path, "\n".join([head, *rows, other, "A9;Tyre nine;10;30;99,50 €", ""]))
    mapping = proposed(prices)
    with pytest.raises(
        InputError, match="row 5: the headings stand here again, over other columns"
    ):
        rows_of(prices, mapping)


def test_an_absorber_that_does_not_move_is_none() -> None:
    units = {"closed length": "mm", "open length": "mm"}
    (problem,) = implausible({"closed length": 0.375, "open length": 0.375}, units)
    assert problem[1].what == "closed length 375 mm is no less than open length 375 mm"
    assert list(implausible({"closed length": 0.375, "open length": 0.376}, units)) == []
    rims = {"narrowest rim": "in", "widest rim": "in"}
    assert list(implausible({"narrowest rim": 0.2, "widest rim": 0.2}, rims)) == []


def test_a_price_with_two_digits_swapped_is_asked_about(tmp_path: Path, folder: Path) -> None:
    # 129.50 in the list: the swap is less than half, and comes before what is dearer for good.
    text = PRICES.replace("139,50", "192,50").replace("1.234,00", "1.700,00")
    with compare(tmp_path, folder, text) as made:
        assert made.differences.priced[0][0] == "A1"
        assert made.differences.steep == 1
        assert "two digits swapped, such as 'A1'" in made.asks[taking_over.PRICES].what
    with compare(tmp_path, folder, PRICES.replace("139,50", "139,00")) as made:
        assert made.asks == {}
