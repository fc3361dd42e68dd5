"""Visitors who come, work and go, wave after wave: ``python -m tests.ui.soak [--visitors 25]``.

Says how long clicks take, and what memory of closed visitors comes back: the server's resident
memory when both jobs are worked out, with everybody there, and some time after the last has left.
What stays should not grow from wave to wave; what one visitor leaves behind is the difference.
"""

from __future__ import annotations

import argparse
import asyncio
import re
import sys
import tempfile
import time
from pathlib import Path

from configurator.loading import plugin_files
from tests.ui.crowd import JOBS, THINKING, crowd, mistakes, queries, report
from tests.ui.serving import Address, served

# A closed tab may come back for so long, as after a lost connection; then all goes [s].
FORGOTTEN = 180.0
# What a visitor may leave behind for good [MB]; beside it stand answers kept for everybody.
LEAVES = 2.0


def resident(address: Address) -> float:
    """Return the resident memory of the server [MB]."""
    status = Path(f"/proc/{address.process}/status").read_text(encoding="utf-8")
    match = re.search(r"VmRSS:\s+(\d+) kB", status)
    if match is None:
        message = "this system does not say how much memory a process holds"
        raise RuntimeError(message)
    return int(match[1]) / 1024


async def wave(address: Address, asked: list[str], clicks: int, seed: int) -> tuple[list, float]:
    """Let all visitors work and leave; give what they saw, and the most memory meanwhile [MB]."""
    most = resident(address)
    work = asyncio.create_task(crowd(address, asked, clicks, seed=seed))
    while not work.done():
        most = max(most, resident(address))
        await asyncio.wait([work], timeout=1.0)
    return work.result(), most


def main() -> None:
    """Measure and print; end with 1 if memory does not come back or an answer is wrong."""
    parser = argparse.ArgumentParser(prog="python -m tests.ui.soak", description=__doc__)
    parser.add_argument("--visitors", type=int, default=25)
    parser.add_argument("--minutes", type=float, default=30.0, help="in all, without the waiting")
    parser.add_argument("--waves", type=int, default=3)
    parser.add_argument("--forgotten", type=float, default=FORGOTTEN, metavar="S")
    given = parser.parse_args()
    trade = plugin_files.load().trade
    clicks = max(1, round(60 * given.minutes / given.waves / (sum(THINKING) / 2 + 0.5)))
    seen: list = []
    wrong: list[str] = []
    with tempfile.TemporaryDirectory() as place, served(Path(place)) as address:
        each = queries(trade, given.visitors)
        asyncio.run(crowd(address, each[: len(JOBS)], 0))
        stands = [resident(address)]
        print(f"both jobs worked out: {stands[0]:.0f} MB", flush=True)
        for number in range(given.waves):
            saw, most = asyncio.run(wave(address, each, clicks, seed=number))
            seen += saw
            wrong += mistakes(trade, saw)
            left = resident(address)
            time.sleep(given.forgotten)
            stands.append(resident(address))
            print(
                f"wave {number + 1}: {most:.0f} MB at most, {left:.0f} MB as the last left, "
                f"{stands[-1]:.0f} MB {given.forgotten:.0f} s later",
                flush=True,
            )
    print(report(given.visitors, seen))
    for line in wrong[:20]:
        print(line)
    # The first wave makes what is kept for everybody; the others should add nothing.
    grown = (stands[-1] - stands[1]) / (given.visitors * max(1, given.waves - 1))
    print(f"left behind by a visitor after the first wave: {grown:.1f} MB")
    sys.exit(1 if wrong or (given.waves > 1 and grown > LEAVES) else 0)


if __name__ == "__main__":
    main()
