"""What was measured on the vehicles of jobs, and vehicles corrected by it."""

from __future__ import annotations

import datetime
import json
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Literal

import sqlalchemy as sa

from configurator.core import clock
from configurator.store import schema
from configurator.store.connection import reading, user, writing
from configurator.store.json_records import damaged, loaded, plain_value
from configurator.store.saved_jobs import job_in

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from configurator.model.jobs import Job
    from configurator.model.knowledge import Trade
    from configurator.model.parts import Value
    from configurator.store.connection import Store

Stage = Literal["as it stands", "as built"]


@dataclass(frozen=True, slots=True)
class Measurement:
    """What was measured on the vehicle of a job.

    Parameters
    ----------
    id, job
        Of the measurement and of its job.
    stage
        ``"as it stands"``: before the work, corrects the vehicle; ``"as built"``: after it.
    quotation
        Number of the quotation that was built; None if that was not said.
    measured_at, measured_by
        When (UTC, ISO 8601) and by whom.
    note
        In the fitter's words.
    values
        Name of a measure or figure → value in SI.
    """

    id: int
    job: int
    stage: Stage
    quotation: str | None
    measured_at: str
    measured_by: str
    note: str
    values: Mapping[str, Value]


def add_measurement(
    store: Store,
    job: int,
    values: Mapping[str, Value],
    *,
    stage: Stage = "as it stands",
    quotation: str | None = None,
    note: str = "",
    at: datetime.datetime | None = None,
    by: str | None = None,
) -> Measurement:
    """Save what was measured on the vehicle of a job; earlier measurements stay as they are.

    Parameters
    ----------
    store
        The database.
    job
        Its ``id``: see `KeptJob`, or ``job`` of a `KeptQuotation`.
    values
        Name of a measure or figure → value in SI; number, text, yes or no, or a set of codes.
    stage
        ``"as it stands"`` before the work, ``"as built"`` after it.
    quotation
        Number of the quotation that was built, where that is known.
    note
        In the fitter's words.
    at
        When, with a time zone; now by default.
    by
        Who; by default whoever is working.

    Raises
    ------
    StoreError
        If there is no such job.
    ValueError
        If a time without a time zone is given, or a number that is not finite.
    """
    when = clock.utc(at or clock.now())
    who = by or user()
    plain = {
        name: sorted(value) if isinstance(value, frozenset) else value
        for name, value in values.items()
    }
    text = json.dumps(plain, ensure_ascii=False, allow_nan=False)
    with writing(store.engine) as connection:
        job_in(store, connection, job)
        made = connection.execute(
            sa.insert(schema.measurements).values(
                job=job,
                stage=stage,
                quotation=quotation,
                measured_at=when,
                measured_by=who,
                note=note,
                figures=text,
            )
        )
        (number,) = made.inserted_primary_key or (None,)
    return Measurement(int(number or 0), job, stage, quotation, when, who, note, dict(values))


def measurements(store: Store, job: int, stage: Stage | None = None) -> list[Measurement]:
    """List what was measured on the vehicle of a job, in the order in which it was saved.

    Parameters
    ----------
    store
        The database.
    job
        Its ``id``.
    stage
        Only of this stage; of both by default.
    """
    table = schema.measurements
    query = sa.select(table).where(table.c.job == job).order_by(table.c.id)
    if stage is not None:
        query = query.where(table.c.stage == stage)
    with reading(store.engine) as connection:
        return [
            Measurement(
                row.id,
                row.job,
                row.stage,
                row.quotation,
                row.measured_at,
                row.measured_by,
                row.note,
                _values(row.figures, f"measurement {row.id}: its record is damaged"),
            )
            for row in connection.execute(query)
        ]


def _values(text: str, what: str) -> dict[str, Value]:
    values: dict[str, Value] = {}
    for name, written in loaded(text, what).items():
        try:
            plain_value(written)
        except TypeError as problem:
            raise damaged(what, f"{problem} @ {name}") from None
        if written is None:
            raise damaged(what, f"no value @ {name}")
        values[name] = frozenset(written) if isinstance(written, list) else written
    return values


def corrected(job: Job, saved: Sequence[Measurement], trade: Trade) -> Job:
    """Put what was measured into a job, so that it is worked out for this very vehicle.

    Parameters
    ----------
    job
        As kept.
    saved
        Measurements in order: a later one of the same measure counts. Those *as built* are of
        another vehicle, so to speak, and are left out.
    trade
        Knows which names are measures of the vehicle; others, such as figures, are left out.
    """
    measured = dict(job.measured)
    for item in saved:
        if item.stage == "as it stands":
            measured.update({k: v for k, v in item.values.items() if k in trade.measures})
    return replace(job, measured=measured)
