"""Positions on the page: under which system of the vehicle they stand."""

from __future__ import annotations

from configurator.documents import document_templates
from configurator.model.parts import Family
from configurator.ui.talk import systems


def test_positions_stand_under_the_system_that_their_family_names(trade):
    families = trade.families
    assert {family.system for family in families.values()} <= set(document_templates.SYSTEMS)
    assert set(systems.FIRST) <= set(families)
    assert min(families.values(), key=systems.place_of).key == "tyres"
    winches = Family("winches", "Winches", (), (), system="Recovery")
    lamps = Family("lamps", "Lamps", (), ())
    last = sorted([lamps, winches, *families.values()], key=systems.place_of)[-2:]
    assert [systems.system_of(family) for family in last] == ["Recovery", "Other parts"]
