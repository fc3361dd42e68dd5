"""The tables, as they are now; `configurator.store.migrations` makes them, step by step.

Times are text in UTC (ISO 8601), so that both databases give back what was put in. Whatever has a
structure of its own (a job, a quotation) is kept as the text that it is exported as: a TOML file, a
JSON document.
"""

from __future__ import annotations

from sqlalchemy import (
    BigInteger,
    Column,
    ForeignKey,
    ForeignKeyConstraint,
    Integer,
    MetaData,
    Table,
    Text,
    UniqueConstraint,
)

metadata = MetaData()

# A job's newest version; its versions are never changed, only added to.
jobs = Table(
    "jobs",
    metadata,
    Column("id", Integer, primary_key=True),
    Column("version", Integer, nullable=False),
)

job_versions = Table(
    "job_versions",
    metadata,
    Column("job", Integer, ForeignKey("jobs.id", ondelete="CASCADE"), primary_key=True),
    Column("version", Integer, primary_key=True),
    Column("title", Text, nullable=False),
    Column("file", Text, nullable=False),  # TOML
    Column("saved_at", Text, nullable=False),
    Column("saved_by", Text, nullable=False),
    Column("note", Text, nullable=False, server_default=""),
)

quotations = Table(
    "quotations",
    metadata,
    Column("id", Integer, primary_key=True),
    Column("number", Text, nullable=False),
    Column("job", Integer, nullable=False),
    Column("version", Integer, nullable=False),
    Column("made_at", Text, nullable=False),
    Column("made_by", Text, nullable=False),
    Column("price", BigInteger, nullable=False),  # minor units, for one vehicle
    Column("currency", Text, nullable=False),
    Column("anew_of", Text, nullable=True),  # number of the quotation that it prices anew
    Column("snapshot", Text, nullable=False),  # JSON
    Column("customer", Text, nullable=False, server_default=""),  # the customer's reference
    Column("valid_until", Text, nullable=True),  # ISO 8601
    Column("papers", Text, nullable=True),  # JSON: name → sheet as laid out
    # JSON: what the choices force, where it was worked out after the quotation was given.
    Column("forced", Text, nullable=True),
    UniqueConstraint("number", name="quotations_number_is_unique"),
    ForeignKeyConstraint(
        ["job", "version"], ["job_versions.job", "job_versions.version"], ondelete="CASCADE"
    ),
)

# The last number given in each year: one that was given is never given again, even after what it
# stood on was deleted.
numbers = Table(
    "numbers",
    metadata,
    Column("year", Integer, primary_key=True, autoincrement=False),
    Column("last", Integer, nullable=False),
)

measurements = Table(
    "measurements",
    metadata,
    Column("id", Integer, primary_key=True),
    Column("job", Integer, ForeignKey("jobs.id", ondelete="CASCADE"), nullable=False, index=True),
    Column("stage", Text, nullable=False),
    Column("quotation", Text, nullable=True),
    Column("measured_at", Text, nullable=False),
    Column("measured_by", Text, nullable=False),
    Column("note", Text, nullable=False),
    Column("figures", Text, nullable=False),  # JSON: name → value in SI
)
