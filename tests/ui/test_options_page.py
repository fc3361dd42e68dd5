"""The table of options: what it says, what is sent for it, and that it says the same on screen."""

from __future__ import annotations

import json
import re
from dataclasses import replace

import pytest

from configurator.core import paths
from configurator.files import job_files, job_link
from configurator.loading import plugin_files
from configurator.questions import edits
from configurator.ui.options import option_rows
from configurator.ui.safe_text import difference
from configurator.ui.shared_cases import Library, session_for
from configurator.ui.visit import Visit
from configurator.wording.quantities import money_words
from tests.ui.serving import go_to, ready, run_of, still


@pytest.fixture(scope="module")
def loaded():
    return plugin_files.load(installed=False)


@pytest.fixture(scope="module")
def jobs(loaded):
    return {
        name: job_files.read_job(paths.catalogs() / "demo" / "jobs" / f"{name}.toml", loaded.trade)
        for name in ("vineyard-trucks", "hut-track-wagon")
    }


@pytest.fixture(scope="module")
def shelves(loaded):
    return Library(loaded, ())


@pytest.fixture
def visit(jobs, shelves):
    return Visit(session_for(jobs["vineyard-trucks"], shelves), shelves)


def sent(visit):
    rows = option_rows.rows_of(visit)
    version, names = option_rows.lasting(rows)
    return names, option_rows.passing(visit, rows, version)


def test_a_click_sends_no_name_anew_and_what_is_sent_stands_for_the_rows(visit):
    names, before = sent(visit)
    row = next(
        one
        for one in option_rows.rows_of(visit)
        if "fix" in one.look.actions and one.number and not one.look.marks
    )
    visit.change(edits.fix(visit.job, row.position, row.key), "fix it")
    after_names, after = sent(visit)
    assert after_names == names
    assert after != before
    told = json.loads(names)
    assert told["version"] == before["version"] == after["version"]
    # Put together again, the two say what the rows are.
    flat = [(position, *one) for position, parts in told["positions"] for one in parts]
    for one, name, (look, price, moves) in zip(
        option_rows.rows_of(visit), flat, after["rows"], strict=True
    ):
        assert name == (one.position, one.key, one.title, one.number)
        assert price == one.price
        assert after["moves"][moves] == one.moves
        state, words, exact, marks, actions = after["looks"][look]
        assert one.look == option_rows.Look(state, words, exact, tuple(marks), tuple(actions))
    # Names with their keys and numbers are most of it: they are not in what a click sends.
    assert row.title not in json.dumps(after["rows"])
    assert len(after["looks"]) < len(after["rows"]) / 4


def test_other_parts_have_other_versions(visit, jobs, shelves):
    names, _ = sent(visit)
    other, _ = sent(Visit(session_for(jobs["hut-track-wagon"], shelves), shelves))
    assert json.loads(names)["version"] != json.loads(other)["version"]


def words(visit, row):
    """Say a row as the table has to, with the words that all else of the program uses."""
    job, base = visit.job, visit.talk.cheapest().price
    about = "" if row.look.exact else "at least "
    state = row.look.words
    if option_rows.EXCESS in state:
        excess = about + money_words(row.price - job.budget, job.currency)
        state = state.replace(option_rows.EXCESS, excess)
    price = "none" if row.price is None else about + money_words(row.price, job.currency)
    against = ""
    if row.price is not None and base is not None:
        more = row.price - base
        against = about + difference(more, job.currency)
        if not row.look.exact and more == 0:
            against = "the same or more"
    return [state, price, against, row.moves]


_TABLE = """() => {
  const host = [...document.querySelectorAll("*")].find(
    (one) => one.shadowRoot?.querySelector("tr.group"));
  return Object.fromEntries([...host.shadowRoot.querySelectorAll("tr[data-key]")].map((row) =>
    [row.dataset.key, {
      cells: [...row.querySelectorAll("td:not(.decide)")].map((cell) => cell.textContent),
      title: row.querySelector(".title").textContent,
      marks: [...row.querySelectorAll(".mark")].map((one) => one.textContent),
      actions: [...row.querySelectorAll("button")].map((one) => one.dataset.do),
    }]));
}"""


def same(page, visit):
    shown = page.evaluate(_TABLE)
    rows = option_rows.rows_of(visit)
    assert list(shown) == [f"{row.position}\n{row.key}" for row in rows]
    for row in rows:
        here = shown[f"{row.position}\n{row.key}"]
        assert here["cells"] == words(visit, row)
        assert here["title"] == row.title
        assert here["marks"] == list(row.look.marks)
        assert here["actions"] == list(row.look.actions)


@pytest.mark.browser
def test_the_screen_says_what_the_rows_say_after_clicks_reload_and_another_job(
    open_page, jobs, visit
):
    tight = replace(jobs["vineyard-trucks"], budget=520_000)
    visit.change(tight, "a budget that some options are over")
    assert {row.look.state for row in option_rows.rows_of(visit)} > {"available", "over"}
    page = open_page(tight)
    go_to(page, "Options")
    page.wait_for_selector("tr.group")
    same(page, visit)

    page.get_by_role("combobox", name="Position", exact=True).select_option("tyres")
    fix = page.locator("tr.available:visible", has_text="more").first.get_by_role(
        "button", name=re.compile("^Fix")
    )
    key = fix.get_attribute("data-key").partition("\n")[2]
    fix.click()
    page.get_by_role("button", name=re.compile("^Free")).first.wait_for()
    still(page)
    visit.change(edits.fix(visit.job, "tyres", key), "the same")
    # Rows that were not shown meanwhile are drawn as they are now.
    page.get_by_role("combobox", name="Position", exact=True).select_option("")
    same(page, visit)

    page.reload()
    ready(page)
    go_to(page, "Options")
    page.wait_for_selector("tr.group")
    same(page, visit)

    # Another part of the page and back: the table is built anew from names that are there.
    go_to(page, "Wishes")
    go_to(page, "Options")
    page.wait_for_selector("tr.group")
    same(page, visit)


# -- look-up ------------------------------------------------------------------------------------


@pytest.fixture
def app(jobs, loaded):
    from streamlit.testing.v1 import AppTest

    opened = AppTest.from_file(str(paths.app()), default_timeout=120)
    opened.query_params["job"] = job_link.to_parameter(jobs["vineyard-trucks"], loaded.trade)
    opened.run()
    opened.session_state["visit"].talk.prepare()
    opened.segmented_control(key="part").set_value("Options").run()
    assert not opened.exception
    return opened


def ask(app, number, field, way, value):
    app.selectbox(key=f"look up field {number}").select(field).run()
    app.selectbox(key=f"look up way {number}").select(way).run()
    app.text_input(key=f"look up value {number}").set_value(value).run()
    assert not app.exception


def test_tyres_are_looked_up_by_several_conditions_in_the_units_that_are_on(app):
    from configurator.ui.options import lookup

    app.selectbox(key="units").select("imperial").run()
    app.selectbox(key="look up position").select("tyres").run()
    ask(app, 0, "overall diameter", ">=", "31")
    app.button(key="look up more").click().run()
    ask(app, 1, "load index", ">=", "116")
    visit = app.session_state["visit"]
    assert [one.value for one in visit.look_up[1]] == ["31 in", "116"]
    assert app.text_input(key="look up value 0").label.endswith("[in]")
    found = lookup.look_up(visit)
    evaluation = visit.talk.prepared().evaluation
    wanted = {
        one.key
        for one in evaluation.options("tyres")
        if one.key != "none"
        and one.part.values["overall diameter"] >= 31 * 0.0254 * (1 - 1e-9)
        and isinstance(one.part.values["load index"], int)
        and one.part.values["load index"] >= 116
    }
    assert set(found.facts) == wanted
    assert 0 < len(wanted) < len(evaluation.options("tyres"))
    assert all(" in; load index 1" in fact for fact in found.facts.values())
    # Other units show other numbers, and move nothing.
    app.selectbox(key="units").select("metric").run()
    assert set(lookup.look_up(visit).facts) == wanted
    assert all(" mm; load index 1" in fact for fact in lookup.look_up(visit).facts.values())
    app.button(key="look up without 0").click().run()
    assert [one.attribute for one in visit.look_up[1]] == ["load index"]
    app.selectbox(key="look up position").select("").run()
    assert lookup.look_up(visit) is None


def test_what_cannot_be_read_is_said_in_place_and_left_out(app):
    from configurator.ui.options import lookup

    app.selectbox(key="look up position").select("tyres").run()
    ask(app, 0, "overall diameter", ">=", "35 kg")
    (error,) = app.error
    assert error.value.replace("\\", "").startswith("Condition 1, overall diameter: unit")
    assert "--" not in error.value.replace("\\", "")
    every = lookup.look_up(app.session_state["visit"])
    assert len(every.facts) > 10
    ask(app, 0, "price", "<=", "-")
    (error,) = app.error
    assert "not an amount of money" in error.value
    ask(app, 0, "title", "has", "mud")
    assert not app.error
    some = lookup.look_up(app.session_state["visit"])
    assert 0 < len(some.facts) < len(every.facts)


@pytest.mark.browser
def test_a_look_up_leaves_only_what_meets_it_in_the_table(open_page):
    from playwright.sync_api import TimeoutError as TimedOut

    page = open_page()
    go_to(page, "Options")
    page.wait_for_selector("tr.group")
    page.get_by_text("Look up by what the lists say").click()
    chosen = page.get_by_role("combobox", name=re.compile("Options of which position"))
    offered = page.locator("[role=listbox] [role=option]", has_text=re.compile("^tyres$"))
    for last in (False, False, True):
        still(page)
        chosen.focus()
        page.keyboard.type("tyres")
        try:
            offered.wait_for(timeout=30_000 if last else 8_000)
            break
        except TimedOut:  # the field was drawn anew just then: once more
            if last:
                raise
            page.keyboard.press("Escape")
    with run_of(page):
        page.keyboard.press("Enter")
    value = page.get_by_role("textbox", name=re.compile("^Value 1"))
    value.fill("31 in")
    value.press("Enter")
    page.get_by_text(re.compile("options for tyres meet this")).wait_for()
    page.locator("tr[data-key]:visible .fact", has_text="mm").first.wait_for()
    still(page)
    said = page.get_by_text(re.compile("options for tyres meet this")).inner_text()
    many = int(said.split()[0])
    assert page.locator("tr[data-key]:visible").count() == many
    assert page.locator("tr[data-key]:visible .fact").count() == many
