"""Tyre designations, load indices, speed symbols and the speedometer, by UN regulations.

Sources: UN Regulation No. 30 (car tyres), 2, 6.1 and annex 4; No. 54 (commercial tyres), 6.1 and
annex 4 (tables also in ISO 4000-1; compared over five independent copies); No. 39
(speedometers), 5.4, 5.3 in earlier issues. The regulations' full texts were not at hand.
"""

from __future__ import annotations

import pytest

from configurator.core.units import from_si, to_si
from configurator.formulas.speedometer import (
    error_share,
    is_lawful,
    largest_shown_speed,
    shown_speed,
    true_speed,
)
from configurator.formulas.tyre_sizes import (
    LOAD_INDICES,
    SPEED_SYMBOLS,
    capacity,
    parse,
    rated_speed,
)
from configurator.formulas.tyres import section_width_on_rim, theoretical_rim_width


@pytest.mark.parametrize(
    ("designation", "millimetres"),
    [
        ("285/70R17", 830.8),
        ("235/85R16", 805.9),
        ("255/85R16", 839.9),
        ("265/70R17", 802.8),
        ("215/75R15", 703.5),
    ],
)
def test_overall_diameter(designation: str, millimetres: float) -> None:
    # D = d + 2 H with d = 25.4 x rim code; printed to 0.1 mm. The first four were also worked out
    # with the package co2mpas 4.3.7 (calculate_r_wheels), which agrees.
    diameter = from_si(parse(designation).overall_diameter, "mm")
    assert diameter == pytest.approx(millimetres, abs=0.05)


@pytest.mark.parametrize(
    ("designation", "diameter", "width"),
    [
        ("37x12.50R17LT", 939.8, 317.5),
        ("31x10.50R15LT", 787.4, 266.7),
        ("35x12.50R17LT", 889.0, 317.5),
        ("40x13.50R17LT", 1016.0, 342.9),
    ],
)
def test_flotation_sizes_state_diameters(designation: str, diameter: float, width: float) -> None:
    # Inches, overall. The trap: 37 is the diameter, and reading it as a radius doubles the tyre.
    size = parse(designation)
    assert from_si(size.overall_diameter, "mm") == pytest.approx(diameter, abs=0.05)
    assert from_si(size.section_width, "mm") == pytest.approx(width, abs=0.05)


def test_numeric_size_is_no_metric_one() -> None:
    # From memory, 1.5 %: 7.50R16 is 802 to 810 mm, 205 to 215 mm wide; LT235/85R16 replaces it.
    # The trap: an aspect ratio of 92 % taken for granted gives 756.9 mm, 6 % too small.
    size = parse("7.50R16")
    assert from_si(size.overall_diameter, "mm") == pytest.approx(806, rel=0.015)
    assert from_si(size.section_width, "mm") == pytest.approx(210, abs=5)
    assert size.overall_diameter == pytest.approx(parse("235/85R16").overall_diameter, rel=0.015)


def test_service_description() -> None:
    # co2mpas 4.3.7 reads the same: use LT, load index 121/118, speed rating R.
    size = parse("LT285/70R17 121/118R")
    assert (size.use, size.construction, size.load_index, size.load_index_dual) == (
        "LT",
        "radial",
        121,
        118,
    )
    assert size.speed_symbol == "R"
    assert (size.section_width, size.aspect_ratio, size.rim_diameter) == (0.285, 0.7, 0.4318)


def test_section_width_on_another_rim() -> None:
    # K = 0.4: half an inch of rim is 5.08 mm of section; "5 mm to the half inch" in the trade.
    wider = section_width_on_rim(0.285, to_si(9.0, "in"), to_si(8.5, "in"))
    assert from_si(wider - 0.285, "mm") == pytest.approx(5.08, abs=0.005)
    assert from_si(theoretical_rim_width(0.285, 0.7), "mm") == pytest.approx(199.5, abs=0.05)


# Annex 4: load index, kg.
PRINTED_CAPACITIES = {
    60: 250, 65: 290, 70: 335, 75: 387, 80: 450, 85: 515, 88: 560, 91: 615, 94: 670, 97: 730,
    100: 800, 103: 875, 106: 950, 108: 1000, 109: 1030, 110: 1060, 112: 1120, 113: 1150,
    115: 1215, 116: 1250, 117: 1285, 118: 1320, 119: 1360, 120: 1400, 121: 1450, 123: 1550,
    126: 1700,
}  # fmt: skip


@pytest.mark.parametrize(("index", "kilograms"), PRINTED_CAPACITIES.items())
def test_load_index(index: int, kilograms: float) -> None:
    assert capacity(index) == kilograms


# ISO 4223-1, as printed in makers' tables (0 to 59 were held against a published table, those from
# 127 on are from memory).
OTHER_CAPACITIES = {
    0: 45, 1: 46.2, 2: 47.5, 3: 48.7, 5: 51.5, 7: 54.5, 9: 58, 11: 61.5, 19: 77.5, 20: 80, 21: 82.5,
    25: 92.5, 28: 100, 29: 103, 30: 106, 35: 121, 36: 125, 41: 145, 47: 175, 53: 206, 59: 243,
    127: 1750, 128: 1800, 130: 1900, 136: 2240, 140: 2500, 150: 3350, 156: 4000, 160: 4500,
    164: 5000, 170: 6000, 180: 8000, 200: 14000, 220: 25000, 240: 45000, 279: 136000,
}  # fmt: skip


@pytest.mark.parametrize(("index", "kilograms"), OTHER_CAPACITIES.items())
def test_load_index_beyond_cars(index: int, kilograms: float) -> None:
    assert capacity(index) == kilograms


def test_load_index_table_as_a_whole() -> None:
    # Of the indices of cars and light trucks 67 entries, 50,631 kg together; the series was laid
    # out to grow by 10^(1/80) a step, and rounding leaves no entry more than 1.8 % away from it: a
    # slip of a digit would show.
    assert sorted(LOAD_INDICES) == list(range(280))
    assert sum(LOAD_INDICES[index] for index in range(60, 127)) == 50631
    for index, kilograms in LOAD_INDICES.items():
        assert kilograms == pytest.approx(250 * 10 ** ((index - 60) / 80), rel=0.018)


@pytest.mark.parametrize(
    ("symbol", "speed"),
    [
        ("J", 100), ("K", 110), ("L", 120), ("M", 130), ("N", 140), ("P", 150), ("Q", 160),
        ("R", 170), ("S", 180), ("T", 190), ("U", 200), ("H", 210), ("V", 240), ("W", 270),
        ("Y", 300),
    ],
)  # fmt: skip
def test_speed_symbol(symbol: str, speed: float) -> None:
    assert from_si(rated_speed(symbol), "km/h") == pytest.approx(speed, abs=1e-6)


def test_speed_symbols_are_not_in_the_order_of_letters() -> None:
    # The trap: H is faster than U, and comparing letters would refuse it.
    assert rated_speed("H") > rated_speed("U")
    assert sorted(SPEED_SYMBOLS) != sorted(SPEED_SYMBOLS, key=rated_speed)


@pytest.mark.parametrize(
    ("true", "shown"),
    [(40, 48), (50, 59), (70, 81), (80, 92), (90, 103), (110, 125), (120, 136), (130, 147)],
)
def test_highest_lawful_shown_speed(true: float, shown: float) -> None:
    # 0 <= V1 - V2 <= 0.1 V2 + 4 km/h; the values for 50 to 130 were published as a list.
    limit = largest_shown_speed(to_si(true, "km/h"))
    assert from_si(limit, "km/h") == pytest.approx(shown, abs=1e-6)
    assert is_lawful(to_si(shown - 0.1, "km/h"), to_si(true, "km/h"))
    assert not is_lawful(to_si(shown + 0.1, "km/h"), to_si(true, "km/h"))
    assert not is_lawful(to_si(true - 0.1, "km/h"), to_si(true, "km/h"))


def test_taller_tyres_err_to_the_unlawful_side() -> None:
    # 245/75R16 to 285/70R17 on a speedometer that was exact: 100 shown is 107.35 true.
    before = parse("245/75R16").overall_diameter / 2
    after = parse("285/70R17").overall_diameter / 2
    shown = to_si(100.0, "km/h")
    true = true_speed(shown, before, after, 1.0, 1.0)
    assert from_si(true, "km/h") == pytest.approx(107.35, abs=0.05)
    assert not is_lawful(shown, true)
    assert shown_speed(true, before, after, 1.0, 1.0) == pytest.approx(shown)


def test_a_hub_reduction_can_outweigh_taller_tyres() -> None:
    # With the pick-up ahead of the hub, a ratio of 1.10 makes up for 7.35 % and reads 2.5 % high.
    before = parse("245/75R16").overall_diameter / 2
    after = parse("285/70R17").overall_diameter / 2
    true = to_si(100.0, "km/h")
    shown = shown_speed(true, before, after, 3.9, 3.9 * 1.10)
    assert from_si(shown, "km/h") == pytest.approx(102.47, abs=0.05)
    assert error_share(shown, true) == pytest.approx(0.0247, abs=0.0005)
    assert is_lawful(shown, true)
    assert true_speed(shown, before, after, 3.9, 3.9 * 1.10) == pytest.approx(true)
