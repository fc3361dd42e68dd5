"""What differs between two versions of a job's file, in words."""

from __future__ import annotations

import tomllib
from typing import Any


def differences(item: str, other: str, first: str = "before", second: str = "after") -> list[str]:
    """List what differs between two jobs, entry by entry.

    Parameters
    ----------
    one, other
        TOML texts.
    first, second
        What to call them.

    Examples
    --------
    >>> differences('budget = "100 EUR"', 'budget = "120 EUR"', "theirs", "yours")
    ["budget: theirs '100 EUR', yours '120 EUR'"]
    """
    before, after = _entries(item), _entries(other)
    lines = [
        f"{name}: {first} {_shown(before.get(name))}, {second} {_shown(after.get(name))}"
        for name in dict.fromkeys([*before, *after])
        if before.get(name) != after.get(name)
    ]
    goals = [
        [n for n in _goals(text) if n in set(_goals(item)) & set(_goals(other))]
        for text in (item, other)
    ]
    if goals[0] != goals[1]:
        lines.append(
            f"order of the goals: {first} {', '.join(goals[0])}, {second} {', '.join(goals[1])}"
        )
    return lines


def _goals(text: str) -> list[str]:
    return list(tomllib.loads(text).get("goals", {}))


def _entries(text: str) -> dict[str, Any]:
    flat: dict[str, Any] = {}

    def walk(table: dict[str, Any], above: str) -> None:
        for name, value in table.items():
            if isinstance(value, dict):
                walk(value, f"{above}{name}, ")
            else:
                flat[f"{above}{name}"] = value

    walk(tomllib.loads(text), "")
    return flat


def _shown(value: Any) -> str:
    if value is None:
        return "nothing"
    return ", ".join(map(str, value)) or "none" if isinstance(value, list) else repr(value)
