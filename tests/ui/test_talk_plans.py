"""Stages, the day the job is ready, and last time, on the page without a browser."""

from __future__ import annotations

import datetime
from dataclasses import replace

import pytest

from configurator.core import paths
from configurator.evaluation.packages import make_package
from configurator.files import job_files, job_link
from configurator.files.job_text import write_job
from configurator.questions.case_cache import posed
from configurator.questions.ready_by import ready_dates
from configurator.questions.staging import plan_stages
from configurator.ui.talk import stage_data
from configurator.ui.talk import talk_words as say
from configurator.ui.talk.typed import NotReadError
from tests.ui.apps import act, go_to, opened, settled, shown, tap, text
from tests.ui.apps import visit as visit_of


@pytest.fixture(scope="module")
def job(trade):
    """A job of few changes: stages of it are found fast."""
    file = paths.catalogs() / "demo" / "jobs" / "touring-wagon-first-step.toml"
    return job_files.read_job(file, trade)


def write(visit, name, text):
    tap(visit, "plan", name=name, text=text, field=name)


def package_of(visit):
    evaluation = visit.talk.prepared().evaluation
    return evaluation, make_package(evaluation, visit.talk.cheapest().choice)


def test_stages_are_those_of_the_package_on_the_page(visit):
    shown(visit)
    evaluation, package = package_of(visit)
    half = package.price // 2
    write(visit, "stage budgets", f"{half / 100:.0f}, {package.price / 100:.0f} EUR")
    tap(visit, "stages", field="stage budgets")
    stages = shown(visit)["plans"]["stages"]
    assert stages["state"] == "done", stages["trouble"]
    plan = plan_stages(evaluation, package, stage_data.budgets_of(stages["budgets"], "EUR"))
    answer = stages["answer"]
    assert answer["split"] == bool(plan.stages)
    assert [card["price"] for card in answer["cards"]] == [
        say.exact_money(stage.price, "EUR") for stage in plan.stages
    ]
    assert [len(card["parts"]) for card in answer["cards"]] == [
        len(stage.positions) for stage in plan.stages
    ]
    assert answer["together"]
    # The job's next step has no stages yet, its fields keep what was typed.
    visit.change(replace(visit.job, goals=()), "drop the goals")
    stages = shown(visit)["plans"]["stages"]
    assert stages["answer"] is None
    assert stages["budgets"]


def test_what_cannot_be_split_says_what_must_be_first_and_why(visit):
    shown(visit)
    write(visit, "stage budgets", "1, 100000")
    tap(visit, "stages", field="stage budgets")
    evaluation, package = package_of(visit)
    answer = shown(visit)["plans"]["stages"]["answer"]
    # With one euro nothing is fitted first: an idle stage.
    assert answer["cards"][0]["parts"] == []
    write(visit, "stage budgets", "1; 2")
    tap(visit, "stages", field="stage budgets")
    answer = shown(visit)["plans"]["stages"]["answer"]
    assert not answer["split"]
    assert answer["cards"] == []
    assert "cannot be built within these budgets" in answer["summary"][0]
    plan = plan_stages(evaluation, package, [100, 200])
    sentence = " ".join(answer["together"]).lower()
    for step in plan.together:
        assert step.position in sentence
        assert all(rule.lower() in sentence for rule in step.rules)
    assert any(step.rules for step in plan.together)


def test_several_packages_are_labelled(visit):
    shown(visit)
    write(visit, "stage packages", "5")
    write(visit, "stage budgets", "100000")
    tap(visit, "stages", field="stage budgets")
    (line,) = shown(visit)["plans"]["stages"]["answer"]["which"]
    assert line.startswith("Of the 5 cheapest packages ")
    assert "the cheapest is the best to split" in line


@pytest.mark.parametrize(
    ("name", "what", "typed", "words"),
    [
        ("stage budgets", "stages", "much", "no amount"),
        ("stage budgets", "stages", "", "budget of each stage"),
        ("stage budgets", "stages", "6000 USD", "no amount"),
        ("ready by", "ready", "18 December", "2026-12-18"),
        ("ready by", "ready", "1026-12-18", "check the year"),
        ("ready lifts", "ready", "0", "lifts"),
        ("again number", "again", "", "2026-0001"),
    ],
)
def test_what_cannot_be_read_stays_beside_its_field(visit, data, name, what, typed, words):
    shown(visit)
    write(visit, name, typed)
    tap(visit, what, field=name)
    data_shown = shown(visit)
    assert words in data_shown["notes"][name]
    assert data_shown["plans"][what]["answer"] is None


def test_days_and_prices_are_those_of_the_command(visit, job):
    shown(visit)
    write(visit, "ready ordered", "2026-11-30")
    write(visit, "ready lifts", "2")
    write(visit, "ready by", "2027-06-01")
    tap(visit, "ready", field="ready by")
    ready = shown(visit)["plans"]["ready"]
    assert ready["state"] == "done", ready["trouble"]
    prepared = posed(visit.talk.prepared(), job)
    dates = ready_dates(prepared, datetime.date(2026, 11, 30), 2)
    assert [row[0] for row in ready["answer"]["rows"]] == [
        each.schedule.finished.isoformat() for each in dates
    ]
    assert ready["answer"]["lines"][0].startswith("Ready by 2027-06-01")


def test_as_last_time_from_a_saved_quotation(job, shelves, data):
    app = go_to(opened(job_link.to_parameter(job, shelves.trade)), "documents")
    app.text_input(key="kept by").set_value("Ada Adviser").run()
    app.button(key="keep quotation").click().run()
    settled(app)
    number = app.session_state["kept desk"].shown
    assert number
    app.button(key="like quotation").click().run()
    settled(app)
    visit = visit_of(app)
    assert (visit.part, visit.view, visit.turned) == ("talk", "build", (1, "again"))
    cards = visit.last["plans"]["again"]["answer"]["cards"]
    assert cards[0]["title"].startswith("Fewest changes: 0 changes")
    visit.plans.clear()
    act(app, "goal", figure=job.goals[0].figure, side="least", text="50")
    again = visit_of(app).last["plans"]["again"]
    assert again["number"] == number, "the open quotation is the one to begin with"
    # Acted on outside a run of the page, the session that knows what is open is not at hand.
    act(app, "plan", name="again number", text=number, field="again number")
    act(app, "again", field="again number")
    again = visit_of(app).last["plans"]["again"]
    assert again["state"] == "done", again["trouble"]
    cards = again["answer"]["cards"]
    assert cards[0]["title"].startswith("Fewest changes: 0 changes")
    act(app, "plan", name="again number", text="1999-0001", field="again number")
    act(app, "again", field="again number")
    assert any("1999-0001" in line for line in visit_of(app).refused)


def test_a_fleet_of_jobs_shares_tyres_at_the_price_of_the_command(job, shelves, data):
    app = go_to(opened(job_link.to_parameter(job, shelves.trade)), "fleet")
    assert app.button(key="fleet find").disabled
    name = "demo/touring-wagon-first-step"
    visit_of(app).change(replace(job, title="Two more", vehicles=2), "name the job")
    app.multiselect(key="fleet ready").select(name).run()
    assert app.button(key="fleet find").disabled, "one vehicle is no fleet"
    file = write_job(replace(job, title="Two [more](x)", vehicles=2), shelves.trade)
    app.file_uploader(key="fleet files").upload("two.toml", file.encode(), "text/plain").run()
    app.button(key="fleet find").click().run()
    settled(app)
    shared = app.session_state["fleet answer"]
    assert [(each.name, each.count) for each in shared.vehicles] == [
        (job.title, 1),
        ("Two [more](x)", 2),
    ]
    best = shared.answer.choices[0]
    assert best.price == best.prices[0] + 2 * best.prices[1]
    assert "Shared by all: tyres" in text(app)
    assert " EUR" not in text(app), "money is written one way on the page"
    app.number_input(key="fleet count 2 Two [more](x) 2").set_value(3).run()
    app.button(key="fleet find").click().run()
    settled(app)
    shared = app.session_state["fleet answer"]
    assert [each.count for each in shared.vehicles] == [1, 3]
    app.file_uploader(key="fleet files").upload("bad.toml", b"title = 3", "text/plain").run()
    assert "bad.toml" in text(app)


def test_amounts_of_stages_are_read_as_people_write_them():
    assert stage_data.budgets_of("€6,000, 6500", "EUR") == [600_000, 650_000]
    with pytest.raises(NotReadError):
        stage_data.budgets_of(";", "EUR")
