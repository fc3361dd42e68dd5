"""Several visitors at once on one server: each sees the answers to their own job."""

from __future__ import annotations

import asyncio
import gc
import itertools
import weakref
from concurrent.futures import ThreadPoolExecutor

import pytest

from configurator.ui import sweeping
from tests.ui.crowd import crowd, mistakes, queries, report

USERS, CLICKS = 4, 4


@pytest.fixture(scope="module")
def seen(address, trade):
    # No thinking: the clicks of all are meant to meet on the server.
    let_in = crowd(address, queries(trade, USERS), CLICKS, (0.0, 0.01))
    # In a thread of its own: a browser that other tests use keeps this one's loop running.
    with ThreadPoolExecutor(1) as apart:
        return apart.submit(asyncio.run, let_in).result()


def test_visitors_of_two_jobs_at_once_see_their_own_answers(trade, seen, short_lists):
    assert mistakes(trade, seen, (short_lists,)) == []
    assert [len(visitor.shown) for visitor in seen] == [CLICKS + 1] * USERS
    # Two jobs, and somebody changed theirs: the prices are not all the same.
    assert len({shown.price for visitor in seen for shown in visitor.shown}) > 2
    assert f"{USERS} visitors" in report(USERS, seen)


def test_the_answer_to_another_job_would_be_noticed(trade, seen, short_lists):
    mixed = [seen[1], seen[0], *seen[2:]]
    assert len(mistakes(trade, mixed, (short_lists,))) >= 4


class _Ring:
    def __init__(self) -> None:
        self.itself = self


def test_garbage_that_was_frozen_is_swept_now_and_then(monkeypatch):
    monkeypatch.setattr(sweeping, "_runs", itertools.count(sweeping.EVERY - 1))
    try:
        gone = weakref.ref(_Ring())
        sweeping.spare_what_stays()
        gc.collect()
        assert gone() is not None
        sweeping.spare_what_stays()
        assert gone() is None
    finally:
        gc.unfreeze()
