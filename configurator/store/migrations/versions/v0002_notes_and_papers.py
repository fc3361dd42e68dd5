"""A note with each version of a job; what a quotation says to its customer, and its papers."""

import sqlalchemy as sa
from alembic import op

revision = "0002"
down_revision = "0001"


def upgrade() -> None:
    """Add columns; what was kept before has none of it."""
    op.add_column("job_versions", sa.Column("note", sa.Text, nullable=False, server_default=""))
    op.add_column("quotations", sa.Column("customer", sa.Text, nullable=False, server_default=""))
    op.add_column("quotations", sa.Column("valid_until", sa.Text, nullable=True))
    op.add_column("quotations", sa.Column("papers", sa.Text, nullable=True))
    op.add_column("quotations", sa.Column("forced", sa.Text, nullable=True))
