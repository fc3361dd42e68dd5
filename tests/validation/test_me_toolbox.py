"""Bolts and a coil spring against me-toolbox, which follows Shigley; asked again at every run.

Its `preload2torque` is not used: it puts in the whole thread angle where Shigley has half of it.
"""

import pytest

from configurator.formulas.fasteners import (
    DRY_NUT_FACTOR,
    LUBRICATED_NUT_FACTOR,
    PROPERTY_CLASSES,
    REUSABLE_PRELOAD_SHARE,
    bolt_load,
    pitch_diameter,
    preload,
    stress_area,
    tightening_torque,
    tightening_torque_by_friction,
)
from configurator.formulas.springs import coil_rate

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
def test_pitch_diameter(diameter, pitch):
    theirs = bolt(diameter, pitch).pitch_diameter
    assert pitch_diameter(diameter / 1e3, pitch / 1e3) * 1e3 == pytest.approx(theirs, rel=1e-9)


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


@pytest.mark.parametrize(
    ("diameter", "factor", "expected"),
    # M12x1.5 and M14x1.5 of class 10.9, rounded to 0.1 N m: T = K D F of their own preload.
    [
        (12.0, DRY_NUT_FACTOR, 131.7),
        (12.0, LUBRICATED_NUT_FACTOR, 98.7),
        (14.0, DRY_NUT_FACTOR, 217.1),
    ],
)
def test_tightening_torque(diameter, factor, expected):
    load = bolt(diameter, 1.5).estimate_preload(True)
    assert tightening_torque(load, diameter / 1e3, factor.value) == pytest.approx(
        expected, abs=0.05
    )


@pytest.mark.parametrize(
    ("diameter", "pitch", "load", "bearing", "printed"),
    # Torque tables for a friction of 0.125 (suppliers' tables, rounded to 5 N m and 0.5 kN, hence
    # 3 %). The mean diameters under the head are those of hexagon heads over medium holes.
    [
        (12.0, 1.75, 39500.0, 15.5, 80.0),
        (12.0, 1.75, 55500.0, 15.5, 110.0),
        (16.0, 2.0, 75000.0, 20.5, 195.0),
    ],
)
def test_torque_by_friction_against_torque_tables(diameter, pitch, load, bearing, printed):
    middle = bolt(diameter, pitch).pitch_diameter
    torque = tightening_torque_by_friction(
        load, pitch / 1e3, middle / 1e3, bearing / 1e3, 0.125, 0.125
    )
    assert torque == pytest.approx(printed, rel=0.03)


@pytest.mark.parametrize(("wire", "mean", "coils"), [(15.0, 120.0, 8.0), (14.0, 140.0, 7.5)])
def test_coil_rate(wire, mean, coils):
    """Castigliano's form there has the factor 2C^2/(1 + 2C^2), 0.8 % at C = 8: tolerance 1 %."""
    spring = springs.HelicalCompressionSpring
    theirs = spring.calc_spring_rate(wire, mean, coils + 2, "squared and ground", 79.3e3)
    mine = coil_rate(79.3e9, wire / 1e3, mean / 1e3, coils) / 1e3
    assert mine == pytest.approx(theirs, rel=0.01)
    index = mean / wire
    exact = mine * 2 * index**2 / (1 + 2 * index**2)
    assert exact == pytest.approx(theirs, rel=1e-9)
    # Counting the ground end coils as free coils makes the spring too soft.
    assert coil_rate(79.3e9, wire / 1e3, mean / 1e3, coils + 2) / 1e3 != pytest.approx(
        theirs, rel=0.1
    )
