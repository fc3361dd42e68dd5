"""Where the rows of a menu are kept while it is priced, and the table that comes of them."""

from __future__ import annotations

import csv
import hashlib
import io
import json
import shutil
from typing import TYPE_CHECKING, Any

from configurator.core.atomic_files import write_atomically
from configurator.core.errors import FitwrightError

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence
    from pathlib import Path

    from configurator.questions.menu_jobs import Batch

SUFFIXES = (".parquet", ".csv")


class Rows:
    """Rows of batches that are done, in a folder beside the table: a stopped menu goes on there.

    Parameters
    ----------
    table
        File of the table in the end.
    basis
        What the rows rest on; rows of other lists, plugins or versions are not taken over.
    """

    def __init__(self, table: Path, basis: Mapping[str, bytes]) -> None:
        whole = hashlib.sha256()
        for name, content in sorted(basis.items()):
            whole.update(name.encode() + b"\\0" + hashlib.sha256(content).digest())
        self.table = table
        self.folder = table.with_name(f"{table.name}.rows-{whole.hexdigest()[:12]}")

    def done(self, batch: Batch) -> bool:
        """Whether the rows of a batch are there."""
        return (self.folder / f"{batch.name}.json").is_file()

    def keep(self, batch: Batch, rows: Sequence[Mapping[str, Any]]) -> None:
        """Keep the rows of a batch, whole or not at all."""
        self.folder.mkdir(parents=True, exist_ok=True)
        path = self.folder / f"{batch.name}.json"
        write_atomically(path, json.dumps(list(rows), ensure_ascii=False))

    def finish(self, batches: Iterable[Batch]) -> list[dict[str, Any]]:
        """Write the table from all rows, in order, and clear the folder away."""
        rows: list[dict[str, Any]] = []
        for batch in batches:
            text = (self.folder / f"{batch.name}.json").read_text(encoding="utf-8")
            rows += json.loads(text)
        rows.sort(key=lambda row: row["job"])
        write_table(self.table, rows)
        shutil.rmtree(self.folder, ignore_errors=True)
        return rows


def check_table(path: Path) -> None:
    """Refuse a table that could not be written in the end.

    Raises
    ------
    FitwrightError
        If its kind is not known, or what writes it is not installed.
    """
    if path.suffix not in SUFFIXES:
        message = f"{path.name}: a menu is written as {' or '.join(SUFFIXES)}"
        raise FitwrightError(message)
    if path.suffix == ".parquet":
        try:
            import pyarrow  # noqa: F401
        except ImportError as problem:
            do = "pip install 'fitwright[fleet]', or write a .csv"
            message = f"Parquet needs more than is installed: {do}"
            raise FitwrightError(message) from problem


def write_table(path: Path, rows: Sequence[Mapping[str, Any]]) -> None:
    """Write rows as Parquet or CSV, whole or not at all."""
    if path.suffix == ".parquet":
        import pyarrow as pa
        import pyarrow.parquet as pq

        sink = io.BytesIO()
        pq.write_table(pa.Table.from_pylist([dict(row) for row in rows]), sink)
        write_atomically(path, sink.getvalue())
        return
    text = io.StringIO()
    if rows:
        writer = csv.DictWriter(text, list(rows[0]))
        writer.writeheader()
        writer.writerows(rows)
    write_atomically(path, text.getvalue().encode("utf-8"))
