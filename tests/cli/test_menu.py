"""``fitwright menu``: every combination, the same rows wherever they are priced."""

from __future__ import annotations

import csv
import json
import os
import signal

import pytest

from configurator.core import paths
from configurator.core.progress import Progress, followed
from configurator.questions import menu_results, menu_runs
from configurator.questions.menu_jobs import MenuJob, MenuPricer, batches_of
from tests import bundled

MENU = """
title = "Carts"
vehicles = ["shop/cart"]
catalogs = ["shop"]

[goals."clearance under the axle"]
at_least = ["210 mm", "230 mm", "290 mm", "900 mm"]

[fixed]
tyres = ["shop/T-70", "shop/T-80", "shop/T-1"]
"""


@pytest.fixture
def written(shop):
    return shop.write("menu.toml", MENU)


def test_every_combination_is_priced(shop, written):
    table = shop.folder / "menu.csv"
    ran = shop.run("menu", str(written), "--into", str(table))
    assert ran.status == 0, ran.err
    assert "12 jobs in menu.csv" in ran.out
    with table.open(encoding="utf-8") as stream:
        rows = list(csv.DictReader(stream))
    assert [int(row["job"]) for row in rows] == list(range(12))
    by_labels = {(row["clearance under the axle at least"], row["tyres"]): row for row in rows}
    # 700 mm across: 350 - 100 = 250 mm clear without hubs; 300 mm with those that drop 50 mm.
    assert by_labels["230 mm", "shop/T-70"]["price"] == "40000"
    assert json.loads(by_labels["290 mm", "shop/T-70"]["parts"])["hubs"] == "shop/H-50"
    assert by_labels["900 mm", "shop/T-80"]["outcome"] == "nothing fits"
    failed = by_labels["210 mm", "shop/T-1"]
    assert failed["outcome"] == "failed"
    assert "in none of the lists" in failed["problem"]
    assert not list(shop.folder.glob("*.rows-*"))


def test_each_row_is_what_find_says(shop, written):
    table = shop.folder / "menu.csv"
    shop.run("menu", str(written), "--into", str(table))
    with table.open(encoding="utf-8") as stream:
        rows = [row for row in csv.DictReader(stream) if row["outcome"] == "cheapest"]
    assert rows
    for row in rows:
        level = row["clearance under the axle at least"]
        goal = f'[goals."clearance under the axle"]\nat_least = "{level}"\n'
        job = shop.job(f'{goal}[fixed]\ntyres = "{row["tyres"]}"\n')
        answer = json.loads(shop.run("find", job, "--json").out)
        assert answer["packages"][0]["price"]["amount"] == f"{int(row['price']) / 100:.2f}"


def test_a_menu_that_was_stopped_goes_on(shop, written, monkeypatch):
    table = shop.folder / "menu.csv"
    monkeypatch.setattr("configurator.questions.menu_jobs.BATCH", 5)
    monkeypatch.setattr("configurator.questions.menu_jobs.batches_of.__defaults__", (5,))
    asked = []
    priced = MenuPricer.priced

    def stopped(pricer, batch):
        asked.append(batch.name)
        if len(asked) == 2:
            raise KeyboardInterrupt
        return priced(pricer, batch)

    with monkeypatch.context() as patch:
        patch.setattr(MenuPricer, "priced", stopped)
        shop.run("menu", str(written), "--into", str(table))
    assert not table.exists()
    assert len(list(shop.folder.glob("menu.csv.rows-*/*.json"))) == 1
    ran = shop.run("menu", str(written), "--into", str(table))
    assert ran.status == 0
    with table.open(encoding="utf-8") as stream:
        assert len(list(csv.DictReader(stream))) == 12


def test_what_is_wrong_with_a_menu_is_said_at_once(shop):
    wrong = shop.write(
        "wrong.toml",
        'title = "W"\nvehicles = []\ncatalogs = ["shop"]\n[goals.clearence]\nat_least = "1 m"\n'
        '[fixed]\ntyre = ["a"]\ntyres = 3\n',
    )
    ran = shop.run("menu", str(wrong), "--into", str(shop.folder / "menu.csv"))
    assert ran.status == 2
    for text in ("there are no vehicles", "clearence", "'tyre'", "no list of texts"):
        assert text in ran.err
    ran = shop.run("menu", str(wrong), "--into", str(shop.folder / "menu.doc"))
    assert ran.status == 2
    assert ".parquet or .csv" in ran.err


def end_this_worker():
    os.kill(os.getpid(), signal.SIGKILL)


def test_a_cluster_that_loses_a_worker_gives_the_same_rows(tmp_path):
    """Two workers, one of them killed while it prices; the rows are those of a run without Dask."""
    distributed = pytest.importorskip("distributed")
    pq = pytest.importorskip("pyarrow.parquet")
    trade = bundled.trade()
    vehicle = 'vehicle = "demo/orrest-wheatear"\ncatalogs = ["demo"]\nworkshop = "demo"\n'
    jobs = [
        MenuJob(
            number,
            f'title = "J"\n{vehicle}[goals."clearance under rear axle"]\nat_least = "{level} mm"\n',
            {"vehicle": "demo/orrest-wheatear", "level": str(level)},
        )
        for number, level in enumerate(range(200, 240))
    ]
    batches = batches_of(jobs, 4)
    files = menu_runs.packed([paths.catalogs()], [])
    here = menu_results.Rows(tmp_path / "here.parquet", files)
    menu_runs.run_here(batches, MenuPricer(trade), here)
    there = menu_results.Rows(tmp_path / "there.parquet", files)
    how_far = []
    with distributed.LocalCluster(
        n_workers=2, threads_per_worker=1, dashboard_address=None, host="127.0.0.1"
    ) as cluster:
        workers = [worker.pid for worker in cluster.workers.values()]

        class Killing(Progress):
            def report(self, done=0, of=0, words=""):
                how_far.append((done, of))
                if len(how_far) == 3:
                    os.kill(workers[0], signal.SIGKILL)

        with followed(Killing()):
            menu_runs.run_on_cluster(batches, files, there, cluster.scheduler_address)
    assert how_far[-1] == (40, 40)
    assert there.finish(batches) == here.finish(batches)
    tables = [
        pq.read_table(tmp_path / name).to_pylist() for name in ("here.parquet", "there.parquet")
    ]
    assert tables[0] == tables[1]
    assert {row["outcome"] for row in tables[0]} <= {"cheapest", "nothing fits"}


def test_a_scheduler_that_does_not_answer_is_named(tmp_path):
    pytest.importorskip("distributed")
    from configurator.core.errors import FitwrightError

    rows = menu_results.Rows(tmp_path / "a.csv", {})
    batches = batches_of([MenuJob(0, "", {"vehicle": "a"})])
    with pytest.raises(FitwrightError, match="does not answer"):
        menu_runs.run_on_cluster(batches, {}, rows, "tcp://127.0.0.1:9")
