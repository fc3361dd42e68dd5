"""Click to painted: ``python -m tests.ui.bench``; many visitors are in `tests.ui.crowd`.

A shop of 16 positions with 40 options each; a click fixes another option, and the time ends with
the first frame that shows the new price. Numbers are of this machine and for comparison only.
"""

from __future__ import annotations

import shutil
import statistics
import sys
import tempfile
from pathlib import Path

from tests.ui.serving import browser, ready, served, still

POSITIONS, OPTIONS, CLICKS = 16, 40, 25

_PLUGIN = """
from configurator.plugin import Attribute, Family, Position, figure, limit, part

FAMILIES = [
    Family(f"kind{{n}}", f"Kind {{n}}", (Position(f"place {{n}}"),),
           (Attribute("size", "How large it is.", "mm"),), optional=True)
    for n in range({positions})
]


def _pair(n):
    @limit(f"{{n}} is no larger than its neighbour by 30 mm", unit="mm", at_most=30.0,
           because="they touch", source="geometry")
    def holds(one: float = part(f"place {{n}}", "size"),
              other: float = part(f"place {{n + 1}}", "size")):
        return one - other

    return holds


LIMITS = [_pair(n) for n in range({positions} - 1)]


@figure("reach", unit="mm", source="geometry")
def reach(one: float = part("place 0", "size"), other: float = part("place 1", "size")):
    return one + other
"""


def shop(folder: Path) -> Path:
    """Write plugins, a catalog and a job; return the folder."""
    plugins, catalog = folder / "plugins", folder / "catalogs" / "bench"
    plugins.mkdir(parents=True)
    (plugins / "bench.py").write_text(_PLUGIN.format(positions=POSITIONS))
    (catalog / "vehicles").mkdir(parents=True)
    (catalog / "jobs").mkdir()
    (catalog / "catalog.toml").write_text(
        'title = "Bench"\ncurrency = "EUR"\nprice_date = 2026-10-01\nsource = "invented"\n'
    )
    for n in range(POSITIONS):
        rows = [
            f"P{n}-{k},Part {k} of {n},{100 + 7 * k + n},{100 + 5 * ((k * 7) % OPTIONS)}"
            for k in range(OPTIONS)
        ]
        head = "part number,title,price [EUR],size [mm]\n"
        (catalog / f"kind{n}.csv").write_text(head + "\n".join(rows) + "\n")
    (catalog / "vehicles" / "cart.toml").write_text('title = "A cart"\n')
    return folder


def clicks(page) -> list[float]:
    """Fix another option again and again; return times from click to painted [ms]."""
    times = []
    for number in range(CLICKS):
        place = f"place {number % POSITIONS}"
        page.get_by_role("combobox", name="Position", exact=True).select_option(place)
        times.append(page.evaluate(_CLICK, 3 + number % 7))
        still(page)
    return times


# The component's table is in the open shadow tree of its host. The second frame after the change
# begins when the first has been painted.
_CLICK = """(number) => new Promise((done) => {
  const host = [...document.querySelectorAll("*")].find(
    (one) => one.shadowRoot?.querySelector("tr.group"));
  const buttons = [...host.shadowRoot.querySelectorAll("tbody:not([hidden]) tr:not([hidden])")]
    .map((row) => row.querySelector('button[data-do="fix"]')).filter(Boolean);
  const began = performance.now();
  const watch = new MutationObserver(() => {
    watch.disconnect();
    requestAnimationFrame(() => requestAnimationFrame(() => done(performance.now() - began)));
  });
  watch.observe(host.shadowRoot, { childList: true, subtree: true, characterData: true });
  buttons[number % buttons.length].click();
})"""


def main() -> None:
    """Measure and print."""
    chromium = shutil.which("chromium") or shutil.which("chromium-browser")
    if chromium is None:
        sys.exit("no Chromium on this machine")
    with tempfile.TemporaryDirectory() as place:
        folder = shop(Path(place))
        (folder / "catalogs" / "bench" / "jobs" / "bench.toml").write_text(
            'title = "Bench"\nvehicle = "bench/cart"\ncatalogs = ["bench"]\nbudget = "9000 EUR"\n'
        )
        environment = {
            "FITWRIGHT_CATALOGS": str(folder / "catalogs"),
            "FITWRIGHT_BENCH_PLUGINS": str(folder / "plugins"),
        }
        with (
            served(folder, app=_app(folder), **environment) as address,
            browser(chromium) as seen,
        ):
            page = seen.new_page(viewport={"width": 1400, "height": 1000})
            page.goto(address)
            ready(page)
            page.get_by_role("radio", name="Options", exact=True).click()
            page.wait_for_selector("tr.group")
            times = clicks(page)
    print(f"{POSITIONS} positions of {OPTIONS} options, {len(times)} clicks")
    print(f"click to painted: median {statistics.median(times):.0f} ms, worst {max(times):.0f} ms")


def _app(folder: Path) -> Path:
    """Write a page that knows the bench's plugins only."""
    path = folder / "app.py"
    path.write_text(
        "import os, pathlib\n"
        "from configurator.core import paths\n"
        "paths.plugins = lambda: pathlib.Path(os.environ['FITWRIGHT_BENCH_PLUGINS'])\n"
        "from configurator.ui import visit\n"
        "visit.FIRST_JOB = 'bench/bench'\n"
        "from configurator.ui import main\n"
        "main()\n"
    )
    return path


if __name__ == "__main__":
    main()
