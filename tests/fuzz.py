"""Draw new cases for the readers, round after round, for so many minutes: ``make fuzz``.

A case that fails ends it with status 1, after Hypothesis has made it as small as it can and shown
it. Mend the fault, and keep the case as an ``@example`` of its test.
"""

from __future__ import annotations

import re
import subprocess
import sys
import time
from pathlib import Path

ROOT = Path(__file__).parents[1]


def main(minutes: float) -> int:
    """Run rounds until the time is over.

    Parameters
    ----------
    minutes
        How long to begin rounds; the last one is finished.

    Returns
    -------
    int
        0 if every case was read or refused as it should be, otherwise that of pytest.
    """
    began, rounds = time.monotonic(), 0
    while rounds == 0 or time.monotonic() < began + 60 * minutes:
        rounds += 1
        done = subprocess.run(
            [
                *(sys.executable, "-m", "pytest", "-q", "--tb=short", "-p", "no:cacheprovider"),
                *("--hypothesis-profile=anew", "--hypothesis-show-statistics"),
                *map(str, sorted(ROOT.glob("tests/**/test_*fuzz.py"))),
            ],
            cwd=ROOT,
            stdout=subprocess.PIPE,
            text=True,
            check=False,
        )
        if done.returncode:
            print(done.stdout)
            return done.returncode
        drawn = sum(map(int, re.findall(r"(\d+) passing", done.stdout)))
        spent = (time.monotonic() - began) / 60
        print(f"round {rounds}: {drawn} cases, none failed ({spent:.1f} min)", flush=True)
    return 0


if __name__ == "__main__":
    raise SystemExit(main(float(sys.argv[1]) if len(sys.argv) > 1 else 10))
