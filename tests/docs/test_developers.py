"""The worked example and the reference of DEVELOPERS.md, run and held against the code."""

from __future__ import annotations

import dataclasses
import re
import subprocess
import sys

import pytest

from configurator import hookspecs, plugin
from tests.docs.blocks import blocks, page

RECORDS = [
    getattr(plugin, name)
    for name in plugin.__all__
    if dataclasses.is_dataclass(getattr(plugin, name)) and name != "Context"
]


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    """Write every block that starts with a file's name to that file."""
    root = tmp_path_factory.mktemp("example")
    for _, body in blocks(page("DEVELOPERS.md")):
        first, _, rest = body.partition("\n")
        named = re.fullmatch(r"# ([\w./]+\.(?:py|toml|csv))", first)
        if named:
            path = root / named[1]
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_text(rest, encoding="utf-8")
    return root


def test_the_worked_example_passes_its_own_tests(folder):
    assert (folder / "test_winch.py").is_file()
    run = subprocess.run(
        [sys.executable, "-m", "pytest", "-q", "-p", "no:cacheprovider", "test_winch.py"],
        cwd=folder,
        capture_output=True,
        text=True,
        timeout=300,
        check=False,
    )
    assert run.returncode == 0, run.stdout + run.stderr
    assert "3 passed" in run.stdout


def test_the_example_of_a_question_counts():
    from configurator.search import queries
    from tests.search.random_cases import make

    (code,) = [body for _, body in blocks(page("DEVELOPERS.md")) if body.startswith("# count.py")]
    names: dict = {}
    exec(compile(code, "count.py", "exec"), names)
    random_case = make(5)
    prepared = queries.prepare(random_case.evaluation, [])
    from tests.search.test_against_enumeration import everything

    free = queries.without_wishes(random_case.case.job)
    assert names["count"](prepared) == len(everything(random_case.evaluation, free))


@pytest.mark.parametrize("record", RECORDS, ids=lambda record: record.__name__)
def test_every_field_of_a_record_is_in_the_reference(record):
    text = page("DEVELOPERS.md")
    (row,) = re.findall(rf"^\| `{record.__name__}` \|(.*)\|$", text, re.MULTILINE)
    named = set(re.findall(r"`(\w+)`", row))
    assert named == {field.name for field in dataclasses.fields(record)}


def test_every_public_name_and_hook_is_mentioned():
    text = page("DEVELOPERS.md")
    for name in plugin.__all__:
        assert re.search(rf"\b{name}\b", text), name
    hooks = [n for n, f in vars(hookspecs).items() if hasattr(f, "fitwright_spec")]
    assert len(hooks) == 5
    for name in hooks:
        assert f"`{name}`" in text, name
        assert getattr(hookspecs, name).__doc__
