"""49 CFR 571.110 (FMVSS 110) and 575.103, tyre selection and load, 2015 annual edition.

Load ratings are whole kilograms for a load index (ISO 4000-1): 1,250 for 116, 1,450 for 121.
"""

import pytest

from configurator.formulas.mass import (
    LIGHT_TRUCK_TYRE_DERATING,
    OCCUPANT_MASS,
    PASSENGER_TYRE_DERATING,
    axle_tyre_capacity,
    cargo_left,
    normal_load_limit,
)


def test_light_truck_tyres_count_in_full():
    """S4.2.2.1: the sum of the ratings, exact."""
    assert axle_tyre_capacity(1450.0, 2.0, LIGHT_TRUCK_TYRE_DERATING.value) == 2900.0


def test_passenger_tyres_on_a_truck_are_divided_by_1_10():
    """S4.2.2.2: 2 x 1,250 / 1.10 = 2,272.7 kg, rounded to 0.1."""
    capacity = axle_tyre_capacity(1250.0, 2.0, PASSENGER_TYRE_DERATING.value)
    assert capacity == pytest.approx(2272.7, abs=0.05)
    assert capacity != pytest.approx(2500.0, rel=0.05)  # without the divisor
    assert capacity != pytest.approx(2500.0 * 0.90, rel=0.005)  # less 10 % is not over 1.10


def test_normal_load_is_at_most_94_per_cent_of_the_derated_rating():
    """S4.2.2.3: 0.94 x 1,250 / 1.10 = 1,068.2 kg, rounded to 0.1."""
    assert normal_load_limit(1250.0, PASSENGER_TYRE_DERATING.value) == pytest.approx(
        1068.2, abs=0.05
    )
    assert normal_load_limit(1450.0, LIGHT_TRUCK_TYRE_DERATING.value) == pytest.approx(1363.0)


def test_an_occupant_weighs_68_kilograms():
    """S3 and 575.103(d): 68 kg for each seat, exact."""
    assert OCCUPANT_MASS.value == 68.0
    assert cargo_left(3050.0, 2300.0, 5.0) == 750.0 - 340.0
