"""Imports run one way, and each library is used in the one place where it belongs.

The source is read, not run: an import inside a function or for type checkers only counts too.
"""

from __future__ import annotations

import ast
import sys
from collections import Counter
from graphlib import CycleError, TopologicalSorter
from pathlib import Path

import pytest

import configurator
from configurator.core import paths

PACKAGE = Path(configurator.__file__).parent

# The packages, from the ground up: each may import those above it and itself. `cli` and `ui` stand
# side by side and do not know each other. A new package is entered where it belongs.
LAYERS = (
    {"configurator", "core"},
    {"formulas"},
    {"model"},
    {"hookspecs", "plugin"},
    {"loading"},
    {"files"},
    {"evaluation"},
    {"search", "search.encoding"},
    {"search.circuit"},
    {"search.optimum"},
    {"search.pareto"},
    {"search.counting"},
    {"search.explanation"},
    {"questions"},
    {"wording"},
    {"drawings"},
    {"consequences"},
    {"as_built"},
    {"documents"},
    {"supplier_lists"},
    {"store"},
    {"testing"},
    {"cli", "ui"},
)

# At this length, ask what the second subject in a file is.
MOST_LINES = 400
STILL_LONG: set[str] = set()

PLACES = {name: number for number, names in enumerate(LAYERS) for name in names}

# Where a library may be imported: in a module, or in all of a package.
ONLY_IN = {
    "constraint": {"configurator.search.optimum.verification"},
    "distributed": {"configurator.questions.menu_runs"},
    "networkx": {
        "configurator.supplier_lists.proposing",
        "consequences",
    },
    "numba": {"configurator.search.circuit.compiled"},
    "ortools": {"configurator.search.optimum.cp_sat"},
    "pyarrow": {"configurator.questions.menu_results"},
    "streamlit": {"ui"},
}

# Modules with names of their own, so that a name says which one is meant. A command is called like
# its module, and some commands are called like what they are about.
SHARED_NAMES = {"options", "parts", "plugin", "vehicle"}

# Names that anything could have.
SAYS_NOTHING = {"one", "found", "told", "said"}


def module_name(file: Path, package: Path) -> str:
    """Say by which name a file of a package is imported."""
    parts = file.relative_to(package.parent).with_suffix("").parts
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)


def imports(file: Path, name: str = "") -> set[str]:
    """Collect what a file imports, as far as a name can be read from the source.

    ``from a import b`` gives ``a.b``: `b` may be a module.
    """
    folder = name if file.name == "__init__.py" else name.rpartition(".")[0]
    imported = set()
    for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            imported |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            start = node.module or ""
            if node.level:
                above = folder.split(".")[: len(folder.split(".")) - node.level + 1]
                start = ".".join([*above, start] if start else above)
            imported |= {f"{start}.{alias.name}" for alias in node.names}
    return imported


def modules_of(package: Path) -> dict[str, Path]:
    """List the files of a package by module; what a wheel carries along is no module."""
    return {
        module_name(file, package): file
        for file in sorted(package.rglob("*.py"))
        if "_bundled" not in file.relative_to(package).parts
    }


def imports_of(package: Path) -> dict[str, set[str]]:
    """Read what each module imports."""
    return {name: imports(file, name) for name, file in modules_of(package).items()}


@pytest.fixture(scope="module")
def source() -> dict[str, set[str]]:
    """Give what each module imports."""
    return imports_of(PACKAGE)


def is_package(name: str) -> bool:
    """Whether a name of SOURCE is a folder."""
    return (PACKAGE.parent / Path(*name.split("."))).is_dir()


def within(modules: dict[str, set[str]]) -> dict[str, set[str]]:
    """Keep the imports of modules from each other, each under its module's name."""
    kept = {}
    for name, imported in modules.items():
        kept[name] = set()
        for target in imported:
            # `from a import b` where b is not a module imports from a.
            module = target if target in modules else target.rpartition(".")[0]
            if module in modules and module != name:
                kept[name].add(module)
    return kept


def entry(name: str) -> str:
    """Name the package that a module belongs to, as LAYERS has it."""
    below = name.removeprefix("configurator.").split(".")
    return ".".join(below[:2]) if ".".join(below[:2]) in PLACES else below[0]


def against_the_direction(modules: dict[str, set[str]]) -> list[str]:
    """List the imports from a lower line of LAYERS, or from a neighbour on the same line."""
    return [
        f"{name} imports {target}"
        for name, targets in sorted(within(modules).items())
        for target in sorted(targets)
        if PLACES.get(entry(target), -1) > PLACES.get(entry(name), len(LAYERS))
        or {entry(target), entry(name)} == {"cli", "ui"}
    ]


def out_of_place(modules: dict[str, set[str]]) -> list[str]:
    return [
        f"{name} imports {library}"
        for name, imported in sorted(modules.items())
        for library in sorted({target.split(".")[0] for target in imported} & set(ONLY_IN))
        if not {name, entry(name)} & ONLY_IN[library]
    ]


def foreign(imported: set[str], allowed: tuple[str, ...]) -> list[str]:
    """List the imports that are neither of the standard library nor allowed."""
    return sorted(
        target
        for target in imported
        if target.split(".")[0] not in sys.stdlib_module_names
        and not any(f"{target}.".startswith(f"{name}.") for name in allowed)
    )


SOURCE = modules_of(PACKAGE)
PLUGINS = sorted(paths.plugins().glob("*.py"))


def test_there_is_source_to_read(source: dict[str, set[str]]) -> None:
    assert {"configurator", "configurator.core.units", "configurator.formulas"} <= set(SOURCE)
    assert any(within(source).values())


def test_every_module_has_its_place() -> None:
    assert sorted({entry(name) for name in SOURCE} - set(PLACES)) == [], (
        "enter it in LAYERS, where it belongs"
    )


def test_only_the_public_modules_lie_at_the_top() -> None:
    assert sorted(file.name for file in PACKAGE.glob("*.py")) == [
        "__init__.py",
        "hookspecs.py",
        "plugin.py",
    ]


def test_no_two_modules_share_a_name() -> None:
    names = [name.rpartition(".")[2] for name in SOURCE]
    packages = {name.rpartition(".")[2] for name in SOURCE if is_package(name)}
    twice = {name for name, times in Counter(names).items() if times > 1}
    assert sorted(twice - SHARED_NAMES) == [], "call one of each pair otherwise"
    assert packages.isdisjoint({"", "utils", "helpers", "common", "misc"})


def test_no_two_classes_share_a_name() -> None:
    names = Counter(
        node.name
        for file in sorted(PACKAGE.rglob("*.py"))
        if "_bundled" not in file.relative_to(PACKAGE).parts
        for node in ast.parse(file.read_text(encoding="utf-8")).body
        if isinstance(node, ast.ClassDef)
    )
    assert [name for name, times in names.items() if times > 1] == [], "call one otherwise"


def test_every_package_says_its_promise_who_imports_it_and_where_to_begin() -> None:
    """Three paragraphs: the promise, what it imports or who imports it, where reading begins."""
    for file in sorted(PACKAGE.rglob("__init__.py")):
        if {"_bundled", "migrations"} & set(file.relative_to(PACKAGE).parts):
            continue
        docstring = ast.get_docstring(ast.parse(file.read_text(encoding="utf-8"))) or ""
        promise, *rest = docstring.split("\n\n")
        assert promise.endswith("."), file
        assert "import" in docstring.lower(), f"{file}: who may import it, and what it imports"
        assert any(part.startswith("Begin with ") for part in rest), f"{file}: where to begin"


def bindings(tree: ast.AST) -> set[str]:
    """Collect what a file gives names to: variables, parameters, attributes, functions, classes."""
    names = set()
    for node in ast.walk(tree):
        if isinstance(node, ast.Name) and isinstance(node.ctx, ast.Store):
            names.add(node.id)
        elif isinstance(node, ast.Attribute) and isinstance(node.ctx, ast.Store):
            names.add(node.attr)
        elif isinstance(node, ast.arg):
            names.add(node.arg)
        elif isinstance(node, ast.FunctionDef | ast.ClassDef):
            names.add(node.name)
    return names


ROOTS = [PACKAGE, paths.plugins(), Path(__file__).parent]


@pytest.mark.parametrize("root", ROOTS, ids=lambda root: root.name)
def test_names_say_what_they_name(root: Path) -> None:
    empty = {
        file.name: left
        for file in sorted(root.rglob("*.py"))
        if "_bundled" not in file.relative_to(root).parts
        if (left := bindings(ast.parse(file.read_text(encoding="utf-8"))) & SAYS_NOTHING)
    }
    assert empty == {}, "what is it, in the terms of the field or the trade?"


def patched_constants(tree: ast.AST) -> list[str]:
    """List the constants of modules of the search that a test sets."""
    modules = {name.rpartition(".")[2] for name in SOURCE if name.startswith("configurator.search")}
    return [
        f"{module.id}.{name.value}"
        for node in ast.walk(tree)
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute)
        if node.func.attr == "setattr" and len(node.args) == 3
        for module, name in [node.args[:2]]
        if isinstance(module, ast.Name) and isinstance(name, ast.Constant)
        if module.id in modules and str(name.value).isupper()
    ]


def test_tests_give_limits_of_their_own_to_the_search() -> None:
    """Tuned numbers stand in `configurator.search.limits`, and are passed in."""
    patched = {
        file.name: constants
        for file in sorted(Path(__file__).parent.rglob("*.py"))
        if (constants := patched_constants(ast.parse(file.read_text(encoding="utf-8"))))
    }
    assert patched == {}


def test_no_module_is_longer_than_four_hundred_lines() -> None:

    long = {
        file.name: lines
        for root in ROOTS
        for file in root.rglob("*.py")
        if (lines := len(file.read_text(encoding="utf-8").splitlines())) > MOST_LINES
        and file.name not in STILL_LONG
    }
    assert long == {}, "is there a second subject in it?"


def test_imports_run_one_way(source: dict[str, set[str]]) -> None:
    assert against_the_direction(source) == []


def test_no_modules_import_each_other_in_a_circle(source: dict[str, set[str]]) -> None:
    try:
        list(TopologicalSorter(within(source)).static_order())
    except CycleError as circle:
        pytest.fail(" imports ".join(reversed(circle.args[1])))


def test_each_library_stays_where_it_belongs(source: dict[str, set[str]]) -> None:
    assert out_of_place(source) == []


@pytest.mark.parametrize("name", [name for name in SOURCE if entry(name) == "formulas"])
def test_a_formula_needs_units_errors_and_other_formulas_only(
    name: str, source: dict[str, set[str]]
) -> None:
    allowed = (
        "configurator.formulas",
        "configurator.core.units",
        "configurator.core.errors",
        "numpy",
    )
    assert foreign(source[name], allowed) == []


@pytest.mark.parametrize("file", PLUGINS, ids=lambda file: file.stem)
def test_a_plugin_needs_the_public_names_and_formulas_only(file: Path) -> None:
    assert foreign(imports(file), ("configurator.plugin", "configurator.formulas")) == []


def test_plugins_are_no_package() -> None:
    assert not (paths.plugins() / "__init__.py").exists()


def test_the_app_only_hands_over() -> None:
    assert foreign(imports(paths.app()), ("configurator.ui",)) == []


# The reading itself, on source that breaks the rules.


@pytest.fixture
def package(tmp_path: Path) -> Path:
    folder = tmp_path / "configurator"
    for name, text in {
        "__init__.py": "",
        "core/__init__.py": "",
        "core/units.py": "def late():\n    from configurator.model.parts import Part\n",
        "model/__init__.py": "",
        "model/parts.py": "from ..core import units\n",
        "evaluation/__init__.py": "import networkx as nx, math\n",
        "search/__init__.py": "",
        "search/circuit/__init__.py": "",
        "search/circuit/compiled.py": "import numba\nfrom .nodes import rows\n",
        "search/circuit/nodes.py": "from typing import TYPE_CHECKING\n"
        "if TYPE_CHECKING:\n    from ...consequences import chain\n",
        "consequences/__init__.py": "from networkx.algorithms import dag\n",
        "cli/__init__.py": "",
        "ui/__init__.py": "import configurator.cli\n",
        "_bundled/app.py": "import streamlit\n",
    }.items():
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).write_text(text, encoding="utf-8")
    return folder


def test_reading_finds_late_relative_and_typing_imports(package: Path) -> None:
    assert {name: targets for name, targets in within(imports_of(package)).items() if targets} == {
        "configurator.core.units": {"configurator.model.parts"},
        "configurator.model.parts": {"configurator.core.units"},
        "configurator.search.circuit.compiled": {"configurator.search.circuit.nodes"},
        "configurator.search.circuit.nodes": {"configurator.consequences"},
        "configurator.ui": {"configurator.cli"},
    }


def test_reading_finds_imports_against_the_direction(package: Path) -> None:
    assert against_the_direction(imports_of(package)) == [
        "configurator.core.units imports configurator.model.parts",
        "configurator.search.circuit.nodes imports configurator.consequences",
        "configurator.ui imports configurator.cli",
    ]


def test_reading_finds_libraries_out_of_place(package: Path) -> None:
    assert out_of_place(imports_of(package)) == ["configurator.evaluation imports networkx"]


def test_reading_finds_circles(package: Path) -> None:
    with pytest.raises(CycleError):
        list(TopologicalSorter(within(imports_of(package))).static_order())


def test_reading_finds_names_and_constants_that_are_set() -> None:
    text = "def said(one): self.told = found = one\nclass A: pass\n"
    assert bindings(ast.parse(text)) == {"said", "one", "told", "found", "A"}
    text = "patch.setattr(compiled, 'MANY', 0)\npatch.setattr(compiled, 'find_spec', None)\n"
    assert patched_constants(ast.parse(text)) == ["compiled.MANY"]


def test_foreign_names_are_compared_whole() -> None:
    imported = {"math", "configurator.plugin.part", "configurator.plugin_files", "numpy"}
    assert foreign(imported, ("configurator.plugin",)) == ["configurator.plugin_files", "numpy"]
