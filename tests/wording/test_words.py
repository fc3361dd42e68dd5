"""Words that must not come back: what was said once and no fitter would say."""

from __future__ import annotations

import ast
import re
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest
import typer

from configurator.cli.program import program
from configurator.core import paths
from tests import bundled

if TYPE_CHECKING:
    from collections.abc import Iterator

ROOT = Path(__file__).parents[2]
# What was said → what is said instead.
GONE = {
    r"the rest of this": "with everything else you want, or: the other goals alone",
    r"\b(?:can|could|not to|to) be had\b": "available",
    r"\b[Gg]iv(?:e|ing) up\b": "settle for, or: drop",
    r"\blet go of\b": "choose other",
    r"[Ww]hat could give\b": "What can change",
    r"cannot be had together": "These clash",
    r"nothing to spare": "none to spare",
    r"prices in this table can only be said": "These are minimum prices",
    r"Every option of every position": "All parts",
    r"What it moves most": "Main effect on its own",
    r"Against now": "Difference",
    r"Look up by what the lists say": "Filter by specification",
    r"Drop this wish": "Remove",
    r"Matters more\b": "Move up",
    r"given up last": "most important first",
    r"beyond that: nothing": "aim: just meet it",
    r"Limits on sums over the whole vehicle are not counted": "not yet counted",
    r"[Ss]ide by side": "compare",
    r"Take away\b": "Remove",
    r"Go on with this one": "Use this one",
    r"What comes of it": "Result",
    r"Others that differ": "Alternatives",
    r"Prices hold until": "Valid until",
    r"\b[Pp]rice(?:d|s)? (?:it )?anew\b": "re-price",
    r"true speed by satellite": "GPS speed",
    r"What explains it": "Likely cause",
    r"squared differences": "accounts for so much of the difference",
    r"What does each wait cost": "Price by delivery time",
    r"parts (?:are )?there within": "all parts in within",
    r"[Ss]peed before a hard stop": "emergency-stop speed",
    r"Slope it can drive": "Approach angle",
    r"What may still be loaded": "Load still allowed now",
    r"the driver must know the new size": "Tell every driver the new height and width",
    r"Look at, test": "Inspect",
    r"Looked over by": "Checked by",
    r"way per turn of the driveshaft": "distance per propshaft turn",
    r"[Cc]losest to a limit": "tightest margins",
    r"\b[Ss]tays? empty\b": "not fitted",
    r"\bdriveshafts?\b": "propshaft",
    r"\b[Ll]ocating link": "Panhard rod",
    r"\btransfer case\b": "transfer box",
    r"\b[Bb]olt circle": "PCD",
    r"\bwish(?:es)?\b": "goal",
}
# Names of formulas and of what a rule is called in the literature stay.
FIELD = {
    "configurator/formulas",
    "configurator/supplier_lists/usual_words.py",
    "configurator/model/former_names.py",
    "plugins/former_names.py",
}


def texts_of(file: Path) -> list[tuple[int, str]]:
    """Return the texts in a module that a person may read: all but docstrings and names."""
    tree = ast.parse(file.read_text(encoding="utf-8"))
    docstrings = {
        node.body[0].value
        for node in ast.walk(tree)
        if isinstance(node, ast.Module | ast.ClassDef | ast.FunctionDef | ast.AsyncFunctionDef)
        and node.body
        and isinstance(node.body[0], ast.Expr)
        and isinstance(node.body[0].value, ast.Constant)
    }
    return [
        (node.lineno, node.value)
        for node in ast.walk(tree)
        if isinstance(node, ast.Constant)
        and isinstance(node.value, str)
        and node not in docstrings
        and " " in node.value.strip()
    ]


def found_in(text: str) -> list[str]:
    return [f"{match[0]!r}: say {better!r}" for gone, better in GONE.items()
            for match in [re.search(gone, text)] if match]  # fmt: skip


def modules(*folders: str) -> list[Path]:
    return sorted(
        file
        for folder in folders
        for file in (ROOT / folder).rglob("*.py")
        if not any(str(file.relative_to(ROOT)).startswith(field) for field in FIELD)
    )


@pytest.mark.parametrize(
    "folder",
    [
        "configurator/as_built",
        "configurator/cli",
        "configurator/consequences",
        "configurator/core",
        "configurator/documents",
        "configurator/drawings",
        "configurator/evaluation",
        "configurator/files",
        "configurator/loading",
        "configurator/model",
        "configurator/questions",
        "configurator/search",
        "configurator/store",
        "configurator/supplier_lists",
        "configurator/testing",
        "configurator/ui",
        "configurator/wording",
        "plugins",
    ],
)
def test_no_text_of_the_program_says_it_as_before(folder: str) -> None:
    long_sentences = [
        f"{file.relative_to(ROOT)}:{line}: {problem}"
        for file in modules(folder)
        for line, text in texts_of(file)
        for problem in found_in(text)
    ]
    assert long_sentences == []


def commands_of(command: Any, name: str, above: Any = None) -> Iterator[tuple[str, Any]]:
    """Yield a command of the program and all below it, with its context."""
    context = command.make_context(name, [], parent=above, resilient_parsing=True)
    yield context.command_path, context
    for below in getattr(command, "commands", {}).values():
        yield from commands_of(below, below.name, context)


@pytest.mark.parametrize(
    "context",
    [
        pytest.param(context, id=name)
        for name, context in commands_of(typer.main.get_command(program()), "fitwright")
    ],
)
def test_no_help_says_it_as_before_and_every_command_has_an_example(context: Any) -> None:
    text = " ".join(context.get_help().split())
    assert found_in(text) == []
    if not hasattr(context.command, "commands"):
        assert f"Example: {context.command_path}" in text


def test_no_script_of_the_page_says_it_as_before() -> None:
    assets = (ROOT / "configurator" / "ui").rglob("*")
    scripts = sorted(file for file in assets if file.suffix in (".js", ".html", ".css"))
    assert scripts
    strange = [
        f"{script.name}:{n}: {problem}"
        for script in scripts
        for n, line in enumerate(script.read_text(encoding="utf-8").splitlines(), 1)
        for problem in found_in(line)
    ]
    assert strange == []


@pytest.mark.parametrize(
    "page",
    [
        "README.md",
        "docs/documents.md",
        "docs/jobs.md",
        "docs/lists.md",
        "docs/page.md",
        "docs/saved-jobs.md",
    ],
)
def test_no_page_says_it_as_before(page: str) -> None:
    lines = (ROOT / page).read_text(encoding="utf-8").splitlines()
    # The address of a picture is no text.
    doubled = [
        f"{page}:{n}: {p}"
        for n, line in enumerate(lines, 1)
        for p in found_in(re.sub(r"\]\([^)]*\)", "]", line))
    ]
    assert doubled == []


def test_nothing_that_plugins_and_lists_say_is_as_before() -> None:
    trade = bundled.trade()
    sentences: list[str] = []
    for table in (trade.measures, trade.conditions, trade.practices, trade.figures, trade.totals):
        sentences += [f"{name}: {declared.meaning}" for name, declared in table.items()]
    for rules in (trade.limits, trade.fits):
        sentences += [f"{name}: {rule.because}" for name, rule in rules.items()]
    sentences += [limit.quantity for limit in trade.limits.values()]
    sentences += [f"{c.name}: {c.says} {c.inspect}" for c in trade.cautions.values()]
    sentences += list(trade.operations)
    for file in sorted((paths.catalogs() / "demo").rglob("*")):
        if file.suffix in (".csv", ".toml"):
            sentences += file.read_text(encoding="utf-8").splitlines()
    assert [problem for text in sentences for problem in found_in(text)] == []


@pytest.mark.parametrize("limit", bundled.trade().limits.values(),
                         ids=lambda limit: limit.name)  # fmt: skip
def test_every_bundled_limit_names_its_quantity_shortly(limit) -> None:
    assert limit.quantity
    assert len(limit.quantity) <= 60
    assert not limit.quantity.startswith("the ")


def test_a_text_with_such_a_word_is_noticed() -> None:
    assert found_in("What could give") == ["'What could give': say 'What can change'"]
    assert found_in("What can change") == []
