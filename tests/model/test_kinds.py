"""Every kind of value: what is declared, sampled and written is read, in lists and in TOML."""

from __future__ import annotations

import tomllib
from typing import get_args

import pytest
from hypothesis import given
from hypothesis import strategies as st

from configurator.core import units
from configurator.core.text import Misread, Report
from configurator.files import toml_files
from configurator.files.part_filter import COMPARISONS
from configurator.model.kinds import KINDS, kind_of
from configurator.model.parts import Attribute, Kind
from configurator.model.values import declared_value, reader

CODES = st.text("ABCxyz0123456789", min_size=1, max_size=5)
# Of each kind: unit, and values as a plugin declares them with the text of a list's cell.
DECLARED = {
    "number": ("mm", st.integers(-5000, 5000).map(lambda n: (n / 8, f"{n / 8} mm"))),
    "whole": ("", st.integers(0, 500).map(lambda n: (n, str(n)))),
    "text": ("", CODES.map(lambda code: (code, f" {code} "))),
    "codes": ("", st.lists(CODES, min_size=1).map(lambda codes: (codes, "  ".join(codes)))),
    "yes/no": ("", st.sampled_from([(True, "Yes"), (False, "nein")])),
}


def test_every_kind_that_may_be_declared_is_known() -> None:
    assert set(KINDS) == set(get_args(Kind)) == set(DECLARED)
    for kind in KINDS.values():
        assert set(kind.comparisons) <= set(COMPARISONS)
        assert kind.cells
        assert kind.declared_as


@pytest.mark.parametrize("name", KINDS)
@given(data=st.data())
def test_what_is_declared_is_what_is_read(name: str, data: st.DataObject) -> None:
    unit, drawn = DECLARED[name]
    value, text = data.draw(drawn)
    attribute = Attribute("x", "", unit, name)
    assert kind_of(attribute).is_declared(value)
    read = reader(attribute, None)(text)
    assert read == declared_value(attribute, value)
    assert type(read) is type(declared_value(attribute, value))
    same = kind_of(attribute).comparison("=")
    assert same(read, kind_of(attribute).asked(attribute, text.strip()))
    assert not kind_of(attribute).comparison("!=")(read, read)


@pytest.mark.parametrize("name", KINDS)
def test_samples_and_examples_are_read(name: str) -> None:
    unit, _ = DECLARED[name]
    attribute = Attribute("x", "", unit, name, at_least=1.0 if KINDS[name].numeric else None)
    reader(attribute, unit)(kind_of(attribute).sample(attribute))
    reader(attribute, None)(kind_of(attribute).example(attribute))


@pytest.mark.parametrize(
    ("name", "written", "value"),
    [
        ("number", '"1.5 mm"', units.to_si(1.5, "mm")),
        ("whole", "4", 4),
        ("text", '"A-1"', "A-1"),
        ("codes", '["B", "A"]', frozenset({"A", "B"})),
        ("yes/no", "true", True),
        ("number", "true", None),
        ("text", "4", None),
        ("codes", "[1]", None),
        ("yes/no", "1", None),
        ("whole", "4.5", None),
    ],
)
def test_values_of_toml(name: str, written: str, value: object) -> None:
    report = Report()
    table = toml_files.TomlTable("file", tomllib.loads(f"x = {written}"), report)
    value_read = toml_files.value(table, "x", Attribute("x", "", DECLARED[name][0], name))
    assert value_read == value
    assert (value_read is None) is bool(report.errors)


def test_codes_with_a_comma_are_refused() -> None:
    with pytest.raises(Misread, match="holds a comma"):
        reader(Attribute("x", "", "", "codes"), None)("A, B")
