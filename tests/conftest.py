"""What all tests share."""

from __future__ import annotations

import contextlib
import gc
import os
import shutil
import signal
import time
from typing import TYPE_CHECKING

import pytest
from hypothesis import settings

from configurator.core import code_digest

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

# What is made while tests are collected stays: looking for garbage in it would take half as long
# again.
gc.disable()

# What rules answered is kept beside the circuits in a checkout that is a moment old, too: what runs
# is read from here on.
code_digest._READ_BEFORE = time.time()

# A shared machine is slow at times, so no deadline. The same cases are drawn every time, so that
# whoever changes something else never meets a new one; `make fuzz` draws anew.
settings.register_profile("same", deadline=None, derandomize=True, database=None, print_blob=True)
settings.register_profile("anew", deadline=None, max_examples=500, print_blob=True)
settings.load_profile("same")

# A script that runs the tests in the background has Ctrl-C ignored; they send it, and so must
# neither ignore it themselves nor hand that on to the programs they start.
if signal.getsignal(signal.SIGINT) is signal.SIG_IGN:
    signal.signal(signal.SIGINT, signal.default_int_handler)


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Begin with what waits for a browser: other processes compute meanwhile, and at the end."""
    items.sort(key=lambda item: item.get_closest_marker("browser") is None)


def pytest_collection_finish() -> None:
    """Leave alone what stays: some million objects, that each collection would look through."""
    gc.collect()
    gc.freeze()
    gc.set_threshold(50_000, 20, 20)  # as the commands do
    gc.enable()


@pytest.fixture(scope="session", autouse=True)
def circuits(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Path]:
    """No test touches the user's data; where circuits are kept, for all processes of one run.

    A circuit is named by all it is made of, so whoever finds one by its name may use it.
    """
    base = tmp_path_factory.getbasetemp()
    shared = (base.parent if "PYTEST_XDIST_WORKER" in os.environ else base) / "circuits"
    shared.mkdir(exist_ok=True)
    data = tmp_path_factory.mktemp("data")
    link(data, shared)
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("FITWRIGHT_DATA", str(data))
        yield shared


@pytest.fixture
def own_data(tmp_path: Path, circuits: Path) -> Path:
    """Give a folder of data that holds nothing but the circuits of all tests."""
    return link(tmp_path / "data", circuits)


def link(data: Path, shared: Path) -> Path:
    """Let a folder of data find the circuits that were kept by others."""
    data.mkdir(parents=True, exist_ok=True)
    with contextlib.suppress(OSError):  # without leave to link, circuits are made anew
        (data / "circuits").symlink_to(shared, target_is_directory=True)
    return data


@pytest.fixture(scope="session")
def chromium() -> str:
    """Path of the browser for tests of the pages; they are skipped where there is none."""
    result = shutil.which("chromium") or shutil.which("chromium-browser")
    if result is None:
        pytest.skip("no Chromium on this machine (Debian: apt-get install chromium)")
    return result
