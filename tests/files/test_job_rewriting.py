"""What changed in a job is put into its file; comments, order and spellings stay."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from configurator.core import units
from configurator.core.errors import InputError
from configurator.files.job_rewriting import rewrite_job
from configurator.files.job_text import read_job
from configurator.files.job_writing import write_job
from configurator.model.jobs import Goal, Job
from tests.small_trade import small_trade

TRADE = small_trade()

TEXT = """\
# By telephone, 3 March.
title = "Hut track"
vehicle = "lists/wagon"
catalogs = ["lists"]  # ours come later
budget = "18 500 EUR"  # with tax

# The ford decides.
[goals."tyre radius"]
at_least = "17 in"  # measured at the ford

[goals.mass]
as_possible = "low"

[conditions]
"cruising speed" = "60 mph"

[fixed]
tyres = "lists/A2"  # she has seen them
hoist = "none"
"""


def changed(change: Callable[[Job], Job], text: str = TEXT) -> str:
    job = change(read_job(text, TRADE))
    result = rewrite_job(text, job, TRADE)
    assert read_job(result, TRADE) == job
    return result


def test_nothing_changed_nothing_written() -> None:
    assert changed(lambda job: job) == TEXT


def test_values_change_where_they_stand() -> None:
    result = changed(lambda job: replace(job, budget=2_000_000, title="Ford"))
    assert result == TEXT.replace("18 500 EUR", "20000.00 EUR").replace("Hut track", "Ford")


def test_what_is_new_comes_before_the_comment_on_the_first_table() -> None:
    result = changed(lambda job: replace(job, vehicles=3))
    assert result == TEXT.replace("# with tax\n", "# with tax\nvehicles = 3\n")


def test_tables_are_added_and_parts_taken_out() -> None:
    result = changed(lambda job: replace(job, fixed={"hoist": "none"}, excluded=("lists/A1",)))
    out = TEXT.replace('tyres = "lists/A2"  # she has seen them\n', "")
    assert result == f'{out}\n[exclude]\nparts = ["lists/A1"]\n'


def test_a_table_that_is_empty_now_goes() -> None:
    result = changed(lambda job: replace(job, conditions={}))
    assert "[conditions]" not in result
    assert "# she has seen them" in result


def test_goals_in_another_order_keep_how_they_are_written() -> None:
    result = changed(lambda job: replace(job, goals=job.goals[::-1]))
    assert result.index("[goals.mass]") < result.index('[goals."tyre radius"]')
    assert 'at_least = "17 in"  # measured at the ford' in result


def test_another_currency() -> None:
    text = TEXT.replace('budget = "18 500 EUR"', 'currency = "EUR"')
    result = changed(lambda job: replace(job, budget=100, currency="JPY"), text)
    assert "EUR" not in result
    assert "# with tax" not in result  # it stood beside the currency


@pytest.mark.parametrize(
    "text",
    [
        TEXT.replace('\n[goals."tyre radius"]\nat_least', '\ngoals."tyre radius".at_least').replace(
            "\n[goals.mass]\nas_possible", "\ngoals.mass.as_possible"
        ),
        TEXT.replace("\n[goals.mass]\n", "\n[keep]\npositions = []\n\n[goals.mass]\n"),
        TEXT.replace("\n", "\r\n"),
    ],
    ids=["dotted keys", "a table in pieces", "ends of lines"],
)
def test_however_it_is_laid_out(text: str) -> None:
    goal = Goal("engine speed", units.to_si(1900, "rpm"))
    changed(lambda job: replace(job, goals=(*job.goals, goal)), text)
    changed(lambda job: replace(job, goals=job.goals[:1], fixed={}), text)


def test_a_text_that_is_no_job_is_refused() -> None:
    with pytest.raises(InputError, match="titel"):
        rewrite_job(TEXT.replace("title", "titel"), read_job(TEXT, TRADE), TRADE)


GOALS = st.lists(
    st.builds(
        Goal,
        st.sampled_from(["tyre radius", "mass", "engine speed"]),
        st.none() | st.sampled_from([units.to_si(each, "m") for each in (1, 2, 3)]),
        as_possible=st.just("high"),
    ),
    max_size=3,
    unique_by=lambda goal: goal.figure,
).map(tuple)
JOBS = st.builds(
    Job,
    title=st.sampled_from(["A", "B # no comment", 'C "quoted"']),
    vehicle=st.just("lists/wagon"),
    catalogs=st.sampled_from([("lists",), ("lists", "other")]),
    budget=st.none() | st.integers(0, 10**6),
    currency=st.sampled_from(["EUR", "JPY"]),
    goals=GOALS,
    fixed=st.fixed_dictionaries(
        {},
        optional={
            "tyres": st.sampled_from(["lists/A1", "fitted"]),
            "hoist": st.sampled_from(["none", "lists/H1"]),
        },
    ),
    keep=st.sampled_from([(), ("spare tyre",)]),
    vehicles=st.integers(1, 3),
    measured=st.dictionaries(st.just("wheelbase"), st.sampled_from([2.5, 3.0])),
)


@given(before=JOBS, after=JOBS)
def test_any_job_becomes_any_other(before: Job, after: Job) -> None:
    """And a comment that stands above what both have, stays."""
    lines = write_job(before, TRADE).splitlines()
    text = "\n".join(f"# note {n}\n{line}" if line else "" for n, line in enumerate(lines)) + "\n"
    assert read_job(text, TRADE) == before
    result = rewrite_job(text, after, TRADE)
    assert read_job(result, TRADE) == after
    assert all(f"# note {n}\n" in result for n in range(3))  # title, vehicle, catalogs
