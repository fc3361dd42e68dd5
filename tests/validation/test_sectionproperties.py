"""Tube and built-up sections against sectionproperties (finite elements); asked at every run.

It draws a circle as a polygon of n sides, which takes from area and moments a share of about
(2 pi^2/3)/n^2 times 1 to 2: 0.1 % at n = 128. That is the tolerance.
"""

import pytest

from configurator.formulas.housing import built_up_section_modulus, reinforced_section_modulus
from configurator.formulas.sections import (
    radius_of_gyration,
    tube_area,
    tube_second_moment,
    tube_section_modulus,
    tube_torsion_constant,
)

REASON = "sectionproperties is installed for tests only"
library = pytest.importorskip("sectionproperties.pre.library", reason=REASON)
pre = pytest.importorskip("sectionproperties.pre", reason=REASON)
shapely = pytest.importorskip("shapely", reason=REASON)
analysis = pytest.importorskip("sectionproperties.analysis", reason=REASON)
fea = pytest.importorskip("sectionproperties.analysis.fea", reason=REASON)


@pytest.fixture(scope="module", autouse=True)
def _uncompiled():
    """Let its functions run as they are written: for so few elements compiling takes longer."""
    with pytest.MonkeyPatch.context() as patch:
        for name, function in vars(fea).items():
            if hasattr(function, "py_func"):
                patch.setattr(fea, name, function.py_func)
        yield


TUBES = [(76.2, 6.35), (88.9, 9.525), (76.2, 9.525), (63.5, 6.35), (31.75, 3.05)]


@pytest.fixture(scope="module", params=TUBES, ids=lambda tube: f"{tube[0]} x {tube[1]}")
def tube(request):
    diameter, wall = request.param
    shape = library.circular_hollow_section(d=diameter, t=wall, n=128)
    section = analysis.Section(shape.create_mesh(mesh_sizes=[20.0]))
    section.calculate_geometric_properties()
    section.calculate_warping_properties()
    return diameter / 1e3, (diameter - 2 * wall) / 1e3, section


def test_area(tube):
    outer, inner, section = tube
    assert tube_area(outer, inner) * 1e6 == pytest.approx(section.get_area(), rel=1e-3)


def test_second_moment(tube):
    outer, inner, section = tube
    assert tube_second_moment(outer, inner) * 1e12 == pytest.approx(section.get_ic()[0], rel=1.2e-3)


def test_section_modulus(tube):
    outer, inner, section = tube
    assert tube_section_modulus(outer, inner) * 1e9 == pytest.approx(section.get_z()[0], rel=1.2e-3)


def test_torsion_constant(tube):
    outer, inner, section = tube
    assert tube_torsion_constant(outer, inner) * 1e12 == pytest.approx(section.get_j(), rel=1.5e-3)


def test_radius_of_gyration(tube):
    outer, inner, section = tube
    mine = radius_of_gyration(tube_second_moment(outer, inner), tube_area(outer, inner))
    assert mine * 1e3 == pytest.approx(section.get_rc()[0], rel=1e-3)


def solved(polygon):
    section = analysis.Section(pre.Geometry(polygon).create_mesh(mesh_sizes=[10.0]))
    section.calculate_geometric_properties()
    return section


def test_bar_welded_along_the_top():
    """A 30 x 10 mm bar let 1 mm into a 76.2 x 6.35 mm tube; what overlaps counts once."""
    middle = shapely.Point(0.0, 0.0)
    tube = middle.buffer(38.1, quad_segs=32).difference(middle.buffer(31.75, quad_segs=32))
    bar = shapely.box(-15.0, 37.1, 15.0, 47.1).difference(middle.buffer(38.1, quad_segs=32))
    together, alone = solved(tube.union(bar)), solved(bar)
    added = (
        alone.get_area() / 1e6,
        alone.get_ic()[0] / 1e12,
        alone.get_c()[1] / 1e3,
        47.1 / 1e3,
    )
    area, second_moment = tube_area(0.0762, 0.0635), tube_second_moment(0.0762, 0.0635)
    mine = built_up_section_modulus(area, second_moment, 0.0762, *added)
    theirs = min(abs(modulus) for modulus in together.get_z()[:2])
    assert mine * 1e9 == pytest.approx(theirs, rel=1.2e-3)

    # The bar's I/c about the tube's own axis, simply added, promises too much.
    naive = (added[1] + added[0] * added[2] ** 2) / added[3]
    promised = reinforced_section_modulus(tube_section_modulus(0.0762, 0.0635), naive)
    assert promised * 1e9 > 1.02 * theirs
