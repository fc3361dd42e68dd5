"""Scripts of the page name things as the rest does: no name says only that something is one."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from configurator import ui

EMPTY = "one|found|told|said"
# Declared, a parameter, or set on an element; names within texts and comments are prose.
SET = re.compile(
    rf"\b(?:const|let|function)\s+(?:{EMPTY})\b"
    rf"|\((?:[\w$]+,\s*)*(?:{EMPTY})(?:,\s*[\w$]+)*\)\s*(?:=>|\{{)"
    rf"|\.(?:{EMPTY})\s*=[^=]"
)
FILES = sorted(Path(ui.__file__).parent.rglob("*"))
HOLDERS = [path for path in FILES if path.suffix == ".js"] + [
    path
    for path in FILES
    if path.suffix == ".py" and "export default" in path.read_text(encoding="utf-8")
]


@pytest.mark.parametrize(
    "script",
    ["let found = 0;", "rows.map((one) => one.name)", "function at(ui, one) {", "a.told = text;"],
)
def test_empty_names_are_seen(script: str) -> None:
    assert SET.search(script)


@pytest.mark.parametrize("script", ["level.said", "// the one that", 'return "one = two";'])
def test_texts_and_what_is_only_read_are_no_names(script: str) -> None:
    assert not SET.search(script)


@pytest.mark.parametrize("path", HOLDERS, ids=lambda path: path.name)
def test_no_script_uses_an_empty_name(path: Path) -> None:
    lines = path.read_text(encoding="utf-8").splitlines()
    assert [line for line in lines if SET.search(line)] == []
