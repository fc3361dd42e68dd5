"""A shop's own prices over its suppliers' lists, and lists in several currencies."""

from __future__ import annotations

import json
from decimal import ROUND_HALF_EVEN, Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from configurator.core import money
from configurator.core.errors import InputError, UnitError
from configurator.files.job_files import read_case, read_job, write_job
from configurator.wording.sentences import catalog_words
from tests.small_trade import ABOUT, WAGON, small_trade, write_catalog

TRADE = small_trade()
IMPORTS = (
    "part number,title,price [USD],overall diameter [in]\nU1,Import one,100.05,30\n"
    "U2,Import two,250,33\n"
)
OVERRIDES = """catalog;part number;price [EUR];lead time [day];note;stock;hidden
lists;A1;99,90;;;4;
imports;U1;;12;to be asked for by telephone;;
imports;U2;;;;;yes
"""
RATES = """
[rates]
USD = { rate = "0.925 EUR", date = 2026-11-01 }
"""


@pytest.fixture
def root(tmp_path):
    """Two suppliers, one of them in another currency, and the shop above them."""
    write_catalog(tmp_path / "lists")
    (tmp_path / "lists" / "workshop.toml").unlink()
    for name, currency in (("imports", "USD"), ("shop", "EUR")):
        (tmp_path / name / "vehicles").mkdir(parents=True)
        about = ABOUT.replace("EUR", currency)
        (tmp_path / name / "catalog.toml").write_text(about, encoding="utf-8")
    (tmp_path / "imports" / "tyres.csv").write_text(IMPORTS, encoding="utf-8")
    (tmp_path / "shop" / "vehicles" / "wagon.toml").write_text(WAGON, encoding="utf-8")
    (tmp_path / "shop" / "workshop.toml").write_text('rate = "92 EUR"' + RATES, encoding="utf-8")
    (tmp_path / "shop" / "overrides.csv").write_text(OVERRIDES, encoding="utf-8")
    return tmp_path


def read(root, *, catalogs=("lists", "imports", "shop"), more=""):
    job = root / "job.toml"
    job.write_text(
        f'title = "T"\nvehicle = "shop/wagon"\ncatalogs = {json.dumps(list(catalogs))}\n{more}',
        encoding="utf-8",
    )
    return read_case(job, TRADE, [root])


def problems(root, **more):
    with pytest.raises(InputError) as caught:
        read(root, **more)
    return {problem.where: (problem.what, problem.do) for problem in caught.value.problems}


def tyres(case):
    return {part.key: part for part in case.parts["tyres"]}


def test_the_shops_word_comes_before_the_suppliers(root):
    tyres_read = tyres(read(root))
    assert list(tyres_read) == ["lists/A1", "lists/A2", "imports/U1"]
    assert (tyres_read["lists/A1"].price, tyres_read["lists/A1"].stock) == (99_90, 4)
    assert tyres_read["lists/A2"].price == 1234_00
    assert tyres_read["imports/U1"].lead_time == 12
    assert tyres_read["imports/U1"].note == "to be asked for by telephone"


def test_each_value_says_which_layer_it_is_from(root):
    tyres_read = tyres(read(root))
    assert tyres_read["lists/A1"].origins == {
        "price": "shop/overrides.csv row 2",
        "stock": "shop/overrides.csv row 2",
    }
    assert tyres_read["lists/A2"].origins == {}  # all of it is from the row of the list
    assert tyres_read["imports/U1"].origins == {
        "price": "tyres.csv row 2: 100.05 USD at 1 USD = 0.925 EUR of 2026-11-01",
        "lead time": "shop/overrides.csv row 3",
        "note": "shop/overrides.csv row 3",
    }


def test_every_sheet_says_what_was_laid_over_a_list(root):
    lists, imports, shop = (catalog_words(catalog) for catalog in read(root).catalogs)
    assert lists.endswith("; changed by shop/overrides.csv (parts): price 1, stock 1")
    assert "; converted at 1 USD = 0.925 EUR of 2026-11-01, each price" in imports
    assert imports.endswith("changed by shop/overrides.csv (parts): lead time 1, note 1, hidden 1")
    assert "changed" not in shop


def test_a_new_edition_of_the_list_comes_through(root):
    path = root / "lists" / "tyres.csv"
    path.write_text(path.read_text(encoding="utf-8").replace("1.234,00", "1.500,00"), "utf-8")
    tyres_read = tyres(read(root))
    assert (tyres_read["lists/A1"].price, tyres_read["lists/A2"].price) == (99_90, 1500_00)


def test_a_change_of_a_part_that_is_gone_is_said(root):
    path = root / "lists" / "tyres.csv"
    path.write_text(path.read_text(encoding="utf-8").replace("A1;", "A11;"), "utf-8")
    (warning,) = read(root).warnings
    assert str(warning) == (
        "shop/overrides.csv row 2: changes 'lists/A1', which is not in the list any more; "
        "did you mean 'lists/A11'?"
    )


def test_a_supplier_that_is_not_asked_is_not_missed(root):
    case = read(root, catalogs=("lists", "shop"))
    assert case.warnings == ()
    assert list(tyres(case)) == ["lists/A1", "lists/A2"]


def test_what_the_shop_does_not_sell_cannot_be_fixed(root):
    errors = problems(root, more='[fixed]\ntyres = "imports/U2"\n')
    assert errors["job.toml, [fixed], 'tyres'"] == (
        "'imports/U2' is not sold by the shop: shop/overrides.csv row 4 hides it",
        "name another, or take 'hidden' out of that row",
    )
    read(root, more='[exclude]\nparts = ["imports/U2"]\n')  # ruling it out does no harm


def test_a_later_shop_has_the_last_word(root):
    (root / "branch").mkdir()
    (root / "branch" / "catalog.toml").write_text(ABOUT, encoding="utf-8")
    (root / "branch" / "overrides.csv").write_text(
        "catalog,part number,price,hidden\nlists,A1,95,\nimports,U2,,no\n", encoding="utf-8"
    )
    tyres_read = tyres(read(root, catalogs=("lists", "imports", "shop", "branch")))
    assert tyres_read["lists/A1"].price == 95_00
    assert tyres_read["lists/A1"].origins["stock"] == "shop/overrides.csv row 2"
    assert "imports/U2" in tyres_read


def test_a_currency_without_a_rate_is_refused_with_what_to_write(root):
    (root / "shop" / "workshop.toml").write_text('rate = "92 EUR"', encoding="utf-8")
    what, do = problems(root)["job.toml, 'catalogs'"]
    assert what == "catalog 'imports' is in USD, the job in EUR"
    assert '"USD" = { rate = "0.92 EUR", date = 2026-11-01 }' in do
    # What it says to write, works.
    (root / "shop" / "workshop.toml").write_text(
        'rate = "92 EUR"\n[rates]\n"USD" = { rate = "0.92 EUR", date = 2026-11-01 }\n', "utf-8"
    )
    assert tyres(read(root))["imports/U1"].price == 92_05  # 92.046


@pytest.mark.parametrize(
    ("line", "where", "what"),
    [
        ("USD = 0.92", ", 'USD'", "'0.92' is not a rate with its date"),
        ('USD = { rate = "0.92 EUR" }', '.USD]', "'date' is missing"),
        ("USD = { date = 2026-11-01 }", '.USD]', "'rate' is missing"),
        ('USD = { rate = "0 EUR", date = 2026-11-01 }', ".USD], 'rate'", "is not a rate"),
        ('USD = { rate = "0,92 EUR", date = 2026-11-01 }', ".USD], 'rate'", "is not a rate"),
        ('USD = { rate = "1.1 CHF", date = 2026-11-01 }', ".USD], 'rate'", "workshop's currency"),
        ('EUR = { rate = "1 EUR", date = 2026-11-01 }', ".EUR], 'rate'", "is in EUR itself"),
        ('dollar = { rate = "1 EUR", date = 2026-11-01 }', ", 'dollar'", "code of a currency"),
        ('USD = { rate = "1 EUR", date = "soon" }', ".USD], 'date'", "is no date"),
    ],
)  # fmt: skip
def test_a_rate_that_cannot_be_used_is_named(root, line, where, what):
    (root / "shop" / "workshop.toml").write_text(f'rate = "92 EUR"\n[rates]\n{line}\n', "utf-8")
    errors = problems(root)
    (sentence,) = [text for place, (text, _) in errors.items() if place.endswith(where)]
    assert what in sentence


@pytest.mark.parametrize(
    ("text", "where", "what"),
    [
        ("", "shop/overrides.csv row 1", "the file is empty"),
        ("catalog;price\nlists;1\n", "shop/overrides.csv row 1", "'part number' is missing"),
        ("catalog;part number;prise\nlists;A1;1\n", "row 1, column 'prise'", "no such column"),
        ("catalog;part number;price [USD]\nlists;A1;1\n", "column 'price [USD]'", "prices in"),
        ("catalog;part number;lead time\nlists;A1;1\n", "column 'lead time'", "no unit"),
        ("catalog;part number;price\nlists;A1;-1\n", "row 2, column 'price'", "below zero"),
        ("catalog;part number;stock\nlists;A1;1.5\n", "row 2, column 'stock'", "whole number"),
        ("catalog;part number;hidden\nlists;A1;so so\n", "row 2, column 'hidden'", "yes nor no"),
        ("catalog;part number;note\nshop;A1;x\n", "row 2", "is in this very catalog"),
        ("catalog;part number;note\nlists;A1;x\nlists;A1;y\n", "row 3", "is already in"),
        ("catalog;part number;note\nlists;;x\n", "row 2, column 'part number'", "is empty"),
        ("catalog;part number;note\nlists;5-Apr;x\n", "column 'part number'", "is a date"),
    ],
)
def test_everything_wrong_with_the_changes_is_named(root, text, where, what):
    (root / "shop" / "overrides.csv").write_text(text, encoding="utf-8")
    errors = problems(root)
    (sentence,) = [text for place, (text, _) in errors.items() if place.endswith(where)]
    assert what in sentence


def test_rates_are_read_and_written_exactly():
    assert str(money.read_rate("JPY", "0.006125 EUR", "2026-11-01")).startswith(
        "1 JPY = 0.006125 EUR"
    )
    assert str(money.read_rate("GBP", "100 JPY", "2026-11-01")).startswith("1 GBP = 100 JPY")
    for text in ("EUR", "1e3 EUR", "-1 EUR", "1 EUR EUR", "1.2.3 EUR"):
        with pytest.raises(UnitError):
            money.read_rate("USD", text, "2026-11-01")


@given(
    st.integers(0, 10**11),
    st.decimals(Decimal("0.000001"), Decimal(999999), places=6),
    st.sampled_from([("USD", "EUR"), ("JPY", "EUR"), ("EUR", "JPY"), ("KWD", "EUR")]),
)
def test_conversion_is_exact(minor, price, pair):
    # Held against decimal arithmetic of 50 digits, a way of its own.
    of, into = pair
    rate = money.read_rate(of, f"{price:f} {into}", "2026-11-01")
    import decimal

    with decimal.localcontext(prec=50):
        major = Decimal(minor).scaleb(-money.exponent(of)) * price
        expected = major.scaleb(money.exponent(into)).quantize(Decimal(1), ROUND_HALF_EVEN)
    assert money.convert(minor, rate) == int(expected)


def test_the_job_lies_over_the_shop(root):
    more = '[prices]\n"lists/A1" = "88 EUR"\n"imports/U1" = "90.50 EUR"\n'
    case = read(root, more=more)
    tyres_read = tyres(case)
    assert (tyres_read["lists/A1"].price, tyres_read["imports/U1"].price) == (88_00, 90_50)
    assert tyres_read["lists/A1"].origins["price"] == "job.toml, [prices]"
    assert "changed by shop/overrides.csv, job.toml, [prices] (parts)" in catalog_words(
        case.catalogs[0]
    )
    again = read_job(write_job(case.job, TRADE), TRADE)
    assert again.prices == {"lists/A1": 88_00, "imports/U1": 90_50}
    assert again == case.job


def test_prices_of_the_job_that_cannot_be_used_are_named(root):
    errors = problems(root, more='[prices]\n"lists/A9" = "88 EUR"\n"lists/A1" = "88 CHF"\n')
    assert errors["job.toml, [prices], 'lists/A1'"] == (
        "the job is in EUR",
        'give it in EUR, or write currency = "CHF" above',
    )
    errors = problems(root, more='[prices]\n"lists/A9" = "88 EUR"\n')
    assert errors["job.toml, [prices]"][0] == "there is no part 'lists/A9' in the catalogs"
