"""Compare a new list with the list as it stands, on disk, so that length costs no memory."""

from __future__ import annotations

import json
import sqlite3
from collections import Counter
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable, Iterator

    from configurator.supplier_lists.rows import ListRow

MOST_SHOWN = 200  # of each kind; the counts are of all


@dataclass(slots=True)
class Differences:
    """What is new, withdrawn, priced differently or otherwise changed.

    Parameters
    ----------
    new, withdrawn
        Part number, title, price in minor units; the first of them.
    priced
        Part number, title, old price, new price; likely slips first, then the largest changes.
    changed
        Part number, title, columns with old and new text.
    counts
        How many there are: ``"new"``, ``"withdrawn"``, ``"priced"``, ``"changed"``, ``"same"``.
    steep
        How many prices change as a slip changes them: see `likely_slip`.
    columns
        Column → how many parts differ in it, the price left out.
    """

    new: list[tuple[str, str, int]] = field(default_factory=list)
    withdrawn: list[tuple[str, str, int]] = field(default_factory=list)
    priced: list[tuple[str, str, int, int]] = field(default_factory=list)
    changed: list[tuple[str, str, list[tuple[str, str, str]]]] = field(default_factory=list)
    counts: Counter[str] = field(default_factory=Counter)
    columns: Counter[str] = field(default_factory=Counter)
    steep: int = 0


def likely_slip(old: int, new: int) -> bool:
    """Whether a price changes by more than half, or has two digits beside each other swapped.

    Parameters
    ----------
    old, new
        In minor units. Digits that move a price by less than a twentieth may well be right.

    Examples
    --------
    >>> likely_slip(21900, 219000), likely_slip(21900, 29100), likely_slip(21900, 22900)
    (True, True, False)
    """
    if abs(new - old) * 2 > old:
        return True
    before, after = str(old), str(new)
    if len(before) != len(after) or abs(new - old) * 20 <= old:
        return False
    pairs = enumerate(zip(before, after, strict=True))
    apart = [place for place, (was, becomes) in pairs if was != becomes]
    beside = len(apart) == 2 and apart[1] == apart[0] + 1
    return beside and sorted(before) == sorted(after)


def open_store(path: str) -> sqlite3.Connection:
    """Open an empty store for the rows of both lists; it is thrown away afterwards."""
    store = sqlite3.connect(path, isolation_level=None)
    try:
        store.executescript(
            """
            PRAGMA journal_mode = OFF; PRAGMA synchronous = OFF; PRAGMA cache_size = -32000;
            CREATE TABLE old (number TEXT PRIMARY KEY, at INTEGER, place TEXT, price INTEGER,
                              title TEXT, cells TEXT, vals TEXT) WITHOUT ROWID;
            CREATE TABLE new (number TEXT PRIMARY KEY, at INTEGER, place TEXT, price INTEGER,
                              title TEXT, cells TEXT, vals TEXT) WITHOUT ROWID;
            CREATE TABLE held (number TEXT PRIMARY KEY) WITHOUT ROWID;
            CREATE TABLE other (number TEXT PRIMARY KEY, place TEXT) WITHOUT ROWID;
            BEGIN;
            """
        )
    except BaseException:
        store.close()
        raise
    return store


def keep_rows(store: sqlite3.Connection, table: str, rows: Iterable[ListRow]) -> int:
    """Put rows into the table ``"old"`` or ``"new"``; of a number given twice, the first stays.

    Returns
    -------
    int
        How many there are.
    """
    statement = {
        "old": "INSERT OR IGNORE INTO old VALUES (?, ?, ?, ?, ?, ?, ?)",
        "new": "INSERT OR IGNORE INTO new VALUES (?, ?, ?, ?, ?, ?, ?)",
    }[table]
    kept = 0
    for at, row in enumerate(rows):
        cells = json.dumps(row.cells, ensure_ascii=False)
        values = json.dumps(row.values, ensure_ascii=False, sort_keys=True)
        inserted = store.execute(
            statement, (row.number, at, row.place, row.price, row.title, cells, values)
        )
        kept += inserted.rowcount
    return kept


def how_many(store: sqlite3.Connection, table: str) -> int:
    """Count the rows of the table ``"old"`` or ``"new"``."""
    query = {"old": "SELECT count(*) FROM old", "new": "SELECT count(*) FROM new"}[table]
    return int(store.execute(query).fetchone()[0])


def hold(store: sqlite3.Connection, numbers: Iterable[str]) -> int:
    """Take parts out of the new list whose rows have a problem: the list as it stands keeps them.

    Returns
    -------
    int
        How many of them the list as it stands has.
    """
    store.executemany("INSERT OR IGNORE INTO held VALUES (?)", ((number,) for number in numbers))
    store.execute("DELETE FROM new WHERE number IN held")
    (count,) = store.execute("SELECT count(*) FROM old WHERE number IN held").fetchone()
    return int(count)


def differences(store: sqlite3.Connection, compared: Collection[str]) -> Differences:
    """Compare both lists.

    Parameters
    ----------
    store
        Holds them.
    compared
        Columns that the new list says something about; all others stay as they are.
    """
    counted = Differences()
    counted.counts["changed"] = 0
    only_new = "FROM new WHERE number NOT IN (SELECT number FROM old)"
    only_old = "FROM old WHERE number NOT IN (SELECT number FROM new) AND number NOT IN held"
    for kind, source, shown in (
        ("new", only_new, counted.new),
        ("withdrawn", only_old, counted.withdrawn),
    ):
        (counted.counts[kind],) = store.execute(f"SELECT count(*) {source}").fetchone()
        shown.extend(
            store.execute(
                f"SELECT number, title, price {source} ORDER BY at LIMIT {MOST_SHOWN}"
            ).fetchall()
        )
    both = "FROM new JOIN old USING (number)"
    store.create_function("slip", 2, likely_slip, deterministic=True)
    (counted.counts["priced"],) = store.execute(
        f"SELECT count(*) {both} WHERE new.price != old.price"
    ).fetchone()
    counted.priced.extend(
        store.execute(
            f"SELECT number, new.title, old.price, new.price {both} WHERE new.price != old.price "
            "ORDER BY slip(old.price, new.price) DESC, "
            "abs(new.price - old.price) * 1.0 / max(old.price, 1) DESC, number "
            f"LIMIT {MOST_SHOWN}"
        ).fetchall()
    )
    (counted.steep,) = store.execute(
        f"SELECT count(*) {both} WHERE slip(old.price, new.price)"
    ).fetchone()
    (same,) = store.execute(f"SELECT count(*) {both}").fetchone()
    names = [name for name in compared if name not in ("price", "part number")]
    for row in store.execute(
        f"SELECT number, new.title, old.vals, new.vals, old.cells, new.cells, old.price, new.price "
        f"{both} WHERE old.vals != new.vals ORDER BY new.at"
    ):
        before, after = json.loads(row[2]), json.loads(row[3])
        differing = [name for name in names if before.get(name) != after.get(name)]
        if differing:
            counted.counts["changed"] += 1
            counted.columns.update(differing)
            if len(counted.changed) < MOST_SHOWN:
                old, new = json.loads(row[4]), json.loads(row[5])
                shown_cells = [(name, old.get(name, ""), new.get(name, "")) for name in differing]
                counted.changed.append((row[0], row[1], shown_cells))
        same -= bool(differing) or row[6] != row[7]
    counted.counts["same"] = same
    return counted


def taken_elsewhere(
    store: sqlite3.Connection, numbers: Iterable[tuple[str, str]], *, most: int
) -> Iterator[tuple[str, str, str]]:
    """Yield part number, place in the new list and place in another list of the catalog."""
    store.executemany("INSERT OR IGNORE INTO other VALUES (?, ?)", numbers)
    yield from store.execute(
        "SELECT number, new.place, other.place FROM new JOIN other USING (number) "
        "ORDER BY new.at LIMIT ?",
        (most,),
    )


def lacking(store: sqlite3.Connection, columns: Collection[str]) -> Iterator[tuple[str, str, int]]:
    """Yield each column that some parts lack in both lists, the first place, and how many do."""
    if not columns:
        return
    first: dict[str, str] = {}
    counts: Counter[str] = Counter()
    query = (
        "SELECT new.place, new.cells, old.cells FROM new LEFT JOIN old USING (number) "
        "ORDER BY new.at"
    )
    for where, cells, before in store.execute(query):
        known = json.loads(cells).keys() | (json.loads(before).keys() if before else set())
        for column in columns:
            if column not in known:
                first.setdefault(column, where)
                counts[column] += 1
    for column, where in first.items():
        yield column, where, counts[column]


def new_list(
    store: sqlite3.Connection, taken: Collection[str], *, keep: bool
) -> Iterator[tuple[dict[str, str], bool]]:
    """Yield the cells of the new list, and whether the row is one of the list as it stood.

    Parameters
    ----------
    store
        Holds both lists.
    taken
        Columns that the supplier's list fills; the others stay as they were.
    keep
        Whether parts that the supplier's list no longer has are kept; those that are held are in
        any case.
    """
    query = "SELECT new.cells, old.cells FROM new LEFT JOIN old USING (number) ORDER BY new.at"
    for cells, before in store.execute(query):
        stays = json.loads(before) if before else {}
        yield {k: v for k, v in stays.items() if k not in taken} | json.loads(cells), False
    query = "SELECT cells FROM old WHERE number IN held ORDER BY at"
    if keep:
        query = "SELECT cells FROM old WHERE number NOT IN (SELECT number FROM new) ORDER BY at"
    for (cells,) in store.execute(query):
        yield json.loads(cells), True
