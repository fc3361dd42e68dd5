"""Stress areas of unified inch threads.

Source: Budynas & Nisbett, Shigley's Mechanical Engineering Design, table 8-2, compiled from ANSI
B1.1-1974. Printed in square inches to three or four figures. The table takes the mean of minor
diameter (d - 1.299038 p) and pitch diameter (d - 0.649519 p), which is d - 0.9743 p: the
tolerance is one unit of the last figure printed.
"""

import pytest

from configurator.core.units import from_si, to_si
from configurator.formulas.fasteners import inch_stress_area, stress_area

# major diameter [in], threads per inch, stress area [in2] as printed
TABLE = [
    (0.2500, 20, "0.0318"),
    (0.2500, 28, "0.0364"),
    (0.3125, 18, "0.0524"),
    (0.3125, 24, "0.0580"),
    (0.3750, 16, "0.0775"),
    (0.3750, 24, "0.0878"),
    (0.4375, 14, "0.1063"),
    (0.4375, 20, "0.1187"),
    (0.5000, 13, "0.1419"),
    (0.5000, 20, "0.1599"),
    (0.5625, 12, "0.182"),
    (0.5625, 18, "0.203"),
    (0.6250, 11, "0.226"),
    (0.6250, 18, "0.256"),
    (0.7500, 10, "0.334"),
    (0.7500, 16, "0.373"),
    (1.0000, 8, "0.606"),
]


@pytest.mark.parametrize(("diameter", "threads", "printed"), TABLE)
def test_stress_area(diameter, threads, printed):
    last_figure = 10.0 ** -len(printed.split(".")[1])
    area = inch_stress_area(to_si(diameter, "in"), threads / to_si(1, "in"))
    assert from_si(area, "in**2") == pytest.approx(float(printed), abs=last_figure)


def test_the_metric_formula_gives_another_area():
    # 0.938 in place of 0.974: on 7/16-20 that is 2.5 units of the last figure too much.
    pitch = to_si(1, "in") / 20
    area = stress_area(to_si(0.4375, "in"), pitch)
    assert from_si(area, "in**2") != pytest.approx(0.1187, abs=2e-4)
