"""Imports run one way, and each library is used in the one place where it belongs.

The source is read, not run: an import inside a function or for type checkers only counts too.
"""

from __future__ import annotations

import ast
import sys
from graphlib import CycleError, TopologicalSorter
from pathlib import Path

import pytest

import configurator
from configurator import homes

PACKAGE = Path(configurator.__file__).parent

# A module may import from the lines above its own, and from its own line where that makes no
# circle. A new module or folder of configurator/ is entered where it belongs; a folder's module
# stands where the folder does unless it is entered by itself.
LAYERS = (
    {"configurator", "errors", "homes", "money", "units"},
    {"formulas"},
    {"parts", "references", "vehicles", "rules", "jobs", "wishes"},
    {"hookspecs", "interface_version", "plugin"},
    {"trade", "plugin_loading", "verdicts"},
    {"reading", "values", "toml_files", "part_columns", "part_lists", "vehicle_files"},
    {"catalog_files", "job_files", "job_text", "layers", "local_rules", "lookup", "overrides"},
    {"catalog_check", "importing", "templates"},
    {"evaluation", "waits", "work", "packages", "search.tables", "spans", "columns", "problem"},
    {"search"},
    {"plugin_contract", "plugin_inputs", "plugin_source"},
    {"answers", "saying", "trade_offs"},
    {"drawings"},
    {"forced", "figures_sheet", "measured", "work_plan"},
    {"sheets"},
    {"changes", "effects", "history", "session", "share", "shelf"},
    {"records"},
    {"new_plugin", "testing"},
    {"cli", "ui"},
)

PLACES = {name: number for number, names in enumerate(LAYERS) for name in names}

# Where a library may be imported: in a module, or in all of an entry of LAYERS.
ONLY_IN = {
    "constraint": {"configurator.search.referee"},
    "networkx": {"configurator.search.guide", "forced"},
    "numba": {"configurator.search.compiled"},
    "ortools": {"configurator.search.outside"},
    "streamlit": {"ui"},
}


def module_name(file: Path, package: Path) -> str:
    """Say by which name a file of a package is imported."""
    parts = file.relative_to(package.parent).with_suffix("").parts
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)


def imports(file: Path, name: str = "") -> set[str]:
    """Collect what a file imports, as far as a name can be read from the source.

    ``from a import b`` gives ``a.b``: `b` may be a module.
    """
    folder = name if file.name == "__init__.py" else name.rpartition(".")[0]
    found = set()
    for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            found |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            start = node.module or ""
            if node.level:
                above = folder.split(".")[: len(folder.split(".")) - node.level + 1]
                start = ".".join([*above, start] if start else above)
            found |= {f"{start}.{alias.name}" for alias in node.names}
    return found


def source(package: Path) -> dict[str, set[str]]:
    """Read what each module of a package imports; what a wheel carries along is no module."""
    return {
        name: imports(file, name)
        for file in sorted(package.rglob("*.py"))
        if "_bundled" not in file.relative_to(package).parts
        for name in [module_name(file, package)]
    }


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
    """Name the file or folder of configurator/ that a module belongs to, as LAYERS has it."""
    below = name.removeprefix("configurator.")
    if below in PLACES:
        return below
    top = below.split(".")[0]
    # forced.py has siblings: forced_graph.py and the like.
    return "forced" if top.startswith("forced") else top


def against_the_direction(modules: dict[str, set[str]]) -> list[str]:
    """List the imports from a lower line of LAYERS."""
    return [
        f"{name} imports {target}"
        for name, targets in sorted(within(modules).items())
        for target in sorted(targets)
        if PLACES.get(entry(target), -1) > PLACES.get(entry(name), len(LAYERS))
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


SOURCE = source(PACKAGE)
PLUGINS = sorted(homes.plugins().glob("*.py"))


def test_there_is_source_to_read() -> None:
    assert {"configurator", "configurator.units", "configurator.formulas"} <= set(SOURCE)
    assert any(within(SOURCE).values())


def test_every_module_has_its_place() -> None:
    assert sorted({entry(name) for name in SOURCE} - set(PLACES)) == [], (
        "enter it in LAYERS, where it belongs"
    )


def test_imports_run_one_way() -> None:
    assert against_the_direction(SOURCE) == []


def test_no_modules_import_each_other_in_a_circle() -> None:
    try:
        list(TopologicalSorter(within(SOURCE)).static_order())
    except CycleError as circle:
        pytest.fail(" imports ".join(reversed(circle.args[1])))


def test_each_library_stays_where_it_belongs() -> None:
    assert out_of_place(SOURCE) == []


@pytest.mark.parametrize("name", [name for name in SOURCE if entry(name) == "formulas"])
def test_a_formula_needs_units_errors_and_other_formulas_only(name: str) -> None:
    allowed = ("configurator.formulas", "configurator.units", "configurator.errors", "numpy")
    assert foreign(SOURCE[name], allowed) == []


@pytest.mark.parametrize("file", PLUGINS, ids=lambda file: file.stem)
def test_a_plugin_needs_the_public_names_and_formulas_only(file: Path) -> None:
    assert foreign(imports(file), ("configurator.plugin", "configurator.formulas")) == []


def test_plugins_are_no_package() -> None:
    assert not (homes.plugins() / "__init__.py").exists()


def test_the_app_only_hands_over() -> None:
    assert foreign(imports(homes.app()), ("configurator.ui",)) == []


# The reading itself, on source that breaks the rules.


@pytest.fixture
def package(tmp_path: Path) -> Path:
    folder = tmp_path / "configurator"
    for name, text in {
        "__init__.py": "",
        "units.py": "def late():\n    from configurator.parts import Part\n",
        "parts.py": "from . import units\n",
        "problem.py": "import networkx as nx, math\n",
        "search/__init__.py": "",
        "search/guide.py": "import networkx\nfrom .tables import rows\n",
        "search/tables.py": "from typing import TYPE_CHECKING\n"
        "if TYPE_CHECKING:\n    from ..forced import chain\n",
        "forced.py": "from networkx.algorithms import dag\n",
        "_bundled/app.py": "import streamlit\n",
    }.items():
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).write_text(text, encoding="utf-8")
    return folder


def test_reading_finds_late_relative_and_typing_imports(package: Path) -> None:
    assert within(source(package)) == {
        "configurator": set(),
        "configurator.forced": set(),
        "configurator.parts": {"configurator.units"},
        "configurator.problem": set(),
        "configurator.search": set(),
        "configurator.search.guide": {"configurator.search.tables"},
        "configurator.search.tables": {"configurator.forced"},
        "configurator.units": {"configurator.parts"},
    }


def test_reading_finds_imports_against_the_direction(package: Path) -> None:
    assert against_the_direction(source(package)) == [
        "configurator.search.tables imports configurator.forced",
        "configurator.units imports configurator.parts",
    ]


def test_reading_finds_libraries_out_of_place(package: Path) -> None:
    assert out_of_place(source(package)) == ["configurator.problem imports networkx"]


def test_reading_finds_circles(package: Path) -> None:
    with pytest.raises(CycleError):
        list(TopologicalSorter(within(source(package))).static_order())


def test_foreign_names_are_compared_whole() -> None:
    imported = {"math", "configurator.plugin.part", "configurator.plugin_loading", "numpy"}
    assert foreign(imported, ("configurator.plugin",)) == ["configurator.plugin_loading", "numpy"]
