"""Every figure before and after: complete, in order of how close it is to a limit."""

from __future__ import annotations

import contextlib
import io
import json
import re

import pytest

from configurator.core import paths
from configurator.evaluation.evaluator import Evaluation
from configurator.evaluation.figures_table import by_source, figure_rows
from configurator.files import job_files
from tests import bundled

TRADE = bundled.trade()
JOB = paths.catalogs() / "demo" / "jobs" / "vineyard-trucks.toml"


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
    crawl = next(figure for figure in data["figures"] if figure["figure"] == "crawl ratio")
    assert crawl["after"] >= 52
    assert crawl["difference"] == pytest.approx(crawl["after"] - crawl["before"])
    assert "no approval" in data["notice"]


def test_every_source_names_its_figures_once(evaluation):
    rows = figure_rows(evaluation, evaluation.fitted)
    grouped = by_source(rows)
    assert sorted(name for _, names in grouped for name in names) == sorted(
        row.figure.name for row in rows
    )
    assert "front track" in dict(grouped)["49 CFR 523.2 (2015 edition), track width; ISO 612:1978"]


@pytest.fixture(scope="module")
def shown():
    from configurator.cli import main

    stream = io.StringIO()
    with contextlib.redirect_stdout(stream), pytest.raises(SystemExit) as end:
        main(["figures", str(JOB)])
    assert end.value.code == 0
    return stream.getvalue()


def row_of(shown, figure):
    (line,) = [line for line in shown.splitlines() if line.startswith(f"  {figure}  ")]
    return re.split(r" {2,}", line.strip())


def test_the_command_writes_a_table_closest_first(shown):
    # A figure with a limit of its own says only the bound: 2700 kg less what it weighs now.
    name, before, after, difference, limit, margin = row_of(shown, "vehicle mass")
    assert (name, before, limit) == ("vehicle mass", "2,250 kg", "maximum 2,700 kg")
    has = float(after.split()[0].replace(",", ""))
    assert float(difference.split()[0]) == pytest.approx(has - 2250, abs=0.5)
    assert float(margin.split()[0]) == pytest.approx(100 * (2700 - has) / 2700, abs=0.05)
    # So does one that a limit reads as it is, but not one that is the bound of another number.
    assert row_of(shown, "static stability factor")[4] == "minimum 0.85"
    gears = row_of(shown, "rear ring gear torque")[4]
    assert gears.startswith("rear crown wheel and pinion, torque rating")
    # One that a limit reads says which, and what that has and needs.
    assert row_of(shown, "front studs")[4] == "wheel nuts beyond one for each stud 0, minimum 0"
    # No limit reads the turning circle: four cells.
    assert len(row_of(shown, "turning circle")) == 4
    margins = [float(m) for m in re.findall(r" (-?[\d.]+) %$", shown, flags=re.M)]
    head = shown.index("Figures that no limit reads")
    limited = len(re.findall(r" (-?[\d.]+) %$", shown[:head], flags=re.M))
    assert margins[:limited] == sorted(margins[:limited])
    assert "\n  - definition: " in shown[shown.index("How they are worked out") :]


def test_data_says_the_margin_in_the_limits_own_unit(capsys):
    from configurator.cli import main

    with pytest.raises(SystemExit):
        main(["figures", str(JOB), "--json"])
    data = json.loads(capsys.readouterr().out)
    assert {figure["figure"] for figure in data["figures"]} == {*TRADE.figures, *TRADE.totals}
    (mass,) = [figure for figure in data["figures"] if figure["figure"] == "vehicle mass"]
    limit = mass["limit"]
    assert limit["unit"] == "kg"
    assert limit["margin"] == pytest.approx(limit["needs"] - limit["has"])
    assert limit["margin_share"] == pytest.approx(limit["margin"] / limit["needs"])
    for figure in data["figures"]:
        assert figure["source"]
        assert figure["limit"] is None or figure["limit"]["margin"] >= -1e-6
