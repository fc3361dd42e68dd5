"""What comes along with an act, read with care: the page may send anything."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

Sent = Mapping[str, Any]


def text_of(act: Sent, name: str) -> str:
    """Return a text that came along; empty where there is none."""
    value = act.get(name)
    return value if isinstance(value, str) else ""


def number_of(act: Sent, name: str) -> int:
    """Return a whole number that came along; -1 where there is none."""
    value = act.get(name)
    return int(value) if isinstance(value, int | float | str) and str(value).isdecimal() else -1
