"""Copy the database while it is in use, and put a copy in its place.

Both go through SQLite's online backup interface: a copy is the database at one moment, whoever is
writing meanwhile, and putting one back is a single transaction, which is there whole or not at all.
So no file beside the database, such as one that a crash has left, can come back over what was
restored. A server has backups of its own.
"""

from __future__ import annotations

import contextlib
import itertools
import sqlite3
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from configurator.core import clock, paths
from configurator.core.atomic_files import atomic_path
from configurator.store.addresses import StoreError, address, files_of, shown
from configurator.store.connection import VERSION_TABLE, known_revisions, open_store

if TYPE_CHECKING:
    from collections.abc import Iterator

    from sqlalchemy.engine import URL

_STAY_GIVEN = (
    "INSERT INTO numbers (year, last) VALUES (?, ?) "
    "ON CONFLICT (year) DO UPDATE SET last = max(last, excluded.last)"
)
# Somebody who writes is waited for so long [s].
_PATIENCE = 30


@dataclass(frozen=True, slots=True)
class BackupContent:
    """What is in a database.

    Parameters
    ----------
    jobs, quotations
        How many there are.
    newest
        When the newest quotation was given (UTC, ISO 8601); empty without one.
    last
        The last number that was given to a quotation; empty without one.
    """

    jobs: int
    quotations: int
    newest: str
    last: str


@dataclass(frozen=True, slots=True)
class Restored:
    """What was put back.

    Parameters
    ----------
    content
        What the database holds now.
    before
        Copies of what it held before; empty if there was nothing.
    whole
        Whether what it held before was sound: a damaged one is kept as its files were.
    """

    content: BackupContent
    before: tuple[Path, ...]
    whole: bool


def back_up(file: Path, database: str | None = None) -> BackupContent:
    """Write the database as it is at this moment into one file.

    Parameters
    ----------
    file
        That is not there yet; its owner alone may read it.
    database
        Its address, see `configurator.store.addresses.address`.

    Raises
    ------
    StoreError
        If there is no database in a file, or it is damaged.
    InputError
        If the file is there already, or cannot be written.
    """
    url = _in_a_file(database)
    source = Path(url.database or "")
    if not source.exists():
        raise StoreError(shown(url), "there is nothing to back up", "nothing was saved there yet")
    with (
        atomic_path(file, private=True, overwrite=False) as beside,
        _opened(source, url) as original,
        _opened(beside, url) as copy,
    ):
        original.backup(copy)
        content = _checked(copy, url)
        copy.execute("PRAGMA journal_mode = DELETE")  # one file, with nothing beside it
    return content


def restore(file: Path, database: str | None = None) -> Restored:
    """Put a copy in the place of the database, in one step, also while it is in use.

    What it held before is copied beside it first. Numbers of quotations that were given since the
    copy was made stay given.

    Parameters
    ----------
    file
        From `back_up`.
    database
        Its address, see `configurator.store.addresses.address`.

    Raises
    ------
    StoreError
        If the file is no such copy, or a newer Fitwright has written it, or the database cannot be
        written; nothing was changed then.
    """
    url = _in_a_file(database)
    target = Path(url.database or "")
    if not file.is_file():
        raise StoreError(str(file), "is not there", "name a file that fitwright backup has written")
    if target.exists() and file.samefile(target):
        raise StoreError(str(file), "is the database itself", "name a copy of it")
    with _opened(file, url, read_only=True) as copy:
        _checked(copy, url, str(file))
        paths.make_private(target.parent)
        before, whole = _set_aside(url)
        if not target.exists():
            target.touch(0o600)
        with contextlib.closing(sqlite3.connect("")) as made, _opened(target, url) as live:
            copy.backup(made)
            if whole and before:
                with _opened(before[0], url, read_only=True) as old:
                    given = old.execute("SELECT year, last FROM numbers").fetchall()
                made.executemany(_STAY_GIVEN, given)
                made.commit()
            content = _checked(made, url)
            made.backup(live)
            live.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    open_store(database).close()  # brings its tables up to date
    return Restored(content, before, whole)


def _in_a_file(database: str | None) -> URL:
    url = address(database)
    if url.get_backend_name() != "sqlite":
        what = "this database is on a server, which has backups of its own"
        raise StoreError(shown(url), what, "use pg_dump and pg_restore there")
    return url


@contextlib.contextmanager
def _opened(path: Path, url: URL, *, read_only: bool = False) -> Iterator[sqlite3.Connection]:
    where = shown(url) if path == Path(url.database or "") else str(path)
    name = f"{path.absolute().as_uri()}{'?mode=ro' if read_only else ''}"
    try:
        connection = sqlite3.connect(name, timeout=_PATIENCE, uri=True, isolation_level=None)
        try:
            yield connection
        finally:
            connection.close()
    except sqlite3.Error as problem:
        what = f"it cannot be copied ({problem}); nothing was changed"
        raise StoreError(where, what, "check the file, its folder and the disk") from None


def _checked(connection: sqlite3.Connection, url: URL, where: str = "") -> BackupContent:
    """Look through a copy: whether it is sound, ours, and not of a newer release."""
    where = where or shown(url)
    try:
        verdict = connection.execute("PRAGMA integrity_check(1)").fetchone()[0]
        if verdict != "ok":
            raise sqlite3.DatabaseError(verdict)
    except sqlite3.DatabaseError as problem:
        what = f"is damaged, or is no database ({problem}); nothing was changed"
        raise StoreError(where, what, "take an earlier backup") from None
    try:
        revision = connection.execute(f"SELECT version_num FROM {VERSION_TABLE}").fetchone()[0]
        jobs, quotations = (
            connection.execute(f"SELECT count(*) FROM {table}").fetchone()[0]
            for table in ("jobs", "quotations")
        )
        newest = connection.execute("SELECT max(made_at) FROM quotations").fetchone()[0]
        counted = connection.execute("SELECT year, last FROM numbers ORDER BY year DESC").fetchone()
    except (sqlite3.DatabaseError, TypeError):
        what = "holds nothing that Fitwright has saved; nothing was changed"
        raise StoreError(where, what, "name a file that fitwright backup has written") from None
    if revision not in known_revisions():
        what = f"a newer Fitwright has written it (tables {revision}); nothing was changed"
        raise StoreError(where, what, "install the newest release")
    last = f"{counted[0]}-{counted[1]:04d}" if counted else ""
    return BackupContent(jobs, quotations, newest or "", last)


def _set_aside(url: URL) -> tuple[tuple[Path, ...], bool]:
    """Copy what the database holds; a damaged one is moved away as it is, with its other files."""
    target = Path(url.database or "")
    there = [file for file in files_of(url) if file.exists()]
    if not there:
        return (), True
    moment = clock.now().strftime("%Y-%m-%d-%H%M%S")
    names = (f"{target.stem}-before-{moment}{more}{target.suffix}" for more in _more())
    kept = next(path for name in names if not (path := target.with_name(name)).exists())
    try:
        back_up(kept, str(url))
    except StoreError:
        moved = [kept.with_name(kept.name + file.name[len(target.name) :]) for file in there]
        for file, name in zip(there, moved, strict=True):
            file.rename(name)
        return tuple(moved), False
    return (kept,), True


def _more() -> Iterator[str]:
    """Tell names of one second apart."""
    yield ""
    yield from (f"-{number}" for number in itertools.count(2))
