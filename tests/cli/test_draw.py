"""``fitwright draw``: a file at a scale, or a reason why not."""

from __future__ import annotations

from xml.etree import ElementTree

import pytest

from tests.cli.conftest import PLUGIN

# The figures that an axle seen from the front is drawn from.
FIGURES = """
@figure("tyre diameter", unit="mm", source="measured")
def tyre_diameter(diameter: float = part("tyres", "overall diameter")):
    return diameter


@figure("front static radius", unit="mm", source="geometry")
def static_radius(diameter: float = part("tyres", "overall diameter")):
    return diameter / 2 - 0.02


@figure("section width on the rim", unit="mm", source="geometry")
def section_width(diameter: float = part("tyres", "overall diameter")):
    return diameter / 3


@figure("front track", unit="mm", source="geometry")
def track(diameter: float = part("tyres", "overall diameter")):
    return 2 * diameter
"""


@pytest.fixture
def cart(shop):
    shop.write("plugins/cart.py", PLUGIN + FIGURES)
    return shop


def test_an_axle_is_written_at_a_scale_with_what_is_missing(cart, tmp_path):
    job = cart.job('[goals."clearance under the axle"]\nat_least = "240 mm"\n')
    ran = cart.run("draw", job, "--into", str(tmp_path / "front.svg"), "--scale", "1:20")
    assert ran.status == 0, ran.err
    assert "front.svg: 1:20, 170 by " in ran.out
    assert "warning: not drawn: front axle height: not known" in ran.err
    root = ElementTree.parse(tmp_path / "front.svg").getroot()
    assert "Scale 1:20" in "".join(root.itertext())
    assert "1320 → 1400 mm" in "".join(root.itertext())


@pytest.mark.parametrize("where", ["before", "behind"])
def test_units_may_stand_on_either_side_of_the_command(cart, tmp_path, where):
    job = cart.job('[goals."clearance under the axle"]\nat_least = "240 mm"\n')
    units = ("--units", "imperial")
    into = ("--into", str(tmp_path / "f.svg"))
    arguments = (*units, "draw", job, *into) if where == "before" else ("draw", job, *into, *units)
    assert cart.run(*arguments).status == 0
    assert "51.97 → 55.12 in" in (tmp_path / "f.svg").read_text(encoding="utf-8")


def test_every_problem_is_named_at_once(cart, tmp_path):
    ran = cart.run("draw", cart.job(), "--into", str(tmp_path / "no" / "f.png"), "--scale", "20")
    assert ran.status == 2
    assert "--scale: '20' is no scale" in ran.err
    assert "does not end in .svg" in ran.err
    assert "its folder is not there" in ran.err


@pytest.mark.parametrize("scale", ["1:0", "1:1000", "2:1", "1:x", ""])
def test_scales_that_are_none_are_refused(cart, tmp_path, scale):
    ran = cart.run("draw", cart.job(), "--into", str(tmp_path / "f.svg"), "--scale", scale)
    assert (ran.status, "write one from 1:1 to 1:100" in ran.err) == (2, True)


def test_too_large_a_scale_for_the_paper_is_refused(cart, tmp_path):
    more = ("--into", str(tmp_path / "f.svg"), "--scale", "1:5", "--width", "170")
    ran = cart.run("draw", cart.job(), *more)
    assert (ran.status, "take a smaller scale or wider paper" in ran.err) == (2, True)
    assert not (tmp_path / "f.svg").exists()


def test_what_cannot_be_drawn_at_all_is_refused_with_what_is_missing(shop, tmp_path):
    into = ("--into", str(tmp_path / "f.svg"))
    ran = shop.run("draw", shop.job(), *into)
    assert (ran.status, "cannot be drawn: front track: not known" in ran.err) == (2, True)
    ran = shop.run("draw", shop.job(), "--view", "speeds", *into)
    assert (ran.status, "highest engine speed: not known" in ran.err) == (2, True)
    ran = shop.run("draw", shop.job(), "--view", "speeds", "--apart", *into)
    assert (ran.status, "a chart has no scale" in ran.err) == (2, True)
    assert not (tmp_path / "f.svg").exists()
