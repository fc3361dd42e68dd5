"""Saved records of any content are shown, compared and laid out, or refused in words."""

from __future__ import annotations

import datetime
import io
import re
import sqlite3
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from configurator.cli.saving import show_kept
from configurator.cli.terminal import Terminal
from configurator.core import paths
from configurator.documents import formats
from configurator.documents.number_style import locale_of
from configurator.evaluation.evaluator import Evaluation
from configurator.files.job_files import read_case
from configurator.loading import plugin_files
from configurator.loading.plugin_files import Loaded
from configurator.questions import answers
from configurator.store.access import (
    Terms,
    add_forced,
    add_measurement,
    get_quotation,
    keep_quotation,
    measurements,
    open_store,
)
from configurator.store.repricing import look_again
from configurator.store.saved_documents import PAPERS, DocumentStyle, lay_out, paper
from configurator.store.snapshot import job_file, readable, snapshot
from tests.cli.conftest import FILES, JOB
from tests.fuzzing import CELLS, SETTINGS, exchanged, refused_or_sound

DAY = datetime.date(2026, 11, 2)
FORCED = (
    '{"record": {"choices": [{"position": "tyres", "title": "t", "forces": [{"position": "hubs", '
    '"because": [{"rule": "r"}]}]}]}, "reasons": ["hubs; needed."]}'
)


@dataclass
class Saved:
    """A database with one quotation, and the texts that are in it."""

    url: str
    file: Path
    loaded: Loaded
    search: list[Path]
    texts: dict[str, str]
    number: str

    def put(self, table: str, column: str, text: str) -> None:
        with sqlite3.connect(self.file) as connection:
            connection.execute(f"UPDATE {table} SET {column} = ?", (text,))
        connection.close()


@pytest.fixture(scope="module")
def saved(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Saved]:
    home = tmp_path_factory.mktemp("records")
    for name, text in FILES.items():
        path = home / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")
    job = home / "job.toml"
    goal = '[goals."clearance under the axle"]\nat_least = "300 mm"\n'
    job.write_text(f"{JOB}{goal}", encoding="utf-8")
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(paths, "plugins", lambda: home / "plugins")
        loaded = plugin_files.load(installed=False)
        search = [home / "catalogs"]
        case = read_case(job, loaded.trade, search)
        prepared = answers.ready(case, loaded.trade)
        package = answers.find(prepared).packages[0]
        evaluation: Evaluation = prepared.evaluation
        how = DocumentStyle(locale_of("de_AT"), DAY)
        file = home / "records.sqlite"
        with open_store(f"sqlite:///{file}") as store:
            made = keep_quotation(
                store,
                "t",
                job_file(case.job, loaded.trade, home),
                snapshot(evaluation, package, loaded.plugins, proven=True, day=DAY),
                price=package.price,
                currency="EUR",
                terms=Terms(papers=lay_out(evaluation, package, how)),
            )
            add_forced(store, made.number, {"choices": []}, [])
            add_measurement(store, made.job, {"arch room": 0.43, "codes": frozenset("AB")})
        with sqlite3.connect(file) as connection:
            row = connection.execute("SELECT snapshot, papers FROM quotations").fetchone()
            (figures,) = connection.execute("SELECT figures FROM measurements").fetchone()
        connection.close()
        texts = {"snapshot": row[0], "papers": row[1], "forced": FORCED, "figures": figures}
        yield Saved(f"sqlite:///{file}", file, loaded, search, texts, made.number)


def use(saved: Saved) -> None:
    """Read everything of the one quotation, as commands and pages do."""
    with open_store(saved.url) as store:
        kept = get_quotation(store, saved.number)
        readable(kept.snapshot, kept.number)
        show_kept(Terminal(io.StringIO()), kept, None)
        look_again(kept.snapshot, saved.loaded, saved.search)
        for name in PAPERS:
            formats.markdown(paper(kept, name))


def exchange(saved: Saved, column: str, start: float, length: int, piece: str) -> None:
    whole = saved.texts[column]
    at = int(start * len(whole))
    table = "measurements" if column == "figures" else "quotations"
    saved.put(table, column, whole[:at] + piece + whole[at + length :])
    try:
        if column == "figures":
            with open_store(saved.url) as store:
                refused_or_sound(measurements, store, 1)
        else:
            refused_or_sound(use, saved)
    finally:
        saved.put(table, column, whole)


PIECES = st.text(max_size=6).filter(lambda text: text.isprintable()) | CELLS.filter(
    lambda text: text.isprintable()
)


def test_what_is_changed_is_sound(saved: Saved) -> None:
    for column in ("snapshot", "papers", "forced"):
        saved.put("quotations", column, saved.texts[column])
    use(saved)


@SETTINGS
@given(
    st.sampled_from(["snapshot", "papers", "forced", "figures"]),
    st.floats(0, 1),
    st.integers(0, 40),
    PIECES | st.sampled_from(['"', "null", "[]", "{}", "1e400", "NaN", ',"x":1', "true", "7"]),
)
def test_a_sound_record_with_a_piece_exchanged(
    saved: Saved, column: str, start: float, length: int, piece: str
) -> None:
    exchange(saved, column, start, length, piece)


JSON = st.recursive(
    st.sampled_from(["null", "true", "7", "1e400", "-0.5", '""', '"A"', "NaN"]),
    lambda inner: (
        st.lists(inner, max_size=2).map(lambda items: f"[{', '.join(items)}]")
        | inner.map(lambda item: f'{{"x": {item}}}')
    ),
    max_leaves=4,
)


@SETTINGS
@given(st.sampled_from(["snapshot", "papers", "forced", "figures"]), st.data())
def test_a_sound_record_with_a_value_exchanged(saved: Saved, column: str, data: st.DataObject):
    whole = saved.texts[column]
    values = [m.span(1) for m in re.finditer(r'[:\[,] ?("(?:[^"\\]|\\.)*"|[-\w.]+)', whole)]
    start, end = data.draw(st.sampled_from(values))
    exchange(saved, column, start / len(whole) + 1e-12, end - start, data.draw(JSON))


@SETTINGS
@given(st.sampled_from(["snapshot", "papers", "forced", "figures"]), exchanged("{}"))
def test_any_text_as_a_record(saved: Saved, column: str, text: str) -> None:
    text = text.encode("utf-8", "ignore").decode().replace("\0", "")
    table = "measurements" if column == "figures" else "quotations"
    saved.put(table, column, text)
    try:
        if column == "figures":
            with open_store(saved.url) as store:
                refused_or_sound(measurements, store, 1)
        else:
            refused_or_sound(use, saved)
    finally:
        saved.put(table, column, saved.texts[column])
