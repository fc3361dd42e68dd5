"""An axle housing against indeterminatebeam; asked again at every run.

It works on a fine grid and prints no rounding for these loads: tolerance 0.01 %.
"""

import pytest

from configurator.formulas.housing import bending_moment, midspan_deflection
from configurator.formulas.sections import tube_second_moment

REASON = "indeterminatebeam is installed for tests only"
beams = pytest.importorskip("indeterminatebeam", reason=REASON)


@pytest.mark.parametrize(("span", "lever", "load"), [(1.6, 0.35, 8000.0), (1.7, 0.40, 12000.0)])
def test_housing_on_its_wheels(span, lever, load):
    second_moment = tube_second_moment(0.0762, 0.0635)
    beam = beams.Beam(span, E=205e9, I=second_moment, A=1.4e-3)
    beam.add_supports(beams.Support(0, (1, 1, 0)), beams.Support(span, (0, 1, 0)))
    beam.add_loads(beams.PointLoadV(-load, lever), beams.PointLoadV(-load, span - lever))
    beam.analyse()
    assert beam.get_reaction(0, "y") == pytest.approx(load, rel=1e-4)
    theirs = abs(beam.get_bending_moment(span / 2))
    assert bending_moment(load, lever) == pytest.approx(theirs, rel=1e-4)
    mine = midspan_deflection(load, lever, span, 205e9, second_moment)
    assert mine == pytest.approx(abs(beam.get_deflection(span / 2)), rel=1e-4)
