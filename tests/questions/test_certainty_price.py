"""What certainty costs, on a bundled job: two totals, what differs, and what could be instead."""

from __future__ import annotations

from dataclasses import replace

import pytest

from configurator.core import paths
from configurator.evaluation.how_sure import unsure_rules
from configurator.files import job_files
from configurator.questions import answers, certainty_price, measuring_first
from configurator.questions.case_cache import posed
from configurator.questions.certainty_price import price_of_certainty
from configurator.questions.measuring_first import CLOSER, name_of, worth_measuring
from configurator.search.optimum import preparing, queries
from configurator.wording.certainty_price_words import (
    certainty_lines,
    certainty_record,
    measuring_lines,
)
from configurator.wording.quantities import money_words
from tests import bundled


@pytest.fixture(scope="module")
def prepared():
    trade = bundled.trade()
    job = paths.catalogs() / "demo" / "jobs" / "touring-wagon-first-step.toml"
    return answers.ready(job_files.read_case(job, trade), trade, sure=True)


def test_certainty_costs_more_and_leaves_nothing_unsure(prepared):
    evaluation = prepared.evaluation
    price = price_of_certainty(prepared)
    assert price.calculated.proven
    assert price.sure.proven
    assert price.calculated.price < price.sure.price
    assert unsure_rules(evaluation, price.calculated.choice)
    assert not unsure_rules(evaluation, price.sure.choice)
    changed = {p for p, o in price.calculated.choice.items() if o is not price.sure.choice[p]}
    assert set(price.differing) == changed != set()


def test_a_job_that_asks_for_it_gets_the_package_that_is_sure(prepared):
    price = price_of_certainty(prepared)
    job = prepared.evaluation.case.job
    asked = posed(prepared, replace(job, sure=True, budget=price.sure.price))
    (package,) = answers.find(asked).packages
    assert package.price == price.sure.price
    short = posed(prepared, replace(job, sure=True, budget=price.sure.price - 1))
    answer = answers.find(short)
    assert (answer.outcome, answer.only_money) == ("nothing fits", price.sure.price)


def test_a_package_that_is_sure_already_needs_no_other_tables(prepared, monkeypatch):
    certain = price_of_certainty(prepared).sure.choice
    fixed = {p: o.key for p, o in certain.items() if o.changed}
    kept = tuple(p for p, o in certain.items() if not o.changed and o.part.key == "fitted")
    asked = posed(prepared, replace(prepared.evaluation.case.job, fixed=fixed, keep=kept))
    monkeypatch.setattr(certainty_price, "made_sure", lambda _: pytest.fail("not needed"))
    price = price_of_certainty(asked)
    assert price.calculated.price == price.sure.price
    assert price.differing == ()


def test_a_case_made_ready_for_figures_as_calculated_is_made_ready_anew(prepared):
    evaluation = prepared.evaluation
    plain = preparing.prepare(evaluation, queries.goal_figures(evaluation.case.job), sure=False)
    assert plain.model.joint is None
    again, known = price_of_certainty(plain), price_of_certainty(prepared)
    assert (again.calculated.price, again.sure.price) == (known.calculated.price, known.sure.price)
    assert again.differing == known.differing


def test_both_totals_are_said_with_what_differs(prepared):
    price = price_of_certainty(prepared)
    evaluation = prepared.evaluation
    job = evaluation.case.job
    asked = certainty_lines(posed(prepared, replace(job, sure=True)).evaluation, price)
    lines = certainty_lines(posed(prepared, replace(job, sure=False)).evaluation, price)
    totals = [money_words(p.price, job.currency) for p in (price.calculated, price.sure)]
    assert lines[0].startswith(f"{totals[0]} as calculated. {totals[1]} so that")
    assert asked[0].startswith(f"{totals[1]} so that"), "the price of the job comes first"
    assert f"as asked for; {totals[0]} as calculated only" in asked[0]
    assert all(price.differing[0] in line for line in (lines[0], asked[0]))
    record = certainty_record(evaluation, price)
    assert set(record["differs"]) == set(price.differing)
    assert record["sure"]["amount"] > record["as_calculated"]["amount"]


def test_where_nothing_is_sure_it_is_said_what_would_have_to_give(prepared):
    job = prepared.evaluation.case.job
    # Packages with the parts that make it dear are ruled out: what is left is not sure.
    price = price_of_certainty(prepared)
    dear = [price.sure.choice[p] for p in price.differing if price.sure.choice[p].changed]
    excluded = {option.key for option in dear}
    while True:
        asked = posed(prepared, replace(job, excluded=tuple(sorted(excluded))))
        left = price_of_certainty(asked)
        if left.sure.choice is None or len(excluded) > 60:
            break
        more = {
            option.key
            for position, option in left.sure.choice.items()
            if option.changed and position in left.differing
        }
        if not more:
            break
        excluded |= more
    assert left.calculated.price is not None
    assert left.sure.choice is None
    assert left.sure.proven
    lines = certainty_lines(prepared.evaluation, left)
    assert len(lines) > 1
    assert left.instead


def test_what_is_worth_measuring_saves_what_solving_anew_says(prepared):
    """The shocks' length decides: known more closely, the package that is sure costs less."""
    evaluation = prepared.evaluation
    price, worth = worth_measuring(prepared, evaluation.case, evaluation.trade)
    assert len(worth) == 3
    savings = [item.saving for item in worth]
    assert savings == sorted(savings, reverse=True)
    best = worth[0]
    assert best.saving == price.sure.price - best.price > 0
    now = measuring_first.tolerance_of(evaluation, price.calculated.choice, best.source)
    assert best.closer.amount == pytest.approx(CLOSER * now.amount)
    assert ": " in name_of(evaluation, best.source)  # a family's attribute, as in a job's file
    assert "less" in measuring_lines(evaluation, price, worth)[0]
