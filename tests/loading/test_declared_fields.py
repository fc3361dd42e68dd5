"""What a plugin declares is checked when it is loaded: plugin, declaration and field are named."""

from __future__ import annotations

import pytest

from configurator.loading import plugin_files
from configurator.loading.declared_fields import flaws_of, refuse_unsound
from tests import bundled

PLUGIN = """
from configurator.plugin import (
    Attribute, Condition, Family, Measure, Position, Practice,
    caution, computed, figure, limit, operation, part, practice, total, vehicle, each,
)

kites = Family(
    "kites", "Kites", (Position("kite", "rear body"),),
    (
        Attribute("span", "From tip to tip.", "mm", at_least=100.0, at_most=900.0, when_empty=0.0),
        Attribute("colour", "For people.", kind="text", choices=("red", "blue")),
    ),
    optional=True, meaning="Fly.",
)
wind = Measure("wind", "How hard it blows.", "anemometer", "km/h", default=20.0, usual=(0.0, 60.0))
sky = Measure("sky", "What it is.", "look", kind="text", choices=("grey", "blue"), default="grey")
flight = Condition("flight", "How long.", unit="min", default="30 min", at_least=1.0)
string = Practice("string", "How long it must be.", 12.0, "invented", unit="m", at_most=90.0)


@figure("pull", unit="N", resolution=1.0, rounding="up", meaning="Of the kite.", source="invented")
def pull(span: float = part("kite", "span"), wind: float = vehicle("wind")):
    return span * wind


@limit("the string holds", unit="N", at_most=200.0, because="it snaps", source="invented")
def holds(pull: float = computed("pull")):
    return pull


@total("weight", unit="kg", start=0.0, at_most=5.0, because="it sinks", source="invented")
def weight(mass: float = each("mass")):
    return mass


@operation("tie the kite", hours=0.5, after=(), uses={"string": 2.0})
def tie(changed: bool = part("kite", "changed")):
    return changed


@caution("lightning", says="Land it in a thunderstorm.")
def lightning(present: bool = part("kite", "present")):
    return present
"""


def load(folder, text):
    (folder / "kites.py").write_text(text, encoding="utf-8")
    return plugin_files.load([folder], installed=False, bundled=False).trade


def test_a_sound_plugin_is_loaded(tmp_path):
    trade = load(tmp_path, PLUGIN)
    assert (trade.failures, list(trade.limits)) == ((), ["the string holds"])


@pytest.mark.parametrize(
    ("old", "new", "message"),
    [
        ('rounding="up"', 'rounding="upp"',
         "figure 'pull', rounding: 'upp' is no side to round to; did you mean 'up'?"),
        ("resolution=1.0", 'resolution="1"', "figure 'pull', resolution: '1' is no step"),
        ("resolution=1.0", "resolution=-1.0", "figure 'pull', resolution: -1.0 is no step"),
        ('unit="N", res', 'unit="Nn", res', "figure 'pull', unit: unit 'Nn' is not known"),
        ('unit="N", at_most', 'unit=None, at_most',
         "limit 'the string holds', unit: None is no text"),
        ("at_most=200.0", 'at_most="200"', "limit 'the string holds', at_most: '200' is no bound"),
        ("at_most=200.0, because", "because",
         "limit 'the string holds', at_least, at_most: it has neither, so it forbids nothing"),
        ("at_most=200.0", "at_most=200.0, at_least=300.0",
         "limit 'the string holds', at_least: 300.0 lies above at_most, 200.0"),
        ("start=0.0", 'start="0"', "total 'weight', start: '0' is no number"),
        ("hours=0.5", 'hours="4.5"',
         "operation 'tie the kite', hours: '4.5' is no number of hours; write a number such as"),
        ("hours=0.5", "hours=-1", "operation 'tie the kite', hours: -1 is no number of hours"),
        ('after=()', 'after="buy string"',
         "operation 'tie the kite', after: 'buy string' is no tuple of names"),
        ('{"string": 2.0}', '{"string": "2 m"}',
         "operation 'tie the kite', uses: '2 m' of 'string' is no amount"),
        ('says="Land it in a thunderstorm."', "says=None", "caution 'lightning', says: None is no"),
        ('"km/h", default', '"kmh", default', "measure 'wind', unit: unit 'kmh' is not known"),
        ("default=20.0", 'default="20"', "measure 'wind', default: '20' is no value of kind"),
        ("usual=(0.0, 60.0)", "usual=(30.0, 60.0)",
         "measure 'wind', usual: 20.0 does not lie between (30.0, 60.0)"),
        ("usual=(0.0, 60.0)", "usual=(60.0,)", "measure 'wind', usual: (60.0,) are not two bounds"),
        ("default=20.0, usual", "usual",
         "measure 'wind', usual: there is no default that it could vary about"),
        ('default="grey"', 'default="gray"',
         "measure 'sky', default: 'gray' is not one of its choices; did you mean 'grey'?"),
        ('kind="text", choices=("red"', 'kind="txt", choices=("red"',
         "family 'kites', attribute 'colour', kind: 'txt' is no kind of value; did you mean"),
        ("when_empty=0.0", 'when_empty="0"',
         "family 'kites', attribute 'span', when_empty: '0' is no value of kind 'number'"),
        ("at_least=100.0, at_most=900.0", "at_least=900.0, at_most=100.0",
         "family 'kites', attribute 'span', at_least: 900.0 lies above at_most, 100.0"),
        ('choices=("red", "blue")', 'choices="red"',
         "family 'kites', attribute 'colour', choices: 'red' is no tuple of words"),
        ('"rear body"', '"rear bodie"',
         "family 'kites', positions: 'rear bodie' of 'kite' is no place on a vehicle"),
        ('default="30 min"', 'default="30"', "condition 'flight', default: '30' has no unit"),
        ('default="30 min"', 'default="30 s"', "condition 'flight', default: 0.5 is out of"),
        ("12.0", "120.0", "practice 'string', default: 120.0 is out of its own bounds"),
        ("12.0", '"12"', "practice 'string', default: '12' is no number"),
    ],
)  # fmt: skip
def test_a_field_that_cannot_be_used_keeps_the_plugin_out(tmp_path, old, new, message):
    assert old in PLUGIN
    (failure,) = load(tmp_path, PLUGIN.replace(old, new, 1)).failures
    assert failure.plugin == "shop:kites"
    assert failure.reason.startswith(message), failure.reason


def test_all_faults_of_a_plugin_are_said_at_once(tmp_path):
    text = PLUGIN.replace('rounding="up"', 'rounding="upp"').replace("hours=0.5", 'hours="4.5"')
    (failure,) = load(tmp_path, text).failures
    assert failure.reason.splitlines() == [
        "figure 'pull', rounding: 'upp' is no side to round to; did you mean 'up'?",
        "operation 'tie the kite', hours: '4.5' is no number of hours; write a number such as 1.5",
    ]


def test_the_bundled_plugins_are_sound():
    trade = bundled.trade()
    tables = (
        trade.families, trade.measures, trade.conditions, trade.practices, trade.figures,
        trade.totals, trade.limits, trade.fits, trade.operations, trade.cautions,
    )  # fmt: skip
    declared = [declaration for table in tables for declaration in table.values()]
    assert len(declared) > 300
    refuse_unsound("bundled", declared)
    assert [flaw for declaration in declared for flaw in flaws_of(declaration)] == []
