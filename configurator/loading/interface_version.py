"""Which plugin interface a plugin was written for, and whether this one serves it.

The interface has a semantic version. Another major version means that something a plugin may use
was taken away or means something else; a higher minor one that something was added. A plugin says
at its top level which one it was written for: ``INTERFACE = (1, 0)``.
"""

from __future__ import annotations

import ast
import unicodedata
from typing import TYPE_CHECKING, Any

from configurator.core.errors import PluginError
from configurator.hookspecs import INTERFACE

if TYPE_CHECKING:
    from pathlib import Path

Version = tuple[int, int]


def read_version(plugin: str, written: Any) -> Version:
    """Read a version as a plugin states it.

    Raises
    ------
    PluginError
        If it is neither two whole numbers nor a text of them.

    Examples
    --------
    >>> read_version("winch", (1, 0)), read_version("winch", "1.2")
    ((1, 0), (1, 2))
    """
    parts = written.split(".") if isinstance(written, str) else written
    try:
        major, minor = (int(part) for part in parts)
        if isinstance(written, str) or all(type(part) is int for part in parts):
            return major, minor
    except (TypeError, ValueError):
        pass
    raise PluginError(
        plugin,
        f"INTERFACE = {written!r} is not a version of the plugin interface",
        f"write INTERFACE = ({INTERFACE[0]}, {INTERFACE[1]})",
    )


def check_version(plugin: str, wanted: Version, here: Version = INTERFACE) -> None:
    """Refuse a plugin that this interface does not serve.

    Parameters
    ----------
    plugin
        Its name.
    wanted
        The interface that it was written for.
    here
        The interface that there is.

    Raises
    ------
    PluginError
        If the major version is another, or the minor one is higher than there is.
    """
    if wanted[0] == here[0] and wanted[1] <= here[1]:
        return
    if wanted < here:
        do = (
            "get a newer release of the plugin, or change it as 'Versions of the interface' in "
            "DEVELOPERS.md says"
        )
    else:
        do = "get a newer release of Fitwright, or the release of the plugin that fits this one"
    raise PluginError(
        plugin, f"written for plugin interface {dotted(wanted)}, this is {dotted(here)}", do
    )


def dotted(version: Version) -> str:
    """Write a version as people do.

    Examples
    --------
    >>> dotted((1, 0))
    '1.0'
    """
    return ".".join(map(str, version))


def stated_in(path: Path) -> Any:
    """Read what a plugin file states without running it; None if it states nothing plainly.

    A file for another interface may fail on its first import, before it can say what it is for.
    """
    try:
        source = path.read_text(encoding="utf-8")
        # Names in Python are read in this normal form.
        if "INTERFACE" not in unicodedata.normalize("NFKC", source):
            return None
        tree = ast.parse(source)
    except (OSError, ValueError, SyntaxError):
        return None
    for node in tree.body:
        if isinstance(node, ast.Assign) and any(
            isinstance(target, ast.Name) and target.id == "INTERFACE" for target in node.targets
        ):
            try:
                return ast.literal_eval(node.value)
            except ValueError:
                return None
    return None
