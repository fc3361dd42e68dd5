"""Engine speed at 120 km/h of four-wheel-drive cars, as recorded.

Source: package co2mpas-driver 1.3.4, file ``db/EuroSegmentCar_cleaned.csv``, rows with
``Drive-Wheel drive`` "front+rear", by ``Category-Item``; read once and copied here, since the
package brings far more than its table. Columns: dynamic rolling radius in mm, top gear, final
drive, "RPM at 120 km/h (theoretical)", rounded to 50.

The record's theoretical figure lets the tyre roll on its free circumference, and its dynamic
radius is 0.97 of the free one: worked out with the dynamic radius, every figure must come out 2 %
to 4.5 % high (3 % and the rounding), and with the free radius within the rounding and 1 %.
"""

from __future__ import annotations

import pytest

from configurator.core.units import from_si, to_si
from configurator.formulas.gearing import engine_speed, overall_ratio

RECORDS = {
    5358: (335.0970874, 0.64, 3.94, 2300),
    8866: (357.9126214, 0.54, 4.53, 2100),
    9001: (376.3106796, 0.73, 4.38, 2600),
    9551: (357.2815534, 0.64, 3.15, 1750),
    9856: (382.7669903, 0.67, 3.21, 1750),
    9872: (382.7669903, 0.67, 3.31, 1800),
    20612: (335.0970874, 0.69, 3.31, 2100),
    22591: (335.0970874, 0.77, 3.05, 2150),
    34183: (340.8737864, 0.59, 3.90, 2100),
    41045: (345.6796117, 0.67, 3.08, 1850),
}
FREE_OVER_DYNAMIC = 1 / 0.97


def turns_per_minute(radius: float, top_gear: float, final_drive: float) -> float:
    ratio = overall_ratio(top_gear, 1.0, final_drive, 1.0)
    return from_si(engine_speed(to_si(120.0, "km/h"), ratio, to_si(radius, "mm")), "rpm")


@pytest.mark.parametrize("item", sorted(RECORDS))
def test_with_the_dynamic_radius(item: int) -> None:
    radius, top_gear, final_drive, recorded = RECORDS[item]
    assert 1.02 < turns_per_minute(radius, top_gear, final_drive) / recorded < 1.045


@pytest.mark.parametrize("item", sorted(RECORDS))
def test_with_the_free_radius(item: int) -> None:
    radius, top_gear, final_drive, recorded = RECORDS[item]
    worked_out = turns_per_minute(radius * FREE_OVER_DYNAMIC, top_gear, final_drive)
    assert worked_out == pytest.approx(recorded, abs=25 + 0.01 * recorded)


def test_the_record_named_first() -> None:
    # 0.67 x 3.21 on 382.767 mm at 120 km/h: 1789, where the record says 1750 (+2.2 %).
    assert turns_per_minute(*RECORDS[9856][:3]) == pytest.approx(1789, abs=0.5)
