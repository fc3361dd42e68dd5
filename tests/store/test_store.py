"""Jobs, quotations and measurements on both kinds of database."""

from __future__ import annotations

import datetime
import re
import subprocess
import sys
import threading
from typing import TYPE_CHECKING

import pytest
import sqlalchemy as sa

from configurator.model.jobs import Job
from configurator.store import schema
from configurator.store.access import (
    EditConflict,
    Store,
    Terms,
    add_forced,
    add_job,
    add_measurement,
    check_start,
    corrected,
    delete_job,
    get_job,
    get_quotation,
    keep_anew,
    keep_quotation,
    list_jobs,
    list_quotations,
    list_versions,
    measurements,
    open_store,
    save_job,
)
from configurator.store.addresses import StoreError
from tests.small_trade import small_trade

if TYPE_CHECKING:
    from pathlib import Path

FILE = 'title = "Über den Paß"\nbudget = "100 EUR"\n'
CHEAPER = FILE.replace("100", "90")
DEARER = FILE.replace("100", "120")


def keep(store: Store, by: str = "anna", **more: object):
    return keep_quotation(
        store, "Über den Paß", FILE, {"format": 1}, price=10**10, currency="EUR", by=by, **more
    )


def test_a_job_comes_back_as_it_was(store: Store) -> None:
    saved = add_job(store, "Über den Paß", FILE, by="anna")
    assert get_job(store, saved.id) == saved
    assert (saved.version, saved.file, saved.saved_by) == (1, FILE, "anna")


def test_earlier_versions_stay(store: Store) -> None:
    first = add_job(store, "t", FILE, by="anna")
    second = save_job(store, first.id, 1, "t", CHEAPER, by="bela")
    assert get_job(store, first.id) == second
    assert get_job(store, first.id, 1) == first


def test_a_quotation_comes_back_as_it_was(store: Store) -> None:
    made = keep(store)
    assert get_quotation(store, made.number) == made
    assert made.price == 10**10  # beyond 32 bits
    (listed,) = list_quotations(store)
    assert (listed.number, listed.title, listed.snapshot) == (made.number, "Über den Paß", {})


def test_numbers_count_up_within_a_year_and_are_never_given_again(store: Store) -> None:
    numbers = [keep(store).number for _ in range(3)]
    year = datetime.datetime.now(datetime.UTC).year
    assert numbers == [f"{year}-0001", f"{year}-0002", f"{year}-0003"]
    delete_job(store, get_quotation(store, numbers[-1]).job)
    assert keep(store).number == f"{year}-0004"


def test_many_at_once_get_numbers_of_their_own(database: str) -> None:
    numbers: list[str] = []

    def work() -> None:
        with open_store(database) as store:
            numbers.extend(keep(store).number for _ in range(10))

    threads = [threading.Thread(target=work) for _ in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert len(numbers) == len(set(numbers)) == 40


def test_opening_at_once_makes_the_tables_once(database: str) -> None:
    problems: list[Exception] = []

    def work() -> None:
        try:
            open_store(database).close()
        except Exception as problem:
            problems.append(problem)

    threads = [threading.Thread(target=work) for _ in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert not problems
    with open_store(database) as store:
        assert list_quotations(store) == []


def test_a_quotation_anew_stands_beside_the_old_one(store: Store) -> None:
    old = keep(store)
    new = keep_anew(store, old, {"format": 1, "new": True}, price=5, currency="EUR", by="bela")
    assert new.anew_of == old.number
    assert (new.job, new.version) == (old.job, old.version)
    assert get_quotation(store, old.number) == old


def test_a_number_nobody_gave_is_named_with_the_nearest(store: Store) -> None:
    number = keep(store).number
    with pytest.raises(StoreError, match=f"did you mean '{number}'"):
        get_quotation(store, f"{number[:-1]}9")
    with pytest.raises(StoreError, match="there is no job 77"):
        get_job(store, 77)
    with pytest.raises(StoreError, match="there is no job 77"):
        save_job(store, 77, 1, "t", FILE)
    with pytest.raises(StoreError, match="there is no job 77"):
        delete_job(store, 77)


def test_deleting_a_job_deletes_all_that_hangs_on_it(store: Store) -> None:
    other, made = keep(store), keep(store)
    add_measurement(store, made.job, {"front track": 1.5})
    delete_job(store, made.job)
    with store.engine.connect() as connection:
        left = {
            name: connection.execute(sa.select(sa.func.count()).select_from(table)).scalar_one()
            for name, table in schema.metadata.tables.items()
        }
    assert left == {
        "jobs": 1, "job_versions": 1, "quotations": 1, "numbers": 1, "measurements": 0,
    }  # fmt: skip
    assert [quotation.number for quotation in list_quotations(store)] == [other.number]


def test_what_was_deleted_is_not_left_in_the_file(tmp_path: Path) -> None:
    path = tmp_path / "records.sqlite"
    with open_store(f"sqlite:///{path}") as store:
        job = add_job(store, "Frau Gretchenfrage", "note = 'x'").id
        delete_job(store, job)
        for file in tmp_path.iterdir():
            assert b"Gretchenfrage" not in file.read_bytes()


# -- two people ---------------------------------------------------------------------------------


def test_the_second_is_told_who_when_and_what_and_nothing_is_written(database: str) -> None:
    with open_store(database) as annas, open_store(database) as belas:
        start = add_job(annas, "t", FILE, by="anna")
        theirs = save_job(annas, start.id, start.version, "t", CHEAPER, by="anna")
        with pytest.raises(EditConflict) as caught:
            save_job(belas, start.id, start.version, "t", DEARER, by="bela")
        assert get_job(belas, start.id) == theirs
    assert caught.value.theirs == theirs
    assert caught.value.mine == DEARER
    assert caught.value.started_from == start
    assert caught.value.differences == ("budget: theirs '90 EUR', yours '120 EUR'",)
    assert "anna has saved version 2 at " + theirs.saved_at in str(caught.value)


def test_a_conflict_keeps_the_quotation_out_as_well(store: Store) -> None:
    old = keep(store)
    save_job(store, old.job, 1, "t", CHEAPER, by="bela")
    with pytest.raises(EditConflict):
        check_start(store, old, DEARER)
    with pytest.raises(EditConflict):
        keep_quotation(store, "t", DEARER, {"format": 1}, price=1, currency="EUR", started_from=old)
    assert [quotation.number for quotation in list_quotations(store)] == [old.number]
    assert get_job(store, old.job).version == 2


def test_who_comes_to_the_same_job_by_another_way_is_not_stopped(store: Store) -> None:
    old = keep(store)
    save_job(store, old.job, 1, "t", CHEAPER, by="bela")
    check_start(store, old, CHEAPER)
    again = keep_quotation(
        store, "t", CHEAPER, {"format": 1}, price=1, currency="EUR", started_from=old
    )
    assert (again.job, again.version) == (old.job, 2)


def test_an_unchanged_job_gets_no_new_version(store: Store) -> None:
    old = keep(store)
    again = keep(store, started_from=old)
    assert (again.job, again.version) == (old.job, 1)
    assert again.number != old.number


RACE = """
import sys
from configurator.store.access import EditConflict, open_store, save_job
with open_store(sys.argv[1]) as store:
    sys.stdin.readline()
    try:
        save_job(store, int(sys.argv[2]), 1, "t", 'budget = "1 EUR"', by=sys.argv[3])
        print("saved")
    except EditConflict as problem:
        print("told of", problem.theirs.saved_by)
"""


def test_of_two_processes_at_once_one_is_told(database: str) -> None:
    with open_store(database) as store:
        job = add_job(store, "t", FILE, by="anna").id
    processes = [
        subprocess.Popen(
            [sys.executable, "-c", RACE, database, str(job), name],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            text=True,
        )
        for name in ("bela", "cleo")
    ]
    for process in processes:
        assert process.stdin is not None
        process.stdin.write("go\n")
        process.stdin.flush()
    outputs = [process.communicate()[0].strip() for process in processes]
    assert sorted(outputs) in (["saved", "told of bela"], ["saved", "told of cleo"])
    with open_store(database) as store:
        assert get_job(store, job).version == 2


# -- killed at any moment -----------------------------------------------------------------------

WRITER = """
import sys
from configurator.store.access import keep_quotation, open_store
with open_store(sys.argv[1]) as store:
    while True:
        made = keep_quotation(
            store, "t", 'title = "t"', {"format": 1, "parts": "x" * 20_000},
            price=1, currency="EUR", by="anna",
        )
        print(made.number, flush=True)
"""


def test_what_was_confirmed_outlives_a_kill(database: str) -> None:
    confirmed: list[str] = []
    for round_ in range(4):
        with subprocess.Popen(
            [sys.executable, "-c", WRITER, database], stdout=subprocess.PIPE, text=True
        ) as writer:
            assert writer.stdout is not None
            # Each round is killed somewhere else in what it does next.
            confirmed += [writer.stdout.readline().strip() for _ in range(3 + 5 * round_)]
            writer.kill()  # SIGKILL, where there are signals
            # What it still said before it died counts too; a half line was not said.
            rest = writer.stdout.read().splitlines(keepends=True)
        confirmed += [line.strip() for line in rest if line.endswith("\n")]
    assert all(re.fullmatch(r"\d{4}-\d{4,}", number) for number in confirmed)
    with open_store(database) as store:
        kept = {quotation.number for quotation in list_quotations(store)}
        assert set(confirmed) <= kept
        assert len(set(confirmed)) == len(confirmed)
        for number in confirmed:
            assert len(get_quotation(store, number).snapshot["parts"]) == 20_000
        if store.engine.dialect.name == "sqlite":
            with store.engine.connect() as connection:
                assert connection.exec_driver_sql("PRAGMA integrity_check").scalar() == "ok"


# -- measurements -------------------------------------------------------------------------------


def test_measurements_come_back_in_order(store: Store) -> None:
    job = add_job(store, "t", FILE).id
    when = datetime.datetime.fromisoformat("2026-11-02T08:30:00+01:00")
    values = {"front track": 1.52, "winch": True, "mount": "A", "codes": frozenset({"x", "y"})}
    first = add_measurement(store, job, values, at=when, by="cleo", note="on the level floor")
    second = add_measurement(store, job, {"front track": 1.6}, stage="as built", quotation="q")
    assert measurements(store, job) == [first, second]
    assert measurements(store, job, "as built") == [second]
    assert first.values == values
    assert first.measured_at == "2026-11-02T07:30:00+00:00"


def test_a_measurement_needs_a_job_a_zone_and_finite_numbers(store: Store) -> None:
    with pytest.raises(StoreError, match="there is no job 5"):
        add_measurement(store, 5, {"front track": 1.5})
    job = add_job(store, "t", FILE).id
    with pytest.raises(ValueError, match="time zone"):
        add_measurement(store, job, {}, at=datetime.datetime(2026, 1, 1))
    with pytest.raises(ValueError, match="JSON"):
        add_measurement(store, job, {"front track": float("nan")})
    assert measurements(store, job) == []


def test_the_last_measurement_as_it_stands_corrects_the_vehicle(store: Store) -> None:
    trade = small_trade()
    name, other = list(trade.measures)[:2]
    job = add_job(store, "t", FILE).id
    add_measurement(store, job, {name: 1.0})
    add_measurement(store, job, {name: 2.0, "no such measure": 5.0})
    add_measurement(store, job, {name: 3.0}, stage="as built")
    asked = Job("t", "c/v", ("c",), measured={other: 4.0, name: 9.0})
    assert corrected(asked, measurements(store, job), trade).measured == {other: 4.0, name: 2.0}


def test_a_version_carries_its_note_and_lists_show_the_newest(store: Store) -> None:
    first = add_job(store, "t", FILE, by="anna", note="first talk")
    second = save_job(store, first.id, 1, "t", CHEAPER, by="bela", note="smaller budget")
    other = add_job(store, "u", FILE, by="bela")
    assert {job.id: job for job in list_jobs(store)} == {first.id: second, other.id: other}
    assert list_versions(store, first.id) == [second, first]
    assert [version.note for version in list_versions(store, first.id)] == [
        "smaller budget",
        "first talk",
    ]
    assert list_versions(store, 99) == []


def test_a_quotation_of_a_kept_job_is_its_next_version_only_where_the_job_differs(
    store: Store,
) -> None:
    job = add_job(store, "t", FILE, by="anna")
    same = keep(store, started_from=job)
    assert (same.job, same.version) == (job.id, 1)
    save_job(store, job.id, 1, "t", CHEAPER, by="bela")
    with pytest.raises(EditConflict, match="bela has saved version 2"):
        keep_quotation(store, "t", DEARER, {"format": 1}, price=1, currency="EUR", started_from=job)
    assert [quotation.number for quotation in list_quotations(store)] == [same.number]


def test_what_is_forced_is_added_once_and_the_snapshot_stays(store: Store) -> None:
    terms = Terms("Order 7", "2027-01-31", {"order": {"not made": "no maker"}})
    kept = keep_quotation(
        store, "t", FILE, {"format": 1, "forced": None}, price=1, currency="EUR", terms=terms
    )
    quotation = get_quotation(store, kept.number)
    assert (quotation.customer, quotation.valid_until, quotation.papers) == (
        "Order 7", "2027-01-31", terms.papers,
    )  # fmt: skip
    assert (quotation.snapshot["forced"], quotation.reasons) == (None, None)
    assert add_forced(store, kept.number, {"choices": ["one"]}, ["hubs; needed by the tyres."])
    assert not add_forced(store, kept.number, {"choices": ["other"]}, [])
    later = get_quotation(store, kept.number)
    assert later.snapshot == {"format": 1, "forced": {"choices": ["one"]}}
    assert later.reasons == ("hubs; needed by the tyres.",)
    assert later.certainty is None
    with store.engine.connect() as connection:
        (text,) = connection.execute(sa.select(schema.quotations.c.snapshot)).scalars()
    assert text == '{"format": 1, "forced": null}'
    (listed,) = list_quotations(store)
    assert (listed.customer, listed.papers, listed.snapshot) == ("Order 7", None, {})


def test_what_certainty_would_cost_is_added_with_what_is_forced(store: Store) -> None:
    kept = keep_quotation(store, "t", FILE, {"format": 1, "forced": None}, price=1, currency="EUR")
    add_forced(store, kept.number, {"choices": []}, [], ["Certain: €2 more."])
    assert get_quotation(store, kept.number).certainty == ("Certain: €2 more.",)


def test_what_was_forced_from_the_start_is_not_added_to(store: Store) -> None:
    kept = keep_quotation(
        store, "t", FILE, {"format": 1, "forced": {"choices": []}}, price=1, currency="EUR"
    )
    assert not add_forced(store, kept.number, {"choices": ["other"]}, [])
    with pytest.raises(StoreError, match="there is no quotation '1999-0001'"):
        add_forced(store, "1999-0001", {}, [])
