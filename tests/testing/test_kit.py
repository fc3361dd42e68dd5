"""The public kit for tests of plugins: what it builds, what it asserts, which faults it names."""

from __future__ import annotations

import sys
from dataclasses import replace

import pytest

from configurator import testing
from configurator.core import paths, units
from configurator.core.errors import InputError, PluginError
from configurator.files import job_files
from configurator.formulas import tyre_sizes
from configurator.model.parts import Missing
from configurator.testing import contract

PLUGIN = '''
"""Jacks: whether they lift the wheel."""

from configurator.plugin import (
    Attribute, Family, Measure, Position, Practice,
    caution, computed, each, figure, fit, limit, operation, part, practice, total, vehicle,
)

jacks = Family(
    "jacks", "Jacks", (Position("jack", "rear body", sprung=True),),
    (
        Attribute("stroke", "From folded to full height.", "mm"),
        Attribute("foot", "What it stands on.", kind="text", required=False),
    ),
    optional=True, meaning="Lift a wheel.",
)
travel = Measure("wheel travel", "Down to full droop.", "jack and tape", "mm")
load = Measure("mass as it stands", "With all on board.", "on the scale", "kg")
spare = Practice("room above the ground", "Left under a lifted tyre.", 50.0, "common practice, "
                 "no source", unit="mm")


@figure("lift left", unit="mm", meaning="Left when the wheel hangs.", source="geometry")
def lift_left(stroke: float = part("jack", "stroke"), travel: float = vehicle("wheel travel")):
    return stroke - travel


@limit("the jack lifts the wheel", unit="mm", at_least=practice("room above the ground"),
       because="the axle droops before the wheel leaves the ground", source="geometry")
def lifts(left: float = computed("lift left")):
    return left


@fit("the jack has a foot for sand", because="it sinks", source="common practice, no source")
def foot(foot: str = part("jack", "foot")):
    return foot != "none"


@total("mass on board", unit="kg", start=vehicle("mass as it stands"), meaning="With the jack.",
       source="definition")
def on_board(mass: float = each("mass"), pieces: float = each("pieces")):
    return mass * pieces


@operation("mount the jack", hours=0.5)
def mount(present: bool = part("jack", "present"), changed: bool = part("jack", "changed")):
    return present and changed


@caution("a jack is carried", says="Never crawl under a vehicle on a jack.")
def carried(present: bool = part("jack", "present")):
    return present
'''
FIGURES = {"wheel travel": "250 mm", "mass as it stands": "2000 kg"}


def trade_of(folder, text=PLUGIN, name="jacks"):
    path = folder / f"{name}.py"
    path.write_text(text, encoding="utf-8")
    return testing.load([path], bundled=False)


def case_of(trade, **job):
    small = testing.part(
        trade, "jacks", "J-1", price="80 EUR", values={"stroke": "290 mm", "mass": "8 kg"}
    )
    large = testing.part(
        trade,
        "jacks",
        "J-2",
        price="120 EUR",
        values={"stroke": "14 in", "mass": "11 kg", "foot": "plate"},
    )
    return testing.case(trade, testing.vehicle(trade, FIGURES), [small, large], **job)


WANTED = {"goals": {"lift left": {"at_least": "10 mm"}}, "rate": "90 EUR"}


@pytest.fixture
def trade(tmp_path):
    return trade_of(tmp_path)


def test_a_case_is_built_and_answered(trade):
    prepared = testing.ready(case_of(trade, **WANTED), trade)
    package = testing.assert_package(prepared, {"jack": "J-2"}, price="165 EUR")
    testing.assert_margin(prepared, package, "the jack lifts the wheel", "55.6 mm")
    testing.assert_margin(prepared, package, "the jack lifts the wheel", "2.2 in")
    testing.assert_conflict(prepared, ["the jack lifts the wheel"], position="jack", part="J-1")
    assert prepared.evaluation.case.parts["jacks"][0].values["foot"] is Missing.UNKNOWN


def test_what_is_measured_and_what_parts_cost_in_a_job_count(trade):
    """As in a job's file: neither is dropped, and what is wrong with them is said."""
    changes = {"measured": {"wheel travel": "350 mm"}, "prices": {"test/J-2": "100 EUR"}}
    measured = case_of(trade, **changes)
    assert measured.vehicle.values["wheel travel"] == 0.35
    assert [part.price for part in measured.parts["jacks"]] == [8_000, 10_000]
    prepared = testing.ready(case_of(trade, **changes, goals=WANTED["goals"]), trade)
    # 14 in - 350 mm leave 5.6 mm: with the travel of the vehicle's file it would be 105.6.
    testing.assert_conflict(prepared, ["the jack lifts the wheel"], position="jack", part="J-2")
    with pytest.raises(InputError, match="measure 'weel travel' is not known"):
        case_of(trade, measured={"weel travel": "1 mm"})
    with pytest.raises(InputError, match="there is no part 'test/J-3'"):
        case_of(trade, prices={"test/J-3": "100 EUR"})


def test_a_measure_of_ones_own_on_a_demo_vehicle(tmp_path):
    own = 'from configurator.plugin import Measure\nbed = Measure("bed", "Length.", "tape", "mm")\n'
    (tmp_path / "beds.py").write_text(own, encoding="utf-8")
    trade = testing.load([tmp_path / "beds.py"])
    demo = testing.demo_vehicle(trade, figures={"bed": "1.9 m"})
    assert demo.values["bed"] == 1.9
    assert "bed" not in testing.demo_vehicle(trade).values
    with pytest.raises(InputError, match=r"'1\.9' has no unit"):
        testing.demo_vehicle(trade, figures={"bed": "1.9"})


def test_what_is_asserted_can_fail(trade):
    prepared = testing.ready(case_of(trade, **WANTED), trade)
    package = testing.assert_package(prepared, {})
    for call, text in (
        (lambda: testing.assert_package(prepared, {"jack": "J-1"}), "has 'test/J-2', not 'J-1'"),
        (lambda: testing.assert_package(prepared, {"jack": "none"}), "not 'none'"),
        (lambda: testing.assert_package(prepared, {"jakc": "J-1"}), "no position 'jakc'"),
        (lambda: testing.assert_package(prepared, {}, price="164 EUR"), "165.00 EUR, not 164 EUR"),
        (
            lambda: testing.assert_margin(prepared, package, "the jack lifts the wheel", "55.5 mm"),
            "the margin is 55.6 mm, not 55.5 mm",
        ),
        (lambda: testing.assert_margin(prepared, package, "x", "1 mm"), "no limit 'x' applies"),
        (lambda: testing.assert_conflict(prepared, []), "the job is possible"),
        (
            lambda: testing.assert_conflict(prepared, ["x"], position="jack", part="J-1"),
            "are ['the jack lifts the wheel'], not ['x']",
        ),
    ):
        with pytest.raises(AssertionError) as caught:
            call()
        assert text in str(caught.value)


def test_nothing_fits_is_said_with_its_reasons(trade):
    goals = {"lift left": {"at_least": "200 mm"}}
    prepared = testing.ready(case_of(trade, goals=goals), trade)
    with pytest.raises(AssertionError, match="nothing fits: at least lift left"):
        testing.assert_package(prepared, {})
    testing.assert_conflict(prepared, [])


def test_mistakes_in_the_building_are_named_as_in_files(trade):
    with pytest.raises(InputError, match="'290' has no unit"):
        testing.part(trade, "jacks", "J", price="1 EUR", values={"stroke": "290"})
    with pytest.raises(InputError, match="attribute 'strok' is not known; did you mean 'stroke'"):
        testing.part(trade, "jacks", "J", price="1 EUR", values={"strok": "290 mm"})
    with pytest.raises(InputError, match="there is no family 'jack'"):
        testing.part(trade, "jack", "J", price="1 EUR")
    with pytest.raises(InputError, match="write it as in '18500 EUR'"):
        testing.part(trade, "jacks", "J", price="1")
    with pytest.raises(InputError, match="measure 'weel travel' is not known"):
        testing.vehicle(trade, {"weel travel": "1 mm"})
    with pytest.raises(InputError, match="figure 'lift' is not known"):
        case_of(trade, goals={"lift": {"at_least": "1 mm"}})


def test_a_plugin_that_cannot_be_used_is_refused(tmp_path):
    with pytest.raises(PluginError, match=r"line 1|SyntaxError"):
        trade_of(tmp_path, "this is no Python")
    with pytest.raises(PluginError, match="is not there"):
        testing.load([tmp_path / "nowhere.py"], bundled=False)
    with pytest.raises(PluginError, match="cannot be used: no loaded plugin declares the measure"):
        trade_of(tmp_path, PLUGIN.replace('vehicle("wheel travel")', 'vehicle("weel travel")'))


def test_a_module_can_be_tested_where_it_is(tmp_path):
    import types

    module = types.ModuleType("our_jacks.jacks")
    exec(compile(PLUGIN, "jacks.py", "exec"), module.__dict__)
    assert "lift left" in testing.load([module], bundled=False).figures


# -- the contract -------------------------------------------------------------------------------


def test_a_sound_plugin_has_no_fault(trade):
    testing.assert_sound(trade, [case_of(trade)])


def faults_of(folder, old, new, **how):
    assert old in PLUGIN
    trade = trade_of(folder, PLUGIN.replace(old, new))
    return [str(fault) for fault in testing.check_plugin(trade, [case_of(trade)], **how)]


LEFT = "    return stroke - travel\n"


@pytest.mark.parametrize(
    ("old", "new", "message"),
    [
        ('meaning="Left when the wheel hangs.", ', "", "lift left: does not say what it is"),
        (' meaning="Lift a wheel.",', "", "jacks: says nothing of what its parts are for"),
        ("From folded to full height.", "", "jacks: stroke: does not say what it is"),
        ("jack and tape", "", "wheel travel: does not say what it is and how"),
        ("the axle droops before the wheel leaves the ground", "", "wheel: does not say why"),
        ('"it sinks", source="common practice, no source"', '"it sinks", source=""',
         "sand: does not say where it is from"),
        ("Never crawl under a vehicle on a jack.", "", "is carried: says nothing"),
        ("hours=0.5", "hours=0.0", "mount the jack: takes no time; say how many hours it"),
        (LEFT, "    import random\n    return stroke - random.random()\n",
         "lift left: declares 'travel' and does not read it"),
        (LEFT, "    import random\n    return stroke - random.random()\n",
         "lift left: reads random, which it does not declare"),
        (LEFT, "    return 5 if travel else 3 / 0 * stroke\n", "comes out as a plain number"),
        (LEFT, "    return stroke * travel\n", "comes out in m ** 2, which does not"),
        (LEFT, "    return stroke + 0.1 - travel\n", "cannot be worked out with units"),
        (LEFT, "    return stroke / 0.0 - travel\n", "lift left: fails for stroke=0."),
        (LEFT, "    return float('nan') * (stroke - travel)\n", "lift left: gives no number (NaN)"),
        (LEFT, "    return [stroke, travel]\n", "lift left: answers [0."),
        ("    return foot != \"none\"\n", "    return foot\n",
         "the jack has a foot for sand: answers 'plate'"),
        (LEFT, "    seen.append(0)\n    return (stroke - travel) * len(seen)\n\n\nseen = []\n",
         "lift left: answers 0."),
        (LEFT, "    global last\n    last = stroke\n    return stroke - travel\n",
         "lift left: changes 'last', which outlives the call"),
        (LEFT, "    return stroke - travel if open else travel\n",
         "lift left: reads open(), which it does not declare"),
        ('"""Jacks: whether they lift the wheel."""', "from time import time",
         ""),
    ],
)  # fmt: skip
def test_a_fault_is_named(tmp_path, old, new, message):
    faults = faults_of(tmp_path, old, new)
    assert any(message in fault for fault in faults) if message else not faults, faults


@pytest.mark.parametrize(
    ("first", "reads"),
    [
        ("from time import time", "time"),
        ("import os", "os"),
        ("from os import environ", "environ"),
        ("from random import random", "random"),
        ("from pathlib import Path", "Path"),
        ("from datetime import date", "date"),
    ],
)
def test_a_rule_that_reads_what_it_did_not_declare_is_named(tmp_path, first, reads):
    # Through a helper, so that it is not in the rule itself.
    new = (
        f"    return helper(stroke) - travel\n\n\ndef helper(x):\n    return x if {reads} else x\n"
    )
    text = PLUGIN.replace(LEFT, new).replace("\nfrom conf", f"\n{first}\nfrom conf", 1)
    trade = trade_of(tmp_path, text)
    (fault,) = testing.check_plugin(trade, [case_of(trade)])
    assert str(fault).startswith(f"lift left: reads {reads}, which it does not declare")


def test_a_slow_rule_is_named(tmp_path):
    """With a clock of its own, that goes on while the rule works and not else."""
    text = PLUGIN.replace(LEFT, f"    spent.append(0.1)\n{LEFT}\n\nspent = []\n")
    path = tmp_path / "slow.py"
    path.write_text(text, encoding="utf-8")
    trade = testing.load([path], bundled=False)
    spent = trade.figures["lift left"].function.__globals__["spent"]
    faults = testing.check_plugin(trade, [case_of(trade)], clock=lambda: sum(spent))
    assert [str(fault) for fault in faults] == [
        "lift left: takes 100 ms for one call; work out beforehand what does not hang on its inputs"
    ]


def test_a_rule_that_no_case_reaches_is_named(trade):
    bare = testing.case(trade, testing.vehicle(trade, FIGURES))
    named = {
        fault.name for fault in testing.check_plugin(trade, [bare]) if "never asked" in fault.what
    }
    assert "lift left" in named
    with pytest.raises(AssertionError, match="was never asked"):
        testing.assert_sound(trade, [bare])


WIDE = '''"""Lamps, and a look at all of them."""
from configurator.plugin import Family, Position, operation, part

lamps = Family("lamps", "Lamps", tuple(Position(f"lamp {n}") for n in range(8)), (), optional=True,
               meaning="Light the way.", moves=())


@operation("look at the lamps", hours=0.2)
def look(READS):
    return ANY
'''


@pytest.mark.parametrize("many", [6, 7, 8])
def test_work_that_hangs_on_many_positions_is_named(tmp_path, many):
    names = [f"lamp_{n}" for n in range(many)]
    reads = ", ".join(f'{name}: bool = part("lamp {n}", "changed")' for n, name in enumerate(names))
    text = WIDE.replace("READS", reads).replace("ANY", " or ".join(names))
    trade = trade_of(tmp_path, text)
    vehicle = testing.vehicle(trade, {})
    lamp = testing.part(trade, "lamps", "L-1", price="10 EUR")
    faults = testing.check_plugin(trade, [testing.case(trade, vehicle, [lamp])])
    wide = [str(fault) for fault in faults if "positions at once" in fault.what]
    assert bool(wide) == (many > 6)
    if wide:
        assert wide[0].startswith(f"look at the lamps: hangs on {many} positions at once: lamp 0, ")
        assert "divide it" in wide[0]
    in_answers = contract.faults_in_answers(
        trade, [testing.case(trade, vehicle, [lamp])], trade.operations["look at the lamps"].plugin
    )
    assert [str(fault) for fault in in_answers] == wide


def test_only_one_plugins_rules(trade):
    assert testing.check_plugin(trade, [], "somebody else's") == []


@pytest.fixture
def _tables_with_units(monkeypatch):
    """Tables that are looked up by a symbol hold plain SI numbers: give them their units here."""
    for name, unit in (("rated_speed", "m/s"), ("capacity", "kg")):
        plain = getattr(tyre_sizes, name)

        def look_up(symbol, plain=plain, unit=unit):
            spelled = plain(symbol)
            # Only where a rule is asked with quantities can a table answer with one.
            return units.registry.Quantity(spelled, unit) if asked_with_units() else spelled

        monkeypatch.setattr(tyre_sizes, name, look_up)


def asked_with_units():
    frame = sys._getframe()
    while frame is not None and frame.f_code.co_name != "_out_of_dimension":
        frame = frame.f_back
    return frame is not None


@pytest.mark.usefixtures("_tables_with_units")
def test_the_bundled_plugins_keep_the_contract():
    trade = testing.load([])
    jobs = sorted((paths.catalogs() / "demo" / "jobs").glob("*.toml"))
    cases = [job_files.read_case(path, trade) for path in jobs]
    # No demo vehicle's rear brake hoses end at the calipers.
    values = {**cases[0].vehicle.values, "rear brake hose end": "caliper"}
    cases[0] = replace(cases[0], vehicle=replace(cases[0].vehicle, values=values))
    faults = testing.check_plugin(trade, cases, slow=10.0)
    # No demo vehicle hangs its rear differential on the body.
    known = {"the rear half-shaft joints take the lift"}
    assert [str(fault) for fault in faults if fault.name not in known] == []
