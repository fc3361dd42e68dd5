"""What a rule's function reads beside its inputs, told from its code without running it.

Best effort: whoever wants to hide something from this, can. It finds what is written by oversight.
"""

from __future__ import annotations

import builtins
import dis
from types import CodeType, FunctionType, ModuleType
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from collections.abc import Iterator

# What changes from one moment, one machine or one run to the next.
OUTSIDE = frozenset(
    (
        *("datetime", "glob", "http", "io", "locale", "os", "pathlib", "platform", "random"),
        *("secrets", "shutil", "socket", "sqlite3", "subprocess", "sys", "tempfile"),
        *("threading", "time", "urllib", "uuid"),
    )
)
_OUTSIDE_BUILTINS = frozenset(("open", "input", "exec", "eval", "globals", "locals", "id", "vars"))
_DEEPEST = 6


def source_faults(function: Any) -> list[tuple[str, str]]:
    """Say what is wrong with what a function reads: what, and what to do.

    Parameters
    ----------
    function
        The function of a rule; helpers in the same module are followed.

    Examples
    --------
    >>> import time
    >>> def tired(load=0.0):
    ...     return time.time() - load
    >>> source_faults(tired)[0][0]
    'reads time, which it does not declare'
    """
    if not isinstance(function, FunctionType):
        return []
    return list(dict.fromkeys(_undeclared(function, function.__module__, set(), _DEEPEST)))


def unread(function: Any) -> list[str]:
    """Name the parameters that a function does not read.

    Examples
    --------
    >>> unread(lambda load=0.0, speed=0.0: load)
    ['speed']
    """
    if not isinstance(function, FunctionType):
        return []
    code = function.__code__
    named = code.co_varnames[: code.co_argcount + code.co_kwonlyargcount]
    return sorted(set(named) - _loaded(code))


def _undeclared(
    function: FunctionType, module: str, seen: set[CodeType], depth: int
) -> Iterator[tuple[str, str]]:
    if function.__code__ in seen or depth == 0:
        return
    seen.add(function.__code__)
    do = "declare it as an input: part(), vehicle(), condition() or practice()"
    for code in _codes(function.__code__):
        for step in dis.get_instructions(code):
            if step.opname in ("STORE_GLOBAL", "DELETE_GLOBAL", "STORE_DEREF") and (
                step.opname != "STORE_DEREF" or step.argval in function.__code__.co_freevars
            ):
                what = f"changes {step.argval!r}, which outlives the call"
                yield what, "let the answer hang on its inputs only"
            if step.opname == "IMPORT_NAME" and str(step.argval).partition(".")[0] in OUTSIDE:
                yield f"reads {step.argval}, which it does not declare", do
            if step.opname not in ("LOAD_GLOBAL", "LOAD_NAME"):
                continue
            name = str(step.argval)
            if name in _OUTSIDE_BUILTINS and name not in function.__globals__:
                yield f"reads {name}(), which it does not declare", do
                continue
            thing = function.__globals__.get(name, getattr(builtins, name, None))
            if _home(thing) in OUTSIDE:
                yield f"reads {name}, which it does not declare", do
            inner = getattr(thing, "function", thing)  # a rule that another rule calls
            if isinstance(inner, FunctionType) and inner.__module__ == module:
                yield from _undeclared(inner, module, seen, depth - 1)


def _home(thing: Any) -> str:
    """Name the top module that a thing is from."""
    if isinstance(thing, ModuleType):
        return thing.__name__.partition(".")[0]
    owner = getattr(thing, "__self__", None)  # random.random is a method of a hidden object
    if owner is not None and not isinstance(owner, ModuleType):
        return type(owner).__module__.partition(".")[0]
    home = getattr(thing, "__module__", None) or type(thing).__module__
    return str(home).partition(".")[0]


def _codes(code: CodeType) -> Iterator[CodeType]:
    yield code
    for constant in code.co_consts:
        if isinstance(constant, CodeType):
            yield from _codes(constant)


def _loaded(code: CodeType) -> set[str]:
    """Names of variables that are read, in the function or in one within it."""
    names: set[str] = set()
    for inner in _codes(code):
        for step in dis.get_instructions(inner):
            if step.opname.startswith(
                ("LOAD_FAST", "LOAD_DEREF", "LOAD_CLOSURE", "LOAD_CLASSDEREF")
            ):
                names.update(step.argval if isinstance(step.argval, tuple) else (step.argval,))
            elif step.opname.startswith("STORE_FAST_LOAD_FAST"):
                names.add(step.argval[1] if isinstance(step.argval, tuple) else step.argval)
    return names
