"""What tests of files share in which the search keeps answers and values."""

from __future__ import annotations

import pytest

from configurator.core import code_digest, paths
from configurator.files.job_files import read_case
from tests import bundled

JOB = paths.catalogs() / "demo" / "jobs" / "touring-wagon-first-step.toml"


@pytest.fixture(scope="module")
def opened():
    """Return the touring wagon's case, and the trade."""
    trade = bundled.trade()
    return read_case(JOB, trade, ()), trade


@pytest.fixture
def data(tmp_path, monkeypatch):
    """Give a folder of its own; the sources count as unchanged since they were read."""
    monkeypatch.setenv("FITWRIGHT_DATA", str(tmp_path))
    monkeypatch.setattr(code_digest, "_READ_BEFORE", float("inf"))
    return tmp_path
