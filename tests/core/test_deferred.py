"""Work that waits until an answer is shown."""

from __future__ import annotations

import pytest

from configurator.core.deferred import catch_up, waiting_until_shown, when_shown


def test_nothing_waits_where_nobody_waits_for_an_answer():
    done = []
    when_shown(lambda: done.append(1))
    assert done == [1]


def test_what_waits_is_done_in_order_when_there_is_time_and_at_the_end():
    done = []
    with waiting_until_shown():
        when_shown(lambda: done.append(1))
        when_shown(lambda: done.append(2))
        assert done == []
        catch_up()
        assert done == [1, 2]
        when_shown(lambda: done.append(3))
        assert done == [1, 2]
    assert done == [1, 2, 3]


def test_it_is_done_as_well_where_the_answer_fails():
    done = []

    def fail():
        with waiting_until_shown():
            when_shown(lambda: done.append(1))
            raise KeyError

    with pytest.raises(KeyError):
        fail()
    assert done == [1]
    when_shown(lambda: done.append(2))
    assert done == [1, 2]
