"""Prices of quotations in minor units of currencies that do not have two decimals."""

import json
import re
from decimal import Decimal

import sqlalchemy as sa
from alembic import op

revision = "0003"
down_revision = "0002"

# Taken for currencies of two decimals until then; decimals of the Unicode CLDR (version 47).
_NONE = (
    "ADP AFN ALL BIF BYR DJF ESP GNF IQD IRR ITL KMF KPW LAK LBP LUF MGA MGF MMK MRO PYG RSD RWF "
    "SLL SOS STD SYP TMM TRL UGX UYI VUV XAF XOF XPF YER ZMK ZWD"
)
_DECIMALS = dict.fromkeys(re.findall("[A-Z]+", _NONE), 0) | {"JOD": 3, "LYD": 3, "CLF": 4, "UYW": 4}


def upgrade() -> None:
    """Count anew from the amount that the quotation itself says."""
    table = sa.table(
        "quotations",
        sa.column("id", sa.Integer),
        sa.column("price", sa.BigInteger),
        sa.column("currency", sa.Text),
        sa.column("snapshot", sa.Text),
    )
    connection = op.get_bind()
    rows = connection.execute(
        sa.select(table.c.id, table.c.currency, table.c.snapshot).where(
            table.c.currency.in_(list(_DECIMALS))
        )
    ).all()
    for row in rows:
        price = json.loads(row.snapshot).get("package", {}).get("price")
        if price is not None:
            minor = round(Decimal(price["amount"]).scaleb(_DECIMALS[row.currency]))
            connection.execute(sa.update(table).where(table.c.id == row.id).values(price=minor))
