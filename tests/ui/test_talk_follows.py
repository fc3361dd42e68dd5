"""What follows behind an answer, and what is worked out when somebody asks."""

from __future__ import annotations

from dataclasses import replace
from threading import Event
from types import SimpleNamespace

from configurator.questions.idea_comparison import compare_idea
from configurator.questions.session import Session
from configurator.ui.talk import alternatives, behind, goal_data
from configurator.ui.talk import talk_words as say
from configurator.ui.talk.answer import answer
from configurator.ui.talk.part_data import look_of
from configurator.ui.talk.price_curves import Curve, CurveLevel
from tests.ui.apps import shown, tap


def options_with(visit, action):
    """Give the options that can be acted on: position and key."""
    options = []
    for position, states in visit.talk.options().items():
        for state in states:
            look, _ = look_of(visit.job, state, visit.talk.cheapest())
            if action in look.actions:
                options.append((position, state.option.key))
    return options


def test_price_and_package_stand_at_once_and_prices_of_parts_follow(visit, monkeypatch):
    monkeypatch.setattr(behind, "AT_ONCE", 0.0)
    before = shown(visit)
    position, key = next(at for at in options_with(visit, "idea") if at[0] == "wheels")
    gate, options = Event(), Session.options

    def held_back(talk):
        assert gate.wait(60)
        return options(talk)

    monkeypatch.setattr(Session, "options", held_back)
    tap(visit, "fix", view="parts", position=position, part=key)
    data, _ = answer(visit, None)
    assert data["coming"]
    assert data["head"]["total"] != before["head"]["total"]
    assert data["parts"]["stale"]
    assert data["parts"]["base"] == visit.talk.cheapest().price
    (row,) = (
        look
        for look in (data["parts"]["looks"][n[0]] for each in data["parts"]["rows"] for n in each)
        if "chosen" in look[3]
    )
    assert "in" in row[3], "what is chosen is that of the job as it stands"
    gate.set()
    after = shown(visit)
    assert not after["coming"]
    assert not after["parts"]["stale"]


def test_levels_of_the_last_answer_stay_until_the_next_are_there(visit, monkeypatch):
    monkeypatch.setattr(behind, "AT_ONCE", 0.0)
    before = shown(visit)["goals"]["lines"]
    gate, curve = Event(), Session.curve

    def held_back(talk, figure):
        assert talk.known(f"curve {figure}") is not None or gate.wait(60)
        return curve(talk, figure)

    monkeypatch.setattr(Session, "curve", held_back)
    goal = next(goal for goal in visit.job.goals if goal.figure == "front track")
    tap(visit, "goal", view="goals", figure="front track", side="most", text="1500 mm")
    assert goal not in visit.job.goals
    data, _ = answer(visit, None)
    assert data["coming"]
    lines = {line["figure"]: line for line in data["goals"]["lines"]}
    assert not lines["front track"]["coming"], "its own levels do not hang on its own bound"
    waiting = [line for line in data["goals"]["lines"] if line["coming"]]
    assert waiting
    for line in waiting:
        last = next(each for each in before if each["figure"] == line["figure"])
        assert (line["far"], line["curve"]) == (last["far"], last["curve"])
    gate.set()
    assert not any(line["coming"] for line in shown(visit)["goals"]["lines"])


def test_a_package_that_is_not_there_at_once_is_looked_for_behind_the_answer(visit, monkeypatch):
    before = shown(visit)["head"]
    cheapest, asked = Session.cheapest, []

    def at_first_none(talk):
        package = cheapest(talk)
        return package if asked else replace(package, choice=None, price=None, proven=False)

    def look_longer(talk):
        asked.append(talk)
        return cheapest(talk)

    monkeypatch.setattr(Session, "cheapest", at_first_none)
    monkeypatch.setattr(Session, "look_longer", look_longer)
    after = shown(visit)["head"]
    assert len(asked) == 1, "it is asked for once"
    assert after["total"] == before["total"]


def test_the_effect_of_a_part_is_the_comparison_of_two_packages(visit):
    shown(visit)
    position, key = next(at for at in options_with(visit, "idea") if at[0] == "wheels")
    tap(visit, "idea", position=position, part=key)
    idea = shown(visit)["idea"]
    expected = compare_idea(visit.talk.prepared(), {position: key})
    assert (idea["position"], idea["part"]) == (position, key)
    assert say.exact_money(abs(expected.costs_more), "EUR") in idea["words"]
    money = {row[0]: row[1:] for row in idea["tables"][0][1]}
    prices = [say.exact_money(p.price, "EUR") for p in (expected.without, expected.with_idea)]
    assert list(money["Price"]) == prices
    assert " EUR" not in str(idea), "money is written one way on the page"
    tap(visit, "hold idea")
    names = [entry["name"] for entry in shown(visit)["compare"]["names"]]
    assert len(names) == 2
    assert names[1].startswith("With wheels: ")
    tap(visit, "close idea")
    assert shown(visit)["idea"] is None
    tap(visit, "idea", position=position, part="no/such")
    assert visit.idea is None
    tap(visit, "idea", position=position, part=key)
    tap(visit, "own", name="budget", text="9000")
    assert shown(visit)["idea"] is None, "it was about the job before"


def test_where_no_other_package_is_within_the_budget_it_is_left_out_and_said(visit):
    price = visit.talk.cheapest().price
    visit.change(replace(visit.job, budget=price), "set the budget")
    tap(visit, "others")
    cards = shown(visit)["alternatives"]
    assert cards["cards"]
    assert alternatives.NO_OTHER in cards["words"]
    names = [card["name"] for card in cards["cards"]]
    assert len(set(names)) == len(names)


def test_alternatives_with_the_same_part_elsewhere_are_named_by_where(monkeypatch):
    def titles(_evaluation, _different, number, *, placed=False):
        return [f"{('front', 'rear', 'rear')[number]} straps: strap" if placed else "strap"]

    monkeypatch.setattr(alternatives, "_titles", titles)
    three = SimpleNamespace(packages=(None, None, None))
    names = ["Front straps: strap", "Rear straps: strap", "Strap (2)"]
    assert alternatives._names(None, three) == names


def test_what_is_offered_as_a_goal_can_be_had():
    levels = tuple(CurveLevel(value, 100, True) for value in (2070.0, 2200.0, 2400.0))
    curve = Curve(levels)
    assert goal_data._suggested(curve, 2000.0, "low") == 2070.0, "now is better than all there is"
    assert goal_data._suggested(curve, 2500.0, "low") == 2200.0
    assert goal_data._suggested(curve, 2400.0, "high") == 2400.0
    assert goal_data._suggested(Curve(()), 2000.0, "low") == 2000.0


def test_a_level_of_which_no_package_is_known_is_not_called_possible():
    visit = SimpleNamespace(system=None, job=SimpleNamespace(currency="EUR"), last={})
    levels = (CurveLevel(0.3, 100_000, True), CurveLevel(0.4, 200_000, False, False))
    known = goal_data._levels(visit, Curve(levels[:1] * 2), "clearance", "mm", 0.3, "high")
    assert known["far"] == "Up to 300 mm is possible, from €1,000."
    bound = goal_data._levels(visit, Curve(levels), "clearance", "mm", 0.3, "high")
    assert bound["far"] == "Up to 400 mm may be possible, from at least €2,000."
    assert bound["curve"]["exact"] == [True, False]
    assert goal_data._offer(SimpleNamespace(tasks={}), "clearance", Curve(levels)) == "exact"
