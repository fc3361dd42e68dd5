"""From event to painted, in a real browser: ``python -m tests.ui.clicks [FILE.json]``.

For each of the bundled jobs: opened cold and warm, a goal moved, a part chosen, undone, another
part of the talk, a change of use. First, how somebody who begins a job gets to an answer and to a
compared pair, in clicks and in time. Medians in milliseconds, printed and written as JSON, of
this machine and whatever else it does meanwhile. A click is over when price, goals and package are
painted; *all* adds what follows behind: the prices of all parts and levels.
"""

from __future__ import annotations

import argparse
import json
import os
import shutil
import statistics
import tempfile
import time
from collections import defaultdict
from pathlib import Path
from typing import Any

from configurator.files import job_files, job_link
from configurator.loading import plugin_files
from configurator.ui.shared_cases import Library, ready_jobs
from tests.ui.serving import TALK, browser, ready, served

ROUNDS = 7
LIMITS = {"goal": 150, "choice": 150, "undo": 150, "part": 150, "warm": 1000, "use": 1000,
          "cold": 5000}  # fmt: skip

# Does something, and waits for the first frame that shows the answer to it.
MEASURE = f"""(what) => new Promise((resolve) => {{
  const talk = ({TALK})();
  const root = talk.holder;
  const pick = {{
    choice: () => {{
      const all = [...root.querySelectorAll('[data-act="fix"]')];
      return all[Math.floor(all.length * ((talk.n * 0.37) % 1))];
    }},
    undo: () => root.querySelector('[data-act="undo"]'),
    part: () => {{
      const ways = [...root.querySelectorAll('[data-key^="way "][data-turn]:not([aria-current])')];
      return ways[talk.turns = ((talk.turns ?? 0) + 1) % ways.length];
    }},
    goal: () => {{
      const fields = [...root.querySelectorAll('input[data-what="goal"]')].filter((e) => e.value);
      return fields[0];
    }},
    use: () => root.querySelector('input[data-what="use"][data-name="use cruising speed"]'),
  }}[what]();
  if (!pick) {{ resolve(null); return; }}
  const start = performance.now();
  const frame = (then) => requestAnimationFrame(() => requestAnimationFrame(then));
  const whole = (painted) => {{
    if (talk.data.coming) requestAnimationFrame(() => whole(painted));
    else frame(() => resolve([painted, performance.now() - start]));
  }};
  const paint = () => frame(() => whole(performance.now() - start));
  if (what === "goal" || what === "use") {{
    const number = Number(pick.value);
    const step = what === "use" ? 1 + (talk.n % 3) : number * 0.004;
    pick.value = String(Number((number - step).toPrecision(4)));
    pick.dispatchEvent(new Event("change", {{ bubbles: true }}));
  }} else pick.click();
  const told = talk.n;
  const wait = () => {{
    const busy = talk.queue.length || talk.data.updating || talk.data.done < told;
    if (busy) requestAnimationFrame(wait);
    else paint();
  }};
  if (what === "part") paint();
  else wait();
}})"""


def measure(page: Any, times: dict[str, list[float]], rounds: int) -> None:
    """Take the times of all kinds of clicks on an open job."""

    def taken(what: str) -> None:
        took = page.evaluate(MEASURE, what)
        ready(page)
        if took is not None:
            times[what].append(took[0])
            if what not in ("part", "undo"):
                times[f"all of {what}"].append(took[1])

    for _ in range(rounds):
        taken("goal")
        taken("undo")
    page.locator('[data-key="way parts"]').click()
    ready(page)
    for _ in range(rounds):
        taken("choice")
        taken("undo")
    for _ in range(rounds):
        taken("part")
    page.locator('[data-key="way goals"]').click()
    page.locator("summary", has_text="Use of the vehicle").click()
    for _ in range(3):
        taken("use")


COUNT = "() => addEventListener('click', () => { window.taps = (window.taps ?? 0) + 1; }, true)"


def begun_anew(page: Any, address: str) -> dict[str, tuple[int, float]]:
    """Begin a job as a first-time user does.

    Returns
    -------
    dict
        What is reached → clicks until then, and time [ms].
    """
    start = time.perf_counter()
    page.goto(address)
    page.locator(".vehicle").first.wait_for()
    page.evaluate(COUNT)
    reached = {}

    def note(what: str) -> None:
        took = 1000 * (time.perf_counter() - start)
        reached[what] = (page.evaluate("() => window.taps"), round(took, 1))

    page.locator("button.vehicle").first.click()
    page.get_by_role("button", name="Ask for clearance under front axle").click()
    page.get_by_role("button", name="Show the package").click()
    page.locator(".head .total").wait_for(timeout=600_000)
    page.locator(".goal .mark.met").first.wait_for()
    note("first answer")
    page.locator('[data-key="way compare"]').click()
    page.get_by_role("button", name="Compare: ").first.click()
    page.locator("table.compare thead th").nth(2).wait_for()
    note("compared pair")
    return reached


def opened(page: Any, address: str, parameter: str) -> tuple[float, float]:
    """Open a job; return how long until its answer is painted, and until all of it is [ms]."""
    start = time.perf_counter()
    page.goto(f"{address}/?job={parameter}")
    page.locator(".head .total").wait_for(timeout=600_000)
    painted = 1000 * (time.perf_counter() - start)
    ready(page, timeout=600_000)
    return painted, 1000 * (time.perf_counter() - start)


def main() -> None:
    """Measure, print and write."""
    parser = argparse.ArgumentParser(prog="python -m tests.ui.clicks", description=__doc__)
    parser.add_argument("file", nargs="?", type=Path, help="JSON to write")
    parser.add_argument("--jobs", nargs="*", help="only these, such as demo/hut-track-wagon")
    parser.add_argument("--rounds", type=int, default=ROUNDS, help="of each kind of click")
    asked = parser.parse_args()
    chromium = shutil.which("chromium") or shutil.which("chromium-browser")
    if chromium is None:
        message = "no Chromium on this machine"
        raise SystemExit(message)
    shelves = Library(plugin_files.load(), ())
    medians: dict[str, dict[str, float]] = {}
    with tempfile.TemporaryDirectory() as place, browser(chromium) as seen:
        own = {"FITWRIGHT_DATA": f"{place}/data", "FITWRIGHT_DATABASE": ""}
        with served(Path(place), **own) as address:
            page = seen.new_page(viewport={"width": 1440, "height": 900})
            page.set_default_timeout(300_000)
            reached = begun_anew(page, address)
            page.close()
            for what, (taps, took) in reached.items():
                print(f"{what}: {taps} clicks, {took / 1000:.1f} s", flush=True)
            for name, path in ready_jobs(shelves).items():
                if asked.jobs and name not in asked.jobs:
                    continue
                parameter = job_link.to_parameter(
                    job_files.read_job(path, shelves.trade), shelves.trade
                )
                times: dict[str, list[float]] = defaultdict(list)
                page = seen.new_page(viewport={"width": 1440, "height": 900})
                page.set_default_timeout(300_000)
                for what in ("cold", "warm", "warm", "warm"):
                    painted, whole = opened(page, address, parameter)
                    times[what].append(painted)
                    times[f"all of {what}"].append(whole)
                measure(page, times, asked.rounds)
                page.close()
                medians[name] = {
                    kind: round(statistics.median(each), 1) for kind, each in times.items()
                }
                print(f"{name:34}", "  ".join(
                    f"{kind} {number:.0f}" for kind, number in medians[name].items()
                ), flush=True)  # fmt: skip
    load = os.getloadavg()[0] if hasattr(os, "getloadavg") else None
    record = {"unit": "ms", "limits": LIMITS, "medians": medians, "begun anew": reached,
            "load": load, "cores": os.cpu_count(), "rounds": asked.rounds}  # fmt: skip
    if asked.file is not None:
        asked.file.write_text(json.dumps(record, indent=2) + "\n", encoding="utf-8")
    over = [
        f"{name}: {kind} {number:.0f} ms, aimed at {LIMITS[kind]}"
        for name, each in medians.items()
        for kind, number in each.items()
        if number > LIMITS.get(kind, float("inf"))
    ]
    print("\n".join(["", "Slower than aimed at:", *over] if over else ["", "All as aimed at."]))


if __name__ == "__main__":
    main()
