"""What rules read of a position that nothing is fitted to."""

from __future__ import annotations

from configurator.evaluation.evaluator import Evaluation
from configurator.model.parts import NOTHING, Attribute, Family, Missing, Position, attributes_of
from configurator.testing import case, load, vehicle

HOISTS = Family(
    "hoists",
    "Hoists",
    (Position("hoist"),),
    (
        Attribute("pull", "How much it pulls.", unit="kN"),
        Attribute("reach", "How far it reaches.", unit="mm", when_empty=50.0),
        Attribute("mounts", "What it bolts to.", kind="codes", when_empty=("M1", "M2")),
    ),
    optional=True,
)


def test_an_empty_position_has_the_values_its_family_declares(tmp_path):
    """Numbers in SI, codes as a set; without a declaration the rule does not apply."""
    (tmp_path / "hoists.py").write_text(
        "from configurator.plugin import Family\n"
        "from tests.evaluation.test_empty_positions import HOISTS\n",
        encoding="utf-8",
    )
    trade = load([tmp_path / "hoists.py"], bundled=False)
    empty = Evaluation(case(trade, vehicle(trade), []), trade).empty["hoists"]
    assert empty.key == NOTHING == "none"
    assert {name: empty.values[name] for name in ("pull", "reach", "mounts", "mass")} == {
        "pull": Missing.NOT_FITTED,
        "reach": 0.05,
        "mounts": frozenset({"M1", "M2"}),
        "mass": 0.0,
    }
    assert set(empty.values) == {attribute.name for attribute in attributes_of(HOISTS)}
