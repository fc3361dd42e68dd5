"""From event to painted, in a real browser: ``python -m tests.ui.clicks [FILE.json]``.

For each of the bundled jobs: opened cold and warm, a goal moved, a part chosen, undone, another
part of the talk, a change of use. Medians in milliseconds, printed and written as JSON, of
this machine and whatever else it does meanwhile.
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
from tests.ui.serving import TALK, begun, browser, ready, served

ROUNDS = 9
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
  const paint = () => requestAnimationFrame(() => requestAnimationFrame(
    () => resolve(performance.now() - start)));
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


def measure(page: Any, times: dict[str, list[float]]) -> None:
    """Take the times of all kinds of clicks on an open job."""

    def taken(what: str) -> None:
        took = page.evaluate(MEASURE, what)
        ready(page)
        if took is not None:
            times[what].append(took)

    for _ in range(ROUNDS):
        taken("goal")
        taken("undo")
    page.locator('[data-key="way parts"]').click()
    ready(page)
    for _ in range(ROUNDS):
        taken("choice")
        taken("undo")
    for _ in range(ROUNDS):
        taken("part")
    page.locator('[data-key="way goals"]').click()
    page.locator("summary", has_text="Use of the vehicle").click()
    for _ in range(3):
        taken("use")


def opened(page: Any, address: str, parameter: str) -> float:
    """Open a job; return how long until its answer is painted [ms]."""
    start = time.perf_counter()
    page.goto(f"{address}/?job={parameter}")
    begun(page, timeout=600_000)
    return 1000 * (time.perf_counter() - start)


def main() -> None:
    """Measure, print and write."""
    parser = argparse.ArgumentParser(prog="python -m tests.ui.clicks", description=__doc__)
    parser.add_argument("file", nargs="?", type=Path, help="JSON to write")
    parser.add_argument("--jobs", nargs="*", help="only these, such as demo/hut-track-wagon")
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
            for name, path in ready_jobs(shelves).items():
                if asked.jobs and name not in asked.jobs:
                    continue
                parameter = job_link.to_parameter(
                    job_files.read_job(path, shelves.trade), shelves.trade
                )
                times: dict[str, list[float]] = defaultdict(list)
                page = seen.new_page(viewport={"width": 1440, "height": 900})
                page.set_default_timeout(300_000)
                times["cold"].append(opened(page, address, parameter))
                for _ in range(3):
                    times["warm"].append(opened(page, address, parameter))
                measure(page, times)
                page.close()
                medians[name] = {
                    kind: round(statistics.median(each), 1) for kind, each in times.items()
                }
                print(f"{name:34}", "  ".join(
                    f"{kind} {number:.0f}" for kind, number in medians[name].items()
                ), flush=True)  # fmt: skip
    load = os.getloadavg()[0] if hasattr(os, "getloadavg") else None
    told = {"unit": "ms", "limits": LIMITS, "medians": medians, "load": load,
            "cores": os.cpu_count(), "rounds": ROUNDS}  # fmt: skip
    if asked.file is not None:
        asked.file.write_text(json.dumps(told, indent=2) + "\n", encoding="utf-8")
    over = [
        f"{name}: {kind} {number:.0f} ms, aimed at {LIMITS[kind]}"
        for name, each in medians.items()
        for kind, number in each.items()
        if number > LIMITS[kind]
    ]
    print("\n".join(["", "Slower than aimed at:", *over] if over else ["", "All as aimed at."]))


if __name__ == "__main__":
    main()
