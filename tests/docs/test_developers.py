"""The worked example and the reference of DEVELOPERS.md, run and held against the code."""

from __future__ import annotations

import dataclasses
import re
import subprocess
import sys
import typing

import pytest

from configurator import hookspecs, plugin, testing
from configurator.files import catalog_files, overrides
from configurator.formulas import places as places_along
from configurator.loading import interface_version, plugin_files
from configurator.model import references, rules
from configurator.model.parts import Position
from tests import bundled
from tests.docs.blocks import ROOT, blocks, page
from tests.search.random_cases import make

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


def test_the_worked_examples_pass_their_own_tests(folder):
    run = subprocess.run(
        [sys.executable, "-m", "pytest", "-q", "-p", "no:cacheprovider", "."],
        cwd=folder,
        capture_output=True,
        text=True,
        timeout=300,
        check=False,
    )
    assert run.returncode == 0, run.stdout + run.stderr
    written = "".join(body for _, body in blocks(page("DEVELOPERS.md")))
    assert f"{len(re.findall('^def test_', written, re.MULTILINE))} passed" in run.stdout


def test_the_lists_of_the_examples_are_sound(folder):
    trade = plugin_files.load([folder / "shop"], installed=False).trade
    for name in ("northlist", "ourshop"):
        assert catalog_files.check_catalog(folder / "lists" / name, trade)[:2] == ([], [])


def test_the_example_of_a_question_counts():
    from configurator.search.optimum import preparing, queries

    (code,) = [body for _, body in blocks(page("docs/search.md")) if body.startswith("# count.py")]
    names: dict = {}
    exec(compile(code, "count.py", "exec"), names)
    random_case = make(5)
    prepared = preparing.prepare(random_case.evaluation, [])
    from tests.search.test_against_enumeration import everything

    free = queries.without_wishes(random_case.case.job)
    assert names["count"](prepared) == len(everything(random_case.evaluation, free))


def test_the_example_of_a_semiring_is_right():
    import random

    from configurator.evaluation.evaluator import Evaluation
    from configurator.search.optimum import preparing, queries
    from tests.search.random_cases import make
    from tests.search.test_against_enumeration import everything

    (code,) = [
        body for _, body in blocks(page("docs/search.md")) if body.startswith("# waiting.py")
    ]
    names: dict = {}
    exec(compile(code, "waiting.py", "exec"), names)
    compared = 0
    for seed in range(12):
        chance = random.Random(seed)
        made = make(seed)
        parts = {
            family: tuple(dataclasses.replace(p, lead_time=chance.randint(0, 30)) for p in part)
            for family, part in made.case.parts.items()
        }
        evaluation = Evaluation(dataclasses.replace(made.case, parts=parts), made.trade)
        prepared = preparing.prepare(evaluation, [])
        packages = list(everything(evaluation, queries.without_wishes(made.case.job)))
        days = {
            (position, option.key): option.part.lead_time or 0
            for position in evaluation.families
            for option in evaluation.options(position)
        }
        waits = [max(days[place] for place in package) for package in packages]
        if not packages:
            continue
        for position in evaluation.families:
            shortest, each = names["shortest_waits"](prepared, position)
            assert shortest == min(waits)
            for option, days_found in zip(evaluation.options(position), each, strict=True):
                own = [
                    w for w, p in zip(waits, packages, strict=True) if (position, option.key) in p
                ]
                assert days_found == (min(own) if own else None), (seed, option.key)
                compared += 1
    assert compared > 50


@pytest.mark.parametrize("record", RECORDS, ids=lambda record: record.__name__)
def test_every_field_of_a_record_is_in_the_reference(record):
    text = page("DEVELOPERS.md")
    (row,) = re.findall(rf"^\| `{record.__name__}` \|(.*)\|$", text, re.MULTILINE)
    named = set(re.findall(r"`(\w+)`", row))
    assert named == {field.name for field in dataclasses.fields(record)}


def table(heading: str) -> dict[str, str]:
    """First and second column of the table with this first heading."""
    (rows,) = re.findall(
        rf"^\| {heading} \|.*\n\|[-|]+\n((?:\|.*\n)+)", page("DEVELOPERS.md"), re.MULTILINE
    )
    cells = [row.strip("| ").split(" | ", 1) for row in rows.splitlines()]
    return {first.strip(): second for first, second in cells}


def names_in(text: str) -> list[str]:
    return [name.strip('"') for name in re.findall(r"`([^`]+)`", text)]


def test_the_public_names_are_those_in_the_code():
    named = [name for first in table("names") for name in names_in(first)]
    assert sorted(named) == sorted(plugin.__all__)


def test_the_hooks_are_those_in_the_code():
    hooks = {n: f for n, f in vars(hookspecs).items() if hasattr(f, "fitwright_spec")}
    answers = {names_in(first)[0]: names_in(second) for first, second in table("hook").items()}
    assert set(answers) == set(hooks)
    for name, records in answers.items():
        assert hooks[name].__doc__
        assert all(record in plugin.__all__ for record in records)
        # The annotation is a text; for rules it names the union of all kinds.
        returned = hooks[name].__annotations__["return"].removeprefix("list[").removesuffix("]")
        union = getattr(rules, returned, None) if returned == "Rule" else None
        kinds = [kind.__name__ for kind in typing.get_args(union)] or [returned]
        assert sorted(records) == sorted(kinds), name


def test_what_each_takes_is_what_the_code_gives():
    assert [names_in(first)[0] for first in table("name")] == list(references.EACH)
    random_case = make(5)
    evaluation = random_case.evaluation
    option = next(iter(evaluation.fitted.values()))
    for name in (*references.EACH, "nothing of the kind"):
        asked: list = []
        inputs = (references.Input("value", references.EachValue(name), takes_missing=True),)
        ask = rules.Total(f"asked for {name}", "", lambda value, asked=asked: asked.append(value),
                          inputs)  # fmt: skip
        evaluation.term(ask, option)
        assert (asked[0] is None) is (name == "nothing of the kind"), name


def test_the_places_are_those_the_axle_loads_know():
    places = [name for first in table("place") for name in names_in(first)]
    trade = bundled.trade()
    known = places_along.PLACES
    assert sorted(places) == sorted(known)
    assert {at.place for family in trade.families.values() for at in family.positions} <= set(known)
    documented = Position.__doc__ or ""
    assert all(f'``"{place}"``' in documented for place in places)


def test_the_columns_of_a_shops_changes_are_those_in_the_code():
    named = [heading for first in table("column") for heading in names_in(first)]
    assert [heading.partition(" [")[0] for heading in named] == list(overrides.COLUMNS)


def test_the_names_of_the_kit_are_those_in_the_code():
    (row,) = re.findall(r"^The names of `configurator.testing`: (.*?)\n\n", page("DEVELOPERS.md"),
                         re.MULTILINE | re.DOTALL)  # fmt: skip
    named = [name for name in names_in(row) if not name.startswith("configurator")]
    assert sorted(named) == sorted(testing.__all__)


def test_the_version_of_the_interface_is_told():
    text = page("DEVELOPERS.md")
    assert f"INTERFACE = {hookspecs.INTERFACE}" in text
    (section,) = re.findall(r"^## Versions of the interface\n(.*?)^## ", text, re.M | re.S)
    assert re.search(rf"^{interface_version.dotted(hookspecs.INTERFACE)} ", section, re.MULTILINE)


def test_where_to_change_what_is_there():
    """Usual things, each found within a minute: every place that is named exists."""
    rows = table("you want to change or add")
    assert len(rows) >= 10
    for places in rows.values():
        for place in names_in(places):
            assert (ROOT / place).exists(), place


def test_the_terms_of_the_search_are_in_the_glossary():
    terms = table("term")
    assert len(terms) > 30
    # Where a term comes from the literature, the page on the method says which work is meant.
    method = page("docs/search.md") + page("DEVELOPERS.md")
    for term in ("variable elimination", "epsilon-constraint", "Lagrangian relaxation"):
        assert term in terms
        assert term in method
