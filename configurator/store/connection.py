"""Open the database of what a workshop keeps, and bring its tables up to date.

A file in the user's data folder by default; a PostgreSQL server by its address, so that several
people can work on the same jobs.
"""

from __future__ import annotations

import contextlib
import getpass
import os
import sqlite3
import time
from pathlib import Path
from typing import TYPE_CHECKING, Any

import sqlalchemy as sa
from sqlalchemy import event

from configurator.core import clock, paths
from configurator.store.addresses import StoreError, address, database_errors, shown

if TYPE_CHECKING:
    from collections.abc import Iterator

    from sqlalchemy.engine import URL, Connection, Engine

USER = "FITWRIGHT_USER"
VERSION_TABLE = "fitwright_schema"
# Any number will do, so long as everybody who changes the tables takes the same [PostgreSQL].
_LOCK = 0x46495457
# How long to wait for somebody else who is writing [s].
_PATIENCE = 30


class Store:
    """An open database; close it, or use it in a ``with`` statement."""

    def __init__(self, engine: Engine, url: URL) -> None:
        self.engine = engine
        self.place = shown(url)

    def __enter__(self) -> Store:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    def close(self) -> None:
        """Close all connections."""
        self.engine.dispose()


def open_store(database: str | None = None) -> Store:
    """Open the database; make it, or bring it up to date, where needed.

    Parameters
    ----------
    database
        Its address, see `configurator.store.addresses.address`.

    Raises
    ------
    StoreError
        If it cannot be used.
    """
    url = address(database)
    return Store(open_engine(url), url)


def user() -> str:
    """Return who is working: ``FITWRIGHT_USER``, without it the name on this computer."""
    named = os.environ.get(USER, "").strip()
    if named:
        return named
    try:
        return getpass.getuser()
    except (OSError, KeyError):  # an account without a name
        return "unknown"


def now() -> str:
    """Return this moment in UTC (ISO 8601)."""
    return clock.utc(clock.now())


def open_engine(url: URL) -> Engine:
    """Open a database and bring its tables up to date.

    Raises
    ------
    StoreError
        If that cannot be done, or a newer Fitwright has written it.
    """
    with database_errors(url):
        engine = _engine(url)
        try:
            _bring_up_to_date(engine, url)
        except BaseException:
            engine.dispose()
            raise
    return engine


def _engine(url: URL) -> Engine:
    if url.get_backend_name() == "sqlite":
        file = Path(url.database or "")
        paths.make_private(file.parent)
        if not file.exists():
            # What customers want is nobody else's business on a computer that several people use.
            file.touch(mode=0o600)
        engine = sa.create_engine(url, hide_parameters=True, connect_args={"timeout": _PATIENCE})
        event.listen(engine, "connect", _set_up_sqlite)
        event.listen(engine, "begin", _begin_sqlite)
        return engine
    engine = sa.create_engine(
        url,
        hide_parameters=True,
        pool_pre_ping=True,
        # However the server is set: who counts up a version second waits, and then sees the first.
        isolation_level="READ COMMITTED",
        connect_args={"connect_timeout": 10},
    )
    event.listen(engine, "connect", _set_up_postgresql)
    return engine


def _set_up_sqlite(connection: Any, _record: Any) -> None:
    # SQLAlchemy begins transactions itself (see _begin_sqlite): Python's module would begin none
    # before a table is changed.
    connection.isolation_level = None
    try:
        connection.execute(f"PRAGMA busy_timeout = {_PATIENCE * 1000}")
        _write_ahead(connection)
        for pragma in (
            "synchronous = FULL",
            "foreign_keys = ON",
            "secure_delete = ON",
        ):
            connection.execute(f"PRAGMA {pragma}")
    except BaseException:
        connection.close()
        raise


def _write_ahead(connection: Any) -> None:
    # The one step for which SQLite does not wait by itself while others open the same new file.
    patient_until = time.monotonic() + _PATIENCE
    while True:
        try:
            connection.execute("PRAGMA journal_mode = WAL")
        except sqlite3.OperationalError as problem:
            if "locked" not in str(problem) or time.monotonic() > patient_until:
                raise
            time.sleep(0.02)
        else:
            return


def _begin_sqlite(connection: Connection) -> None:
    writes = connection.get_execution_options().get("writes", False)
    # A writer waits for its turn at the start: a reader that becomes one could only fail.
    connection.exec_driver_sql("BEGIN IMMEDIATE" if writes else "BEGIN")


def _set_up_postgresql(connection: Any, _record: Any) -> None:
    # What was confirmed is on the disk, however the server is set.
    connection.execute("SET synchronous_commit TO on")
    connection.commit()


@contextlib.contextmanager
def reading(engine: Engine) -> Iterator[Connection]:
    """Open a transaction that only reads.

    Raises
    ------
    StoreError
        As `configurator.store.addresses.database_errors` does.
    """
    with database_errors(engine.url), engine.connect() as connection, connection.begin():
        yield connection


@contextlib.contextmanager
def writing(engine: Engine) -> Iterator[Connection]:
    """Open a transaction that writes: when it ends without error, it is on the disk.

    Raises
    ------
    StoreError
        As `configurator.store.addresses.database_errors` does.
    """
    with database_errors(engine.url), engine.connect() as connection:
        connection = connection.execution_options(writes=True)
        with connection.begin():
            yield connection


# -- tables -------------------------------------------------------------------------------------


def _bring_up_to_date(engine: Engine, url: URL) -> None:
    with reading(engine) as connection:
        if _revision(connection) == _script().get_current_head():
            return
    with writing(engine) as connection:
        if engine.dialect.name == "postgresql":
            connection.execute(sa.select(sa.func.pg_advisory_xact_lock(_LOCK)))
        present = _revision(connection)  # somebody may have been faster
        if present is None:
            _refuse_foreign(connection, url)
        elif present not in known_revisions():
            raise StoreError(
                shown(url),
                f"a newer Fitwright has written it (tables {present}, this one knows "
                f"{_script().get_current_head()})",
                "install the newest release; nothing was changed",
            )
        _upgrade(connection)


def _revision(connection: Connection) -> str | None:
    if not sa.inspect(connection).has_table(VERSION_TABLE):
        return None
    table = sa.table(VERSION_TABLE, sa.column("version_num"))
    scalar: str | None = connection.execute(sa.select(table.c.version_num)).scalar()
    return scalar


def known_revisions() -> frozenset[str]:
    """Name the states of the tables that this release can bring up to date."""
    return frozenset(revision.revision for revision in _script().walk_revisions())


def _refuse_foreign(connection: Connection, url: URL) -> None:
    others = sa.inspect(connection).get_table_names()
    if others:
        raise StoreError(
            shown(url),
            f"this database holds something else (table {sorted(others)[0]!r})",
            "name an empty database; nothing was changed",
        )


def _config() -> Any:
    from alembic.config import Config

    config = Config()
    folder = str(Path(__file__).parent / "migrations")
    config.set_main_option("script_location", folder.replace("%", "%%"))
    config.set_main_option("path_separator", "os")
    config.attributes["version_table"] = VERSION_TABLE
    return config


def _script() -> Any:
    from alembic.script import ScriptDirectory

    return ScriptDirectory.from_config(_config())


def _upgrade(connection: Connection) -> None:
    from alembic import command

    config = _config()
    config.attributes["connection"] = connection
    command.upgrade(config, "head")
