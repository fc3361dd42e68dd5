"""What the bundled plugins declare, loaded once for all tests of a process."""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING

from configurator.core import paths
from configurator.loading import plugin_files

if TYPE_CHECKING:
    from pathlib import Path

    from configurator.model.knowledge import Trade


def trade() -> Trade:
    """Everything that the bundled plugins declare; nobody can change it."""
    return _declared(paths.plugins())


@cache
def _declared(_where: Path) -> Trade:
    """Load them; a test may have put others in their place."""
    return plugin_files.load(installed=False).trade
