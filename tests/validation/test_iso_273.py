"""Clearance holes of ISO 273:1979, as printed in a supplier's table; millimetres, exact."""

import pytest

from configurator.formulas.fasteners import CLEARANCE_HOLES

# fine (H12), medium (H13), coarse (H14)
PRINTED = {
    "M6": (6.4, 6.6, 7.0),
    "M8": (8.4, 9.0, 10.0),
    "M10": (10.5, 11.0, 12.0),
    "M12": (13.0, 13.5, 14.5),
    "M14": (15.0, 15.5, 16.5),
    "M16": (17.0, 17.5, 18.5),
}


@pytest.mark.parametrize("size", PRINTED)
def test_clearance_holes(size):
    hole = CLEARANCE_HOLES[size]
    sizes = [round(series.value * 1000, 6) for series in (hole.fine, hole.medium, hole.coarse)]
    assert sizes == list(PRINTED[size])
    assert hole.diameter.value * 1000 == pytest.approx(float(size[1:]))
