"""Sessions on one shelf share prices and packages, and nothing that only one of them knows."""

from __future__ import annotations

from dataclasses import replace

from configurator.questions.case_cache import Shelf
from tests.questions.test_session import opened
from tests.search.random_cases import make


def test_prices_are_worked_out_once_for_all_who_ask_and_nothing_else_is_shared():
    random_case = make(4, families=3)
    shelf = Shelf()
    talk, other = opened(random_case, shelf), opened(random_case, shelf)
    talk.change(replace(talk.job, customer="somebody"), "customer")
    assert other.options() is talk.options()
    assert other.cheapest() is talk.cheapest()
    talk.asked("for whom", lambda _, job: job.customer)
    assert talk.known("for whom") == "somebody"
    assert other.known("for whom") is None
    assert opened(random_case).known("options") is None, "another shelf has other lists"
