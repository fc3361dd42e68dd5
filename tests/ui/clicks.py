"""From event to painted, in a real browser: ``python -m tests.ui.clicks [FILE.json]``.

For each of the bundled jobs: opened cold and warm, a goal moved, a goal added on a figure that had
none, a part chosen, undone, another part of the talk, a change of use. First, how somebody who
opens the page for the first time, with an empty data folder, gets to an answer and to a compared
pair: in clicks, in time, and in processor time of the server. Medians in milliseconds, printed and
written as JSON, of this machine and whatever else it does meanwhile: beside them stand the load,
and the share of a core that a busy loop gets. A click is over when price, goals and package are
painted; *all* adds what follows behind: the prices of all parts and levels.
"""

from __future__ import annotations

import argparse
import contextlib
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
from tests.ui.serving import TALK, Address, browser, ready, served

ROUNDS = 7
LIMITS = {"goal": 150, "new goal": 150, "choice": 150, "undo": 150, "part": 150, "warm": 1000,
          "use": 1000, "cold": 5000}  # fmt: skip

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
    "new goal": () => {{
      const ideas = [...root.querySelectorAll('.chip [data-act="goal"]')];
      return ideas[Math.floor(ideas.length * ((talk.n * 0.37) % 1))];
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
  const sent = talk.n;
  const wait = () => {{
    const busy = talk.queue.length || talk.data.updating || talk.data.done < sent;
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
    for _ in range(rounds):
        taken("new goal")
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


# What somebody who begins should need at most: clicks, and time [ms].
FIRST_TIME = {"first answer": (3, 30_000), "compared pair": (5, 120_000)}
COUNT = "() => addEventListener('click', () => { window.taps = (window.taps ?? 0) + 1; }, true)"


def core_share() -> float:
    """Return which share of a core a busy loop gets: 1 on a quiet machine."""
    begun, used = time.perf_counter(), time.process_time()
    while time.perf_counter() - begun < 1.0:
        pass
    return (time.process_time() - used) / (time.perf_counter() - begun)


def processor_time(server: int) -> float:
    """Return what a server and the processes that it began have used of the processor so far [s].

    Those that ended are counted with whoever began them; see proc(5) for the fields.
    """
    ticks = 0
    for stat in Path("/proc").glob("[0-9]*/stat"):
        with contextlib.suppress(OSError):
            fields = stat.read_text(encoding="utf-8").rpartition(")")[2].split()
            group, used = int(fields[2]), fields[11:15]
            ticks += sum(map(int, used)) if group == server else 0
    return ticks / os.sysconf("SC_CLK_TCK")


def begun_anew(page: Any, address: Address) -> dict[str, tuple[int, float, float]]:
    """Begin a job as a first-time user does.

    Returns
    -------
    dict
        What is reached → clicks until then, time, and processor time of the server [ms].
    """
    start, used = time.perf_counter(), processor_time(address.process)
    page.goto(address)
    page.locator(".vehicle").first.wait_for()
    page.evaluate(COUNT)
    reached = {}

    def note(what: str) -> None:
        took = 1000 * (time.perf_counter() - start)
        of_server = 1000 * (processor_time(address.process) - used)
        reached[what] = (page.evaluate("() => window.taps"), round(took, 1), round(of_server, 1))

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
            share = core_share()
            reached = begun_anew(page, address)
            page.close()
            for what, (taps, took, used) in reached.items():
                print(
                    f"{what}: {taps} clicks, {took / 1000:.1f} s, of them the server at work for "
                    f"{used / 1000:.1f} s of processor time",
                    flush=True,
                )
            print(
                f"load {os.getloadavg()[0]:.1f} on {os.cpu_count()} cores; a busy loop got "
                f"{share:.0%} of a core",
                flush=True,
            )
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
            "load": load, "cores": os.cpu_count(), "core share": round(share, 3),
            "rounds": asked.rounds}  # fmt: skip
    if asked.file is not None:
        asked.file.write_text(json.dumps(record, indent=2) + "\n", encoding="utf-8")
    over = [
        f"{name}: {kind} {number:.0f} ms, aimed at {LIMITS[kind]}"
        for name, each in medians.items()
        for kind, number in each.items()
        if number > LIMITS.get(kind, float("inf"))
    ]
    over += [
        f"{what}: {reached[what][0]} clicks, {reached[what][1] / 1000:.0f} s, aimed at "
        f"{clicks} clicks and {limit / 1000:.0f} s"
        for what, (clicks, limit) in FIRST_TIME.items()
        if reached[what][0] > clicks or reached[what][1] > limit
    ]
    print("\n".join(["", "Slower than aimed at:", *over] if over else ["", "All as aimed at."]))


if __name__ == "__main__":
    main()
