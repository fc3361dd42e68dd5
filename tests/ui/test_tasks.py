"""Work in a thread ends when it is stopped, wherever it is just then."""

from __future__ import annotations

import threading
import time

from configurator.ui.tasks import Task


def test_a_stop_that_meets_a_destructor_is_not_lost():
    inside = threading.Event()

    class Held:
        def __del__(self):
            inside.set()
            for _ in range(200):
                time.sleep(0.005)

    def work(_):
        held = Held()
        del held
        while True:
            time.sleep(0.005)

    task = Task("long", work)
    assert inside.wait(10)
    task.stop()
    task.wait(30)
    assert task.state == "stopped"
