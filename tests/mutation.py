"""Mutation of rules: a bundled rule is made wrong, one place at a time, and some test must notice.

``python -m tests.mutation`` makes mutants of the rules in ``plugins/``: a factor, a sign, an input
or a state left out, a bound or a rounding turned round, *as it stands* forgotten. The tests of
rules are run against each, and once against the rules as they are, which must pass. A mutant that
all of them pass is a hole: a rule that could be wrong in that place without anybody seeing it. Ends
with status 1 if one survives, 2 if the tests fail without any.

The method: DeMillo, Lipton, Sayward, Hints on test data selection, Computer 11(4), 1978 (from
memory).
"""

from __future__ import annotations

import argparse
import ast
import contextlib
import copy
import io
import multiprocessing
import os
import random
import shutil
import sys
import tempfile
from collections import Counter, defaultdict
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from configurator.model.states import RIDE_HEIGHT

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

ROOT = Path(__file__).parent.parent
PLUGINS = ROOT / "plugins"

# Those that notice most in the least time come first; each is stopped at the first test that fails.
SLOW = ("test_only_one_rule.py", "test_demo_vehicles.py", "test_figure_dimensions.py")
TESTS = (
    ("tests/validation/test_worked_example.py",),
    ("tests/plugins", *(f"--ignore=tests/plugins/{name}" for name in SLOW)),
    (
        "tests/evaluation/test_contradictions.py",
        "tests/plugins/test_only_one_rule.py",
        "tests/validation/test_hand_calculation.py",
    ),
    (
        "tests/plugins/test_demo_vehicles.py",
        "tests/plugins/test_figure_dimensions.py",
        "tests/validation/test_worked_bill.py",
        "tests/properties/test_physics.py",
    ),
)
RULES = ("figure", "limit", "fit", "total", "cross_check")
NUMBERS = ("figure", "limit", "total")
TURNED = {ast.Add: ast.Sub, ast.Sub: ast.Add, ast.Mult: ast.Div, ast.Div: ast.Mult}
COMPARED = {ast.Lt: ast.GtE, ast.LtE: ast.Gt, ast.Gt: ast.LtE, ast.GtE: ast.Lt, ast.Eq: ast.NotEq}
SEED = 11


@dataclass(frozen=True, slots=True)
class Mutant:
    """A plugin file with one thing wrong: kind of mistake, where, and the text of the file."""

    kind: str
    plugin: str
    line: int
    what: str
    text: str

    def __str__(self) -> str:
        return f"{self.kind:9} {self.plugin}:{self.line}: {self.what}"


def mutants_of(path: Path) -> Iterator[Mutant]:
    """Yield every mutant of a plugin file."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    helpers = {node.name for node in tree.body if isinstance(node, ast.FunctionDef)}
    for number, node in enumerate(tree.body):
        if not isinstance(node, ast.FunctionDef):
            continue
        decorator = _decorator(node)
        if decorator is None and node.name not in helpers:
            continue
        for kind, line, what, changed in _changes(node, decorator):
            module = copy.deepcopy(tree)
            module.body[number] = changed
            text = ast.unparse(ast.fix_missing_locations(module))
            yield Mutant(kind, path.stem, line, f"{node.name}: {what}", text)


def _decorator(node: ast.FunctionDef) -> ast.Call | None:
    for call in node.decorator_list:
        if isinstance(call, ast.Call) and isinstance(call.func, ast.Name) and call.func.id in RULES:
            return call
    return None


Change = tuple[str, int, str, ast.FunctionDef]


def _changes(node: ast.FunctionDef, decorator: ast.Call | None) -> Iterator[Change]:
    if decorator is not None:
        yield from _bounds_and_rounding(node, decorator)
        yield from _references(node)
    parameters = {argument.arg for argument in node.args.args}
    inner = list(_with_parents(node))
    for place, (child, parent) in enumerate(inner):
        if isinstance(child, ast.BinOp) and type(child.op) in TURNED:
            turned = TURNED[type(child.op)]()
            yield _changed(node, place, "sign", child, lambda n, t=turned: _set(n, "op", t))
        if isinstance(child, ast.Compare) and type(child.ops[0]) in COMPARED:
            other = COMPARED[type(child.ops[0])]()
            yield _changed(node, place, "sign", child, lambda n, o=other: _set(n, "ops", [o]))
        if isinstance(child, ast.Constant) and type(child.value) in (int, float) and child.value:
            value = child.value * 1.25
            yield _changed(node, place, "factor", child, lambda n, v=value: _set(n, "value", v))
        if isinstance(child, ast.Name) and child.id in parameters and isinstance(parent, ast.BinOp):
            neutral = 1.0 if isinstance(parent.op, ast.Mult | ast.Div) else 0.0
            made = ast.Constant(neutral)
            yield _changed(node, place, "left out", child, lambda _, m=made: m)
        if isinstance(child, ast.BoolOp) and len(child.values) > 1:
            for index in range(len(child.values)):
                kept = child.values[:index] + child.values[index + 1 :]
                made = kept[0] if len(kept) == 1 else ast.BoolOp(child.op, kept)
                yield _changed(node, place, "left out", child, lambda _, m=made: m)
        if (
            isinstance(child, ast.Return)
            and child.value is not None
            and decorator is not None
            and decorator.func.id in NUMBERS  # type: ignore[attr-defined]
            and isinstance(child.value, ast.Call | ast.Name)
        ):
            scaled = ast.BinOp(copy.deepcopy(child.value), ast.Mult(), ast.Constant(1.25))
            yield _changed(node, place, "factor", child, lambda n, s=scaled: _set(n, "value", s))


def _with_parents(node: ast.FunctionDef) -> Iterator[tuple[ast.AST, ast.AST]]:
    """Go through the body of a function, each node with the one it stands in."""
    for statement in node.body:
        yield statement, node
        for parent in ast.walk(statement):
            for child in ast.iter_child_nodes(parent):
                yield child, parent


def _set(node: ast.AST, field: str, value: object) -> ast.AST:
    setattr(node, field, value)
    return node


class _Exchange(ast.NodeTransformer):
    def __init__(self, old: ast.AST, new: ast.AST) -> None:
        self.old, self.new = old, new

    def visit(self, node: ast.AST) -> ast.AST:
        return self.new if node is self.old else super().visit(node)


def _changed(
    node: ast.FunctionDef,
    place: int,
    kind: str,
    child: ast.AST,
    change: Callable[[ast.AST], ast.AST],
) -> Change:
    made = copy.deepcopy(node)
    old = list(_with_parents(made))[place][0]
    before = ast.unparse(old)
    new = change(old)
    if new is not old:
        made = _Exchange(old, new).visit(made)
    line = getattr(child, "lineno", node.lineno)
    return kind, line, f"{before} → {ast.unparse(ast.fix_missing_locations(new))}", made


def _bounds_and_rounding(node: ast.FunctionDef, decorator: ast.Call) -> Iterator[Change]:
    at = node.decorator_list.index(decorator)
    keywords = {word.arg: word for word in decorator.keywords}
    for old, new in (("at_least", "at_most"), ("at_most", "at_least")):
        if old in keywords and new not in keywords:
            made = copy.deepcopy(node)
            for word in made.decorator_list[at].keywords:  # type: ignore[attr-defined]
                if word.arg == old:
                    word.arg = new
            yield "bound", node.lineno, f"{old} → {new}", made
    rounding = keywords.get("rounding")
    if "resolution" in keywords and rounding is not None:
        side = ast.literal_eval(rounding.value)
        if side in ("up", "down"):
            other = {"up": "down", "down": "up"}[side]
            made = copy.deepcopy(node)
            for word in made.decorator_list[at].keywords:  # type: ignore[attr-defined]
                if word.arg == "rounding":
                    word.value = ast.Constant(other)
            yield "rounding", node.lineno, f"{side} → {other}", made
    states = keywords.get("states")
    if states is not None and isinstance(states.value, ast.Tuple):
        for index, state in enumerate(states.value.elts):
            if ast.literal_eval(state) == RIDE_HEIGHT:
                continue  # goes without saying: nothing would be different
            made = copy.deepcopy(node)
            for word in made.decorator_list[at].keywords:  # type: ignore[attr-defined]
                if word.arg == "states":
                    del word.value.elts[index]  # type: ignore[attr-defined]
            yield "state", node.lineno, f"not in {ast.unparse(state)}", made


def _references(node: ast.FunctionDef) -> Iterator[Change]:
    """Forget *as it stands*: read the part that is chosen instead of the one that was fitted."""
    for index, default in enumerate(node.args.defaults):
        if not isinstance(default, ast.Call) or not isinstance(default.func, ast.Name):
            continue
        made = copy.deepcopy(node)
        call = made.args.defaults[index]
        if default.func.id == "fitted":
            call.func = ast.Name("part", ast.Load())  # type: ignore[attr-defined]
        elif any(word.arg == "before" for word in default.keywords):
            call.keywords = []  # type: ignore[attr-defined]
        else:
            continue
        yield "as it was", node.lineno, f"{ast.unparse(default)} → {ast.unparse(call)}", made


# -- trying them --------------------------------------------------------------------------------


def chosen(number: int, seed: int = SEED) -> list[Mutant]:
    """Return some of all mutants, every kind and plugin in turn; always the same ones."""
    every = [mutant for path in sorted(PLUGINS.glob("*.py")) for mutant in mutants_of(path)]
    chance = random.Random(seed)
    heaps: dict[tuple[str, str], list[Mutant]] = defaultdict(list)
    for mutant in every:
        heaps[mutant.kind, mutant.plugin].append(mutant)
    order = sorted(heaps)
    chance.shuffle(order)
    for heap in heaps.values():
        chance.shuffle(heap)
    picked: list[Mutant] = []
    kinds = Counter(mutant.kind for mutant in every)
    while len(picked) < min(number, len(every)):
        # The kind that was taken least so far, and of it the fullest heap's turn.
        taken = Counter(mutant.kind for mutant in picked)
        left = [key for key in order if heaps[key]]
        key = min(left, key=lambda key: (taken[key[0]] / kinds[key[0]] ** 0.5, order.index(key)))
        picked.append(heaps[key].pop())
        order.remove(key)
        order.append(key)
    return picked


def unchanged(plugin: str) -> Mutant:
    """Return a plugin file as it is, but for comments: a mutant that must survive."""
    text = ast.unparse(ast.parse((PLUGINS / f"{plugin}.py").read_text(encoding="utf-8")))
    return Mutant("nothing", plugin, 0, "as it is", text)


def survives(mutant: Mutant) -> bool:
    """Whether all tests pass with a mutant in the place of its plugin."""
    with tempfile.TemporaryDirectory() as folder:
        shutil.copytree(PLUGINS, folder, dirs_exist_ok=True)
        (Path(folder) / f"{mutant.plugin}.py").write_text(mutant.text, encoding="utf-8")
        # What was imported is not imported again where processes can be forked.
        methods = multiprocessing.get_all_start_methods()
        context = multiprocessing.get_context("fork" if "fork" in methods else None)
        for files in TESTS:
            process = context.Process(target=_run, args=(folder, files))
            process.start()
            process.join()
            if process.exitcode:
                return False
    return True


def _run(folder: str, words: tuple[str, ...]) -> None:
    import pytest

    from configurator.core import paths

    paths.plugins = lambda: Path(folder)
    os.chdir(ROOT)
    with contextlib.redirect_stdout(io.StringIO()), contextlib.redirect_stderr(io.StringIO()):
        code = pytest.main(["-x", "-q", "-p", "no:cacheprovider", "-p", "no:xdist", *words])
    os._exit(int(code))


def _warm_up() -> None:
    """Import what all tests import, once, before processes are forked; no plugin is loaded."""
    import pytest  # noqa: F401

    from configurator.documents import quotation  # noqa: F401
    from configurator.files import job_files  # noqa: F401


def main() -> int:
    """Try mutants, say which survive, and return the exit status."""
    parser = argparse.ArgumentParser(prog="python -m tests.mutation", description=__doc__)
    parser.add_argument("--number", type=int, default=80, help="how many mutants to try")
    parser.add_argument("--seed", type=int, default=SEED, help="which of all there are")
    parser.add_argument("--plugin", default="", help="only of this plugin")
    parser.add_argument("--list", action="store_true", help="list them and try none")
    options = parser.parse_args()
    picked = chosen(100_000 if options.plugin else options.number, options.seed)
    if options.plugin:
        picked = [mutant for mutant in picked if mutant.plugin == options.plugin]
        picked = picked[: options.number]
    if not options.list:
        _warm_up()
        if not survives(unchanged(picked[0].plugin)):
            print("The tests fail without any mistake: mend them first.")
            return 2
    survivors = []
    for number, mutant in enumerate(picked, 1):
        if options.list:
            print(mutant)
            continue
        alive = survives(mutant)
        survivors += [mutant] if alive else []
        print(f"{number:4} {'SURVIVES' if alive else 'noticed '} {mutant}", flush=True)
    kinds = ", ".join(f"{kind} {n}" for kind, n in Counter(m.kind for m in picked).most_common())
    print(f"{len(picked)} mutants ({kinds}), {len(survivors)} survive.")
    return 1 if survivors else 0


if __name__ == "__main__":
    sys.exit(main())
