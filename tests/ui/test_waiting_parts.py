"""Parts of the workshop without a job, and what is printed there."""

from __future__ import annotations

import pytest

from configurator.files import job_link
from configurator.ui.printed_on import CHOSEN_LOCALE
from configurator.ui.saved.quotation_view import _goal_grade
from configurator.ui.visit import TALK
from configurator.ui.workshop import TITLES
from tests.ui.apps import go_to, opened, text, visit


@pytest.mark.parametrize("part", TITLES)
def test_a_part_that_is_about_a_job_leads_to_one(data, part):
    page = go_to(opened(), part)
    assert [header.value for header in page.header] == [TITLES[part]]
    assert "begin one, or open one that is saved" in text(page)
    page.button(key="to saved jobs").click().run()
    assert visit(page).part == "saved"
    assert "Once a job is begun" in text(page), "and there it says how to save one"
    go_to(page, part).button(key="to a new job").click().run()
    assert not page.exception
    assert visit(page).part == TALK
    assert not (data / "records.sqlite").exists()


def test_a_part_that_is_not_there_leads_to_the_saved_jobs(data):
    page = go_to(opened(), "of another time")
    assert visit(page).part == "saved"
    assert "Once a job is begun" in text(page)


def test_nothing_is_said_of_the_job_that_is_open_where_none_is(data, job, trade):
    page = go_to(opened(), "share")
    assert [header.value for header in page.header] == ["Open a job"]
    assert "job that is open now" not in text(page)
    page = go_to(opened(job_link.to_parameter(job, trade)), "share")
    assert "job that is open now" in text(page)


def test_the_sheet_for_the_hoist_is_laid_out_for_the_readers_paper_and_another_can_be_chosen(data):
    page = go_to(opened(), "vehicle-new")
    assert page.radio(key="measuring sheet size a4").value == "a4"
    page.session_state[CHOSEN_LOCALE] = "en_US"
    page.run()
    assert page.radio(key="measuring sheet size us-letter").value == "letter"
    page.radio(key="measuring sheet size us-letter").set_value("a4").run()
    assert not page.exception


def test_how_sure_a_goal_was_is_said_with_what_it_may_be_off_by():
    met = {"met": True}
    calculated = {"within": 8.267, "unit": "mm", "grade": "calculated", "missed": 0.25}
    assert _goal_grade(calculated, met, None) == (
        "◐ as calculated; about 1 in 4 built so would miss it, ±8.3 mm"
    )
    assert _goal_grade({**calculated, "grade": "sure"}, met, None) == "● sure, ±8.3 mm"
    assert _goal_grade(calculated, {"met": False}, None) == ""
    assert (
        _goal_grade({**calculated, "within": 0.0}, met, None) == ""
    )  # nobody said how exact it is
    assert _goal_grade(None, met, None) == "", "of a quotation from before it was worked out"
