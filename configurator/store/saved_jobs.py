"""Jobs, version after version: the second of two people is told, and nothing is written over."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import sqlalchemy as sa

from configurator.core.errors import FitwrightError
from configurator.store import schema
from configurator.store.addresses import StoreError
from configurator.store.connection import now, reading, user, writing
from configurator.store.job_differences import differences

if TYPE_CHECKING:
    from sqlalchemy.engine import Connection, Row

    from configurator.store.connection import Store


@dataclass(frozen=True, slots=True)
class KeptJob:
    """A version of a job.

    Parameters
    ----------
    id
        Of the job: the same for all its versions.
    version
        1 for the first.
    title
        As the job says.
    file
        The job as a TOML text, see `configurator.files.job_text.write_job`.
    saved_at
        UTC, ISO 8601.
    saved_by
        Who saved it.
    note
        Why, in the words of who saved it.
    """

    id: int
    version: int
    title: str
    file: str
    saved_at: str
    saved_by: str
    note: str = ""


class EditConflict(FitwrightError):
    """Somebody else has saved the job since; nothing was written.

    Parameters
    ----------
    theirs
        The version that was saved since.
    mine
        The job that was to be saved, as a TOML text.
    started_from
        The version that both started from.
    """

    def __init__(self, theirs: KeptJob, mine: str, started_from: KeptJob) -> None:
        self.theirs = theirs
        self.mine = mine
        self.started_from = started_from
        self.differences = tuple(differences(theirs.file, mine, "theirs", "yours"))
        differs = "; ".join(self.differences) or "nothing: both say the same"
        super().__init__(
            f"job {started_from.title!r}: {theirs.saved_by} has saved version {theirs.version} at "
            f"{theirs.saved_at}, after version {started_from.version} that you started from. "
            f"Different: {differs}. Nothing was written; "
            f"look at version {theirs.version} and start from it"
        )


def add_job(
    store: Store, title: str, file: str, *, by: str | None = None, note: str = ""
) -> KeptJob:
    """Save a new job, and return its first version.

    Parameters
    ----------
    store
        The database.
    title, file
        Of the job; the file as `configurator.files.job_text.write_job` writes it.
    by
        Who saves it; by default whoever is working.
    note
        Why, in the words of who saves it.
    """
    with writing(store.engine) as connection:
        return first_version(connection, title, file, by or user(), note)


def first_version(
    connection: Connection, title: str, file: str, by: str, note: str = ""
) -> KeptJob:
    """Save a new job within a transaction; see `add_job`."""
    made = connection.execute(sa.insert(schema.jobs).values(version=1))
    (number,) = made.inserted_primary_key or (None,)
    return _add_version(connection, KeptJob(int(number or 0), 1, title, file, now(), by, note))


def _add_version(connection: Connection, job: KeptJob) -> KeptJob:
    connection.execute(
        sa.insert(schema.job_versions).values(
            job=job.id,
            version=job.version,
            title=job.title,
            file=job.file,
            saved_at=job.saved_at,
            saved_by=job.saved_by,
            note=job.note,
        )
    )
    return job


def save_job(
    store: Store,
    job: int,
    version: int,
    title: str,
    file: str,
    *,
    by: str | None = None,
    note: str = "",
) -> KeptJob:
    """Save a job that was changed, as a new version.

    Parameters
    ----------
    store
        The database.
    job, version
        Which version of which job the change started from.
    title, file, by, note
        As for `add_job`.

    Raises
    ------
    EditConflict
        If somebody else has saved the job since; nothing is written.
    StoreError
        If there is no such job.
    """
    with writing(store.engine) as connection:
        return next_version(store, connection, job, version, title, file, by or user(), note)


def next_version(
    store: Store,
    connection: Connection,
    job: int,
    version: int,
    title: str,
    file: str,
    by: str,
    note: str = "",
) -> KeptJob:
    """Save another version within a transaction; see `save_job`."""
    # One statement asks and counts up, so that of two people only one can succeed.
    counted = connection.execute(
        sa.update(schema.jobs)
        .where(schema.jobs.c.id == job, schema.jobs.c.version == version)
        .values(version=version + 1)
    )
    if counted.rowcount == 1:
        return _add_version(connection, KeptJob(job, version + 1, title, file, now(), by, note))
    theirs = job_in(store, connection, job)
    raise EditConflict(theirs, file, job_in(store, connection, job, version))


def get_job(store: Store, job: int, version: int | None = None) -> KeptJob:
    """Find a version of a job, by default the newest.

    Raises
    ------
    StoreError
        If there is none.
    """
    with reading(store.engine) as connection:
        return job_in(store, connection, job, version)


def job_in(store: Store, connection: Connection, job: int, version: int | None = None) -> KeptJob:
    """Find a version within a transaction; see `get_job`."""
    table = schema.job_versions
    query = sa.select(table).where(table.c.job == job)
    if version is not None:
        query = query.where(table.c.version == version)
    row = connection.execute(query.order_by(table.c.version.desc()).limit(1)).one_or_none()
    if row is None:
        which = f"job {job}" if version is None else f"version {version} of job {job}"
        raise StoreError(store.place, f"there is no {which}", "look at the list: fitwright saved")
    return _job(row)


def _job(row: Row[Any]) -> KeptJob:
    return KeptJob(row.job, row.version, row.title, row.file, row.saved_at, row.saved_by, row.note)


def list_jobs(store: Store) -> list[KeptJob]:
    """List the newest version of every job, the one that was saved last first."""
    table, newest = schema.job_versions, schema.jobs
    both = sa.and_(newest.c.id == table.c.job, newest.c.version == table.c.version)
    query = sa.select(table).join_from(table, newest, both)
    with reading(store.engine) as connection:
        rows = connection.execute(query.order_by(table.c.saved_at.desc(), table.c.job.desc()))
        return [_job(row) for row in rows]


def list_versions(store: Store, job: int) -> list[KeptJob]:
    """List all versions of a job, the newest first; none if there is no such job."""
    table = schema.job_versions
    query = sa.select(table).where(table.c.job == job).order_by(table.c.version.desc())
    with reading(store.engine) as connection:
        return [_job(row) for row in connection.execute(query)]


def delete_job(store: Store, job: int) -> None:
    """Delete a job with all its versions, quotations and measurements.

    Raises
    ------
    StoreError
        If there is none.
    """
    with writing(store.engine) as connection:
        gone = connection.execute(sa.delete(schema.jobs).where(schema.jobs.c.id == job))
        if gone.rowcount != 1:
            what = f"there is no job {job}"
            raise StoreError(store.place, what, "look at the list: fitwright saved")
    if store.engine.dialect.name == "sqlite":
        # What was deleted is overwritten; the file beside the database still holds it until it is
        # emptied. Somebody who is reading can keep that for later.
        with store.engine.connect() as connection:
            raw = connection.connection.driver_connection
            if raw is not None:
                raw.execute("PRAGMA wal_checkpoint(TRUNCATE)")
