"""Run the benchmarks: ``python -m tests.benchmarks [--small|--wide|--full] [--json FILE]``."""

from __future__ import annotations

import argparse
import json
import platform
import sys
from importlib.metadata import version
from pathlib import Path

from tests.benchmarks import harness, targets


def main() -> int:
    parser = argparse.ArgumentParser(prog="python -m tests.benchmarks", description=__doc__)
    size = parser.add_mutually_exclusive_group()
    size.add_argument("--small", action="store_true", help="the smallest cases only, in a minute")
    size.add_argument("--wide", action="store_true", help="only what numbers are asked of")
    size.add_argument("--full", action="store_true", help="the largest cases too")
    parser.add_argument("--json", type=Path, default=Path("bench.json"), help="where to write it")
    parser.add_argument("--seconds", type=float, default=120.0, help="at most for each solver")
    asked = parser.parse_args()
    cases: tuple[harness.Wide | harness.Deep, ...] = harness.USUAL
    if asked.small or asked.wide or asked.full:
        cases = harness.SMALL if asked.small else harness.WIDE if asked.wide else harness.FULL
    results = []
    for case in cases:
        result = harness.run(case, min(asked.seconds, 20.0) if asked.small else asked.seconds)
        print(harness.shown(result), flush=True)
        results.append(result)
    about = {
        "python": platform.python_version(),
        "machine": platform.machine(),
        "packages": {
            name: version(name) for name in ("numpy", "ortools", "pytoulbar2", "python-constraint2")
        },
    }
    grown = harness.growth(results)
    for one in grown:
        print(
            f"{one['from']} to {one['to']}: first answer N^{one['first answer']}, "
            f"circuit N^{one['circuit rows']}"
        )
    held = targets.reached(results)
    for one in held:
        print(targets.shown(one))
    found = {**about, "targets": held, "cases": results, "growth": grown}
    asked.json.write_text(json.dumps(found, indent=2) + "\n", "utf-8")
    print(f"written to {asked.json}")
    wrong = [result["case"] for result in results if result["differ"]]
    if wrong:
        print(f"answers differ: {', '.join(wrong)}", file=sys.stderr)
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main())
