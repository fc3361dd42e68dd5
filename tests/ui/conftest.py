"""What tests with a browser share: one browser and one server for each process of tests."""

from __future__ import annotations

import functools
import shutil
from typing import TYPE_CHECKING, Any

import pytest
from streamlit.components.v2 import manifest_scanner

from configurator.core import paths
from configurator.files import job_files, job_link
from configurator.loading import plugin_files
from configurator.ui.shared_cases import CATALOGS, Library, session_for
from configurator.ui.talk import turns
from configurator.ui.tasks import Task
from configurator.ui.visit import Visit
from tests import bundled
from tests.conftest import link
from tests.short_lists import write_short_lists
from tests.ui.serving import begun, browser, served

# What a list of somebody else's may hold.
HOSTILE = (
    '<img src=x onerror="window.hit=1">[a](javascript:alert(1)) :red[x] $x$ '
    "<script>window.hit=1</script>"
)

# Makes an empty page of the same host, which needs no server.
EMPTY = "() => URL.createObjectURL(new Blob([], { type: 'text/html' }))"

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from pathlib import Path

    from configurator.model.jobs import Job
    from configurator.model.knowledge import Trade


@pytest.fixture(autouse=True)
def _nothing_goes_on(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    """End what a test left at work: it would write into the folders of the next one."""
    begun: list[Task] = []
    run = Task._run

    def noted(task: Task, work: Any) -> None:
        begun.append(task)
        run(task, work)

    monkeypatch.setattr(Task, "_run", noted)
    # Nobody clicks here: what is worked out ahead need not wait to see whether somebody does.
    monkeypatch.setattr(turns, "STILL", 0.0)
    yield
    for task in begun:
        task.stop()
    for task in begun:
        task.wait(60)


@pytest.fixture(scope="session", autouse=True)
def _components_looked_for_once() -> Iterator[None]:
    """Let each page that is opened without a browser know which libraries bring components.

    Streamlit looks through all that is installed for it, which stays as it is.
    """
    with pytest.MonkeyPatch.context() as patch:
        scan = manifest_scanner.scan_component_manifests
        patch.setattr(manifest_scanner, "scan_component_manifests", functools.cache(scan))
        yield


@pytest.fixture(scope="session")
def trade() -> Trade:
    """What the bundled plugins declare."""
    return bundled.trade()


@pytest.fixture(scope="session")
def job(trade: Trade) -> Job:
    """The job of the demo that is worked out fastest."""
    return job_files.read_job(paths.catalogs() / "demo" / "jobs" / "vineyard-trucks.toml", trade)


@pytest.fixture(scope="session")
def short_lists(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return a folder of catalogs: the demo's, with a quarter of its parts; it stays as it is."""
    return write_short_lists(tmp_path_factory.mktemp("short") / "catalogs").parent


@pytest.fixture(autouse=True)
def _short_lists(short_lists: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Let pages that are opened here read the short lists."""
    monkeypatch.setenv(CATALOGS, str(short_lists))


@pytest.fixture(scope="session")
def shelves(short_lists: Path) -> Library:
    """Return what all pages of a server share: bundled plugins, short lists; it stays as it is."""
    return Library(plugin_files.load(installed=False), (short_lists,))


@pytest.fixture
def visit(job: Job, shelves: Library) -> Visit:
    """Return a visitor's page with the job of the demo open, over short lists."""
    return Visit(session_for(job, shelves), shelves)


@pytest.fixture(scope="session")
def full_shelves() -> Library:
    """Return the bundled plugins and all lists of the demo; it stays as it is."""
    return Library(plugin_files.load(installed=False), ())


@pytest.fixture
def full_visit(job: Job, full_shelves: Library) -> Visit:
    """Return a visitor's page with the job of the demo open, over all its lists."""
    return Visit(session_for(job, full_shelves), full_shelves)


@pytest.fixture
def data(own_data: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Keep what is saved in a folder of the test's own; return it."""
    monkeypatch.delenv("FITWRIGHT_DATABASE", raising=False)
    monkeypatch.setenv("FITWRIGHT_DATA", str(own_data))
    monkeypatch.setenv("FITWRIGHT_USER", "account of the computer")
    return own_data


@pytest.fixture(scope="session")
def started(chromium: str) -> Iterator[Any]:
    """The browser; Playwright runs once in a thread, so all tests of a process share it."""
    with browser(chromium) as running:
        yield running


@pytest.fixture(scope="session")
def kept_contexts(started: Any) -> Iterator[dict[str, list[Any]]]:
    """Contexts of the browser that no test is in, by what they were opened with."""
    free: dict[str, list[Any]] = {}
    yield free
    for context in (each for alike in free.values() for each in alike):
        context.close()


@pytest.fixture
def new_context(started: Any, kept_contexts: dict[str, list[Any]]) -> Iterator[Callable[..., Any]]:
    """Give a context that nobody else is in, with nothing stored in it.

    One that a test has left is used again: the page's scripts are loaded and compiled in it, and
    stay so as long as some page of their host is open, if an empty one.
    """
    used: list[tuple[str, Any]] = []

    def opened(**how: Any) -> Any:
        key = repr(sorted(how.items()))
        alike = kept_contexts.setdefault(key, [])
        context = alike.pop() if alike else started.new_context(**how)
        used.append((key, context))
        return context

    yield opened
    for key, context in used:
        for page in context.pages:
            page.evaluate("() => { localStorage.clear(); sessionStorage.clear(); }")
        for page in context.pages[1:]:
            page.close()
        for page in context.pages:
            page.goto(page.evaluate(EMPTY))
        context.clear_cookies()
        kept_contexts[key].append(context)


@pytest.fixture(scope="session")
def hostile_lists(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return a folder of catalogs: the demo's, short, and `shop` with hostile texts."""
    demo = write_short_lists(tmp_path_factory.mktemp("hostile") / "catalogs")
    shop = demo.parent / "shop"
    shop.mkdir()
    shutil.copy(demo / "catalog.toml", shop)
    heading, *rows = (demo / "tyres.csv").read_text(encoding="utf-8").splitlines()
    column = heading.split(",").index("title")
    quoted = HOSTILE.replace('"', '""')
    for number, row in enumerate(rows):
        cells = row.split(",")
        assert len(cells) == heading.count(",") + 1
        cells[column] = f'"{quoted} {number}"'
        rows[number] = ",".join(cells)
    (shop / "tyres.csv").write_text("\n".join([heading, *rows]) + "\n", encoding="utf-8")
    return demo.parent


@pytest.fixture(scope="session")
def server_data(tmp_path_factory: pytest.TempPathFactory, circuits: Path) -> Path:
    """Return the folder in which the server of `address` keeps what is saved."""
    return link(tmp_path_factory.mktemp("server") / "data", circuits)


@pytest.fixture(scope="session")
def address(hostile_lists: Path, server_data: Path) -> Iterator[str]:
    """Of a server for tests that change no file and do not mind what else was saved.

    It has the demo's lists, short, and a list named `shop` whose texts are hostile.
    """
    own = {
        "FITWRIGHT_CATALOGS": str(hostile_lists),
        "FITWRIGHT_DATA": str(server_data),
        "FITWRIGHT_DATABASE": "",
        "FITWRIGHT_USER": "account",
    }
    with served(server_data.parent, **own) as server:
        yield server


@pytest.fixture
def open_page(
    new_context: Callable[..., Any], address: str, job: Job, trade: Trade
) -> Iterator[Callable[..., Any]]:
    """Open a job, by default the demo's, in a window of its own; nothing may go wrong in it.

    `at` is another server; the other keywords are those of a context of Playwright. What was
    loaded from where is in `page.asked`.
    """
    wrong = []

    def opened(wanted: Job = job, at: str = address, **how: Any) -> Any:
        context = new_context(**{"viewport": {"width": 1280, "height": 900}, **how})
        context.set_default_timeout(60_000)
        page = context.new_page()
        page.asked = []
        page.on("request", lambda request: page.asked.append(request.url))
        page.on("websocket", lambda socket: page.asked.append(socket.url))
        page.on("pageerror", lambda error: wrong.append(str(error)))
        page.goto(f"{at}/?job={job_link.to_parameter(wanted, trade)}")
        begun(page)
        return page

    yield opened
    assert wrong == []
