"""Whatever stops an import, the catalog is the old one or the new one, and whole."""

from __future__ import annotations

import datetime
import errno
import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from configurator.core.errors import InputError
from configurator.files import catalog_files
from configurator.supplier_lists import dated_copies, taking_over
from tests.small_trade import LIST, small_trade, write_catalog
from tests.supplier_lists.lists import csv_list, opened, proposed, take_over

DAY = datetime.date(2026, 11, 25)
STEPS = ("replace", "fsync", "link", "open", "write")
# Runs an import again and again, each time in a process that is killed one step later.
KILLED = """
import datetime, json, os, pathlib, signal, sys
from tests.supplier_lists.lists import opened, proposed, take_over
from tests.supplier_lists.test_whole_or_not import steps

prices, folders = pathlib.Path(sys.argv[1]), sys.argv[2:]
mapping = proposed(opened(prices.parent))
for number, folder in enumerate(folders, start=1):
    child = os.fork()
    if not child:
        with steps(number, lambda: os.kill(os.getpid(), signal.SIGKILL)):
            take_over(prices, pathlib.Path(folder), mapping, datetime.date(2026, 11, 25))
        os._exit(0)
    print(json.dumps([folder, os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])]), flush=True)
"""


class steps:
    """Calls something before the n-th step of writing, and in the middle of a write."""

    def __init__(self, number: int, stop) -> None:
        self.left, self.stop = number, stop
        self.taken: list[str] = []

    def step(self, name: str) -> None:
        self.taken.append(name)
        self.left -= 1
        if self.left == 0:
            self.stop()

    def __enter__(self) -> steps:
        self.kept = {name: getattr(os, name) for name in ("replace", "fsync", "link")}
        for name, call in self.kept.items():
            setattr(os, name, self._counted(name, call))
        self.open = Path.open
        counting = self

        def open_counted(path, mode="r", *arguments, **how):
            if "r" in mode:
                return counting.open(path, mode, *arguments, **how)
            counting.step("open")
            return Writing(counting.open(path, mode, *arguments, **how), counting)

        Path.open = open_counted
        return self

    def __exit__(self, *_: object) -> None:
        Path.open = self.open
        for name, call in self.kept.items():
            setattr(os, name, call)

    def _counted(self, name, call):
        def counted(*arguments, **how):
            self.step(name)
            result = call(*arguments, **how)
            self.step(f"after {name}")
            return result

        return counted


class Writing:
    """A file whose writes are steps: half of a text may be all that gets there."""

    def __init__(self, stream, counting: steps) -> None:
        self.stream, self.counting = stream, counting

    def write(self, text):
        half = len(text) // 2
        self.stream.write(text[:half])
        self.stream.flush()
        self.counting.step("write")
        return half + self.stream.write(text[half:])

    def __enter__(self):
        return self

    def __exit__(self, *_):
        self.stream.close()

    def __getattr__(self, name):
        return getattr(self.stream, name)


@pytest.fixture
def prices(tmp_path: Path) -> Path:
    return csv_list(tmp_path)


@pytest.fixture
def mapping(tmp_path: Path):
    return proposed(opened(tmp_path))


def finished(tmp_path: Path, prices: Path, mapping) -> tuple[bytes, list[str]]:
    """Return what an import that nothing stops writes, and its steps."""
    folder = write_catalog(tmp_path / "finished")
    with steps(0, lambda: None) as counted:
        take_over(prices, folder, mapping, DAY)
    return (folder / "tyres.csv").read_bytes(), counted.taken


def check(folder: Path, new: bytes) -> bool:
    """Hold a catalog against the old and the new one; whether it is the new one."""
    content = (folder / "tyres.csv").read_bytes()
    assert content in (LIST.encode(), new)
    errors, _, _ = catalog_files.check_catalog(folder, small_trade())
    assert errors == []
    for kept in (folder / "earlier").glob("[!.]*"):
        assert kept.read_bytes() == LIST.encode()
    return content == new


def test_every_kind_of_step_is_counted(tmp_path: Path, prices: Path, mapping) -> None:
    _, taken = finished(tmp_path, prices, mapping)
    assert set(STEPS) <= set(taken)
    # The old list is kept, and safely on the disk, before the new one is begun.
    assert taken.index("link") < taken.index("replace")
    assert taken[: taken.index("replace")].count("fsync") == 3


@pytest.mark.skipif(not hasattr(os, "fork"), reason="needs to fork")
def test_killed_at_any_step(tmp_path: Path, prices: Path, mapping) -> None:
    new, taken = finished(tmp_path, prices, mapping)
    folders = [write_catalog(tmp_path / f"k{n}") for n in range(len(taken) + 1)]
    root = str(Path(__file__).parents[2])
    ran = subprocess.run(
        [sys.executable, "-c", KILLED, str(prices), *map(str, folders)],
        capture_output=True,
        text=True,
        check=False,
        cwd=root,
    )
    ends = [json.loads(line) for line in ran.stdout.splitlines()]
    assert [status for _, status in ends] == [-9] * len(taken) + [0], ran.stderr
    states = [check(folder, new) for folder in folders]
    # Old up to the one step that counts, new from there on.
    assert states == sorted(states)
    assert states[taken.index("replace")] is False
    assert states[taken.index("after replace")] is True
    # What was left lying about keeps nobody from importing again, and goes.
    stopped = folders[taken.index("replace")]
    left = list(stopped.glob(".*.new-*"))
    assert left
    for file in left:  # not before nobody can be at work on it any more
        os.utime(file, (0, 0))
    take_over(prices, stopped, mapping, DAY)
    assert check(stopped, new)
    assert not list(stopped.glob(".*"))
    assert len(list((stopped / "earlier").iterdir())) == 2


@pytest.mark.parametrize("reason", [errno.ENOSPC, errno.EIO])
def test_a_full_disk_at_any_step(tmp_path: Path, prices: Path, mapping, reason: int) -> None:
    new, taken = finished(tmp_path, prices, mapping)

    def full() -> None:
        raise OSError(reason, os.strerror(reason))

    for number, step in enumerate(taken, start=1):
        if step.startswith("after"):  # what has been done does not fail any more
            continue
        folder = write_catalog(tmp_path / f"f{number}")
        refused = None
        with steps(number, full):
            try:
                take_over(prices, folder, mapping, DAY)
            except InputError as problem:
                (refused,) = problem.problems
        is_new = check(folder, new)
        if is_new:
            # A copy serves where no link can be made, and a folder need not be written at once.
            assert refused is None
            assert step in ("link", "fsync")
        else:
            assert refused is not None, step
            assert "nothing was changed" in refused.what
            assert os.strerror(reason) in refused.what
        assert not list(folder.glob(".*")), step
        assert not list((folder / "earlier").glob(".*")), step


def test_a_new_catalog_is_one_only_when_it_is_complete(
    tmp_path: Path, prices: Path, mapping, monkeypatch
) -> None:
    folder = tmp_path / "fresh"
    take_over(prices, folder, mapping, DAY)
    assert not (folder / "catalog.toml").exists()
    assert not (folder / "earlier").exists()
    taking_over.write_about(folder, 'a "title"\x7f', "EUR", "2026-11-01", "list \\ x")
    errors, _, counts = catalog_files.check_catalog(folder, small_trade())
    # The character that no text may have is written as it is and refused when it is read.
    assert [error.where for error in errors] == ["fresh/catalog.toml, 'title'"]
    assert counts["tyres"] == 3
    taking_over.write_about(folder, 'a "title"', "EUR", "2026-11-01", "list \\ x")
    catalog = catalog_files.read_catalog(folder, small_trade())
    assert (catalog.info.title, catalog.info.source) == ('a "title"', "list \\ x")


def test_earlier_lists_are_never_overwritten(tmp_path: Path) -> None:
    path = tmp_path / "tyres.csv"
    kept = []
    for text in ("one", "two", "three"):
        path.write_text(text, encoding="utf-8")
        kept.append(dated_copies.keep_earlier(path, DAY))
    assert [file.name for file in kept] == [
        "tyres-2026-11-25.csv",
        "tyres-2026-11-25-2.csv",
        "tyres-2026-11-25-3.csv",
    ]
    assert [file.read_text() for file in kept] == ["one", "two", "three"]


def test_earlier_lists_on_a_disk_without_links(tmp_path: Path, monkeypatch) -> None:
    def no_link(*_: object) -> None:
        raise OSError(errno.EPERM, "not permitted")

    monkeypatch.setattr(os, "link", no_link)
    path = tmp_path / "tyres.csv"
    path.write_text("one", encoding="utf-8")
    first, second = (dated_copies.keep_earlier(path, DAY) for _ in range(2))
    assert first != second
    assert first.read_text() == second.read_text() == "one"


def test_a_list_changed_meanwhile_is_left_alone(tmp_path: Path, prices: Path, mapping) -> None:
    folder = write_catalog(tmp_path / "lists")
    from configurator.supplier_lists.open_list import open_price_list
    from tests.small_trade import TYRES

    with taking_over.compared(
        open_price_list(prices), mapping, "tyres.toml", TYRES, folder, "EUR"
    ) as made:
        (folder / "tyres.csv").write_text(LIST + "A9;Tyre nine;1;700;\n", encoding="utf-8")
        with pytest.raises(InputError, match="changed while it was compared"):
            taking_over.write_list(made, DAY)
    assert "A9" in (folder / "tyres.csv").read_text(encoding="utf-8")
