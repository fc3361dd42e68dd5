"""The talk without a browser: what a tap does to the job, and what is shown then."""

from __future__ import annotations

from xml.etree import ElementTree

import pytest

from configurator.ui import visit as visits
from configurator.ui.shared_cases import session_for
from configurator.ui.talk import begin_data, component
from configurator.ui.talk.part_data import part_names
from configurator.ui.visit import Visit
from tests.ui.apps import shown, tap


def line(data, figure):
    return next(goal_line for goal_line in data["goals"]["lines"] if goal_line["figure"] == figure)


def rows(data, visit):
    """(position, part) → (state, price, actions, marks), as the page puts them together."""
    import json

    names = json.loads(part_names(visit.talk.prepared().evaluation)[1])["positions"]
    parts = data["parts"]
    result = {}
    for (position, _, options), each in zip(names, parts["rows"], strict=True):
        for option, (look, price, *_) in zip(options, each, strict=True):
            state, _, exact, marks, actions = parts["looks"][look]
            result[position, option[0]] = (state, price, actions, marks, exact)
    return result


@pytest.mark.parametrize("lists", ["visit", "full_visit"])
def test_the_first_answer_says_price_goals_budget_and_time(request, lists):
    head = shown(request.getfixturevalue(lists))["head"]
    assert head["total"] == "€5,949"
    assert head["met"] == "3 of 3 goals met"
    assert head["budget"]["words"].endswith("below budget")
    assert 0 < head["budget"]["share"] < 1
    assert head["split"][0].startswith("parts €")
    assert head["delta"] == "", "nothing was changed yet"


def test_a_goal_is_set_in_words_of_the_shop_and_undone(visit):
    shown(visit)
    figure = visit.job.goals[0].figure
    tap(visit, "goal", figure=figure, side="least", text="50")
    assert visit.job.goals[0].at_least == pytest.approx(50)
    data = shown(visit)
    assert line(data, figure)["least"] == "50"
    assert data["head"]["undo"].startswith(f"ask for {figure} at least 50")
    tap(visit, "undo")
    assert visit.job.goals[0].at_least == pytest.approx(52)
    tap(visit, "redo")
    assert visit.job.goals[0].at_least == pytest.approx(50)


@pytest.mark.parametrize(
    ("text", "metres"), [("1450", 1.45), ("1,450", 1.45), ("57 in", 1.4478), ("1450,5 mm", 1.4505)]
)
def test_numbers_are_read_as_people_write_them(visit, text, metres):
    shown(visit)
    tap(visit, "goal", figure="front track", side="most", text=text)
    goal = next(goal for goal in visit.job.goals if goal.figure == "front track")
    assert goal.at_most == pytest.approx(metres)


@pytest.mark.parametrize(
    ("text", "words"), [("wide", "number"), ("12 kg", "mm"), ("11 3/4 in", "")]
)
def test_what_cannot_be_read_stays_beside_its_field_and_changes_nothing(visit, text, words):
    shown(visit)
    before = visit.job
    tap(visit, "goal", figure="front track", side="most", text=text, field="most front track")
    assert visit.job == before
    note = shown(visit)["notes"]["most front track"]
    assert words in note
    tap(visit, "goal", figure="front track", side="most", text="1455", field="most front track")
    assert "most front track" not in shown(visit)["notes"]


def test_bounds_that_cross_are_refused_with_what_to_do(visit):
    shown(visit)
    tap(visit, "goal", figure="front track", side="least", text="1600", field="x")
    assert "change the other first" in shown(visit)["notes"]["x"]


def test_a_level_of_a_curve_is_the_goal_then_and_its_price_is_what_it_leads_to(visit):
    data = shown(visit)
    figure = "clearance under rear axle"
    curve = line(data, figure)["curve"]
    at = len(curve["values"]) // 2
    tap(visit, "level", figure=figure, si=curve["si"][at])
    goal = next(goal for goal in visit.job.goals if goal.figure == figure)
    assert repr(goal.at_least) == curve["si"][at]
    cheapest = visit.talk.cheapest()
    # Of at least a level, the cheapest is that of the cheapest level from there on.
    least, exact = min(zip(curve["prices"][at:], curve["exact"][at:], strict=True))
    assert cheapest.price == least if exact else cheapest.price >= least


def test_acts_come_once_and_in_their_order_however_often_they_are_told(visit):
    import json

    from configurator.ui.talk.acts import carry_out

    shown(visit)
    acts = [
        {"n": 1, "what": "own", "name": "budget", "text": "6000"},
        {"n": 2, "what": "own", "name": "budget", "text": "7000"},
    ]
    carry_out(visit, json.dumps(acts[:1]))
    carry_out(visit, json.dumps(acts))
    assert visit.job.budget == 700_000
    assert len(visit.talk.history.steps) == 3
    tap(visit, "undo")
    assert visit.job.budget == 600_000


@pytest.mark.parametrize("text", ["", "[]", "{}", "[1]", '[{"what": "undo"}]', '[{"n": 9}]', "no"])
def test_what_is_no_act_does_nothing(visit, text):
    from configurator.ui.talk.acts import carry_out

    before = visit.job
    carry_out(visit, text)
    assert visit.job == before


def test_what_stands_in_fields_that_were_not_left_comes_along_with_any_tap(visit):
    shown(visit)
    tap(visit, "go", fields={"title": "Steep rows", "budget": "6,500", "alike": "4"})
    assert (visit.job.title, visit.job.budget, visit.job.vehicles) == ("Steep rows", 650_000, 4)


def test_choosing_a_part_says_what_the_step_changed_in_parts_and_money(visit):
    data = shown(visit)
    before = visit.talk.cheapest().price
    key = next(
        key for key, (state, price, actions, *_) in rows(data, visit).items()
        if state == "fits" and "fix" in actions and price > before
    )  # fmt: skip
    tap(visit, "fix", position=key[0], part=key[1])
    data = shown(visit)
    after = visit.talk.cheapest().price
    assert data["head"]["delta"].startswith("+€")
    assert "since the last step: " in data["head"]["last"]
    assert key[0] in data["head"]["last"]
    assert after > before
    assert rows(data, visit)[key][3][0] == "chosen"
    tap(visit, "undo")
    assert shown(visit)["head"]["delta"].startswith("−€")


def test_the_price_beside_a_part_is_the_price_that_choosing_it_leads_to(full_visit):
    visit = full_visit
    data = shown(visit)
    exact = [
        (key, price) for key, (state, price, actions, _, exact) in rows(data, visit).items()
        if state == "fits" and exact and "fix" in actions
    ]  # fmt: skip
    assert len(exact) > 50
    for (position, part), price in exact[:: len(exact) // 12]:
        tap(visit, "fix", position=position, part=part)
        assert visit.talk.cheapest().price == price, (position, part)
        tap(visit, "undo")


def test_ruled_out_allowed_unlocked_and_what_names_nothing(visit):
    data = shown(visit)
    inside = next(k for k, row in rows(data, visit).items() if "in" in row[3] and "out" in row[2])
    tap(visit, "out", position=inside[0], part=inside[1])
    assert visit.job.excluded == (inside[1],)
    assert "in" not in rows(shown(visit), visit)[inside][3]
    tap(visit, "allow", part=inside[1])
    assert visit.job.excluded == ()
    tap(visit, "fix", position=inside[0], part="@fitted")
    before = visit.job
    for args in ({"position": "no such", "part": "x"}, {"position": "tyres", "part": "no/such"}):
        for what in ("fix", "out", "why"):
            tap(visit, what, **args)
    assert visit.job == before


def test_goals_that_clash_offer_repairs_with_the_price_that_each_leads_to(visit):
    tap(visit, "goal", figure="clearance under rear axle", side="least", text="600")
    data = shown(visit)
    assert data["head"]["none"]
    assert data["clash"].startswith("These goals cannot all be met")
    repairs = data["why"]["repairs"]
    assert repairs
    assert data["why"]["proofState"] == "none", "it takes long: nobody waits for it unasked"
    tap(visit, "proof")
    assert shown(visit)["why"]["proof"], "the numbers are there for whoever asks"
    for number, repair in enumerate(repairs):
        tap(visit, "repair", number=number)
        after = shown(visit)
        assert after["head"]["total"] in repair["price"] or repair["price"].startswith(
            "the vehicle"
        )
        tap(visit, "undo")
        shown(visit)


def test_why_not_opens_for_one_part_and_closes_with_the_next_step(visit):
    data = shown(visit)
    key = next(key for key, row in rows(data, visit).items() if row[0] == "not")
    tap(visit, "why", position=key[0], part=key[1])
    why = shown(visit)["why"]
    assert (why["position"], why["part"]) == key
    assert why["title"].startswith("Why not ")
    tap(visit, "own", name="budget", text="9000")
    assert shown(visit)["why"] is None


def test_over_budget_says_by_how_much_and_what_can_change(visit):
    tap(visit, "own", name="budget", text="3000")
    data = shown(visit)
    assert data["head"]["budget"]["over"]
    assert "over budget" in data["clash"]
    assert any("Raise the budget to €5,949" in repair["words"] for repair in data["why"]["repairs"])


def test_the_total_is_the_sum_of_its_lines(visit):
    build = shown(visit)["build"]
    amount = lambda text: round(float(text.lstrip("€").replace(",", "")) * 100)  # noqa: E731
    parts = sum(amount(row[-1]) for row in build["lines"])
    assert parts == amount(build["parts"])
    operations = sum(amount(row[-1]) for row in build["work"]["operations"])
    assert operations == amount(build["work"]["price"])
    assert amount(build["parts"]) + amount(build["work"]["price"]) == amount(build["total"])
    assert build["total"] == "€5,948.94"


def test_cautions_that_the_package_brings_come_first(visit):
    cautions = shown(visit)["build"]["cautions"]
    new = [caution["new"] for caution in cautions]
    assert any(new)
    assert new == sorted(new, reverse=True)
    assert "approval" in " ".join(line for caution in cautions for line in caution["more"])
    assert "no approval" in shown(visit)["build"]["notice"]


def test_every_picture_and_drawing_is_well_formed(visit):
    data = shown(visit)
    for each in data["build"]["pictures"].values():
        for size in ("wide", "narrow", "take"):
            assert ElementTree.fromstring(each[size]).tag.endswith("svg")
    for name, _ in data["build"]["drawings"]:
        tap(visit, "drawing", name=name)
        assert ElementTree.fromstring(shown(visit)["drawing"]["svg"]).tag.endswith("svg")


def test_a_new_job_begins_with_a_vehicle_and_what_is_typed_already(shelves):
    visit = Visit(session_for(begin_data.job_for(shelves, "demo/valdrin-boek"), shelves), shelves)
    visit.begun = False
    from configurator.ui.talk.answer import answer

    begin = answer(visit, None)[0]["begin"]
    assert [vehicle["key"] for vehicle in begin["vehicles"]] == begin_data.vehicle_keys(shelves)
    assert all(len(vehicle["figures"]) == 5 for vehicle in begin["vehicles"])
    assert len(begin["demos"]) == 5
    typed = {"title": "Mrs Lind", "budget": "5,600", "alike": "6"}
    tap(visit, "vehicle", view="begin", key="demo/valdrin-boek", fields=typed)
    assert visit.begun
    assert (visit.job.title, visit.job.budget, visit.job.vehicles) == ("Mrs Lind", 560_000, 6)
    data = shown(visit)
    often = {entry["figure"]: entry for entry in data["begin"]["often"]}
    assert often["clearance under rear axle"]["far"]
    clearance = often["clearance under rear axle"]
    tap(
        visit,
        "goal",
        figure=clearance["figure"],
        side=clearance["side"],
        text=clearance["suggested"],
    )
    assert visit.talk.is_ready, "figures that people ask for need no other case"
    assert shown(visit)["head"]["met"] == "1 of 1 goal met"


def test_what_is_typed_before_a_vehicle_is_picked_is_kept_for_it(visit):
    visit.begun = False
    tap(visit, "own", name="title", text="Mrs Lind", fields={"title": "Mrs Lind", "budget": "50"})
    from configurator.ui.talk.answer import answer

    begin = answer(visit, None)[0]["begin"]
    assert (begin["title"], begin["budget"]) == ("Mrs Lind", "50")
    tap(visit, "vehicle", key="demo/norvane-plover", fields={"budget": "5,000"})
    assert (visit.job.title, visit.job.budget) == ("Mrs Lind", 500_000)


def test_another_vehicle_keeps_what_is_typed(visit, shelves):
    tap(visit, "vehicle", key="demo/norvane-plover", fields={"title": "Survey", "budget": "x"})
    assert visit.job.vehicle == "demo/norvane-plover"
    assert visit.job.title == "Survey"
    assert "no amount" in visit.notes["budget"]


def test_back_is_an_undo_and_forward_a_redo(visit, monkeypatch):
    shown(visit)
    budget = visit.job.budget
    first = visits.job_link.to_parameter(visit.job, visit.shelves.trade)
    tap(visit, "own", name="budget", text="6000")
    second = visits.job_link.to_parameter(visit.job, visit.shelves.trade)
    tap(visit, "address", job=first, part="goals")
    assert visit.job.budget == budget
    assert visit.talk.history.can_redo
    tap(visit, "address", job=second, part="parts")
    assert visit.job.budget == 600_000
    assert not visit.talk.history.can_redo
    tap(visit, "address", job="", part="")
    assert not visit.begun
    tap(visit, "address", job=second, part="goals")
    assert visit.begun
    assert visit.job.budget == 600_000
    tap(visit, "address", job="1.nonsense", part="goals")
    assert visit.refused


def test_the_old_answer_stays_while_a_new_one_is_made(visit):
    before = shown(visit)
    tap(visit, "use", name="cruising speed", text="97", field="use cruising speed")
    waiting = visit.get_ready()
    from configurator.ui.talk.answer import answer

    if waiting is not None:
        data, names = answer(visit, waiting)
        assert data["updating"]["state"] == "running"
        assert data["head"] == before["head"]
        assert data["parts"] == before["parts"]
        assert names is None
    assert shown(visit)["updating"] is None


def test_use_out_of_bounds_is_refused_beside_its_field(visit):
    shown(visit)
    tap(visit, "use", name="cruising speed", text="900", field="f")
    assert "cruising speed must be" in shown(visit)["notes"]["f"]


def test_units_are_switched_without_moving_anything(visit):
    shown(visit)
    before = visit.job
    tap(visit, "units", text="imperial")
    data = shown(visit)
    assert line(data, "front track")["unit"] == "in"
    assert visit.job == before


def test_tyres_are_filtered_by_what_their_list_says(visit):
    shown(visit)
    tap(visit, "filter", how="open", position="tyres")
    filter_ = shown(visit)["parts"]["filter"]
    assert filter_["facts"] is None
    tap(visit, "filter", how="put", number=0, of="overall diameter", way=">=", text="850")
    facts = shown(visit)["parts"]["filter"]["facts"]
    evaluation = visit.talk.prepared().evaluation
    wide = {o.key for o in evaluation.options("tyres")
            if evaluation.attribute(o, "overall diameter") >= 0.85}  # fmt: skip
    assert set(facts) == wide
    tap(visit, "filter", how="put", number=0, of="overall diameter", way=">=", text="wide")
    assert shown(visit)["parts"]["filter"]["conditions"][0]["problem"]
    tap(visit, "filter", how="drop", number=0)
    assert shown(visit)["parts"]["filter"] is None


def test_names_travel_apart_and_have_a_version_of_their_own(visit, shelves):
    shown(visit)
    names = part_names(visit.talk.prepared().evaluation)
    tap(visit, "own", name="budget", text="6000")
    shown(visit)
    assert part_names(visit.talk.prepared().evaluation) == names


def test_the_scripts_are_one_module_and_ask_no_other_host():
    script = component.script()
    assert script.count("export default") == 1
    assert "import " not in script
    assert "innerHTML" not in script
    assert "http" not in script.replace("http://www.w3.org/2000/svg", "")
