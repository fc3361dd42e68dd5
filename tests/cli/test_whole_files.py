"""Documents are written whole, for their owner alone, or refused by name with status 2."""

from __future__ import annotations

import os
import stat
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

if TYPE_CHECKING:
    from tests.cli.conftest import Shop


def commands(shop: Shop, into: Path) -> dict[str, list[str]]:
    job, file = shop.job(), str(into)
    return {
        "quote": ["quote", job, "--xlsx", file],
        "order": ["order", job, "--into", file],
        "build": ["build-sheet", job, "--into", file],
    }


@pytest.mark.parametrize("command", ["quote", "order", "build"])
def test_a_spreadsheet_that_cannot_be_written_is_named(
    shop: Shop, tmp_path: Path, command: str
) -> None:
    into = tmp_path / "a-folder.xlsx"
    into.mkdir()
    ran = shop.run(*commands(shop, into)[command])
    assert ran.status == 2
    assert ran.err.startswith(f"error: {into}: could not be written: Is a directory")
    assert list(into.iterdir()) == []


@pytest.mark.parametrize("command", ["quote", "order", "build"])
def test_a_document_is_for_its_owner_alone(shop: Shop, tmp_path: Path, command: str) -> None:
    into = tmp_path / "document.xlsx"
    ran = shop.run(*commands(shop, into)[command])
    assert ran.status == 0, ran.err
    assert into.read_bytes().startswith(b"PK")
    if os.name == "posix":
        assert stat.S_IMODE(into.stat().st_mode) == 0o600
