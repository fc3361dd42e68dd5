"""Files are written whole or not at all, and what stopped programs left goes when it is old."""

from __future__ import annotations

import errno
import os
import stat
import subprocess
import sys
import threading
from pathlib import Path

import pytest

from configurator.core import atomic_files
from configurator.core.atomic_files import (
    LEFT_BEHIND,
    atomic_file,
    clear_leftovers,
    temporary_folder,
    write_atomically,
)
from configurator.core.errors import InputError

POSIX = pytest.mark.skipif(os.name != "posix", reason="rights are kept otherwise here")


def mode_of(path: Path) -> int:
    return stat.S_IMODE(path.stat().st_mode)


def test_text_and_bytes_take_their_place_as_they_are(tmp_path: Path) -> None:
    path = tmp_path / "list.csv"
    write_atomically(path, "a;ü\r\nb\n")
    assert path.read_bytes() == "a;ü\r\nb\n".encode()
    write_atomically(path, b"\x00\x01")
    assert path.read_bytes() == b"\x00\x01"
    assert list(tmp_path.iterdir()) == [path]


@pytest.mark.parametrize("step", ["write", "fsync", "replace"])
def test_a_full_disk_leaves_the_old_file(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, step: str
) -> None:
    path = tmp_path / "quotation.pdf"
    path.write_bytes(b"the old one")

    def full(*_: object) -> None:
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    def write() -> None:
        with atomic_file(path, "wb") as stream:
            stream.write(b"half of the new one")
            if step == "write":
                full()

    if step != "write":
        monkeypatch.setattr(os, step, full)
    with pytest.raises(InputError) as refused:
        write()
    (problem,) = refused.value.problems
    assert problem.where == str(path)
    assert "No space left on device; nothing was changed" in problem.what
    assert path.read_bytes() == b"the old one"
    assert list(tmp_path.iterdir()) == [path]


def test_whoever_reads_meanwhile_never_sees_half_a_file(tmp_path: Path) -> None:
    path = tmp_path / "list.csv"
    write_atomically(path, "0" * 100_000)
    seen: set[int] = set()
    over = threading.Event()

    def read() -> None:
        while not over.is_set():
            seen.add(len(path.read_bytes()))

    reader = threading.Thread(target=read)
    reader.start()
    for number in range(50):
        write_atomically(path, str(number % 10) * 100_000)
    over.set()
    reader.join()
    assert seen == {100_000}


def test_nothing_is_written_over_that_may_not_be(tmp_path: Path, monkeypatch) -> None:
    path = tmp_path / "vehicle.toml"
    write_atomically(path, "first", overwrite=False)
    with pytest.raises(InputError, match="is there already; nothing is written over"):
        write_atomically(path, "second", overwrite=False)

    def no_link(*_: object) -> None:
        raise OSError(errno.EPERM, "not permitted")

    monkeypatch.setattr(os, "link", no_link)  # a disk without links
    with pytest.raises(InputError, match="is there already; nothing is written over"):
        write_atomically(path, "third", overwrite=False)
    write_atomically(tmp_path / "other.toml", "fourth", overwrite=False)
    assert path.read_text() == "first"
    assert (tmp_path / "other.toml").read_text() == "fourth"
    assert len(list(tmp_path.iterdir())) == 2


@POSIX
def test_what_is_private_can_be_read_by_its_owner_alone(tmp_path: Path) -> None:
    os.umask(before := os.umask(0))
    private, open_to_all = tmp_path / "private", tmp_path / "open"
    write_atomically(private, "x", private=True)
    write_atomically(open_to_all, "x")
    assert mode_of(private) == 0o600
    assert mode_of(open_to_all) == 0o666 & ~before
    private.chmod(0o640)  # as its owner has decided since
    write_atomically(private, "y", private=True)
    assert mode_of(private) == 0o640


@POSIX
def test_a_link_stays_one_and_a_pipe_is_written_straight(tmp_path: Path) -> None:
    target, link = tmp_path / "target", tmp_path / "link"
    target.write_text("old")
    link.symlink_to(target)
    write_atomically(link, "new")
    assert link.is_symlink()
    assert target.read_text() == "new"
    ran = subprocess.run(
        [sys.executable, "-c", "from pathlib import Path\n"
         "from configurator.core.atomic_files import write_atomically\n"
         "write_atomically(Path('/dev/stdout'), 'straight')"],
        capture_output=True, text=True, check=False, cwd=Path(__file__).parents[2],
    )  # fmt: skip
    assert (ran.returncode, ran.stdout) == (0, "straight"), ran.stderr


@pytest.mark.parametrize("name", ["no/such/folder", "x" * 300])
def test_what_cannot_be_written_is_named(tmp_path: Path, name: str) -> None:
    with pytest.raises(InputError, match="could not be written"):
        write_atomically(tmp_path / name, "x")


def test_what_was_left_behind_goes_when_it_is_old(tmp_path: Path) -> None:
    path = tmp_path / "list.csv"
    old, new = (tmp_path / f".list.csv.new-{name}" for name in ("old", "new"))
    for left in (old, new):
        left.write_text("half")
    os.utime(old, (0, 0))
    write_atomically(path, "whole")
    assert {file.name for file in tmp_path.iterdir()} == {"list.csv", ".list.csv.new-new"}
    at = new.stat().st_mtime - LEFT_BEHIND - 1
    os.utime(new, (at, at))
    clear_leftovers(tmp_path, ".list.csv.new-*")
    assert list(tmp_path.iterdir()) == [path]


def test_folders_of_killed_programs_go_when_they_are_old(tmp_path: Path, monkeypatch) -> None:
    monkeypatch.setattr(atomic_files.tempfile, "tempdir", str(tmp_path))
    for name in ("fitwright-import-old", "fitwright-import-new", "somebody-else"):
        (tmp_path / name).mkdir()
        (tmp_path / name / "rows").write_text("x")
        if name != "fitwright-import-new":
            os.utime(tmp_path / name, (0, 0))
    with temporary_folder("fitwright-import-") as place:
        names = {file.name for file in tmp_path.iterdir()}
        assert names == {"fitwright-import-new", "somebody-else", place.name}
    assert not place.exists()
