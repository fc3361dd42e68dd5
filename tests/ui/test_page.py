"""The page's wiring, without a browser: what is shown, and what a click does to the job."""

from __future__ import annotations

import time

import pytest
from streamlit.testing.v1 import AppTest

from configurator.core import paths
from configurator.files import job_files, job_link
from configurator.loading import plugin_files
from configurator.questions import edits
from configurator.ui.options import option_rows, option_table

JOB = "vineyard-trucks"


@pytest.fixture(scope="module")
def trade():
    return plugin_files.load(installed=False).trade


@pytest.fixture(scope="module")
def job(trade):
    return job_files.read_job(paths.catalogs() / "demo" / "jobs" / f"{JOB}.toml", trade)


@pytest.fixture
def page(job, trade):
    return opened(job_link.to_parameter(job, trade))


def opened(parameter):
    app = AppTest.from_file(str(paths.app()), default_timeout=120)
    app.query_params["job"] = parameter
    return settled(app.run())


def settled(app):
    """Run until nothing is being worked on: a test has no clock that runs the page."""
    end = time.monotonic() + 120
    while any(task.state == "running" for task in visit(app).tasks.values()):
        assert time.monotonic() < end
        time.sleep(0.05)
    app.run()
    assert not app.exception
    return app


def visit(app):
    return app.session_state["visit"]


def go_to(app, name):
    app.segmented_control(key="part").set_value(name).run()
    assert not app.exception
    return app


def text(app) -> str:
    every = [*app.markdown, *app.header, *app.caption, *app.title, *app.error, *app.warning]
    return "\n".join(str(one.value).replace("\\", "") for one in every)


def test_every_part_of_the_page_is_drawn(page):
    for name in page.segmented_control(key="part").options:
        settled(go_to(page, name))
        assert "Cheapest package: 5077.90 EUR" in text(page)


def test_what_was_noticed_while_reading_is_shown_closed_and_as_text(page):
    from dataclasses import replace

    from configurator.core.errors import Problem

    assert not any(one.label.startswith("Noticed") for one in page.expander)
    evaluation = visit(page).talk.prepared().evaluation
    shelved = visit(page).talk.shelf.find(visit(page).job).evaluation
    shelved.case = replace(
        evaluation.case, warnings=(Problem("tyres.csv, row 3", "the price is *old*", "ask anew"),)
    )
    page.run()
    assert not page.exception
    (noticed,) = [one for one in page.expander if one.label.startswith("Noticed")]
    assert noticed.label.endswith(": 1")
    assert "\\*old\\*" in noticed.markdown[0].value


def test_the_package_comes_with_cautions_and_no_approval(page):
    said = text(go_to(page, "The package"))
    assert "no approval" in said
    assert "To be approved by" in said
    assert "prices of 2026-10-01" in said


def test_deciding_on_a_part_moves_the_price_and_undo_and_redo_follow(page):
    go_to(page, "Options")
    row = next(
        one
        for one in option_rows.rows_of(visit(page))
        if one.position == "tyres" and "fix" in one.look.actions and (one.price or 0) > 507790
    )
    option_table.act(visit(page), f"fix\ntyres\n{row.key}")
    page.run()
    assert "Cheapest package: 5077.90 EUR" not in text(page)
    page.button(key="undo").click().run()
    assert "Cheapest package: 5077.90 EUR" in text(page)
    page.button(key="redo").click().run()
    go_to(page, "Wishes")
    assert "tyres:" in text(page)
    page.button(key="free tyres").click().run()
    assert "Cheapest package: 5077.90 EUR" in text(page)


def test_ruling_out_keeping_and_what_no_option_names(page):
    talk = visit(page)
    row = next(
        one
        for one in option_rows.rows_of(talk)
        if one.position == "tyres" and "in the package" in one.look.marks
    )
    option_table.act(talk, f"out\ntyres\n{row.key}")
    assert talk.job.excluded == (row.number,)
    assert talk.talk.cheapest().price > 507790
    option_table.act(talk, f"allow\ntyres\n{row.key}")
    option_table.act(talk, "fix\nfront springs\nfitted")
    assert talk.job.keep == ("front springs",)
    before = talk.job
    for odd in ("fix", "fix\ntyres\ndemo/none-such", "fix\nnowhere\nfitted", "drop\ntyres\nfitted"):
        option_table.act(talk, odd)
    assert talk.job == before


def test_a_budget_keeps_its_cents_and_is_only_written_when_edited(page, trade, job):
    from dataclasses import replace

    app = opened(job_link.to_parameter(replace(job, budget=560033), trade))
    field = next(one for one in app.number_input if one.label.startswith("Budget"))
    assert field.value == 5600.33
    app.selectbox(key="units").select("imperial").run()
    app.selectbox(key="units").select("").run()
    assert visit(app).job.budget == 560033
    assert not visit(app).talk.history.can_undo
    field = next(one for one in app.number_input if one.label.startswith("Budget"))
    field.set_value(4000.07).run()
    assert visit(app).job.budget == 400007
    assert "Over the budget by 1077.83 EUR." in text(app)


def test_a_currency_without_cents_is_not_divided_by_a_hundred():
    def page():
        import streamlit as st

        from configurator.ui import fields

        st.session_state.setdefault("written", [])
        fields.money("Budget", 5000, "JPY", "budget", st.session_state["written"].append)

    app = AppTest.from_function(page).run()
    assert app.number_input[0].value == 5000
    app.number_input[0].set_value(5100).run()
    assert app.session_state["written"] == [5100]


def test_switching_units_there_and_back_changes_no_goal(page):
    before = visit(page).job
    for system in ("imperial", "metric", "imperial", ""):
        page.selectbox(key="units").select(system).run()
        assert not page.exception
    assert visit(page).job == before
    page.selectbox(key="units").select("imperial").run()
    low = page.number_input(key="low clearance under rear axle in")
    assert low.value == 10.04
    low.set_value(10.0).run()
    assert visit(page).job.goals[2].at_least == 0.254


def test_what_each_value_costs_is_drawn_and_said_to_be_a_bound_where_it_is_one(page):
    assert "Limits on sums over the whole vehicle are not counted" in text(page)
    page.checkbox(key="curve crawl ratio").check().run()
    assert not page.exception
    assert not page.error


def test_bounds_that_cross_are_refused_and_nothing_changes(page):
    before = visit(page).job
    page.number_input(key="high crawl ratio ").set_value(10.0).run()
    assert visit(page).job == before
    assert "is above at most" in text(page)


def test_a_condition_is_worked_out_anew_and_one_out_of_bounds_is_refused(page):
    page.number_input(key="condition cruising speed km/h").set_value(90.0).run()
    settled(page)
    assert visit(page).job.conditions["cruising speed"] == pytest.approx(25.0)
    assert "Cheapest package" in text(page)
    before = visit(page).job
    page.number_input(key="condition cruising speed km/h").set_value(-5.0).run()
    assert visit(page).job == before
    assert "must be at least" in text(page)


def test_a_goal_no_package_meets_offers_repairs_that_work(page):
    talk = visit(page)
    goal = edits.goal_on(talk.job, "crawl ratio")
    from dataclasses import replace

    talk.change(edits.with_goal(talk.job, replace(goal, at_least=500.0)), "too much")
    go_to(page, "The package")
    assert "No package meets everything" in text(page)
    go_to(page, "Wishes")
    assert "None of that meets this wish" in text(page)
    assert "Another wish stands in the way" in text(page)
    assert not page.button(key="no package").disabled
    go_to(page, "The package")
    page.button(key="ask why").click().run()
    settled(page)
    assert "What can change" in text(page)
    page.button(key="repair 0").click().run()
    assert "Cheapest package" in text(page)


def test_a_link_that_is_no_job_is_refused_and_the_page_stands(monkeypatch):
    monkeypatch.setattr("configurator.ui.visit.FIRST_JOB", f"demo/{JOB}")
    app = opened("1.abc.00000000")
    assert "damaged or cut off" in text(app)
    assert "Cheapest package" in text(app)


def test_a_job_that_names_what_is_not_there_is_refused_with_all_problems(trade, job):
    from dataclasses import replace

    bad = replace(job, vehicle="demo/nothing-such", fixed={"tyres": "demo/NO-1"})
    app = opened(job_link.to_parameter(bad, trade))
    said = text(app)
    assert "cannot be worked out" in said
    assert "nothing-such" in said
    assert "NO-1" in said


def test_packages_are_set_side_by_side_and_what_differs_is_said(page):
    go_to(page, "The package")
    page.button(key="hold the cheapest").click().run()
    page.button(key="look for others").click().run()
    settled(page)
    other = next(
        b for b in page.button if b.key and b.key.startswith("hold other") and not b.disabled
    )
    other.click().run()
    assert len(visit(page).beside) == 2
    go_to(page, "Side by side")
    from configurator.evaluation.packages import make_package
    from configurator.ui import compare

    here = visit(page)
    evaluation = here.talk.prepared().evaluation
    packages = [make_package(evaluation, held.choice) for held in here.beside]
    rows = compare.rows(here, evaluation, packages)
    assert any("differs" in row[2] for row in rows)
    assert " more)" in rows[0][2]
    page.text_input(key="name 1").set_value("for the spring").run()
    page.text_input(key="name 0").set_value("for the spring").run()
    assert [held.name for held in visit(page).beside] == ["As opened", "for the spring"]
    page.button(key="take away 0").click().run()
    assert len(visit(page).beside) == 1
