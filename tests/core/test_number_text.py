"""One grammar for numbers: what one reader takes, all take, and it is the same number."""

from __future__ import annotations

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from configurator.core import money, units
from configurator.core.errors import UnitError
from configurator.core.number_text import split_number
from configurator.core.text import Misread
from configurator.model.parts import Attribute
from configurator.model.tolerances import read_tolerance
from configurator.model.values import reader
from configurator.ui.talk import typed
from configurator.wording.quantities import money_words, with_unit

UNITS = st.sampled_from(["mm", "in", "kg", "N*m", "deg", "%", "rpm", ""])
NUMBERS = st.floats(-1e6, 1e6).map(units.normalise)
# Texts that are nearly numbers.
TEXTS = st.text("0123456789.,' +-e/", max_size=9) | st.from_regex(
    r"[-+]?[0-9]{1,4}([.,][0-9]{1,4}){0,2}", fullmatch=True
)


def read(how, *given):
    try:
        return how(*given)
    except (Misread, UnitError, typed.NotReadError):
        return None


@given(value=NUMBERS, unit=UNITS)
def test_what_is_written_is_read_back_everywhere(value: float, unit: str) -> None:
    text = units.write(value, unit)
    assert units.parse(text, unit) == pytest.approx(value, rel=1e-11, abs=1e-300)
    assert reader(Attribute("x", "", unit), None)(text) == units.parse(text, unit)
    assert typed.number(text, unit, None) == units.parse(text, unit)
    if value >= 0:
        tolerance = read_tolerance(f"±{text}", unit)
        assert tolerance.amount == units.parse(text, unit)


@given(text=TEXTS, unit=UNITS)
@example("1,780", "mm")
@example("1,780.5", "mm")
@example("1.780,5", "mm")
@example("11 3/4", "in")
@example("1e400", "mm")
@example("5", "%")
def test_no_reader_takes_what_another_reads_otherwise(text: str, unit: str) -> None:
    """The page knows what its commas are, and so reads more; never another number."""
    written = f"{text} {unit}"
    in_files = read(reader(Attribute("x", "", unit), None), written)
    assert read(units.parse, written, unit) == in_files
    on_the_page = read(typed.number, written, unit, None)
    if in_files is not None:
        assert on_the_page == in_files
    if text.strip():
        assert read(typed.number, text, unit, None) == on_the_page, "with its unit or without"


@given(number=st.integers(0, 10**9))
def test_a_number_that_the_page_shows_can_be_typed(number: int) -> None:
    shown = with_unit(f"{number:,}", "mm")
    assert typed.number(shown, "mm", None) == units.to_si(number, "mm")
    assert typed.number(f"{number:,}", "mm", None) == units.to_si(number, "mm")


@given(minor=st.integers(0, 10**11), currency=st.sampled_from(["EUR", "JPY", "JOD"]))
def test_an_amount_that_is_shown_can_be_typed(minor: int, currency: str) -> None:
    assert typed.amount(money_words(minor, currency), currency) == minor
    assert money.read(str(money.Money(minor, currency))).minor == minor
    assert money.read_amount(money.amount(minor, currency), currency) == minor


@given(text=TEXTS, currency=st.sampled_from(["EUR", "JPY", "JOD"]))
@example("18,500", "JOD")
def test_amounts_are_the_same_on_the_page_and_in_files(text: str, currency: str) -> None:
    in_files = read(money.read_amount, text, currency)
    if in_files is not None and in_files >= 0:
        assert read(typed.amount, text, currency) == in_files


def test_a_comma_that_may_be_two_things_is_refused_with_both() -> None:
    with pytest.raises(Misread, match=r"may be 1\.780 or 1780"):
        split_number("1,780 mm", "mm")
    with pytest.raises(UnitError, match=r"may be 1\.780 or 1780"):
        units.parse("1,780 mm", "mm")


def test_the_page_says_what_to_write_as_files_do() -> None:
    with pytest.raises(typed.NotReadError, match=r"is a fraction; write 11\.75 in"):
        typed.number("11 3/4 in", "mm", None)
