"""How shops write units: each spelling is read, and means what its unit does."""

from __future__ import annotations

import pytest

from configurator.core.unit_spellings import COMMON_UNITS, SPELLINGS
from configurator.core.units import dimension, to_si


@pytest.mark.parametrize(("text", "unit"), SPELLINGS.items())
def test_each_spelling_is_read_as_its_unit(text: str, unit: str) -> None:
    assert dimension(text) == dimension(unit)
    assert to_si(1.0, text) == to_si(1.0, unit)


@pytest.mark.parametrize("text", COMMON_UNITS)
def test_what_is_suggested_is_read(text: str) -> None:
    assert to_si(1.0, text) > 0
