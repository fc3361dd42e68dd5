"""Load rating of wheels.

Source: SAE J2530: the rating is at least half the static load of the heaviest axle (quoted
second-hand; the document itself was not at hand).
"""

from __future__ import annotations

from configurator.formulas.wheels import required_load_rating


def test_half_of_an_1800_kg_axle() -> None:
    assert required_load_rating(1800.0) == 900.0
