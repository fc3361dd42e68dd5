"""Where things are: what comes with Fitwright, and what a workshop keeps.

What comes with Fitwright has two homes. In a checkout, ``plugins``, ``catalogs`` and ``app.py``
stand beside the package, where people read and change them; a wheel carries copies inside the
package, in ``_bundled``. No other module knows that there are two.
"""

from __future__ import annotations

import os
import stat
from pathlib import Path

from platformdirs import user_data_path

from configurator.core.errors import FitwrightError

_PACKAGE = Path(__file__).resolve().parents[1]


def _home(package: Path) -> Path:
    """Find the folder that holds what comes with the package.

    The wheel's home is looked for first: what stands beside an installed package belongs to
    other packages, whatever it is called.
    """
    bundled = package / "_bundled"
    return bundled if bundled.is_dir() else package.parent


def _existing(name: str) -> Path:
    path = _home(_PACKAGE) / name
    if not path.exists():
        message = f"{path} is missing: this installation is incomplete; install Fitwright again"
        raise FitwrightError(message)
    return path


def package() -> Path:
    """Say where the modules of Fitwright itself are."""
    return _PACKAGE


def catalogs() -> Path:
    """Find the folder of the catalogs that come with Fitwright.

    Raises
    ------
    FitwrightError
        If it is not there.

    Examples
    --------
    >>> catalogs().name
    'catalogs'
    """
    return _existing("catalogs")


def plugins() -> Path:
    """Find the folder of the plugins that come with Fitwright.

    Raises
    ------
    FitwrightError
        If it is not there.

    Examples
    --------
    >>> plugins().name
    'plugins'
    """
    return _existing("plugins")


def app() -> Path:
    """Find the script that Streamlit runs; Streamlit reads its settings from beside it.

    Raises
    ------
    FitwrightError
        If it is not there.

    Examples
    --------
    >>> app().name
    'app.py'
    """
    return _existing("app.py")


def make_private(folder: Path) -> None:
    """Make a folder for the workshop's own data, which its owner alone may look into.

    One that is there stays as it is: whoever shares it has decided so.

    Raises
    ------
    OSError
        If it cannot be made.
    """
    missing = [parent for parent in (folder, *folder.parents) if not parent.exists()]
    for parent in reversed(missing):
        parent.mkdir(mode=0o700, exist_ok=True)


def user_folder() -> Path:
    """Say where the workshop's own data are kept: jobs, catalogs, the store.

    The environment variable ``FITWRIGHT_DATA`` decides; without it, the place that the
    operating system provides for a program's data (XDG, AppData, Application Support). The
    folder need not exist: looking must leave nothing behind, so whoever writes first makes it.

    Returns
    -------
    pathlib.Path
        Absolute.
    """
    chosen = os.environ.get("FITWRIGHT_DATA", "")
    if chosen:
        return Path(chosen).expanduser().absolute()
    return user_data_path("fitwright", appauthor=False)


def own_catalogs() -> Path:
    """Say where a shop's own catalogs are kept that nobody named a folder for."""
    return user_folder() / "catalogs"


def why_no_file(path: Path) -> str:
    """Say why a path is no file that can be read; empty if it may be one.

    A pipe is opened for ever where nobody writes into it.
    """
    try:
        mode = path.stat().st_mode
    except (OSError, ValueError):
        return ""  # opening it says more
    if stat.S_ISREG(mode):
        return ""
    return "it is a folder, no file" if stat.S_ISDIR(mode) else "it is a pipe or a device, no file"
