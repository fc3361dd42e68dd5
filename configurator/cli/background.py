"""Work that goes on after a command has ended."""

from __future__ import annotations

import subprocess
import sys
from typing import TYPE_CHECKING

from configurator.core import paths

if TYPE_CHECKING:
    from pathlib import Path

    from configurator.cli.open_case import Settings

RUN = "from configurator.cli import main; main()"
LOG = "made-ready.log"


def make_ready(settings: Settings, job: Path) -> tuple[int, Path]:
    """Begin to make ready what a job needs of its lists, and do not wait for it.

    Parameters
    ----------
    settings
        The global options: they count for that work too.
    job
        Its file.

    Returns
    -------
    tuple
        Number of the process, and the file that holds what it says.
    """
    home = paths.user_folder()
    paths.make_private(home)
    options = [f"--catalogs={folder}" for folder in settings.catalogs]
    options += [f"--plugins={folder}" for folder in settings.plugins]
    log = home / LOG
    with log.open("ab") as stream:
        process = subprocess.Popen(
            [sys.executable, "-c", RUN, *options, "exact-prices", str(job)],
            stdin=subprocess.DEVNULL,
            stdout=stream,
            stderr=subprocess.STDOUT,
            # It outlives the terminal from which it was begun.
            start_new_session=True,
        )
    return process.pid, log
