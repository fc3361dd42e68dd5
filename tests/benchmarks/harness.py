"""Each solver on each case in a process of its own: for its memory, and to end it in time.

Times are wall-clock on whatever machine this is: read them as ratios, taken in one run.
"""

from __future__ import annotations

import multiprocessing
import pickle
import tempfile
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from configurator import homes, plugin_loading
from configurator.job_files import read_case
from tests.benchmarks import grown, instances, others, ours, wide

if TYPE_CHECKING:
    from collections.abc import Callable
    from multiprocessing.connection import Connection

    from configurator.jobs import Case
    from configurator.trade import Trade

JOB = "hut-track-wagon"
# Beyond the time that a solver was given, for starting it and telling it the problem.
PATIENCE = 120.0


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
USUAL = (Wide(10, 10), Wide(12, 100), Wide(16, 1000), Deep(0), Deep(700), Deep(2000))
FULL = (*USUAL, Wide(16, 10_000), Deep(6000), Deep(20_000))


def make(case: Wide | Deep, home: Path, seconds: dict[str, float]) -> tuple[Case, Trade]:
    """Write the lists of a case into an empty folder and read them."""
    if isinstance(case, Wide):
        shape = wide.Shape(case.families, case.parts)
        trade = wide.make_trade(shape)
        folder = wide.write_catalog(shape, trade, home)
        with ours.timed(seconds, "load"):
            return wide.read(trade, folder), trade
    trade = plugin_loading.load(installed=False).trade
    folder = grown.grow(homes.catalogs() / "demo", home, trade, case.parts)
    with ours.timed(seconds, "load"):
        return read_case(folder / "jobs" / f"{case.job}.toml", trade, [home]), trade


def run(case: Wide | Deep, seconds: float) -> dict[str, Any]:
    """Have all solvers solve one case and compare what they say."""
    with tempfile.TemporaryDirectory() as scratch:
        home = Path(scratch)
        mine = _apart(_ours, (case, home), seconds * 4)
        result: dict[str, Any] = {"case": case.name, "ours": mine, "differ": False}
        given = home / "instance.pickle"
        if not given.is_file():
            return result
        for name in ("cp_sat", "toulbar2"):
            result[name] = _apart(_other, (name, given, seconds), seconds + PATIENCE)
    if "price" in mine:
        prices = {mine["price"]}
        prices |= {
            result[name]["price"] for name in ("cp_sat", "toulbar2") if result[name].get("proven")
        }
        result["differ"] = len(prices) > 1
        first = mine["seconds"]["first answer"]
        result["ratios"] = {
            name: round(result[name]["seconds"] / first, 2)
            for name in ("cp_sat", "toulbar2")
            if result[name].get("proven")
        }
    return result


def _ours(case: Wide | Deep, home: Path) -> dict[str, Any]:
    seconds: dict[str, float] = {}
    made, trade = make(case, home / "catalogs", seconds)
    measured, prepared = ours.measure(made, trade)
    instance = instances.take_apart(case.name, prepared.model, made.job)
    (home / "instance.pickle").write_bytes(pickle.dumps(instance))
    found = asdict(measured)
    found["seconds"] = {**seconds, **measured.seconds}
    return found


def _other(name: str, given: Path, seconds: float) -> dict[str, Any]:
    instance = pickle.loads(given.read_bytes())
    return asdict(getattr(others, name)(instance, seconds))


def _apart(task: Callable[..., dict[str, Any]], given: tuple[Any, ...], seconds: float) -> Any:
    context = multiprocessing.get_context("spawn")
    receiver, sender = context.Pipe(duplex=False)
    process = context.Process(target=_report, args=(sender, task, given))
    process.start()
    sender.close()
    try:
        if not receiver.poll(seconds):
            return {"failed": f"not done after {seconds:.0f} s"}
        found: dict[str, Any] = receiver.recv()
    except EOFError:
        return {"failed": "ended without an answer"}
    finally:
        process.kill()
        process.join()
    return found


def _report(
    sender: Connection, task: Callable[..., dict[str, Any]], given: tuple[Any, ...]
) -> None:
    try:
        found = task(*given)
    except Exception as problem:  # whatever goes wrong is part of the result
        found = {"failed": f"{type(problem).__name__}: {problem}"}
    found["peak memory [MB]"] = _peak()
    sender.send(found)


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
    for name in ("cp_sat", "toulbar2"):
        other = result.get(name, {})
        ratio = result.get("ratios", {}).get(name)
        if "failed" in other:
            lines.append(f"  {name}: {other['failed']}")
        elif other:
            said = f"{ratio} x our first answer" if ratio else "not proven in time"
            lines.append(f"  {name}: {other['seconds']:.3g} s, {said}")
    if result["differ"]:
        lines.append("  THE ANSWERS DIFFER")
    return "\n".join(lines)
