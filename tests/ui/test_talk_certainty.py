"""How sure a package is, on the page without a browser: each goal's grade, and what it costs."""

from __future__ import annotations

from configurator.files.job_text import read_job
from configurator.files.job_writing import write_job
from configurator.model.jobs import Goal
from configurator.questions.edits import goal_on
from configurator.questions.goal_certainty import goal_certainties
from configurator.ui.talk import talk_words as say
from configurator.ui.talk.goal_grades import all_of_them
from tests.ui.apps import shown, tap

FIGURE = "clearance under rear axle"
TRACK = "front track"


def line_of(data, figure):
    return next(line for line in data["goals"]["lines"] if line["figure"] == figure)


def test_each_goal_says_how_sure_it_is_and_can_be_asked_to_be_sure(visit):
    data = shown(visit)
    line = line_of(data, TRACK)
    assert not line["sure"]
    assert line["how"]["mark"] in ("●", "◐")
    assert line["how"]["why"].startswith("Within ±")
    tap(visit, "goal", figure=TRACK, side="sure", text="yes")
    assert goal_on(visit.job, TRACK).sure
    data = shown(visit)
    line = line_of(data, TRACK)
    assert line["sure"]
    assert line["how"]["state"] == "sure"
    assert "within tolerances" in line["far"]
    assert TRACK not in {entry["figure"] for entry in data["goals"]["often"]}
    tap(visit, "undo")
    assert not goal_on(visit.job, TRACK).sure


def test_what_certainty_costs_is_worked_out_when_it_is_asked_for(visit):
    data = shown(visit)
    certainty = data["build"]["certainty"]
    assert (certainty["lines"], certainty["running"]) == ([], False)
    assert certainty["about"] == say.CERTAINTY_OF[visit.job.sure]
    tap(visit, "certainty")
    visit.tasks["certainty"].wait(300)
    lines = shown(visit)["build"]["certainty"]["lines"]
    assert "as calculated" in lines[0]
    prepared = visit.talk.prepared()
    choice = visit.talk.cheapest().choice
    goals = [item.goal.figure for item in goal_certainties(prepared, choice)]
    assert FIGURE in goals
    assert sum("within tolerances: " in line for line in lines) == len(goals)
    # Another job is another question.
    tap(visit, "own", name="budget", text="7001")
    assert shown(visit)["build"]["certainty"]["lines"] == []


def test_a_sum_as_low_as_possible_cannot_be_asked_to_be_sure(visit):
    tap(visit, "goal", figure="vehicle mass", side="way", text="low")
    tap(visit, "goal", figure="vehicle mass", side="sure", text="yes")
    assert not goal_on(visit.job, "vehicle mass").sure
    assert say.within_words("16 mm") == "Within ±16 mm."


def test_the_grade_of_the_job_is_seen_changed_and_undone(visit):
    was = visit.job.sure
    before = shown(visit)
    assert before["goals"]["sure"] == was
    tap(visit, "own", name="sure", text="" if was else "yes")
    data = shown(visit)
    assert visit.job.sure != was
    assert data["goals"]["sure"] != was
    assert "law, plates and clearances" in data["head"]["undo"]
    file = write_job(visit.job, visit.shelves.trade)
    assert read_job(file, visit.shelves.trade).sure == visit.job.sure
    tap(visit, "undo")
    assert visit.job.sure == was
    assert shown(visit)["head"]["total"] == before["head"]["total"]


def test_the_head_says_how_sure_goals_are_in_the_workshop_too(visit):
    head = shown(visit)["head"]
    assert head["how"]["words"] == "1 as calculated"
    assert "3 of 3 goals met, 1 as calculated." in head["status"]
    tap(visit, "part", part="documents")
    assert shown(visit)["head"]["how"] == head["how"]


def test_goals_of_which_nothing_is_known_are_not_called_sure():
    sure = {"state": "sure", "mark": "●", "words": "sure", "why": ""}
    unsure = {"state": "calculated", "mark": "◐", "words": "as calculated", "why": ""}
    track, height, clearance = (Goal(name) for name in ("track", "height", "clearance"))
    assert all_of_them({}, 3) is None
    assert all_of_them({track: sure, height: sure}, 2)["words"] == "sure"
    assert all_of_them({track: sure, height: sure}, 3)["words"] == "2 sure"
    mixed = all_of_them({track: sure, clearance: unsure}, 3)
    assert (mixed["words"], mixed["mark"]) == ("1 as calculated", "◐")
