"""Every figure before and after: complete, in order of how close it is to a limit."""

from __future__ import annotations

import json

import pytest

from configurator import homes, job_files, plugin_loading
from configurator.evaluation import Evaluation
from configurator.figures_sheet import figure_rows

TRADE = plugin_loading.load(installed=False).trade
JOB = homes.catalogs() / "demo" / "jobs" / "vineyard-trucks.toml"


@pytest.fixture(scope="module")
def evaluation():
    return Evaluation(job_files.read_case(JOB, TRADE), TRADE)


def test_every_figure_is_there_once_and_the_closest_first(evaluation):
    rows = figure_rows(evaluation, evaluation.fitted)
    assert {row.figure.name for row in rows} == {*TRADE.figures, *TRADE.totals}
    assert len(rows) == len({row.figure.name for row in rows})
    shares = [row.margin.share for row in rows if row.margin is not None]
    assert shares == sorted(shares)
    assert all(row.margin is None for row in rows[len(shares) :])
    assert all(not row.difference for row in rows)


def test_differences_are_after_less_before(evaluation):
    tyre = next(o for o in evaluation.options("tyres") if o.key == "demo/PTA-25585R16")
    rows = figure_rows(evaluation, {**evaluation.fitted, "tyres": tyre})
    (row,) = [row for row in rows if row.figure.name == "tyre diameter"]
    before = evaluation.fitted["tyres"].part.values["overall diameter"]
    expected = tyre.part.values["overall diameter"] - before
    # The figure is rounded to its resolution on either side.
    step = row.figure.resolution / 1000
    assert row.difference == pytest.approx(expected, abs=2 * step + 1e-9)
    assert row.difference == pytest.approx(row.after - row.before)


def test_the_command_writes_words_and_data(capsys):
    from configurator.cli import main

    with pytest.raises(SystemExit) as end:
        main(["figures", str(JOB), "--json"])
    assert end.value.code == 0
    data = json.loads(capsys.readouterr().out)
    crawl = next(one for one in data["figures"] if one["figure"] == "crawl ratio")
    assert crawl["after"] >= 52
    assert crawl["difference"] == pytest.approx(crawl["after"] - crawl["before"])
    assert "no approval" in data["notice"]
