"""What all tests share."""

from __future__ import annotations

import os
import shutil
from typing import TYPE_CHECKING

import pytest
from hypothesis import settings

if TYPE_CHECKING:
    from collections.abc import Iterator

# A shared machine is slow at times, so no deadline; with CI set, the same examples every time.
settings.register_profile("development", deadline=None)
settings.register_profile("ci", deadline=None, derandomize=True, database=None, print_blob=True)
settings.load_profile("ci" if os.environ.get("CI") else "development")


@pytest.fixture(scope="session", autouse=True)
def _no_test_touches_the_users_data(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("FITWRIGHT_DATA", str(tmp_path_factory.mktemp("data")))
        yield


@pytest.fixture(scope="session")
def chromium() -> str:
    """Path of the browser for tests of the pages; they are skipped where there is none."""
    found = shutil.which("chromium") or shutil.which("chromium-browser")
    if found is None:
        pytest.skip("no Chromium on this machine (Debian: apt-get install chromium)")
    return found
