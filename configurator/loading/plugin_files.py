"""Find, load and ask plugins; say what failed and why.

Bundled plugins come with Fitwright; installed ones announce themselves by the entry-point group
``fitwright``; a shop's own are the files of a folder that the user names. Plugin files are code:
nothing is loaded from a folder nobody named.
"""

from __future__ import annotations

import importlib.util
import inspect
import os
import sys
from dataclasses import dataclass, replace
from importlib.metadata import entry_points
from pathlib import Path
from types import ModuleType
from typing import TYPE_CHECKING, Any

import pluggy

from configurator import __version__, hookspecs
from configurator.core import paths
from configurator.core.errors import FitwrightError, PluginError
from configurator.hookspecs import INTERFACE, PROJECT, Context
from configurator.loading.declared_fields import refuse_unsound
from configurator.loading.interface_version import check_version, read_version, stated_in
from configurator.model.cross_checks import CrossCheck, spread_cross_checks
from configurator.model.former_names import FormerNames
from configurator.model.knowledge import Failure, Trade, gather
from configurator.model.parts import Family
from configurator.model.phases import Phase
from configurator.model.rules import Caution, Figure, Fit, Limit, Operation, Total, spread
from configurator.model.vehicles import Condition, Measure, Practice, spread_measures

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

SHOP_PLUGINS = "FITWRIGHT_PLUGINS"
# Modules of plugin files have names of our own, by where they are from.
_MODULES = "_fitwright_{}_plugins"
BUNDLED_MODULES = _MODULES.format("bundled")
_RULES = (Figure, Limit, Fit, Total, Operation, Caution, CrossCheck)
_DECLARED = (Family, Measure, Condition, Practice, Phase, FormerNames, *_RULES)
_HOOKS = ("families", "measures", "conditions", "practices", "phases", "rules", "former_names")


@dataclass(frozen=True, slots=True)
class FoundPlugin:
    """A plugin that was found, and where."""

    name: str
    origin: str  # "bundled", "installed" or "shop"
    place: str
    module: Any


@dataclass(frozen=True, slots=True)
class Loaded:
    """The plugins in use and what they say."""

    trade: Trade
    plugins: tuple[FoundPlugin, ...]


class _TopLevel:
    """Answers the hooks for a plugin file with what it declares at its top level."""

    def __init__(self, module: Any) -> None:
        self._declared: list[Any] = []
        for name, thing in vars(module).items():
            if name.startswith("_"):
                continue
            things = thing if isinstance(thing, list | tuple) else [thing]
            self._declared.extend(item for item in things if isinstance(item, _DECLARED))

    def _of(self, *kinds: type) -> list[Any]:
        unique: dict[int, Any] = {
            id(item): item for item in self._declared if isinstance(item, kinds)
        }
        return list(unique.values())

    @hookspecs.hookimpl
    def families(self) -> list[Any]:
        return self._of(Family)

    @hookspecs.hookimpl
    def measures(self) -> list[Any]:
        return self._of(Measure)

    @hookspecs.hookimpl
    def conditions(self) -> list[Any]:
        return self._of(Condition)

    @hookspecs.hookimpl
    def practices(self) -> list[Any]:
        return self._of(Practice)

    @hookspecs.hookimpl
    def phases(self) -> list[Any]:
        return self._of(Phase)

    @hookspecs.hookimpl
    def rules(self) -> list[Any]:
        return self._of(*_RULES)

    @hookspecs.hookimpl
    def former_names(self) -> list[Any]:
        return self._of(FormerNames)


def shop_folders(named: Sequence[str | Path] = ()) -> list[Path]:
    """Return the folders a user named: by option, else by the environment variable."""
    folders = list(named) or [f for f in os.environ.get(SHOP_PLUGINS, "").split(os.pathsep) if f]
    return [Path(folder) for folder in folders]


def load(
    shop: Sequence[str | Path] = (),
    *,
    installed: bool = True,
    bundled: bool = True,
    trace: Any = None,
) -> Loaded:
    """Load all plugins and gather what they declare.

    Parameters
    ----------
    shop
        Folders of plugin files that the user named.
    installed, bundled
        Whether to ask the installed and the bundled ones.
    trace
        Called with ``(plugin, hook, answer)`` after each hook call.

    Returns
    -------
    Loaded
        With the failures of outside plugins in ``trade.failures``.

    Raises
    ------
    PluginError
        If a bundled plugin fails, or a named folder is not there.
    """
    failures: list[Failure] = []
    plugins: list[FoundPlugin] = []
    if bundled:
        plugins.extend(_from_folder(paths.plugins(), "bundled", failures))
        if failures:
            raise PluginError(failures[0].plugin, failures[0].reason, "reinstall Fitwright")
    of_ours = len(plugins)
    if installed:
        plugins.extend(_installed(failures))
    for folder in shop_folders(shop):
        if not folder.is_dir():
            raise PluginError(
                str(folder), "the folder of shop plugins is not there", "name an existing folder"
            )
        plugins.extend(_from_folder(folder, "shop", failures))

    context = Context(__version__)
    answers: dict[str, dict[str, list[Any]]] = {}
    kept: list[FoundPlugin] = []
    for number, plugin in enumerate(plugins, 1):
        try:
            answers[plugin.name] = ask(plugin, context, trace)
            # What an outside plugin says must make sense beside what was accepted before it; the
            # bundled ones are put together once, since putting together is what takes time.
            if plugin.origin != "bundled" or number == of_ours:
                _gather(answers, [])
            kept.append(plugin)
        except Exception as problem:  # an outside plugin may raise anything
            answers.pop(plugin.name, None)
            # Of the bundled ones, put together at the last, it need not be the last one's fault.
            name = plugin.name
            if plugin.origin == "bundled" and isinstance(problem, PluginError):
                name = problem.plugin
            if isinstance(problem, PluginError) and problem.plugin == name:
                reason = f"{problem.what}; {problem.do}"
            elif isinstance(problem, FitwrightError):
                reason = str(problem)
            else:
                reason = f"{type(problem).__name__}: {problem}"
            if plugin.origin == "bundled":
                raise PluginError(name, reason, "this is a fault of Fitwright's own") from problem
            failures.append(Failure(plugin.name, reason))
    trade = replace(_gather(answers, failures), translations=_translations(kept))
    return Loaded(trade, tuple(kept))


def load_only(plugins: Sequence[str | Path | ModuleType], *, bundled: bool = True) -> Loaded:
    """Load the named plugins, and the bundled ones: what a plugin's own tests need.

    Parameters
    ----------
    plugins
        Files, folders of files, or modules that are imported already.
    bundled
        Whether to load those that come with Fitwright before them.

    Raises
    ------
    PluginError
        If one of them cannot be loaded.
    """
    failures: list[Failure] = []
    plugin_list = list(_from_folder(paths.plugins(), "bundled", failures)) if bundled else []
    for item in plugins:
        if isinstance(item, ModuleType):
            plugin_list.append(
                FoundPlugin(item.__name__.rpartition(".")[2], "shop", item.__name__, item)
            )
        elif Path(item).is_dir():
            plugin_list.extend(_from_folder(Path(item), "shop", failures))
        elif Path(item).is_file():
            plugin_list.extend(_from_file(Path(item), "shop", failures))
        else:
            raise PluginError(str(item), "is not there", "name a file, a folder or a module")
    if failures:
        raise PluginError(failures[0].plugin, failures[0].reason, "correct the plugin")
    context = Context(__version__)
    answers = {plugin.name: ask(plugin, context) for plugin in plugin_list}
    trade = replace(_gather(answers, []), translations=_translations(plugin_list))
    return Loaded(trade, tuple(plugin_list))


def ask(plugin: FoundPlugin, context: Context, trace: Any = None) -> dict[str, list[Any]]:
    """Call every hook of one plugin.

    Raises
    ------
    PluginError
        If it was made for another interface, misspells a hook, or declares what cannot be used.
    """
    wanted = getattr(plugin.module, "INTERFACE", INTERFACE)
    check_version(plugin.name, read_version(plugin.name, wanted))
    declared = _TopLevel(plugin.module)
    manager = _manager(plugin, declared)
    answers: dict[str, list[Any]] = {}
    for hook in _HOOKS:
        if manager is None:
            answer = getattr(declared, hook)()
        else:
            parts = getattr(manager.hook, hook)(context=context)
            answer = [text for part in parts for text in part]
        unique = list({id(item): item for item in answer}.values())
        if trace is not None:
            trace(plugin.name, hook, unique)
        answers[hook] = unique
    refuse_unsound(plugin.name, (thing for hooked in answers.values() for thing in hooked))
    checks = [item for item in answers["rules"] if isinstance(item, CrossCheck)]
    rules = [item for item in answers["rules"] if not isinstance(item, CrossCheck)]
    answers["cross_checks"] = [
        replace(check, plugin=plugin.name) for check in spread_cross_checks(checks)
    ]
    answers["rules"] = [replace(rule, plugin=plugin.name) for rule in spread(rules)]
    answers["measures"] = spread_measures(answers["measures"])
    answers["phases"] = [replace(phase, plugin=plugin.name) for phase in answers["phases"]]
    return answers


def _manager(plugin: FoundPlugin, declared: _TopLevel) -> pluggy.PluginManager | None:
    """Register a plugin that implements hooks; most only declare, and need no manager.

    Raises
    ------
    PluginError
        If it misspells a hook.
    """
    marked = f"{PROJECT}_impl"
    if not any(hasattr(thing, marked) for thing in _routines(plugin.module)):
        return None
    manager = pluggy.PluginManager(PROJECT)
    manager.add_hookspecs(hookspecs)
    manager.register(plugin.module, plugin.name)
    manager.register(declared, f"{plugin.name} (top level)")
    try:
        manager.check_pending()
    except pluggy.PluginValidationError as problem:
        raise PluginError(
            plugin.name, str(problem), "spell the hook as in configurator.hookspecs"
        ) from problem
    return manager


def _routines(module: Any) -> Iterator[Any]:
    """Yield what can be a hook: an installed plugin may be an object with methods."""
    if not isinstance(module, ModuleType):
        yield from (getattr(module, name, None) for name in dir(module))
        return
    yield from (thing for thing in vars(module).values() if inspect.isroutine(thing))


def _gather(answers: dict[str, dict[str, list[Any]]], failures: Iterable[Failure]) -> Trade:
    def every(hook: str) -> list[Any]:
        return [item for answer in answers.values() for item in answer[hook]]

    return gather(
        every("families"),
        every("measures"),
        every("conditions"),
        every("practices"),
        every("rules"),
        failures,
        every("former_names"),
        every("cross_checks"),
        every("phases"),
    )


def _translations(plugins: Iterable[FoundPlugin]) -> tuple[Path, ...]:
    """Return the folders in which plugins bring what they say in other languages."""
    files = (getattr(plugin.module, "__file__", None) for plugin in plugins)
    homes = dict.fromkeys(Path(file).parent for file in files if file)
    return tuple(home / "translations" for home in homes if (home / "translations").is_dir())


def _from_folder(folder: Path, origin: str, failures: list[Failure]) -> list[FoundPlugin]:
    from_folder: list[FoundPlugin] = []
    for path in sorted(folder.glob("*.py")):
        if path.name.startswith("_"):
            continue
        from_folder.extend(_from_file(path, origin, failures))
    return from_folder


def _from_file(path: Path, origin: str, failures: list[Failure]) -> list[FoundPlugin]:
    """Load a plugin file; nothing, and a failure, if that cannot be done."""
    name = path.stem if origin == "bundled" else f"{origin}:{path.stem}"
    try:
        stated = stated_in(path)
        if stated is not None:  # before anything of the file is run
            check_version(name, read_version(name, stated))
        return [FoundPlugin(name, origin, str(path), _load_file(path, origin))]
    except PluginError as problem:
        failures.append(Failure(name, f"{problem.what}; {problem.do}"))
    except Exception as problem:  # plugin files are anybody's code
        failures.append(Failure(name, f"{path.name}: {type(problem).__name__}: {problem}"))
    return []


def _load_file(path: Path, origin: str) -> Any:
    # A name of our own keeps plugin files out of everybody's import namespace.
    name = f"{_MODULES.format(origin)}.{path.stem}"
    spec = importlib.util.spec_from_file_location(name, path)
    if spec is None or spec.loader is None:
        message = "cannot be read as Python"
        raise ImportError(message)
    module = importlib.util.module_from_spec(spec)
    sys.modules[name] = module
    spec.loader.exec_module(module)
    return module


def _installed(failures: list[Failure]) -> list[FoundPlugin]:
    installed = []
    for point in sorted(entry_points(group=PROJECT), key=lambda p: p.name):
        try:
            installed.append(FoundPlugin(point.name, "installed", point.value, point.load()))
        except Exception as problem:  # plugin packages are anybody's code
            failures.append(
                Failure(point.name, f"{point.value}: {type(problem).__name__}: {problem}")
            )
    return installed
