"""The page without a browser: Streamlit's own test of an app, and the parts of this one."""

from __future__ import annotations

import json
import time
from typing import Any

from streamlit.testing.v1 import AppTest

from configurator.core import paths
from configurator.ui.talk.acts import carry_out
from configurator.ui.talk.answer import answer


def opened(parameter: str = "") -> AppTest:
    """Open the page, with a job of a link, and wait until it is worked out."""
    app = AppTest.from_file(str(paths.app()), default_timeout=120)
    if parameter:
        app.query_params["job"] = parameter
    return settled(app.run())


def settled(app: AppTest) -> AppTest:
    """Run until nothing is being worked on: a test has no clock that runs the page."""
    end = time.monotonic() + 240
    while any(task.state == "running" for task in visit(app).tasks.values()):
        assert time.monotonic() < end
        time.sleep(0.05)
    app.run()
    assert not app.exception
    return app


def visit(app: AppTest) -> Any:
    return app.session_state["visit"]


def go_to(app: AppTest, part: str) -> AppTest:
    """Open a part of the workshop."""
    visit(app).part = part
    app.run()
    assert not app.exception
    return app


def act(app: AppTest, what: str, **args: Any) -> AppTest:
    """Do what a tap does, and run the page."""
    tap(visit(app), what, **args)
    return settled(app.run())


def text(app: AppTest) -> str:
    """Return what the workshop's widgets say."""
    every = [*app.markdown, *app.header, *app.caption, *app.title, *app.error, *app.warning]
    every += [*app.success, *app.info]
    sentences = [str(element.value).replace("\\", "") for element in every]
    # What the last tap could not do stands in the head of the page.
    return "\n".join([*sentences, *visit(app).refused])


def tap(here: Any, what: str, **args: Any) -> None:
    """Carry out an act as the component tells it."""
    carry_out(here, json.dumps([{"n": here.done + 1, "what": what, **args}]))


def shown(here: Any) -> dict[str, Any]:
    """Return what the talk shows, once all that it waits for is there."""
    waiting = here.get_ready()
    while waiting is not None:
        waiting.wait(1.0)
        assert waiting.state != "failed", waiting.error
        waiting = here.get_ready()
    while True:
        # What an answer begins may be done before it is looked at: then it is asked once more.
        before = {name: task for name, task in here.tasks.items() if task.state != "running"}
        data, _ = answer(here, None)
        if before == dict(here.tasks):
            return data
        for task in list(here.tasks.values()):
            task.wait(10.0)
