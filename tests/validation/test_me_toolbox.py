"""Bolts and a coil spring against me-toolbox, which follows Shigley; asked again at every run.

Its `preload2torque` is not used: it puts in the whole thread angle where Shigley has half of it.
"""

import pytest

from configurator.formulas.fasteners import (
    PROPERTY_CLASSES,
    REUSABLE_PRELOAD_SHARE,
    bolt_load,
    preload,
    stress_area,
)

REASON = "me-toolbox is installed for tests only"
fasteners = pytest.importorskip("me_toolbox.fasteners", reason=REASON)
springs = pytest.importorskip("me_toolbox.springs", reason=REASON)


def bolt(diameter, pitch, proof=830.0):
    return fasteners.Bolt(diameter, pitch, 60.0, 30.0, 940.0, 1040.0, proof, 207e3)


# It averages minor and pitch diameter from six-figure coefficients: no rounding shows.
THREADS = [(12.0, 1.75), (12.0, 1.5), (14.0, 1.5), (14.0, 2.0), (16.0, 1.5), (20.0, 2.5)]


@pytest.mark.parametrize(("diameter", "pitch"), THREADS)
def test_stress_area(diameter, pitch):
    theirs = bolt(diameter, pitch).stress_area
    assert stress_area(diameter / 1e3, pitch / 1e3) * 1e6 == pytest.approx(theirs, rel=1e-6)


@pytest.mark.parametrize(("diameter", "pitch"), THREADS)
def test_proof_load_and_preload(diameter, pitch):
    theirs = bolt(diameter, pitch)
    proof = bolt_load(stress_area(diameter / 1e3, pitch / 1e3), 830e6)
    assert proof == pytest.approx(theirs.proof_load, rel=1e-6)
    mine = preload(proof, REUSABLE_PRELOAD_SHARE.value)
    assert mine == pytest.approx(theirs.estimate_preload(True), rel=1e-6)
    assert mine != pytest.approx(theirs.estimate_preload(False), rel=0.1)


@pytest.mark.parametrize("row", PROPERTY_CLASSES, ids=lambda row: f"{row.name} {row.up_to.value}")
def test_property_classes(row):
    """Shigley, table 8-11, has 8.8 above M16 only; the rest agrees to the megapascal."""
    size = 12.0 if row.up_to.value <= 0.016 or row.above.value == 0.0 else 20.0
    if row.name == "8.8" and size < 16:
        with pytest.raises(Exception, match="not in range"):
            fasteners.Bolt.get_strength_prop(size, row.name)
        return
    theirs = fasteners.Bolt.get_strength_prop(size, row.name)
    assert [row.yielding.value, row.tensile.value, row.proof.value] == [x * 1e6 for x in theirs]
