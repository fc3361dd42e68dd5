"""Each solver on each case in a process of its own: for its memory, and to end it in time.

Times are wall-clock on whatever machine this is: read them as ratios, taken in one run.
"""

from __future__ import annotations

import csv
import itertools
import math
import multiprocessing
import pickle
import tempfile
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from configurator.core import paths
from configurator.files.job_files import read_case
from configurator.loading import plugin_files
from tests.benchmarks import grown, instances, others, ours, wide

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence
    from multiprocessing.connection import Connection

    from configurator.model.jobs import Case
    from configurator.model.knowledge import Trade

JOB = "hut-track-wagon"
OTHERS = ("cp_sat", "toulbar2", "python_constraint")
# Classes that CP-SAT is asked about one by one; what all would take is extrapolated.
PROBES = 5
# Seconds for python-constraint, which has no bounds to prune with: more changes nothing.
PLAIN = 20.0
# Bytes another solver may take.
MOST_MEMORY = 12 * 2**30
# Beyond the time that a solver was given, for starting it and telling it the problem; for our own
# search everything, joining long lists part by part too, which is done once.
PATIENCE = 120.0
OWN_PATIENCE = 4800.0


@dataclass(frozen=True, slots=True)
class Wide:
    """A synthetic trade."""

    families: int
    parts: int

    @property
    def name(self) -> str:
        return f"wide {self.families} x {self.parts}"


@dataclass(frozen=True, slots=True)
class Deep:
    """The demo workshop with its lists grown to so many parts; 0 leaves them as they are."""

    parts: int
    job: str = JOB

    @property
    def name(self) -> str:
        return f"deep {self.parts or 'as it comes'}"


SMALL = (Wide(10, 10), Wide(12, 100), Deep(0))
# What numbers are asked of; targets.py.
WIDE = (Wide(10, 1000), Wide(16, 1000), Wide(16, 10_000))
USUAL = (Wide(10, 10), Wide(12, 100), *WIDE, Deep(0), Deep(700), Deep(2000))
FULL = (*USUAL, Deep(6000), Deep(20_000))


def make(case: Wide | Deep, home: Path, seconds: dict[str, float]) -> tuple[Case, Trade]:
    """Write the lists of a case into an empty folder and read them."""
    if isinstance(case, Wide):
        shape = wide.Shape(case.families, case.parts)
        trade = wide.make_trade(shape)
        folder = wide.write_catalog(shape, trade, home)
        with ours.timed(seconds, "csv and float alone"):
            _read_plainly(folder)
        with ours.timed(seconds, "load"):
            return wide.read(trade, folder), trade
    trade = plugin_files.load(installed=False).trade
    folder = grown.grow(paths.catalogs() / "demo", home, trade, case.parts)
    with ours.timed(seconds, "load"):
        return read_case(folder / "jobs" / f"{case.job}.toml", trade, [home]), trade


def _read_plainly(folder: Path) -> None:
    """Read the lists with Python's csv module and turn their numbers into floats, no more."""
    for path in sorted(folder.glob("*.csv")):
        with path.open(encoding="utf-8", newline="") as file:
            rows = csv.reader(file)
            next(rows)
            for _, _, *numbers in rows:
                for number in numbers:
                    float(number)


def run(case: Wide | Deep, seconds: float) -> dict[str, Any]:
    """Have all solvers solve one case and compare what they say."""
    with tempfile.TemporaryDirectory() as scratch:
        home = Path(scratch)
        mine = _apart(_ours, (case, home), OWN_PATIENCE)
        result: dict[str, Any] = {"case": case.name, "ours": mine, "differ": False}
        given = home / "instance.pickle"
        if not given.is_file():
            return result
        for name in OTHERS:
            plain = name == "python_constraint"
            limit = min(seconds, PLAIN) if plain else seconds
            patience = PLAIN if plain else PATIENCE
            result[name] = _apart(_other, (name, given, limit), limit + patience)
        result["cp_sat probes"] = _apart(_probes, (given, seconds), seconds + PATIENCE)
    if mine.get("proven"):
        prices = {mine["price"]}
        prices |= {result[name]["price"] for name in OTHERS if result[name].get("proven")}
        result["differ"] = len(prices) > 1
    if mine.get("proven") and not mine["exact"]:
        result["ratios"] = {
            f"{name}, of our proof by cases": round(
                result[name]["seconds"] / mine["seconds"]["proof"], 2
            )
            for name in OTHERS
            if result[name].get("proven")
        }
    elif mine.get("proven"):
        first = mine["seconds"]["first answer"]
        result["ratios"] = {
            name: round(result[name]["seconds"] / first, 2)
            for name in OTHERS
            if result[name].get("proven")
        }
        each = result["cp_sat probes"].get("seconds each")
        if each is not None:
            every = each * mine["sizes"]["classes"]
            result["ratios"]["cp_sat, one probe a class (extrapolated)"] = round(every / first)
        if "a click" in mine["seconds"]:
            click = mine["seconds"]["a click"]
            result["ratios"]["a click of a first answer"] = round(click / first, 2)
        exact = mine["seconds"]["all options exact"]
        result["ratios"]["all options exact of a first answer"] = round(exact / first, 2)
        if result["cp_sat"].get("proven"):
            seconds_taken = result["cp_sat"]["seconds"]
            result["ratios"]["cp_sat, one optimum, of all options exact"] = round(
                seconds_taken / exact, 2
            )
        plain = mine["seconds"].get("csv and float alone")
        if plain is not None:
            loaded = mine["seconds"]["load"] + mine["seconds"]["prepare"] + first
            result["ratios"]["load to first answer of csv and float alone"] = round(
                loaded / plain, 2
            )
    return result


def growth(results: Sequence[dict[str, Any]]) -> list[dict[str, Any]]:
    """Say how the time of a first answer, and the circuit, grow from one size to the next.

    Returns
    -------
    list of dict
        For each pair of cases of a kind with more and more parts: exponents of the number of parts.
    """
    growths = []
    kinds: dict[str, list[dict[str, Any]]] = {}
    for result in results:
        if "first answer" in result["ours"].get("seconds", {}):
            kind = " ".join(result["case"].split()[:2]) if "wide" in result["case"] else "deep"
            kinds.setdefault(kind, []).append(result)
    for ordered in kinds.values():
        for less, more in itertools.pairwise(ordered):
            parts = [case_result["ours"]["sizes"]["parts"] for case_result in (less, more)]
            if parts[1] <= parts[0]:
                continue
            step = math.log(parts[1] / parts[0])

            def exponent(of: Callable[[dict[str, Any]], float], step: float = step) -> float:
                return round(math.log(of(more["ours"]) / of(less["ours"])) / step, 2)  # noqa: B023

            growths.append(
                {
                    "from": less["case"],
                    "to": more["case"],
                    "first answer": exponent(lambda mine: mine["seconds"]["first answer"]),
                    "circuit rows": exponent(lambda mine: mine["sizes"]["circuit rows"]),
                }
            )
    return growths


def _ours(case: Wide | Deep, home: Path) -> dict[str, Any]:
    seconds: dict[str, float] = {}
    made, trade = make(case, home / "catalogs", seconds)
    measured, prepared = ours.measure(made, trade)
    instance = instances.take_apart(case.name, prepared.model, made.job)
    (home / "instance.pickle").write_bytes(pickle.dumps(instance))
    result = asdict(measured)
    result["seconds"] = {**seconds, **measured.seconds}
    return result


def _other(name: str, given: Path, seconds: float) -> dict[str, Any]:
    _bounded()
    instance = pickle.loads(given.read_bytes())
    return asdict(getattr(others, name)(instance, seconds))


def _probes(given: Path, seconds: float) -> dict[str, Any]:
    """Ask CP-SAT for the cheapest package with one class, for a few classes spread evenly."""
    instance: instances.Instance = pickle.loads(given.read_bytes())
    rows = [
        (name, row)
        for name, number in instance.positions.items()
        for row in range(len(instance.relations[number].rows))
    ]
    asked = rows[:: max(1, len(rows) // PROBES)][:PROBES]
    took = [others.cp_sat(instance, seconds / PROBES, taken=probe).seconds for probe in asked]
    return {"asked": len(took), "seconds each": sum(took) / len(took)} if took else {}


def _apart(task: Callable[..., dict[str, Any]], given: tuple[Any, ...], seconds: float) -> Any:
    context = multiprocessing.get_context("spawn")
    receiver, sender = context.Pipe(duplex=False)
    process = context.Process(target=_report, args=(sender, task, given))
    process.start()
    sender.close()
    try:
        if not receiver.poll(seconds):
            return {"failed": f"not done after {seconds:.0f} s"}
        result: dict[str, Any] = receiver.recv()
    except EOFError:
        return {"failed": "ended without an answer"}
    finally:
        process.kill()
        process.join()
    return result


def _report(
    sender: Connection, task: Callable[..., dict[str, Any]], given: tuple[Any, ...]
) -> None:
    try:
        outcome = task(*given)
    except Exception as problem:  # whatever goes wrong is part of the result
        outcome = {"failed": f"{type(problem).__name__}: {problem}"}
    outcome["peak memory [MB]"] = _peak()
    sender.send(outcome)


def _bounded() -> None:
    """Let another solver run out of memory before the machine does."""
    try:
        import resource
    except ImportError:  # not on Windows
        return
    resource.setrlimit(resource.RLIMIT_AS, (MOST_MEMORY, MOST_MEMORY))


def _peak() -> int | None:
    try:
        import resource
    except ImportError:  # not on Windows
        return None
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1024


def shown(result: dict[str, Any]) -> str:
    """Put a result into a few lines of text."""
    mine = result["ours"]
    lines = [result["case"]]
    if "failed" in mine:
        return f"{result['case']}\n  ours: {mine['failed']}"
    lines.append("  " + ", ".join(f"{count:,} {what}" for what, count in mine["sizes"].items()))
    lines.append(
        "  " + ", ".join(f"{stage} {took:.3g} s" for stage, took in mine["seconds"].items())
    )
    for name in OTHERS:
        other = result.get(name, {})
        ratio = result.get("ratios", {}).get(name)
        if "failed" in other:
            lines.append(f"  {name}: {other['failed']}")
        elif other:
            text = f"{ratio} x our first answer" if ratio else "not proven in time"
            lines.append(f"  {name}: {other['seconds']:.3g} s, {text}")
    lines.extend(
        f"  {what}: {ratio} x"
        for what, ratio in result.get("ratios", {}).items()
        if what not in OTHERS
    )
    if result["differ"]:
        lines.append("  THE ANSWERS DIFFER")
    return "\n".join(lines)
