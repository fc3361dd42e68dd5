"""Look parts up by conditions, from the library and as a user does."""

from __future__ import annotations

import pytest

from configurator.core.errors import InputError
from configurator.files.part_filter import FilterCondition, look_up, read_condition
from configurator.model.parts import Missing, Part, attributes_of
from tests.small_trade import HOISTS, TYRES, small_trade

TRADE = small_trade()


def part(key, family, price, **values):
    unknown = {attribute.name: Missing.UNKNOWN for attribute in attributes_of(family)}
    given = {name.replace("_", " "): value for name, value in values.items()}
    return Part(f"lists/{key}", family.key, f"Part {key}", price, {**unknown, **given}, note="Snow")


PARTS = {
    "tyres": (
        part("A", TYRES, 100_00, overall_diameter=0.7493, mass=10.0, plies=6, tread="mud"),
        part("B", TYRES, 200_00, overall_diameter=0.8, marks=frozenset({"M", "S"}), studded=True),
        part("C", TYRES, 300_00, overall_diameter=0.9, mass=30.0, studded=False),
    ),
    "hoists": (part("H", HOISTS, 50_00, pull=40e3, mass=20.0),),
}


def keys(*conditions, **more):
    asked = [read_condition(text) for text in conditions]
    looked_up = look_up(PARTS, TRADE, asked, currency="EUR", **more)
    return [match.key[-1] for family in looked_up.parts.values() for match in family]


@pytest.mark.parametrize(
    ("conditions", "expected"),
    [
        (["overall diameter >= 29.5 in"], "ABC"),  # the same length as 749.3 mm
        (["overall diameter > 29.5 in"], "BC"),
        (["overall diameter<=0.8m"], "AB"),
        (["overall diameter = 800 mm"], "B"),
        (["overall diameter != 800 mm"], "AC"),
        (["overall diameter > 700 mm", "price < 300 EUR"], "AB"),
        (["mass < 25 kg"], "AH"),  # of every family that has it; B does not say
        (["plies = 6"], "A"),
        (["tread = mud"], "A"),
        (["marks has S"], "B"),
        (["marks = S M"], "B"),
        (["studded = no"], "C"),
        (["title has part b"], "B"),
        (["part number = C"], "C"),
        (["position has spare"], "ABC"),
        (["note has snow", "pull >= 30 kN"], "H"),
        (["lead time <= 5 day"], ""),
    ],
)
def test_what_meets_the_conditions(conditions, expected):
    assert keys(*conditions) == list(expected)


def test_only_one_family():
    assert keys(family="hoists") == ["H"]


def test_what_the_lists_do_not_say_is_counted():
    looked_up = look_up(PARTS, TRADE, [read_condition("mass > 5 kg")])
    assert looked_up.unknown == {"mass > 5 kg": 1}


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("overall diametr > 1 mm", "did you mean 'overall diameter'?"),
        ("overall diameter > 700", "'700' has no unit; write '700 mm'"),
        ("overall diameter > 7 kg", "does not measure the same as mm"),
        ("overall diameter has 7 mm", "cannot be compared by has"),
        ("tread < mud", "cannot be compared by <"),
        ("price < 4 kg", "is not an amount of money"),
        ("price < 4 USD", "4.00 USD is not in EUR"),
        ("price has 4 EUR", "cannot be compared by has"),
        ("studded = perhaps", "neither yes nor no"),
    ],
)
def test_a_condition_that_cannot_be_asked_is_named(text, message):
    with pytest.raises(InputError) as caught:
        keys(text)
    assert message in str(caught.value)


@pytest.mark.parametrize("text", ["", "offset", ">= 20 mm", "offset >=", "x" * 400 + " = 1"])
def test_what_is_no_condition_is_refused(text):
    with pytest.raises(InputError, match="is no condition"):
        read_condition(text)


def test_nothing_of_a_condition_is_run():
    asked = read_condition("__import__('os').getcwd() = title")
    assert asked == FilterCondition("__import__('os').getcwd()", "=", "title")
    with pytest.raises(InputError, match="there is no attribute"):
        look_up(PARTS, TRADE, [asked])


def test_attributes_that_no_family_has_together_are_refused():
    with pytest.raises(InputError, match="no family has plies and pull"):
        keys("plies = 6", "pull > 1 kN")
    with pytest.raises(InputError, match="there is no family 'tires'; did you mean 'tyres'"):
        keys(family="tires")
