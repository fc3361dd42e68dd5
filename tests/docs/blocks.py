"""Fenced blocks of the pages in Markdown, wherever the tests are run from."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
_BLOCK = re.compile(r"^```(\w+)\n(.*?)^```$", re.MULTILINE | re.DOTALL)


def page(name: str) -> str:
    """Read a page at the top of the checkout; skip where the tests run on a wheel alone."""
    path = ROOT / name
    if not path.is_file():
        pytest.skip(f"{name} is part of a checkout, not of the wheel")
    return path.read_text(encoding="utf-8")


def blocks(text: str) -> list[tuple[str, str]]:
    """Language and text of every fenced block."""
    return [(language, body) for language, body in _BLOCK.findall(text)]
