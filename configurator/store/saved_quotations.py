"""Quotations as they were given, each with a number of its own."""

from __future__ import annotations

import json
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any, TypedDict

import sqlalchemy as sa

from configurator.core import clock
from configurator.core.errors import nearest
from configurator.store import schema
from configurator.store.addresses import StoreError
from configurator.store.connection import reading, user, writing
from configurator.store.json_records import loaded, strict_converter, structured
from configurator.store.saved_jobs import EditConflict, KeptJob, first_version, job_in, next_version

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from sqlalchemy.engine import Connection, Row

    from configurator.store.connection import Store


@dataclass(frozen=True, slots=True)
class KeptQuotation:
    """A quotation as it was given.

    Parameters
    ----------
    number
        Given once: ``"2026-0001"``.
    job, version
        Which version of which job it answers.
    title
        Of that version of the job.
    made_at, made_by
        When (UTC, ISO 8601) and by whom.
    price
        For one vehicle [minor units].
    currency
        Of the price.
    anew_of
        Number of the quotation that this one prices anew; None for a first one.
    snapshot
        See `configurator.store.snapshot`; empty in a list. What the choices force is in it also
        where that was added later.
    customer
        The customer's reference.
    valid_until
        Last day on which its prices hold (ISO 8601); None where it was not kept.
    papers
        See `configurator.store.saved_documents`; None in a list, and where none were kept.
    reasons
        Why one part needs another, for the paper, where that was added later.
    certainty
        What certainty would cost, for the paper, likewise.
    """

    number: str
    job: int
    version: int
    title: str
    made_at: str
    made_by: str
    price: int
    currency: str
    anew_of: str | None
    snapshot: Mapping[str, Any]
    customer: str = ""
    valid_until: str | None = None
    papers: Mapping[str, Any] | None = None
    reasons: tuple[str, ...] | None = None
    certainty: tuple[str, ...] | None = None


@dataclass(frozen=True, slots=True)
class Terms:
    """What a quotation says beside its snapshot: see `KeptQuotation`."""

    customer: str = ""
    valid_until: str | None = None
    papers: Mapping[str, Any] | None = None


NO_TERMS = Terms()


def keep_quotation(
    store: Store,
    title: str,
    file: str,
    snapshot: Mapping[str, Any],
    *,
    price: int,
    currency: str,
    started_from: KeptQuotation | KeptJob | None = None,
    by: str | None = None,
    note: str = "",
    terms: Terms = NO_TERMS,
) -> KeptQuotation:
    """Save a job with a quotation, both or none, and give the quotation its number.

    Parameters
    ----------
    store
        The database.
    title, file
        Of the job, as for `add_job`.
    snapshot
        The quotation, see `configurator.store.snapshot`.
    price, currency
        Of the quotation, for one vehicle [minor units].
    started_from
        The job that was worked on, or a quotation of it: the job becomes its next version, unless
        it says what the newest version says. None for a new job.
    by
        Who saves it; by default whoever is working.
    note
        Of the version, where one is made.
    terms
        What else the quotation says.

    Raises
    ------
    EditConflict
        If somebody else has saved the job since; nothing is written.
    """
    who = by or user()
    with writing(store.engine) as connection:
        if started_from is None:
            job = first_version(connection, title, file, who, note)
        else:
            job = job_in(store, connection, _job_of(started_from))
            if job.file != file:
                job = next_version(
                    store, connection, job.id, started_from.version, title, file, who, note
                )
        return _add_quotation(connection, job, snapshot, price, currency, None, who, terms)


def _job_of(started_from: KeptQuotation | KeptJob) -> int:
    return started_from.id if isinstance(started_from, KeptJob) else started_from.job


def check_start(store: Store, started_from: KeptQuotation | KeptJob, file: str) -> None:
    """Ask whether a job could be saved now, before long work on it.

    Raises
    ------
    EditConflict
        As `keep_quotation` would.
    """
    with reading(store.engine) as connection:
        job = _job_of(started_from)
        newest = job_in(store, connection, job)
        if newest.file != file and newest.version != started_from.version:
            start = job_in(store, connection, job, started_from.version)
            raise EditConflict(newest, file, start)


def keep_anew(
    store: Store,
    old: KeptQuotation,
    snapshot: Mapping[str, Any],
    *,
    price: int,
    currency: str,
    by: str | None = None,
    terms: Terms = NO_TERMS,
) -> KeptQuotation:
    """Save a quotation that prices another anew, beside it; see `keep_quotation`."""
    with writing(store.engine) as connection:
        job = job_in(store, connection, old.job, old.version)
        who = by or user()
        return _add_quotation(connection, job, snapshot, price, currency, old.number, who, terms)


def _add_quotation(
    connection: Connection,
    job: KeptJob,
    snapshot: Mapping[str, Any],
    price: int,
    currency: str,
    anew_of: str | None,
    by: str,
    terms: Terms,
) -> KeptQuotation:
    moment = clock.now()
    number = _next_number(connection, moment.year)
    made = KeptQuotation(
        number,
        job.id,
        job.version,
        job.title,
        clock.utc(moment),
        by,
        price,
        currency,
        anew_of,
        snapshot,
        terms.customer,
        terms.valid_until,
        terms.papers,
    )
    connection.execute(
        sa.insert(schema.quotations).values(
            number=number,
            job=job.id,
            version=job.version,
            made_at=made.made_at,
            made_by=by,
            price=price,
            currency=currency,
            anew_of=anew_of,
            snapshot=_json(snapshot),
            customer=terms.customer,
            valid_until=terms.valid_until,
            papers=None if terms.papers is None else _json(terms.papers),
        )
    )
    return made


def _json(record: Mapping[str, Any]) -> str:
    return json.dumps(record, ensure_ascii=False, allow_nan=False)


def add_forced(
    store: Store,
    number: str,
    forced: Mapping[str, Any],
    reasons: Sequence[str],
    certainty: Sequence[str] | None = None,
) -> bool:
    """Add what the choices of a quotation force, worked out after it was given.

    Parameters
    ----------
    store
        The database.
    number
        Of the quotation.
    forced
        See `configurator.consequences.upgrade_words.forced_record`.
    reasons
        The same for the paper, line by line.
    certainty
        What certainty would cost, for the paper; None where it was not worked out afterwards.

    Returns
    -------
    bool
        Whether it was added; what is there already stays.
    """
    table = schema.quotations
    with writing(store.engine) as connection:
        row = connection.execute(
            sa.select(table.c.snapshot, table.c.forced).where(table.c.number == number)
        ).one_or_none()
        if row is None:
            raise StoreError(
                store.place, f"there is no quotation {number!r}", "it was deleted meanwhile"
            )
        if row.forced is not None or json.loads(row.snapshot).get("forced") is not None:
            return False
        costs = None if certainty is None else list(certainty)
        text = _json({"record": dict(forced), "reasons": list(reasons), "certainty": costs})
        connection.execute(
            sa.update(table)
            .where(table.c.number == number, table.c.forced.is_(None))
            .values(forced=text)
        )
    return True


def _next_number(connection: Connection, year: int) -> str:
    """Count up the numbers of a year; who comes second waits until the first has saved."""
    if connection.dialect.name == "postgresql":
        from sqlalchemy.dialects.postgresql import insert
    else:
        from sqlalchemy.dialects.sqlite import insert  # type: ignore[assignment]
    table = schema.numbers
    counted = (
        insert(table)
        .values(year=year, last=1)
        .on_conflict_do_update(index_elements=[table.c.year], set_={"last": table.c.last + 1})
        .returning(table.c.last)
    )
    return f"{year}-{connection.execute(counted).scalar_one():04d}"


class _Later(TypedDict):
    """What the choices of a quotation force, where it was worked out afterwards."""

    record: dict[str, Any]
    reasons: list[str]
    certainty: list[str] | None


# Not read for a list.
_LARGE = ("snapshot", "papers", "forced")


def _quotations(*more: Any) -> Any:
    versions, table = schema.job_versions, schema.quotations
    both = sa.and_(versions.c.job == table.c.job, versions.c.version == table.c.version)
    columns = [column for column in table.c if column.name not in _LARGE]
    return sa.select(*columns, versions.c.title, *more).join_from(table, versions, both)


def _quotation(row: Row[Any], snapshot: Mapping[str, Any]) -> KeptQuotation:
    return KeptQuotation(
        row.number,
        row.job,
        row.version,
        row.title,
        row.made_at,
        row.made_by,
        row.price,
        row.currency,
        row.anew_of,
        snapshot,
        row.customer,
        row.valid_until,
    )


def list_quotations(store: Store) -> list[KeptQuotation]:
    """List all quotations, the newest first, without their snapshots."""
    with reading(store.engine) as connection:
        rows = connection.execute(_quotations().order_by(schema.quotations.c.id.desc()))
        return [_quotation(row, {}) for row in rows]


def get_quotation(store: Store, number: str) -> KeptQuotation:
    """Find a quotation by its number.

    Raises
    ------
    StoreError
        If there is none.
    FitwrightError
        If it is damaged.
    """
    column = schema.quotations.c.number
    with reading(store.engine) as connection:
        query = _quotations(*(schema.quotations.c[item] for item in _LARGE)).where(column == number)
        row = connection.execute(query).one_or_none()
        if row is None:
            known = connection.execute(sa.select(column)).scalars().all()
            do = nearest(number, known, otherwise="look at the list: fitwright saved")
            raise StoreError(store.place, f"there is no quotation {number!r}", do)
    what = f"quotation {number}: its record is damaged"
    quotation = _quotation(row, loaded(row.snapshot, what))
    if row.papers is not None:
        quotation = replace(quotation, papers=loaded(row.papers, what))
    if row.forced is not None:
        # Those that were saved before it was added say nothing of what certainty costs.
        record = {"certainty": None, **loaded(row.forced, what)}
        later = structured(record, _Later, what, strict_converter())
        with_it = {**quotation.snapshot, "forced": later["record"]}
        costs = later["certainty"]
        quotation = replace(
            quotation,
            snapshot=with_it,
            reasons=tuple(later["reasons"]),
            certainty=None if costs is None else tuple(costs),
        )
    return quotation
