"""Suppliers' lists for the small trade: makers, numbers and prices are invented."""

from __future__ import annotations

from pathlib import Path

from configurator.core.errors import InputError, Problem
from configurator.core.text import Report
from configurator.supplier_lists import taking_over
from configurator.supplier_lists.mapping import Mapping
from configurator.supplier_lists.mapping_files import read_mapping, write_mapping
from configurator.supplier_lists.open_list import open_price_list
from configurator.supplier_lists.price_lists import PriceList
from configurator.supplier_lists.proposing import propose
from configurator.supplier_lists.rows import Tally, list_rows
from tests.small_trade import TYRES

HEADS = "Art. no.;Description;Retail price;Overall diameter (in);Plies"
PRICES = f"""{HEADS}
A1;Tyre one;139,50 €;30;8
A2;Tyre two;1.234,00 €;31,5;8
A7;Tyre seven;99,- €;32;10
"""


def csv_list(folder: Path, text: str | bytes = PRICES, name: str = "prices.csv") -> Path:
    path = folder / name
    path.write_bytes(text if isinstance(text, bytes) else text.encode())
    return path


def opened(folder: Path, text: str | bytes = PRICES, **how: str) -> PriceList:
    return open_price_list(csv_list(folder, text), **how)


def proposed(prices: PriceList) -> Mapping:
    return propose(prices, TYRES)[0]


def read_back(mapping: Mapping, folder: Path) -> Mapping:
    """Write a mapping and read it, as the next month does."""
    path = folder / "tyres.toml"
    path.write_text(write_mapping(mapping, "prices.csv"), encoding="utf-8")
    report = Report()
    result = read_mapping(path, TYRES, report)
    assert report.errors == []
    assert result is not None
    return result


def rows_of(prices: PriceList, mapping: Mapping) -> tuple[list, Report, Tally]:
    report, tally = Report(), Tally()
    rows = list(list_rows(prices, mapping, "tyres.toml", TYRES, "EUR", report, tally))
    return rows, report, tally


def refusal(do: object, *arguments: object, **how: object) -> Problem:
    try:
        do(*arguments, **how)  # type: ignore[operator]
    except InputError as problem:
        (problem_found,) = problem.problems
        return problem_found
    msg = "nothing was refused"
    raise AssertionError(msg)


def take_over(path: Path, folder: Path, mapping: Mapping, day: object) -> Path | None:
    """Compare and write."""
    with taking_over.compared(
        open_price_list(path), mapping, "tyres.toml", TYRES, folder, "EUR"
    ) as made:
        assert made.errors == []
        return taking_over.write_list(made, day)  # type: ignore[arg-type]
