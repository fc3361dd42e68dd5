"""How the program behaves as a program: help, errors, pipes, terminals."""

from __future__ import annotations

import json
import os
import re
import subprocess
import sys

import pytest

from configurator import __version__
from configurator.core.errors import PluginError
from configurator.search.circuit.elimination import TooWide
from configurator.search.optimum.verification import RefereeDisagrees

pytestmark = pytest.mark.wheel

FITS = '[goals."clearance under the axle"]\nat_least = "340 mm"\n'


def test_help_names_every_command_and_imports_nothing_heavy():
    code = (
        "import sys\n"
        "from configurator.cli import main\n"
        "try: main(['--help'])\n"
        "except SystemExit: pass\n"
        "print(sorted({'pint', 'numpy', 'networkx', 'rich', 'pluggy'} & set(sys.modules)))"
    )
    ran = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    for command in ("find", "options", "why", "catalog", "plugins", "demo"):
        assert re.search(rf"^  {command} ", ran.stdout, re.MULTILINE)
    assert ran.stdout.splitlines()[-1] == "[]"


def test_version(shop):
    assert shop.run("--version").out == f"fitwright {__version__}\n"


def test_all_errors_at_once_one_line_each_on_standard_error(shop):
    shop.write("catalogs/shop/hubs.csv", "part number,title,price [EUR],drop [mm]\nH,Hub,x,y\n")
    ran = shop.run("find", shop.job('budget = "much"\n'))
    assert (ran.status, ran.out) == (2, "")
    lines = ran.err.splitlines()
    assert len(lines) == 3
    assert all(line.startswith("error: ") for line in lines)
    assert any("shop/hubs.csv row 2" in line for line in lines)


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        (["find", "nowhere.toml"], "cannot be opened"),
        (["find", "."], "cannot be opened"),
        (["catalog", "check", "nowhere"], "is not there"),
        (["--catalogs", "nowhere", "find", "job.toml"], "is not there"),
        (["--catalogs", "catalogs/shop", "find", "job.toml"], "a catalog itself"),
        (["--plugins", "job.toml", "find", "job.toml"], "is a file"),
        (["find"], "Missing argument"),
        (["find", "job.toml", "--cheapest", "0"], "--cheapest"),
        (["mend"], "No such command"),
        (["--units", "cubits", "plugins"], "--units"),
    ],
)
def test_bad_input_is_2(shop, monkeypatch, arguments, message):
    shop.job(FITS)
    monkeypatch.chdir(shop.folder)
    ran = shop.run(*arguments)
    assert (ran.status, ran.out) == (2, "")
    assert message in ran.err


@pytest.mark.parametrize(
    ("problem", "status", "message"),
    [
        (PluginError("cart", "a rule failed", "mend it"), 2, "a rule failed; mend it"),
        (TooWide(("tyres", "hubs"), 10**9), 2, "fix more parts"),
        (RefereeDisagrees("the search promised\nwhat is not"), 1, "promised what is not"),
        (PermissionError(13, "Permission denied", "list.csv"), 2, "list.csv: Permission denied"),
        (ZeroDivisionError("division by zero"), 1, "fault of Fitwright's own"),
        (KeyboardInterrupt(), 130, ""),
    ],
)
def test_no_traceback_whatever_happens(shop, monkeypatch, problem, status, message):
    from configurator.questions import answers

    def fail(*_arguments, **_named):
        raise problem

    monkeypatch.setattr(answers, "find", fail)
    ran = shop.run("find", shop.job(FITS))
    assert (ran.status, ran.out) == (status, "")
    assert message in ran.err
    assert len(ran.err.splitlines()) <= 1


def test_a_plugin_that_fails_is_named_and_the_rest_goes_on(shop):
    shop.write("mine/broken.py", "this is no Python\n")
    ran = shop.run("--plugins", str(shop.folder / "mine"), "find", shop.job(FITS))
    assert ran.status == 0
    assert ran.err.startswith("warning: plugin shop:broken: not in use")
    assert "searched without it" in ran.out


def test_folders_named_by_the_environment(shop, monkeypatch):
    shop.write("mine/more.py", "")
    monkeypatch.setenv("FITWRIGHT_PLUGINS", str(shop.folder / "mine"))
    assert "shop:more" in shop.run("plugins").out
    monkeypatch.setenv("FITWRIGHT_CATALOGS", str(shop.folder / "catalogs"))
    ran = subprocess.run(
        [*shop.command()[:3], "find", shop.job(FITS)], capture_output=True, text=True, check=False
    )
    assert ran.returncode == 0


def test_plugins_lists_what_each_declares(shop):
    ran = shop.run("plugins")
    assert (ran.status, ran.err) == (0, "")
    assert "2 families" in ran.out
    assert "1 operation" in ran.out
    listed = json.loads(shop.run("plugins", "--json").out)
    assert listed["plugins"][0]["declares"]["limit"] == 1


def test_catalog_check(shop):
    folder = str(shop.folder / "catalogs" / "shop")
    assert shop.run("catalog", "check", folder).status == 0
    shop.write("catalogs/shop/hubs.csv", "part number,title,price [EUR],drop [mm]\nH,Hub,x,y\n")
    ran = shop.run("catalog", "check", folder)
    assert ran.status == 2
    assert len(ran.err.splitlines()) == 2
    ran = shop.run("catalog", "check", folder, "--json")
    assert (ran.status, ran.err) == (2, "")
    assert [set(error) for error in json.loads(ran.out)["errors"]] == [{"where", "what", "do"}] * 2


# -- pipes and terminals ------------------------------------------------------------------------


def test_a_pipe_gets_plain_text_whole(shop):
    title = "Tyre of a very long name " * 8
    tyres = shop.folder / "catalogs/shop/tyres.csv"
    tyres.write_text(tyres.read_text().replace("Tyre :smile: of eighty", title.strip()))
    ran = shop.process("find", shop.job(FITS))
    assert ran.returncode == 0
    assert title.strip() in ran.stdout
    assert "\x1b" not in ran.stdout
    assert not re.search("[\u2500-\u257f]", ran.stdout)


def test_a_closed_pipe_is_no_error(shop):
    command = shop.command("find", shop.job(FITS), "--cheapest", "50", "--json")
    running = subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE)
    assert running.stdout is not None
    assert running.stderr is not None
    running.stdout.close()
    text = running.stderr.read()
    running.stderr.close()
    running.wait()
    assert text == b""


def test_output_that_cannot_show_a_sign_is_still_written(shop):
    tyres = shop.folder / "catalogs/shop/tyres.csv"
    tyres.write_text(tyres.read_text().replace(":smile:", "Größe"), encoding="utf-8")
    job = shop.job(FITS)
    environment = {**os.environ, "PYTHONIOENCODING": "ascii"}
    assert "Gr??e" in shop.process("find", job, env=environment).stdout
    record = json.loads(shop.process("find", job, "--json", env=environment).stdout)
    assert record["packages"][0]["details"]["tyres"]["title"] == "Tyre Größe of eighty"


def in_terminal(command: list[str], width: int, **more: str) -> str:
    """Run a command in a terminal of its own and return what it wrote there."""
    pty = pytest.importorskip("pty")
    inside, outside = pty.openpty()
    environment = {**os.environ, "TERM": "xterm-256color", "COLUMNS": str(width), **more}
    with subprocess.Popen(
        command, stdout=outside, stderr=outside, stdin=outside, env=environment
    ) as running:
        os.close(outside)
        written = b""
        while True:
            try:
                some = os.read(inside, 4096)
            except OSError:  # Linux says so when the other side is closed
                break
            if not some:
                break
            written += some
        os.close(inside)
    assert running.returncode == 0
    return written.decode()


def test_a_terminal_gets_tables_and_text_is_never_markup(shop):
    command = shop.command("options", shop.job(FITS))
    written = in_terminal(command, 80)
    plain = re.sub(r"\x1b\[[0-9;]*m", "", written)
    assert "\x1b[1m" in written
    assert "─" in plain
    assert "[bold]seventy[/bold]" in plain
    assert ":smile:" in plain
    assert max(len(line.rstrip()) for line in plain.splitlines()) <= 80


def test_no_color_is_respected(shop):
    written = in_terminal(shop.command("find", shop.job(FITS)), 80, NO_COLOR="1")
    codes = {
        code for group in re.findall(r"\x1b\[([0-9;]*)m", written) for code in group.split(";")
    }
    assert codes <= {"", "0", "1", "39", "49"}


def test_a_narrow_terminal_gets_whole_words(shop):
    written = in_terminal(shop.command("options", shop.job(FITS)), 40, NO_COLOR="1")
    plain = re.sub(r"\x1b\[[0-9;]*m", "", written)
    assert "state: impossible" in plain
    assert max(len(line.rstrip()) for line in plain.splitlines()) <= 40
