"""Ctrl-C in the middle of a search: what was found is shown and labelled, the status is 130."""

from __future__ import annotations

import itertools
import json
import os
import signal
import subprocess
import sys
import threading
import time
from contextlib import suppress
from dataclasses import replace
from pathlib import Path

import pytest

from configurator.cli.commands.options import _rows
from configurator.cli.interruption import NOTHING_YET, SAID, ended_like_ctrl_c, stoppable
from configurator.consequences import upgrades
from configurator.core.progress import Cancelled
from configurator.evaluation.packages import make_package
from configurator.questions import answers
from configurator.search.counting import model_counting
from configurator.search.explanation import conflicts
from configurator.search.optimum import (
    branch_and_bound,
    k_best,
    lexicographic,
    option_prices,
    package_listing,
    preparing,
    queries,
    resource_constraints,
    verification,
)
from configurator.search.optimum.preparing import Question
from configurator.search.optimum.restricted_optimum import Deciding
from configurator.search.pareto import diverse, fronts
from tests.search.random_cases import make

ROOT = Path(__file__).parents[2]
GOAL = 'budget = "2500 EUR"\n[goals."clearance under the axle"]\nat_least = "340 mm"\n'
TOO_DEAR = 'budget = "1000 EUR"\n[goals."clearance under the axle"]\nat_least = "345 mm"\n'


@pytest.fixture
def press(monkeypatch):
    """Return what makes the n-th call of a function press Ctrl-C instead."""

    def at(module, name, call=1):
        true, calls = getattr(module, name), []

        def pressed(*given, **named):
            calls.append(name)
            if len(calls) == call:
                signal.raise_signal(signal.SIGINT)
            return true(*given, **named)

        monkeypatch.setattr(module, name, pressed)

    return at


def test_find_gives_the_packages_found_so_far(shop, press):
    press(verification, "confirm", 2)
    ran = shop.run("find", shop.job(GOAL), "--cheapest", "5", "--json")
    record = json.loads(ran.out)
    assert (ran.status, ran.err) == (130, f"{SAID}\n")
    assert record["outcome"] == "best found"
    assert [package["price"]["amount"] for package in record["packages"]] == ["1799.00"]


def test_find_says_in_words_that_it_was_stopped(shop, press):
    press(verification, "confirm", 2)
    ran = shop.run("find", shop.job(GOAL), "--cheapest", "5")
    assert ran.status == 130
    assert "Best package found: 1,799.00 EUR" in ran.out
    assert "The search was stopped early: a cheaper package may exist." in ran.out


def test_packages_that_differ_as_far_as_they_were_found(shop, press):
    press(diverse, "_narrowed")  # when the second one is looked for
    ran = shop.run("find", shop.job(), "--different", "3", "--json")
    assert (ran.status, ran.err) == (130, f"{SAID}\n")
    record = json.loads(ran.out)
    assert [package["price"]["amount"] for package in record["packages"]] == ["0.00"]
    assert len(record["different"]["packages"]) == 1


def test_nothing_fits_without_what_was_not_worked_out(shop, press):
    press(conflicts, "repairs")
    ran = shop.run("find", shop.job(TOO_DEAR))
    assert ran.status == 130
    assert "Nothing fits" in ran.out
    assert "The search was stopped before every way out was worked out." in ran.out
    assert "does not help" not in ran.out


def test_why_gives_the_reasons_without_the_ways_out(shop, press):
    press(conflicts, "repairs")
    ran = shop.run("why", shop.job(TOO_DEAR))
    assert ran.status == 130
    assert "the tyre clears the arch" in ran.out
    assert "before every way out was worked out" in ran.out


def test_options_keep_the_prices_they_have(shop, press):
    press(option_prices, "close")
    ran = shop.run("options", shop.job(GOAL), "--json")
    assert ran.status == 130
    tyres = json.loads(ran.out)["positions"]["tyres"]
    assert {tyre["part"]: tyre["exact"] for tyre in tyres}["shop/T-80"] is True


def test_options_whose_price_is_open_cost_at_least_so_much():
    """Prices are left open where lists are too long; here every second one is made so."""
    random_case = make(1)
    prepared = answers.ready(random_case.case, random_case.trade, keep=False)
    states = [
        replace(state, exact=state.price is None or number % 2 == 0)
        for number, state in enumerate(
            state for each in answers.options(prepared).values() for state in each
        )
    ]
    left_open = [state for state in states if not state.exact]
    assert left_open
    rows = _rows(states, random_case.case.job)
    assert sum(row[2].startswith("at least ") for row in rows) == len(left_open)


def test_what_was_found_before_the_proof_is_given(monkeypatch):
    """Ctrl-C while packages are listed: what keeps everything is given, and not called proven.

    Before anything is listed no package is known but those that were given, each proven.
    """
    given = 0
    chosen, listed = k_best.chosen, k_best.numbers_in_order
    put = package_listing.Listing._put_kept
    for seed in range(150):
        random_case = make(seed, sums=True, parts=4)
        evaluation, job = random_case.evaluation, random_case.case.job
        prepared = preparing.prepare(evaluation, queries.goal_figures(job))
        for before in (2, 6):
            looked = itertools.count(1)

            def stop(*of, looked=looked, before=before):
                if next(looked) == before:
                    raise Cancelled
                return chosen(*of)

            packages = []
            with monkeypatch.context() as patch, suppress(branch_and_bound.Undecided):
                patch.setattr(k_best, "chosen", stop)
                packages.extend(option_prices.in_order(Question(prepared, job), partial=True))
            assert all(proven for _, _, proven in packages)

            listings = []

            def noted(listing, numbers, listings=listings):
                listings[:] = [listing]
                put(listing, numbers)

            def stop_listing(*of, before=before, listings=listings, **how):
                for package in listed(*of, **how):
                    if listings and len(listings[0]._waiting) >= before - 1:
                        raise Cancelled
                    yield package

            packages = []
            with monkeypatch.context() as patch, suppress(branch_and_bound.Undecided):
                patch.setattr(k_best, "numbers_in_order", stop_listing)
                patch.setattr(package_listing.Listing, "_put_kept", noted)
                packages.extend(option_prices.in_order(Question(prepared, job), partial=True))
            unproven = [package for package in packages if not package[2]]
            if unproven:
                price, choice, _ = unproven[0]
                assert resource_constraints.keeps_late(
                    evaluation, job, resource_constraints.late_of(Question(prepared, job)), choice
                )
                assert make_package(evaluation, choice).price == price
                given += 1
    assert given > 1


def test_a_count_stays_a_bound(shop, press):
    press(model_counting, "_within_budget")
    ran = shop.run("count", shop.job(GOAL), "--json")
    assert ran.status == 130
    record = json.loads(ran.out)
    assert record["packages"] == 2
    assert record["within_budget"] == {"packages": 0, "exact": False, "at_most": 2}


def test_levels_that_were_not_reached_stay_bounds():
    """Points of two figures are made exact one after the other; levels of one come at once."""
    reached = 0
    for seed in range(40):
        random_case = make(seed, families=4, sums=True)
        job = queries.without_wishes(random_case.case.job)
        names = [*random_case.trade.figures][:2]
        prepared = preparing.prepare(random_case.evaluation, names)
        if not set(names) <= set(prepared.model.goal_tables):
            continue  # nothing but sums tells it, which no table holds
        exact = {
            level.values: level.price for level in fronts.levels(Question(prepared, job), names)
        }
        true = Deciding.cheapest
        with pytest.MonkeyPatch.context() as patch:
            calls = []

            def cheapest(*given, true=true, calls=calls):
                calls.append(given)
                if len(calls) == 3:
                    raise Cancelled
                return true(*given)

            patch.setattr(Deciding, "cheapest", cheapest)
            levels = fronts.levels(Question(prepared, job), names, partial=True)
            front = fronts.front(
                Question(prepared, job), [(name, "high") for name in names], partial=True
            )
        assert {point.values for point in levels} >= set(exact)
        for point in [*levels, *front]:
            if point.values in exact:
                assert point.price <= exact[point.values]
                assert not point.exact or point.price == exact[point.values]
        reached += any(point.exact for point in levels) and not all(point.exact for point in levels)
    assert reached > 3


@pytest.mark.parametrize("command", ["find", "options", "why", "count", "trade-off", "needs"])
def test_before_anything_was_found(shop, press, command):
    where = {
        "needs": (upgrades, "forces_each"),
        "why": (conflicts, "explain"),
    }.get(command, (lexicographic, "settle"))
    press(*where)
    more = ["--figure", "clearance under the axle"] if command == "trade-off" else []
    ran = shop.run(command, shop.job(GOAL), *more)
    assert (ran.status, ran.out, ran.err) == (130, "", f"{NOTHING_YET}\n")


def test_ctrl_c_is_python_s_own_again_afterwards(shop):
    before = signal.getsignal(signal.SIGINT)
    shop.run("find", shop.job(GOAL))
    assert signal.getsignal(signal.SIGINT) is before


def test_a_search_in_another_thread_leaves_signals_alone():
    seen = []

    def search():
        with stoppable("searching") as stop:
            seen.append(stop.cancelled())

    thread = threading.Thread(target=search)
    thread.start()
    thread.join()
    assert seen == [False]


def test_a_library_call_is_interrupted_as_python_is(shop, press):
    random_case = make(5)
    prepared = preparing.prepare(random_case.evaluation, [])
    press(model_counting, "_within_budget")
    job = queries.without_wishes(random_case.case.job)
    with pytest.raises(KeyboardInterrupt):
        model_counting.count(Question(prepared, job))


SIGNALS = [getattr(signal, name, 0) for name in ("SIGINT", "SIGTERM", "SIGHUP")]


@pytest.mark.skipif(sys.platform == "win32", reason="Windows sends no SIGINT to one process")
@pytest.mark.parametrize("number", SIGNALS)
def test_a_real_signal_to_a_real_process(shop, number):
    plugin = shop.folder / "plugins/cart.py"
    plugin.write_text(
        plugin.read_text() + "\nimport time\nprint('ready', flush=True)\ntime.sleep(60)\n"
    )
    process = subprocess.Popen(
        shop.command("find", shop.job(GOAL)),
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    )
    assert process.stdout.readline() == "ready\n"
    time.sleep(0.1)
    process.send_signal(number)
    out, err = process.communicate(timeout=60)
    assert process.returncode == 130
    assert "Traceback" not in err
    assert out == ""


@pytest.mark.skipif(sys.platform == "win32", reason="Windows knows no SIGHUP")
def test_what_a_script_began_in_the_background_can_be_ended():
    before = signal.signal(signal.SIGINT, signal.SIG_IGN)
    try:
        with pytest.raises(KeyboardInterrupt), ended_like_ctrl_c():
            signal.raise_signal(signal.SIGTERM)
    finally:
        signal.signal(signal.SIGINT, before)


@pytest.mark.skipif(sys.platform == "win32", reason="Windows knows no SIGHUP")
def test_under_nohup_a_closed_terminal_is_ignored():
    seen = []
    before = signal.signal(signal.SIGHUP, signal.SIG_IGN)
    try:
        with ended_like_ctrl_c():
            signal.raise_signal(signal.SIGHUP)
            seen.append("went on")
        assert signal.getsignal(signal.SIGHUP) is signal.SIG_IGN
    finally:
        signal.signal(signal.SIGHUP, before)
    assert seen == ["went on"]


@pytest.mark.skipif(sys.platform == "win32", reason="Windows knows no SIGHUP")
@pytest.mark.parametrize("number", SIGNALS)
def test_what_was_begun_is_cleared_away(tmp_path, number):
    """A temporary folder of an import goes with the program, whatever ends it."""
    code = (
        "import sys, tempfile, time\n"
        "from configurator.cli import main\n"
        "from configurator.cli.program import app\n"
        "from configurator.core.atomic_files import temporary_folder\n"
        "@app.command()\n"
        "def wait():\n"
        "    with temporary_folder('fitwright-import-'):\n"
        "        print('ready', flush=True)\n"
        "        time.sleep(60)\n"
        "main(['wait'])\n"
    )
    process = subprocess.Popen(
        [sys.executable, "-c", code], stdout=subprocess.PIPE, text=True, cwd=ROOT,
        env={**os.environ, "TMPDIR": str(tmp_path)},
    )  # fmt: skip
    assert process.stdout.readline() == "ready\n"
    assert list(tmp_path.iterdir())
    process.send_signal(number)
    process.communicate(timeout=60)
    assert process.returncode == 130
    assert list(tmp_path.iterdir()) == []
