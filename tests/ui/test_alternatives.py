"""Packages that differ, those set aside, waits and exact curves: without a browser."""

from __future__ import annotations

import time
from dataclasses import replace

import pytest
from streamlit.testing.v1 import AppTest

from configurator.core import paths
from configurator.evaluation.packages import Package, margins_of
from configurator.files import job_files
from configurator.loading import plugin_files
from configurator.model.jobs import Goal
from configurator.questions import edits
from configurator.search.optimum import option_prices
from configurator.search.pareto import diverse
from configurator.ui import alternatives, beside, compare, delivery, goals, price_curve
from configurator.ui.options import option_table
from configurator.ui.shared_cases import Library, session_for
from configurator.ui.tasks import Stopped, Task
from configurator.ui.visit import Held, Visit
from configurator.wording.sentences import margin_words

JOB = "vineyard-trucks"


@pytest.fixture(scope="module")
def shelves():
    return Library(plugin_files.load(installed=False), ())


@pytest.fixture(scope="module")
def job(shelves):
    return job_files.read_job(paths.catalogs() / "demo" / "jobs" / f"{JOB}.toml", shelves.trade)


@pytest.fixture
def visit(shelves, job):
    found = Visit(session_for(job, shelves), shelves)
    found.talk.prepare()
    return found


def drawn(visit, show):
    """Draw one part of the page for a visit."""

    def script(visit, show):
        show(visit)

    app = AppTest.from_function(script, default_timeout=120, args=(visit, show)).run()
    assert not app.exception
    return app


def text(app) -> str:
    every = [*app.markdown, *app.header, *app.subheader, *app.caption, *app.warning]
    return "\n".join(str(one.value).replace("\\", "") for one in every)


def ended(task):
    end = time.monotonic() + 900  # a shared machine is slow at times
    while task.state == "running":
        assert time.monotonic() < end
        time.sleep(0.02)
    return task


def show_others(visit):
    alternatives.show(visit, visit.talk.prepared().evaluation)


def test_others_differ_from_each_other_in_what_much_hangs_on(visit):
    said = []
    others = alternatives.find(visit.talk, said.append)
    evaluation, found = visit.talk.prepared().evaluation, others.found
    assert found.packages[0].price == visit.talk.cheapest().price
    assert len(found.packages) > 1
    assert said[0] == f"0 of up to {alternatives.MOST - 1} found"
    for number, package in enumerate(found.packages):
        assert package.price <= visit.job.budget
        for other in found.packages[:number]:
            big = diverse.differing(evaluation, found.big, package.choice, other.choice)
            assert len(big) >= found.least


def test_others_are_looked_for_without_the_budget_where_all_is_over_it(visit, monkeypatch):
    monkeypatch.setattr(alternatives, "MOST", 2)
    visit.change(replace(visit.job, budget=100), "set the budget")
    alternatives.look(visit)
    others = ended(visit.tasks[alternatives.TASK]).result
    assert others.over_budget
    assert len(others.found.packages) == 2
    assert "looked for without it" in text(drawn(visit, show_others))


def test_what_was_found_is_said_and_one_of_them_can_be_gone_on_with(visit):
    assert "differs in a nut" in text(drawn(visit, show_others))
    alternatives.look(visit)
    ended(visit.tasks[alternatives.TASK])
    app = drawn(visit, show_others)
    assert "tyres with overall diameter 843.1 mm instead of 839.9 mm" in text(app)
    assert "Other 1: 5447.50 EUR, 369.60 EUR more" in text(app).replace("*", "")
    app.button(key="take other 1").click().run()
    assert visit.talk.cheapest().price == 544750
    assert visit.talk.history.can_undo.startswith("go on with tyres 843.1 mm, wheels 10 mm")
    # Undone, what was found is still known, though no work is going on.
    visit.undo()
    assert not visit.tasks
    assert "Other 1:" in text(drawn(visit, show_others))


def test_a_stopped_search_gives_what_was_found_and_says_so(visit):
    """The search is stopped as it tells of its first package."""

    def work(say):
        def told(words):
            say(words)
            raise Stopped

        return alternatives.find(visit.talk, told)

    task = ended(Task("", work))
    task.halted = True
    assert task.state == "done"
    assert len(task.result.found.packages) == 1
    visit.tasks[alternatives.TASK] = task
    app = drawn(visit, show_others)
    assert "Stopped: these were found by then." in text(app)
    assert app.button(key="look for others").label == "Look again"
    assert visit.talk.known(alternatives.KNOWN) is None


def test_a_package_is_named_by_the_step_that_made_it(visit):
    def show(visit):
        choice = visit.talk.cheapest().choice
        beside.button(visit, beside.step_name(visit.talk.history), choice, "hold")

    drawn(visit, show).button(key="hold").click().run()
    front = visit.talk.cheapest().choice["tyres"]
    others = [o for o in visit.talk.options()["tyres"] if o.price and o.option.key != front.key]
    dear = max(others, key=lambda one: one.price).option
    visit.change(edits.fix(visit.job, "tyres", dear.key), f"fix the tyres: {dear.part.title}")
    drawn(visit, show).button(key="hold").click().run()
    names = [held.name for held in visit.beside]
    assert names[0] == "As opened"
    assert names[1].startswith(f"Fix the tyres: {dear.part.title}"[: beside.LONGEST - 1])
    assert drawn(visit, show).button(key="hold").disabled
    said = compare.rows(
        visit,
        visit.talk.prepared().evaluation,
        [
            Package(held.choice, price, 0)
            for held, price in zip(visit.beside, (1, visit.job.budget + 1), strict=True)
        ],
    )
    kept = next(row for row in said if row[0] == "meets what is asked now")
    assert kept[1] == "no: tyres as decided"
    assert kept[2].startswith("no: budget of")


def test_a_package_of_another_vehicle_is_not_compared_and_said_to_be_that(visit):
    choice = visit.talk.cheapest().choice
    visit.beside = [
        Held("here", choice, visit.job.vehicle),
        Held("elsewhere", choice, "demo/another"),
    ]
    app = drawn(visit, compare.show)
    assert "It is for another vehicle: demo/another." in text(app)
    assert [held.name for held in beside.of_vehicle(visit)] == ["here"]
    visit.beside = visit.beside[1:]
    assert "None of those set aside is for the vehicle" in text(drawn(visit, compare.show))


def test_a_package_whose_parts_are_gone_is_not_compared(visit):
    choice = dict(visit.talk.cheapest().choice)
    tyres = choice["tyres"]
    choice["tyres"] = replace(tyres, part=replace(tyres.part, key="demo/GONE"))
    held = Held("old", choice, visit.job.vehicle)
    assert beside.as_it_is_now(visit.talk.prepared().evaluation, held) is None
    visit.beside = [held]
    assert "do not have all of its parts" in text(drawn(visit, compare.show))


def show_wishes(visit):
    goals.show(visit)


def test_what_each_wait_costs_is_what_asking_for_it_costs(visit):
    known = delivery.find(visit.talk, lambda _: None)
    prepared = visit.talk.prepared()
    assert known
    for days in range(known[0].days - 3, known[-1].days + 3):
        asked = replace(visit.job, ready_within=days, budget=None)
        price = option_prices.cheapest(prepared, asked).price
        dear = next((one.price for one in reversed(known) if one.days <= days), None)
        assert price == dear
    # Known too when a wait is asked for, or the budget moved; not when a goal is.
    visit.change(replace(visit.job, ready_within=7, budget=None), "ready within 7 days")
    assert delivery.rest_of(visit.talk).known(delivery.KNOWN) == known
    visit.change(edits.with_goal(visit.job, Goal("crawl ratio")), "drop the goal")
    assert delivery.rest_of(visit.talk).known(delivery.KNOWN) is None


def test_a_wait_is_asked_for_in_its_field_and_taken_back(visit):
    app = drawn(visit, show_wishes)
    assert "All parts of the cheapest package are there within 18 days." in text(app)
    app.number_input(key="ready within").set_value(17.0).run()
    assert visit.job.ready_within == 17
    assert visit.talk.cheapest().price is None
    assert "There is no package now." in text(app)
    app.button(key="waits").click().run()
    ended(visit.tasks[delivery.TASK])
    assert "Less than 18 days cannot be had." in text(app.run())
    app.number_input(key="ready within").set_value(None).run()
    assert visit.job.ready_within is None
    assert visit.talk.history.can_undo == "drop the limit on waiting"


def test_a_curve_says_whether_it_is_exact_and_is_made_exact_on_demand(visit):
    app = drawn(visit, show_wishes)
    app.checkbox(key="curve crawl ratio").check().run()
    assert "These prices are lower bounds" in text(app)
    evaluation = visit.talk.prepared().evaluation
    low = price_curve.curve_of(visit, evaluation, "crawl ratio")
    app.button(key="exact curve crawl ratio").click().run()
    ended(visit.tasks["curve crawl ratio"])
    app.run()
    assert "These prices are exact." in text(app)
    high = price_curve.curve_of(visit, evaluation, "crawl ratio")
    bounds = {level.value: level.price for level in low.levels}
    assert high.exact
    assert not low.exact
    assert all(bounds[level.value] <= level.price for level in high.levels)
    # A click on a level asks for it, and the curve stays known.
    level = high.levels[-1]
    moved = price_curve.moved_to(edits.goal_on(visit.job, "crawl ratio"), level.value, "high")
    visit.change(edits.with_goal(visit.job, moved), "ask for more")
    assert visit.talk.cheapest().price == level.price
    assert price_curve.curve_of(visit, evaluation, "crawl ratio") == high


def test_levels_of_a_sum_are_worked_out_on_demand(visit):
    # All but two positions are decided: what the page does is the same, and it takes no minute.
    choice = visit.talk.cheapest().choice
    fixed = {p: o.key for p, o in choice.items() if p not in ("tyres", "wheels") and o.changed}
    kept = tuple(p for p, o in choice.items() if p not in ("tyres", "wheels") and not o.changed)
    job = replace(visit.job, fixed=fixed, keep=kept)
    goal = Goal("payload left", at_least=500.0)
    visit.change(edits.with_goal(job, goal), "ask for payload")
    visit.talk.prepare()
    assert "what can be had is worked out on demand" in text(drawn(visit, show_wishes))
    price_curve.work_out(visit, "payload left")
    ended(visit.tasks["curve payload left"])
    evaluation = visit.talk.prepared().evaluation
    curve = price_curve.curve_of(visit, evaluation, "payload left")
    assert curve.counted
    assert curve.step > 0
    assert curve.levels[0].price == visit.talk.cheapest().price
    assert [one.price for one in curve.levels] == sorted(one.price for one in curve.levels)
    assert "what can be had is worked out on demand" not in text(drawn(visit, show_wishes))


def test_a_stopped_curve_keeps_bounds_and_says_so(visit):
    def work(say):
        def told(words):
            if words.startswith("3 "):
                raise Stopped

        return price_curve.find(visit.talk, "crawl ratio", told)

    task = ended(Task("", work))
    task.halted = True
    visit.tasks["curve crawl ratio"] = task
    evaluation = visit.talk.prepared().evaluation
    curve = price_curve.curve_of(visit, evaluation, "crawl ratio")
    assert curve.halted
    assert any(one.exact for one in curve.levels)
    assert any(not one.exact for one in curve.levels)
    app = drawn(visit, show_wishes)
    app.checkbox(key="curve crawl ratio").check().run()
    assert "Stopped: prices of hollow dots" in text(app)
    assert app.button(key="exact curve crawl ratio")


def test_no_zero_trails_in_a_field(visit):
    app = drawn(visit, show_wishes)
    assert app.number_input(key="low clearance under rear axle mm").proto.format == "%.0f"
    assert app.number_input(key="condition grip ").proto.format == "%.1f"


def test_prices_that_are_bounds_are_explained_before_they_are_worked_out(visit):
    app = drawn(visit, option_table.show)
    states = [one for each in visit.talk.options().values() for one in each]
    bounds = sum(not one.exact and one.price is not None for one in states)
    assert f"{bounds} prices in this table can only be said as “at least”" in text(app)
    assert app.button(key="exact").label == f"Make {bounds} prices exact"
    for _ in visit.talk.closing():
        pass
    app = drawn(visit, option_table.show)
    assert "can only be said as" not in text(app)
    assert not any(one.key == "exact" for one in app.button)


def test_a_limit_of_nothing_says_what_is_left(visit):
    evaluation, choice = visit.talk.prepared().evaluation, visit.talk.cheapest().choice
    said = [margin_words(one) for one in margins_of(evaluation, choice)]
    assert "there is a nut for every stud: just enough, nothing to spare" in said
    assert "payload left: 858.8 kg to spare" in said
    assert not any(one.endswith(("needs at least 0", "needs at least 0 kg")) for one in said)
