"""What is made once for all visitors of the page: plugins, and cases ready to be asked."""

from __future__ import annotations

import contextlib
import gc
import os
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

import streamlit as st

from configurator.core import paths
from configurator.files import job_files
from configurator.loading import plugin_files
from configurator.questions.case_cache import Shelf
from configurator.questions.session import Session
from configurator.ui.sweeping import sweep_when_still

if TYPE_CHECKING:
    from collections.abc import Mapping

    from configurator.loading.plugin_files import Loaded
    from configurator.model.jobs import Case, Job
    from configurator.model.knowledge import Trade

CATALOGS = "FITWRIGHT_CATALOGS"


@dataclass(frozen=True, slots=True, weakref_slot=True)
class OwnList:
    """A list that one visitor has uploaded, and uses.

    Parameters
    ----------
    what
        Name of the file.
    catalog
        In place of whose list it is used.
    home
        Folder with the catalog as it then is; deleted with the visit.
    shop
        What everybody else uses.
    """

    what: str
    catalog: str
    home: Path
    shop: Library


@dataclass(frozen=True, slots=True)
class Library:
    """Plugins as loaded, folders of catalogs, and the cases made of them.

    With a visitor's ``own`` list, cases are made with it; ``folders`` are the shop's all the same,
    since what is held against today's prices is held against the shop's. ``files`` are those of the
    catalogs as they were then: name → time and size.
    """

    loaded: Loaded
    folders: tuple[Path, ...]
    shelf: Shelf = field(default_factory=Shelf)
    own: OwnList | None = None
    files: Mapping[str, tuple[int, int]] | None = field(default=None, compare=False)
    # What the opening screen shows of each vehicle: worked out once.
    kept: dict[str, Any] = field(default_factory=dict, compare=False, repr=False)

    @property
    def trade(self) -> Trade:
        """What the plugins declare."""
        return self.loaded.trade

    def open_case(self, job: Job) -> Case:
        """Read what a job names; paths are refused, a page opens catalogs by name only."""
        if self.own is None:
            return job_files.case_of(job, self.trade, self.folders)
        case = job_files.case_of(job, self.trade, (self.own.home, *self.folders))
        problem = (
            f"{self.own.what} is a list uploaded for one visit, not the shop's own: its prices "
            "are of an unknown day"
        )
        return replace(
            case,
            catalogs=tuple(
                replace(catalog, remarks=(*catalog.remarks, problem))
                if catalog.key == self.own.catalog
                else catalog
                for catalog in case.catalogs
            ),
        )


@st.cache_resource(show_spinner=False)
def library() -> Library:
    """Load plugins once; `reload` does it again."""
    named = os.environ.get(CATALOGS, "").split(os.pathsep)
    # Where nobody names a folder, what is taken over on the page has a place all the same.
    folders = tuple(Path(folder) for folder in named if folder) or (paths.own_catalogs(),)
    files = _files(folders)
    return Library(plugin_files.load(), folders, files=files)


def reload() -> None:
    """Forget what was loaded, so that the next look reads files anew."""
    library.clear()


def changed_since(shelves: Library) -> list[str]:
    """Name the files of catalogs that are not as they were when they were read.

    Parameters
    ----------
    shelves
        Of a visit; what a visitor has uploaded does not change.

    Returns
    -------
    list of str
        ``"demo/tyres.csv"``; those that were deleted since too.
    """
    before = (shelves.own.shop if shelves.own is not None else shelves).files
    if before is None:  # nobody looked
        return []
    now = _files(shelves.folders)
    return sorted(name for name in {*before, *now} if before.get(name) != now.get(name))


def _files(folders: tuple[Path, ...]) -> dict[str, tuple[int, int]]:
    """Return time and size of everything that a case is read from."""
    states: dict[str, tuple[int, int]] = {}
    for folder in _catalogs(folders):
        for pattern in ("*.csv", "*.toml", "vehicles/*.toml", "local/*.toml"):
            for path in folder.glob(pattern):
                with contextlib.suppress(OSError):
                    state = path.stat()
                    name = f"{folder.name}/{path.relative_to(folder).as_posix()}"
                    states[name] = (state.st_mtime_ns, state.st_size)
    return states


def session_for(job: Job, shelves: Library) -> Session:
    """Begin to talk about a job; of a visitor's own list nothing is kept for later."""
    keep = shelves.own is None
    return Session(job, shelves.trade, shelves.open_case, shelves.shelf, keep=keep)


def prepare_first(talk: Session) -> None:
    """Prepare what tells the job's cheapest package, and ask for it."""
    talk.prepare_first()
    talk.cheapest()
    _spare(talk)


def prepare(talk: Session) -> None:
    """Prepare all that the job is asked."""
    talk.prepare()
    _spare(talk)


def prepare_whole(talk: Session) -> None:
    """Prepare what was put off of it."""
    talk.prepare_whole()
    _spare(talk)


def _spare(talk: Session) -> None:
    """Spare the garbage collector from looking at a case ever again.

    Streamlit collects after every run of the page, and a case is millions of objects that stay:
    unfrozen, they double the time of a click. What was dropped for it is collected when nobody
    clicks: that takes as long as three clicks.
    """
    gc.freeze()
    if talk.is_ready:
        sweep_when_still()


def catalog_folders(shelves: Library) -> list[Path]:
    """List the catalogs that a job can name."""
    return _catalogs(shelves.folders)


def _catalogs(folders: tuple[Path, ...]) -> list[Path]:
    by_name: dict[str, Path] = {}
    for home in (*folders, paths.catalogs()):
        for about in sorted(home.glob("*/catalog.toml")):
            by_name.setdefault(about.parent.name, about.parent)
    return list(by_name.values())


def ready_jobs(shelves: Library) -> dict[str, Path]:
    """Name → file of the jobs that come with the catalogs."""
    return {
        f"{folder.name}/{path.stem}": path
        for folder in catalog_folders(shelves)
        for path in sorted(folder.glob("jobs/*.toml"))
    }
