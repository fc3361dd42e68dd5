"""Jobs with their versions, quotations, numbers, measurements."""

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None


def upgrade() -> None:
    """Make the tables."""
    op.create_table(
        "jobs",
        sa.Column("id", sa.Integer, primary_key=True),
        sa.Column("version", sa.Integer, nullable=False),
    )
    op.create_table(
        "job_versions",
        sa.Column(
            "job", sa.Integer, sa.ForeignKey("jobs.id", ondelete="CASCADE"), primary_key=True
        ),
        sa.Column("version", sa.Integer, primary_key=True),
        sa.Column("title", sa.Text, nullable=False),
        sa.Column("file", sa.Text, nullable=False),
        sa.Column("saved_at", sa.Text, nullable=False),
        sa.Column("saved_by", sa.Text, nullable=False),
    )
    op.create_table(
        "quotations",
        sa.Column("id", sa.Integer, primary_key=True),
        sa.Column("number", sa.Text, nullable=False),
        sa.Column("job", sa.Integer, nullable=False),
        sa.Column("version", sa.Integer, nullable=False),
        sa.Column("made_at", sa.Text, nullable=False),
        sa.Column("made_by", sa.Text, nullable=False),
        sa.Column("price", sa.BigInteger, nullable=False),
        sa.Column("currency", sa.Text, nullable=False),
        sa.Column("anew_of", sa.Text, nullable=True),
        sa.Column("snapshot", sa.Text, nullable=False),
        sa.UniqueConstraint("number", name="quotations_number_is_unique"),
        sa.ForeignKeyConstraint(
            ["job", "version"], ["job_versions.job", "job_versions.version"], ondelete="CASCADE"
        ),
    )
    op.create_table(
        "numbers",
        sa.Column("year", sa.Integer, primary_key=True, autoincrement=False),
        sa.Column("last", sa.Integer, nullable=False),
    )
    op.create_table(
        "measurements",
        sa.Column("id", sa.Integer, primary_key=True),
        sa.Column("job", sa.Integer, sa.ForeignKey("jobs.id", ondelete="CASCADE"), nullable=False),
        sa.Column("stage", sa.Text, nullable=False),
        sa.Column("quotation", sa.Text, nullable=True),
        sa.Column("measured_at", sa.Text, nullable=False),
        sa.Column("measured_by", sa.Text, nullable=False),
        sa.Column("note", sa.Text, nullable=False),
        sa.Column("figures", sa.Text, nullable=False),
    )
    op.create_index("ix_measurements_job", "measurements", ["job"])
