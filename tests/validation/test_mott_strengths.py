"""Strengths of shaft steels.

Source: Mott, Machine Elements in Mechanical Design, appendix 3, as transcribed in the package
melib 1.1.1 (``data/mats.xlsx``, sheet ``steel``); read once and copied here. Strengths in MPa,
printed to 3 digits; torques at yield worked out with 0.577 of the yield strength on a 33.3 mm
root diameter and printed to 3 digits: 0.5 %.
"""

from __future__ import annotations

import pytest

from configurator.core.units import from_si, to_si
from configurator.formulas.shafts import STRENGTHS, shear_stress, torque_capacity


@pytest.mark.parametrize(
    ("steel", "ultimate", "yielding"),
    [
        ("1020 hot-rolled", 379, 207),
        ("1040 cold-drawn", 552, 490),
        ("1040 OQT 1300", 607, 421),
        ("4130 WQT 1000", 986, 910),
        ("4140 annealed", 655, 372),
        ("4140 OQT 1300", 807, 690),
        ("4140 OQT 1000", 1160, 1050),
        ("4340 OQT 1300", 965, 827),
        ("4340 OQT 1000", 1180, 1090),
        ("4340 OQT 700", 1590, 1420),
    ],
)
def test_strengths(steel: str, ultimate: float, yielding: float) -> None:
    assert from_si(STRENGTHS[steel].ultimate, "MPa") == ultimate
    assert from_si(STRENGTHS[steel].yielding, "MPa") == yielding


@pytest.mark.parametrize(
    ("steel", "kilonewton_metres"),
    [("4340 OQT 1000", 4.56), ("4140 OQT 1000", 4.39), ("1040 OQT 1300", 1.76)],
)
def test_torque_at_yield(steel: str, kilonewton_metres: float) -> None:
    torque = torque_capacity(to_si(33.3, "mm"), STRENGTHS[steel].yielding)
    assert torque == pytest.approx(kilonewton_metres * 1e3, rel=0.005)
    # The wrong method: yield in tension taken for yield in shear, 1.73 times too much.
    assert (
        STRENGTHS[steel].yielding * torque / shear_stress(torque, to_si(33.3, "mm")) > 1.7 * torque
    )


def test_a_strength_is_nothing_without_its_source() -> None:
    assert all(strength.source for strength in STRENGTHS.values())
    assert all(strength.yielding < strength.ultimate for strength in STRENGTHS.values())
    assert STRENGTHS["300M"].source.startswith("from memory")
