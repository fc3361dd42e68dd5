"""Run the benchmarks: ``python -m tests.benchmarks [--quick|--small|--wide|--full]``.

First what commands take on the bundled jobs in both grades, and what it takes there to make every
price exact where sums are limited; then the search beside other solvers on cases that grow. The
quick form measures a few of the bundled jobs and no more.
"""

from __future__ import annotations

import argparse
import json
import platform
import sys
from dataclasses import asdict
from importlib.metadata import version
from pathlib import Path

from tests.benchmarks import commands, exactness, harness, targets
from tests.benchmarks.commands import GRADES, JOBS, QUICK, compile_modules, measure


def main() -> int:
    parser = argparse.ArgumentParser(prog="python -m tests.benchmarks", description=__doc__)
    size = parser.add_mutually_exclusive_group()
    size.add_argument("--quick", action="store_true", help="a few bundled jobs, in two minutes")
    size.add_argument("--small", action="store_true", help="the smallest cases only, in a minute")
    size.add_argument("--wide", action="store_true", help="only what numbers are asked of")
    size.add_argument("--full", action="store_true", help="the largest cases too")
    parser.add_argument("--json", type=Path, default=Path("bench.json"), help="where to write it")
    parser.add_argument("--seconds", type=float, default=120.0, help="at most for each solver")
    asked = parser.parse_args()
    cases: tuple[harness.Wide | harness.Deep, ...] = harness.USUAL
    if asked.small or asked.wide or asked.full:
        cases = harness.SMALL if asked.small else harness.WIDE if asked.wide else harness.FULL
    compile_modules()
    measured: dict[str, dict[str, float]] = {}
    for job in QUICK if asked.quick else sorted(path.stem for path in JOBS.glob("*.toml")):
        for grade in GRADES:
            measured[f"{job}, {grade}"] = measure(job, grade)
    print(commands.table(measured), flush=True)
    exact = exactness.run(quick=asked.quick, seconds=asked.seconds)
    print(exactness.table(exact), flush=True)
    results = []
    for case in () if asked.quick else cases:
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
    for step in grown:
        print(
            f"{step['from']} to {step['to']}: first answer N^{step['first answer']}, "
            f"circuit N^{step['circuit rows']}"
        )
    held = [] if asked.quick else targets.reached(results)
    for target in held:
        print(targets.shown(target))
    on_jobs = {"commands": measured, "exactness": [asdict(result) for result in exact]}
    report = {**about, **on_jobs, "targets": held, "cases": results, "growth": grown}
    asked.json.write_text(json.dumps(report, indent=2) + "\n", "utf-8")
    print(f"written to {asked.json}")
    wrong = [result["case"] for result in results if result["differ"]]
    if wrong:
        print(f"answers differ: {', '.join(wrong)}", file=sys.stderr)
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main())
