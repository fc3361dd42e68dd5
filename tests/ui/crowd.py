"""Server time of a click with many visitors: ``python -m tests.ui.crowd [USERS ...]``.

Visitors talk about two demo jobs: they change the part of the page, fix and free parts and move
goals, and think two to five seconds in between. The time of a click runs from sending it until
the server says that all is drawn; painting in a browser comes on top (`tests.ui.clicks`). What
each of them was shown is held against the answer to that visitor's own job, worked out alone.
"""

from __future__ import annotations

import argparse
import asyncio
import json
import random
import statistics
import sys
import tempfile
from collections import defaultdict
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple
from urllib.parse import parse_qs, urlencode

from configurator.core import paths
from configurator.files import job_files, job_link
from configurator.loading import plugin_files
from configurator.questions.case_cache import Shelf
from configurator.questions.session import Session
from configurator.ui.talk.talk_words import money
from tests.ui.serving import served
from tests.ui.visitor import Visitor

if TYPE_CHECKING:
    from configurator.model.knowledge import Trade

JOBS = ("hut-track-wagon", "vineyard-trucks")
PARTS = ("talk", "saved", "vehicle", "share")
COMPONENT, NAMES = "fitwright_talk", "fitwright_part_names"
# Where in the talk a visitor does what.
VIEWS = {"move": "goals", "fix": "parts", "free": "parts"}
# Between clicks [s].
THINKING = (2.0, 5.0)
# What visitors do, and how often of a hundred times.
ACTS = {"turn": 35, "fix": 35, "move": 20, "free": 10}


class Shown(NamedTuple):
    """What a visitor saw after a click."""

    title: str
    query: str
    price: str


@dataclass(slots=True)
class Seen:
    """What a visitor met: times by kind of click [s], and what was on the page."""

    times: dict[str, list[float]] = field(default_factory=lambda: defaultdict(list))
    shown: list[Shown] = field(default_factory=list)
    ignored: list[str] = field(default_factory=list)


def shown(visitor: Visitor) -> Shown:
    """Return what is on top of the page, and its address."""
    _, data = visitor.component(COMPONENT)
    head = data["head"]
    return Shown(head["title"], visitor.query, "none" if head["none"] else head["total"])


def decisions(visitor: Visitor) -> dict[tuple[str, str], list[str]]:
    """Return what can be decided on each part, as its buttons say it."""
    _, names = visitor.component(NAMES)
    _, data = visitor.component(COMPONENT)
    if names["version"] != data["version"]:
        message = "the names on the page are not those of the parts"
        raise LookupError(message)
    parts = data["parts"]
    return {
        (position, option[0]): parts["looks"][row[0]][-1]
        for (position, _, options), rows in zip(names["positions"], parts["rows"], strict=True)
        for option, row in zip(options, rows, strict=True)
    }


async def act(visitor: Visitor, what: str, **args: object) -> float:
    """Tell the page an act, as its component does."""
    _, data = visitor.component(COMPONENT)
    sent = json.dumps([{"n": data["done"] + 1, "what": what, **args}])
    return await visitor.trigger(COMPONENT, "acts", sent)


async def visit(
    address: str, query: str, clicks: int, thinking: tuple[float, float], dice: random.Random
) -> Seen:
    """Open the page, click so many times, and leave."""
    seen, visitor = Seen(), Visitor(address, query)
    await visitor.arrive()
    seen.shown.append(shown(visitor))
    part, view = "talk", "goals"
    for _ in range(clicks):
        await asyncio.sleep(dice.uniform(*thinking))
        kind = dice.choices(list(ACTS), list(ACTS.values()))[0]
        if kind == "turn" or part != "talk":
            # Whoever wants to do something in the talk has to go back there first.
            part = "talk" if part != "talk" else dice.choice([p for p in PARTS if p != part])
            seen.times[f"to {part}"].append(await act(visitor, "part", part=part))
        elif view != VIEWS[kind]:
            view = VIEWS[kind]
            seen.times[f"to {view}"].append(await act(visitor, "go", view=view))
        elif kind == "move":
            asked = [
                (line["figure"], side, line[side])
                for line in visitor.component(COMPONENT)[1]["goals"]["lines"]
                for side in ("least", "most")
                if line[side]
            ]
            if asked:
                figure, side, text = dice.choice(asked)
                number = f"{float(text) * dice.uniform(0.97, 1.03):.1f}"
                took = await act(visitor, "goal", figure=figure, side=side, text=number)
                seen.times[kind].append(took)
        else:
            keys = [key for key, actions in decisions(visitor).items() if kind in actions]
            if keys:
                key = dice.choice(keys)
                took = await act(visitor, kind, position=key[0], part=key[1])
                seen.times[kind].append(took)
                if ("free" in decisions(visitor)[key]) != (kind == "fix"):
                    seen.ignored.append(f"{kind} {key!r}")
        await visitor.settle()
        seen.shown.append(shown(visitor))
    await visitor.leave()
    return seen


def queries(trade: Trade, users: int) -> list[str]:
    """Give each visitor a job with a title of its own, as the address has it."""
    made = []
    for number in range(users):
        name = JOBS[number % len(JOBS)]
        job = job_files.read_job(paths.catalogs() / "demo" / "jobs" / f"{name}.toml", trade)
        job = replace(job, title=f"visitor {number}")
        made.append(urlencode({"job": job_link.to_parameter(job, trade)}))
    return made


async def crowd(
    address: str,
    asked: list[str],
    clicks: int,
    thinking: tuple[float, float] = THINKING,
    seed: int = 1,
) -> list[Seen]:
    """Let visitors at the page, each with an address of its own."""
    return await asyncio.gather(
        *(
            visit(address, query, clicks, thinking, random.Random(f"{seed} {number}"))
            for number, query in enumerate(asked)
        )
    )


def mistakes(trade: Trade, all_seen: list[Seen], folders: tuple[Path, ...] = ()) -> list[str]:
    """Say what was shown to a visitor that is not the answer to that visitor's job."""
    shelf, wrong, prices = Shelf(), [], {}
    for number, seen in enumerate(all_seen):
        wrong += [f"visitor {number}: {act} was not done" for act in seen.ignored]
        for page in seen.shown:
            if page.query not in prices:
                job = job_link.from_parameter(parse_qs(page.query)["job"][0], trade)
                session = Session(
                    job, trade, lambda job: job_files.case_of(job, trade, folders), shelf
                ).cheapest()
                price = "none" if session.price is None else money(session.price, job.currency)
                prices[page.query] = job.title, price
            if prices[page.query] != (f"visitor {number}", page.price):
                wrong.append(f"visitor {number} saw {page.price}, not {prices[page.query]}")
            if page.title != f"visitor {number}":
                wrong.append(f"visitor {number} saw the page of {page.title}")
    return wrong


def report(users: int, all_seen: list[Seen]) -> str:
    """Say how long clicks took, all together and by kind [ms]."""
    kinds: dict[str, list[float]] = defaultdict(list)
    for seen in all_seen:
        for kind, times in seen.times.items():
            kinds[kind] += times
    every = [time for times in kinds.values() for time in times]
    lines = [f"{users} visitors, {len(every)} clicks: {_spread(every)}"]
    lines += [f"  {kind:18} {len(each):5}: {_spread(each)}" for kind, each in sorted(kinds.items())]
    return "\n".join(lines)


def _spread(times: list[float]) -> str:
    ordered = sorted(times)
    late = ordered[min(len(ordered) - 1, int(0.95 * len(ordered)))]
    return (
        f"median {1000 * statistics.median(ordered):.0f} ms, p95 {1000 * late:.0f} ms, "
        f"worst {1000 * ordered[-1]:.0f} ms"
    )


def main() -> None:
    """Measure and print; end with 1 if somebody was shown what is not theirs."""
    parser = argparse.ArgumentParser(prog="python -m tests.ui.crowd", description=__doc__)
    parser.add_argument("users", type=int, nargs="*", help="how many at a time (1 5 25)")
    parser.add_argument("--clicks", type=int, default=25, help="of each visitor")
    asked = parser.parse_args()
    trade = plugin_files.load().trade
    wrong = []
    for users in asked.users or (1, 5, 25):
        with tempfile.TemporaryDirectory() as place, served(Path(place)) as address:
            each = queries(trade, users)
            # Both jobs are worked out before anybody's time is taken.
            asyncio.run(crowd(address, each[: len(JOBS)], 0))
            seen = asyncio.run(crowd(address, each, asked.clicks))
        print(report(users, seen), flush=True)
        wrong += mistakes(trade, seen)
    if wrong:
        sys.exit("\n".join(["what was shown is not right:", *wrong[:20]]))
    print("everybody was shown the answers to their own job")


if __name__ == "__main__":
    main()
