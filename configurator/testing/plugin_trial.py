"""Try a shop's plugins on the job that is asked about: once for each plugin and version of it.

A rule that reads a clock, gives a text for a number or confuses two units passes into an answer
without a word. The kit notices; a shop that never ran it hears of it here.
"""

from __future__ import annotations

import hashlib
import json
from pathlib import Path
from typing import TYPE_CHECKING

from configurator import __version__
from configurator.core import paths
from configurator.testing.contract import faults_in_answers

if TYPE_CHECKING:
    from collections.abc import Iterator

    from configurator.loading.plugin_files import FoundPlugin, Loaded
    from configurator.model.jobs import Case

RECORD = "plugin-trials.json"


def tried(loaded: Loaded, case: Case, record: Path | None = None) -> list[str]:
    """Return what is wrong with the rules of plugins that do not come with Fitwright.

    Parameters
    ----------
    loaded
        The plugins in use.
    case
        Whose vehicle and parts the rules are asked with.
    record
        File that remembers what was tried; in the user's folder by default. Without one that can
        be written, every plugin is tried each time.
    """
    record = paths.user_folder() / RECORD if record is None else record
    known = _read(record)
    faults: list[str] = []
    fresh = False
    for plugin in loaded.plugins:
        key = _version_of(plugin)
        if plugin.origin == "bundled" or not key:
            continue
        if key not in known:
            in_answers = faults_in_answers(loaded.trade, [case], plugin.name)
            known[key] = [str(fault) for fault in in_answers]
            fresh = True
        faults.extend(f"plugin {plugin.name}: {fault}" for fault in known[key])
    if fresh:
        _write(record, known)
    return faults


def _version_of(plugin: FoundPlugin) -> str:
    """Tell one text of a plugin from another; empty where it has no file."""
    file = getattr(plugin.module, "__file__", None)
    try:
        text = Path(file).read_bytes() if file else b""
    except OSError:
        return ""
    return hashlib.sha256(f"{__version__} {plugin.name} ".encode() + text).hexdigest()


def _read(record: Path) -> dict[str, list[str]]:
    try:
        known = json.loads(record.read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return {}
    return dict(_sound(known)) if isinstance(known, dict) else {}


def _sound(known: dict[object, object]) -> Iterator[tuple[str, list[str]]]:
    for key, faults in known.items():
        if isinstance(key, str) and isinstance(faults, list):
            yield key, [str(fault) for fault in faults]


def _write(record: Path, known: dict[str, list[str]]) -> None:
    try:
        record.parent.mkdir(parents=True, exist_ok=True)
        record.write_text(json.dumps(known, indent=1), encoding="utf-8")
    except OSError:
        return  # tried again the next time
