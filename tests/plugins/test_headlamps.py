"""Height of the headlamps, worked by hand."""

from __future__ import annotations

import pytest

from configurator.model.knowledge import Trade


def test_a_level_lift_raises_the_headlamps_as_much(trade: Trade) -> None:
    assert trade.figures["headlamp rise"](0.055, 0.055, 0.560, 2.810) == pytest.approx(0.055)
    # 790 mm and 930 mm as measured, 55 mm higher
    assert trade.figures["headlamp lower edge height"](0.055, 0.790) == pytest.approx(0.845)
    assert trade.figures["headlamp upper edge height"](0.055, 0.930) == pytest.approx(0.985)


def test_a_nose_that_rises_more_lifts_them_further(trade: Trade) -> None:
    # Front 60 mm, rear 20 mm on 2800 mm: 40/2800 of slope, lamps 560 mm ahead: 60 + 8 mm.
    rise = trade.figures["headlamp rise"]
    assert rise(0.060, 0.020, 0.560, 2.800) == pytest.approx(0.068)
    # The other way round the nose points down: 20 - 8 mm.
    assert rise(0.020, 0.060, 0.560, 2.800) == pytest.approx(0.012)


def test_heights_are_rounded_to_the_side_that_local_rules_fear(trade: Trade) -> None:
    # A rule asks for enough below and forbids too much above.
    assert trade.figures["headlamp lower edge height"].rounding == "down"
    assert trade.figures["headlamp upper edge height"].rounding == "up"
