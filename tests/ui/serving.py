"""A server of the pages on a free port, and a browser to look at it, for tests and pictures."""

from __future__ import annotations

import contextlib
import os
import re
import signal
import socket
import subprocess
import sys
import time
import urllib.request
from pathlib import Path
from typing import TYPE_CHECKING, Any

from configurator.core import paths

if TYPE_CHECKING:
    from collections.abc import Iterator

# What keeps a browser from asking other hosts by itself, and what a container needs.
ARGUMENTS = (
    "--no-sandbox",
    "--headless",
    "--disable-gpu",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--no-first-run",
    # Pages of a context are drawn by one process, which has the page's scripts compiled.
    "--process-per-site",
)


class Address(str):
    """Where a server is, and which process it is."""

    __slots__ = ("process",)
    process: int


@contextlib.contextmanager
def served(folder: Path, app: Path | None = None, **environment: str) -> Iterator[Address]:
    """Run the pages, or another script; give their address."""
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    address = Address(f"http://127.0.0.1:{port}")
    app = app or paths.app()
    log = folder / "server.log"
    with log.open("w") as output:
        process = subprocess.Popen(
            [sys.executable, "-m", "streamlit", "run", str(app), "--server.port", str(port)],
            cwd=paths.app().parent,
            env={**os.environ, **environment},
            stdout=output,
            stderr=subprocess.STDOUT,
            start_new_session=True,
        )
        address.process = process.pid
        try:
            _wait(address, process, log)
            yield address
        finally:
            os.killpg(process.pid, signal.SIGTERM)
            try:
                process.wait(10)
            except subprocess.TimeoutExpired:
                os.killpg(process.pid, signal.SIGKILL)


def _wait(address: str, process: subprocess.Popen[bytes], log: Path) -> None:
    end = time.monotonic() + 60
    while time.monotonic() < end:
        if process.poll() is not None:
            break
        with contextlib.suppress(OSError), urllib.request.urlopen(f"{address}/_stcore/health") as a:
            if a.status == 200:
                return
        time.sleep(0.1)
    message = f"the server did not start: {log.read_text()}"
    raise RuntimeError(message)


@contextlib.contextmanager
def browser(executable: str) -> Iterator[Any]:
    """Start a browser, or share the one that is started: Playwright runs once in a thread."""
    from playwright.sync_api import sync_playwright

    if not _running:
        play = sync_playwright().start()
        try:
            _running[:] = [play.chromium.launch(executable_path=executable, args=list(ARGUMENTS))]
        except BaseException:
            play.stop()
            raise
        try:
            yield _running[0]
        finally:
            _running.pop().close()
            play.stop()
    else:
        yield _running[0]


_running: list[Any] = []


# Finds the talk behind the page's own shadow root, and gives what it knows.
TALK = """() => {
  const host = [...document.querySelectorAll("*")]
    .find((e) => e.shadowRoot?.querySelector(".talk"));
  return host?.shadowRoot.querySelector(".talk").talk;
}"""
ANSWERED = f"""() => {{
  const talk = ({TALK})();
  return Boolean(talk?.data && !talk.queue.length && !talk.data.updating && !talk.data.coming);
}}"""


# How often a page is asked whether it is there [ms]: by default before each frame that it draws,
# which keeps it drawing, and takes the time that the answer needs.
ASKED_EVERY = 50


def ready(page: Any, timeout: float = 300_000) -> None:
    """Wait until all that was told is answered and the page stands still."""
    page.wait_for_function(ANSWERED, timeout=timeout, polling=ASKED_EVERY)
    still(page)


def begun(page: Any, timeout: float = 300_000) -> None:
    """Wait until a job is worked out."""
    page.locator(".head .total").wait_for(timeout=timeout)
    ready(page, timeout)


def price(page: Any) -> str:
    """Return the price in the head."""
    return str(page.locator(".head .total").inner_text())


def still(page: Any) -> None:
    """Wait until no run of the page is under way."""
    page.wait_for_selector('[data-test-script-state="notRunning"]', timeout=60_000)


@contextlib.contextmanager
def run_of(page: Any) -> Iterator[None]:
    """Wait until a run of the page that what is done inside has begun is over.

    A page begins to run a moment after it is acted on, so looking whether it stands still would
    come too early. A run so short that the page never showed it is over long before the wait ends.
    """
    from playwright.sync_api import TimeoutError as TimedOut

    still(page)
    page.evaluate(WATCH)
    yield
    with contextlib.suppress(TimedOut):
        page.wait_for_function("() => window.hasRun", timeout=15_000, polling=ASKED_EVERY)
    still(page)


WATCH = """() => {
  window.hasRun = false;
  const app = document.querySelector("[data-test-script-state]");
  const watch = new MutationObserver(() => {
    if (app.dataset.testScriptState === "notRunning") return;
    window.hasRun = true;
    watch.disconnect();
  });
  watch.observe(app, { attributeFilter: ["data-test-script-state"] });
}"""


VIEWS = ("Goals", "Parts", "Build", "Compare")
WORKSHOP = (
    "Documents", "Saved jobs", "As-built check", "Vehicle", "What else it needs",
    "Fleet", "Lists and rules", "Share and open",
)  # fmt: skip


def go_to(page: Any, name: str) -> None:
    """Open a part of the talk or of the workshop and wait until it is drawn."""
    if name in VIEWS:
        talk = page.get_by_role("navigation", name="Parts of the talk")
        talk.get_by_role("button", name=re.compile(f"^{name}")).click()
    else:
        second = page.locator(".second")
        if not second.count():
            page.get_by_role("button", name="Workshop", exact=True).click()
            second.wait_for(state="attached")
            ready(page)
        one_of = page.get_by_label("Part of the workshop")
        if one_of.is_visible():  # a phone has no room for all names beside each other
            one_of.select_option(label=name)
        else:
            second.get_by_role("button", name=name, exact=True).click()
        page.wait_for_function(
            "(name) => [...document.querySelectorAll('h2')].some((e) => e.innerText.trim())",
            arg=name, timeout=60_000, polling=ASKED_EVERY,
        )  # fmt: skip
    ready(page)


def enter(page: Any, field: Any, text: str) -> None:
    """Type into a field in place of what it holds, and wait until that is taken."""
    field.fill(text)
    with run_of(page):
        field.press("Enter")


def turn(page: Any, theme: str) -> None:
    """Change between the light and the dark theme, and wait until the page follows."""
    page.emulate_media(color_scheme=theme)
    page.wait_for_function(
        "(dark) => (getComputedStyle(document.querySelector('[data-testid=stApp]'))"
        ".backgroundColor.match(/\\d+/g).slice(0, 3).reduce((a, b) => a + Number(b), 0) < 384)"
        " === dark",
        arg=theme == "dark",
        polling=ASKED_EVERY,
    )


def barriers(page: Any) -> dict[str, list[str]]:
    """List what axe finds in either theme, by rule, with the first elements that break it."""
    from axe_playwright_python.sync_playwright import Axe

    result = {}
    for theme in ("light", "dark"):
        turn(page, theme)
        for violation in Axe().run(page).response["violations"]:
            result[f"{theme}: {violation['id']}"] = [
                node["html"][:200] for node in violation["nodes"][:3]
            ]
    return result


def wider_than_the_window(page: Any) -> int:
    """Return by how many pixels the page is wider than its window."""
    return int(
        page.evaluate(
            "document.querySelector('[data-testid=stMain]').scrollWidth - window.innerWidth"
        )
    )
