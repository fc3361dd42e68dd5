"""What a family moves is read by the rules that read what was measured there, or it is said why."""

from __future__ import annotations

from dataclasses import replace

import pytest

from configurator.model.knowledge import Trade
from configurator.model.parts import AXLES
from configurator.model.states import MOVED, Moves
from tests.docs import moves_table
from tests.plugins.state_coverage import movements


def undecided(trade: Trade):
    return [(m.family, m.moves.thing, m.measure) for m in movements(trade) if not m.decided]


def test_every_family_says_what_its_parts_move(trade: Trade):
    silent = [family.key for family in trade.families.values() if family.moves is None]
    assert silent == [], "moves=() where its parts move nothing that is measured"


def test_every_arrow_is_decided(trade: Trade):
    assert len(movements(trade)) > 200
    assert undecided(trade) == [], "a rule reads both, or Moves says why none does"


def test_whatever_can_move_is_measured_and_moved(trade: Trade):
    measured = {measure.of for measure in trade.measures.values()} - {""}
    moved = {moves.thing for family in trade.families.values() for moves in family.moves or ()}
    assert measured == moved == set(MOVED)


def test_no_reason_is_left_once_rules_read_both(trade: Trade):
    """A reason that nobody needs would hide the next mistake."""
    arrows = movements(trade)
    for family in trade.families.values():
        for moves in family.moves or ():
            unread = [m.measure for m in arrows if m.moves is moves and not m.read_by]
            general = [name.replace(f"{axle} ", "{axle} ", 1) for name in unread for axle in AXLES]
            assert set(moves.unread) - {""} <= {*unread, *general}
            assert "" not in moves.unread or unread


@pytest.mark.parametrize(
    ("family", "moves", "measure"),
    [
        # Nobody has said what a lower lamp would mean, nor reads how far.
        ("steps", Moves("body", ("hangs below sill",)), "door sill height"),
        ("hub_reductions", Moves("propshaft end", ("drop",)), "front propshaft length"),
    ],
)
def test_an_arrow_that_nobody_decided_is_noticed(trade: Trade, family, moves, measure):
    changed = replace(trade.families[family], moves=(moves,))
    fields = {name: getattr(trade, name) for name in trade.__dataclass_fields__}
    forgetful = type(trade)(**{**fields, "families": {**trade.families, family: changed}})
    assert (family, moves.thing, measure) in undecided(forgetful)


def test_the_table_for_developers_is_the_one_of_today(trade: Trade):
    written = moves_table.block(moves_table.PAGE.read_text(encoding="utf-8"))
    assert written == moves_table.table(trade).strip() + "\n", (
        "renew it: python -m tests.docs.moves_table"
    )
