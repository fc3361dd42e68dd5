"""A job's file made ready for questions, in one call: the way in for scripts and notebooks."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from configurator.files import job_files
from configurator.loading import plugin_files
from configurator.questions import answers

if TYPE_CHECKING:
    from collections.abc import Iterable

    from configurator.search.optimum.preparing import Prepared


def open_job(
    path: Path | str,
    *,
    catalogs: Iterable[Path | str] = (),
    plugins: Iterable[Path | str] = (),
    keep: bool = True,
) -> Prepared:
    """Return a job's case, ready for `find`, `options`, `why` and the other questions.

    Parameters
    ----------
    path
        The job's file.
    catalogs
        Folders with catalogs, looked into before those that come with Fitwright.
    plugins
        Folders with a shop's own plugins. Plugins are code: name only folders you trust.
    keep
        Whether what was made ready is kept on disk for the next time.

    Raises
    ------
    InputError
        With everything that is wrong with the job and with what it names.
    PluginError
        If a plugin or a rule fails.
    """
    trade = plugin_files.load([Path(folder) for folder in plugins]).trade
    case = job_files.read_case(Path(path), trade, [Path(folder) for folder in catalogs])
    return answers.ready(case, trade, keep=keep)
