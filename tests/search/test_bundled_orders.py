"""The orders of elimination that come with the bundled vehicles: they serve, and decide nothing."""

from __future__ import annotations

import json

import pytest

from configurator.core import paths
from configurator.evaluation.evaluator import Evaluation
from configurator.files.job_files import read_case
from configurator.search.circuit import elimination
from configurator.search.optimum import known_orders, option_prices, preparing, queries
from configurator.search.optimum.preparing import Question
from tests import bundled

JOBS = sorted((paths.catalogs() / "demo" / "jobs").glob("*.toml"))


TOURING = next(path for path in JOBS if "touring" in path.stem)


@pytest.fixture(autouse=True)
def nothing_kept(tmp_path, monkeypatch):
    monkeypatch.setenv("FITWRIGHT_DATA", str(tmp_path))


@pytest.fixture(scope="module")
def expected(tmp_path_factory):
    """Price of the touring wagon, joined in the order that comes with it."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("FITWRIGHT_DATA", str(tmp_path_factory.mktemp("expected")))
        return cheapest(read_case(TOURING, bundled.trade()))


def cheapest(case):
    trade = bundled.trade()
    figures = queries.goal_figures(case.job)
    prepared = preparing.prepare(Evaluation(case, trade), figures, within=case.job, keep=True)
    package = option_prices.cheapest(Question(prepared, case.job))
    assert package.proven
    return package.price


@pytest.mark.parametrize("path", JOBS, ids=lambda path: path.stem)
def test_the_bundled_jobs_are_joined_in_them(path, monkeypatch):
    """Where it fails, lists or rules have changed: ``make orders`` looks for others."""
    case = read_case(path, bundled.trade())
    monkeypatch.setattr(elimination, "contract", lambda *_: pytest.fail("another was looked for"))
    price = cheapest(case)
    monkeypatch.undo()
    assert price is not None
    assert price > 0


@pytest.mark.parametrize("path", JOBS, ids=lambda path: path.stem)
def test_they_serve_where_limits_are_marked_too(path, monkeypatch):
    case = read_case(path, bundled.trade())
    evaluation, figures = Evaluation(case, bundled.trade()), queries.goal_figures(case.job)
    monkeypatch.setattr(elimination, "contract", lambda *_: pytest.fail("another was looked for"))
    prepared = preparing.prepare(evaluation, figures, sure=True, keep=True)
    assert prepared.loose is None
    assert prepared.model.sure_rows


@pytest.mark.parametrize(
    "written",
    [
        None,
        "",
        "[]",
        '{"demo/orrest-wheatear": 3}',
        '{"demo/orrest-wheatear": {"order": [3], "rows": 10}}',
        '{"demo/orrest-wheatear": {"order": ["no such figure"], "rows": 10}}',
        '{"demo/orrest-wheatear": {"order": ["tyres: overall diameter"], "rows": "many"}}',
    ],
)
def test_prices_do_not_hang_on_the_file(written, expected, tmp_path, monkeypatch):
    file = tmp_path / "orders.json"
    if written is not None:
        file.write_text(written, encoding="utf-8")
    monkeypatch.setattr(known_orders, "bundled_file", lambda: file)
    assert cheapest(read_case(TOURING, bundled.trade())) == expected


def test_an_order_back_to_front_gives_the_same(expected, tmp_path, monkeypatch):
    orders = json.loads(known_orders.bundled_file().read_text(encoding="utf-8"))
    for entry in orders.values():
        entry["order"].reverse()
    file = tmp_path / "orders.json"
    file.write_text(json.dumps(orders), encoding="utf-8")
    monkeypatch.setattr(known_orders, "bundled_file", lambda: file)
    assert cheapest(read_case(TOURING, bundled.trade())) == expected
