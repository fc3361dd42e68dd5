"""49 CFR 571.110 (FMVSS 110) and 575.103, tyre selection and load, 2015 annual edition.

Load ratings are whole kilograms for a load index (ISO 4000-1): 1,250 for 116, 1,450 for 121.
"""

import pytest

from configurator.formulas.mass import (
    LIGHT_TRUCK_TYRE_DERATING,
    PASSENGER_TYRE_DERATING,
    axle_tyre_capacity,
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
