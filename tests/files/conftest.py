"""What tests of files share."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from tests.small_trade import write_catalog

if TYPE_CHECKING:
    from pathlib import Path


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """Return the folder of a small catalog that is in order."""
    return write_catalog(tmp_path / "lists")
