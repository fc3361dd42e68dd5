"""Which plugins are served, which are refused and what is said; what each hook was asked."""

from __future__ import annotations

import json

import pytest

from configurator.core.errors import PluginError
from configurator.hookspecs import INTERFACE
from configurator.loading import plugin_files
from configurator.loading.interface_version import check_version, dotted, read_version, stated_in
from configurator.testing import source_reading

pytestmark = pytest.mark.wheel

MAJOR, MINOR = INTERFACE
FAMILY = (
    'from configurator.plugin import Family, Position\nkites = Family("kites", "Kites", '
    '(Position("kite"),), (), optional=True)\n'
)


@pytest.mark.parametrize("stated", [INTERFACE, (MAJOR, 0), list(INTERFACE), dotted(INTERFACE)])
def test_what_this_interface_serves(stated):
    check_version("kites", read_version("kites", stated))


@pytest.mark.parametrize(
    ("wanted", "here", "do"),
    [
        ((1, 3), (2, 0), "get a newer release of the plugin, or change it as"),
        ((0, 9), (1, 0), "get a newer release of the plugin, or change it as"),
        ((2, 0), (1, 9), "get a newer release of Fitwright"),
        ((1, 1), (1, 0), "get a newer release of Fitwright"),
    ],
)
def test_which_of_the_two_to_renew(wanted, here, do):
    with pytest.raises(PluginError) as caught:
        check_version("kites", wanted, here)
    assert caught.value.what == (
        f"written for plugin interface {dotted(wanted)}, this is {dotted(here)}"
    )
    assert caught.value.do.startswith(do)
    check_version("kites", (1, 2), (1, 3))  # what was added since does no harm


@pytest.mark.parametrize(
    "stated", [1, 1.0, "1", "1.0.0", "one.two", (1,), (1, 0, 0), ("1", "0"), (1.5, 0), None]
)  # fmt: skip
def test_what_is_no_version(stated):
    with pytest.raises(PluginError, match="is not a version of the plugin interface; write INT"):
        read_version("kites", stated)


def load(folder, text):
    (folder / "kites.py").write_text(text, encoding="utf-8")
    return plugin_files.load([folder], installed=False, bundled=False)


def test_a_plugin_of_another_interface_is_not_run(tmp_path):
    """It would fail on a name that is not there any more, and nobody would know why."""
    made = tmp_path / "made"
    text = (
        f"import pathlib; pathlib.Path({str(made)!r}).touch()\n"
        f"from configurator.plugin import gone\nINTERFACE = ({MAJOR + 1}, 0)\n{FAMILY}"
    )
    loaded = load(tmp_path, text)
    (failure,) = loaded.trade.failures
    assert failure.plugin == "shop:kites"
    assert failure.reason.startswith(
        f"written for plugin interface {MAJOR + 1}.0, this is {dotted(INTERFACE)}; get a newer"
    )
    assert (dict(loaded.trade.families), made.exists()) == ({}, False)


def test_a_plugin_that_states_nothing_or_this_interface_is_loaded(tmp_path):
    for text in (FAMILY, f"INTERFACE = {INTERFACE}\n{FAMILY}"):
        assert list(load(tmp_path, text).trade.families) == ["kites"]


def test_a_version_that_is_worked_out_counts_as_well(tmp_path):
    text = f"{FAMILY}INTERFACE = ({MAJOR} + 1, 0)\n"
    (tmp_path / "kites.py").write_text(text, encoding="utf-8")
    assert stated_in(tmp_path / "kites.py") is None
    (failure,) = load(tmp_path, text).trade.failures
    assert "written for plugin interface" in failure.reason


def test_what_a_file_states_is_read_without_running_it(tmp_path):
    path = tmp_path / "kites.py"
    assert stated_in(path) is None  # not there
    for text, stated in (("INTERFACE = (1, 0)", (1, 0)), ("INTERFACE = (", None), ("x = 1", None)):
        path.write_text(text, encoding="utf-8")
        assert stated_in(path) == stated


def test_every_hook_call_is_traced(tmp_path):
    (tmp_path / "kites.py").write_text(FAMILY, encoding="utf-8")
    calls = []
    plugin_files.load(
        [tmp_path], installed=False, bundled=False, trace=lambda *call: calls.append(call)
    )
    assert [
        (plugin, hook, [declaration.key for declaration in answer])
        for plugin, hook, answer in calls
    ] == [
        ("shop:kites", "families", ["kites"]),
        *(
            ("shop:kites", hook, [])
            for hook in ("measures", "conditions", "practices", "phases", "rules", "former_names")
        ),
    ]


def test_what_a_helper_in_another_module_reads_is_not_followed():
    """Formulas and libraries answer for themselves."""
    assert source_reading.source_faults(json.dumps) == []
    assert source_reading.source_faults(len) == []
    assert source_reading.unread(len) == []


def test_bundled_plugins_that_clash_are_a_fault_of_our_own_and_outside_ones_are_left_out(
    tmp_path, monkeypatch
):
    """The bundled ones are put together once; each outside one on top of what was accepted."""
    for name in ("ours", "outside", "clash"):
        (tmp_path / name).mkdir()
    other = FAMILY.replace("kites =", "again =")
    (tmp_path / "ours" / "kites.py").write_text(FAMILY, encoding="utf-8")
    (tmp_path / "outside" / "birds.py").write_text(other, encoding="utf-8")
    monkeypatch.setattr(plugin_files.paths, "plugins", lambda: tmp_path / "ours")
    loaded = plugin_files.load([tmp_path / "outside"], installed=False)
    assert [plugin.name for plugin in loaded.plugins] == ["kites"]
    (left_out,) = loaded.trade.failures
    assert left_out.plugin == "shop:birds"
    assert "family 'kites' is declared twice" in left_out.reason
    (tmp_path / "ours" / "birds.py").write_text(other, encoding="utf-8")
    with pytest.raises(PluginError, match=r"family 'kites' is declared twice.*Fitwright's own"):
        plugin_files.load(installed=False)
