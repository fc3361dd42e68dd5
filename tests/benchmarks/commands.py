"""What commands take on the bundled jobs: seconds of processor, of the whole process each.

Every command is a process of its own, as a user starts it; the first finds an empty folder of data,
the others what those before them kept.
"""

from __future__ import annotations

import compileall
import json
import os
import re
import subprocess
import sys
import tempfile
from pathlib import Path
from typing import TYPE_CHECKING, Any

from configurator.core import paths

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence

JOBS = paths.catalogs() / "demo" / "jobs"
# What a job may ask of limits on law, plates and contact; how the file of a job says it.
GRADES = {"sure": "true", "as calculated": "false"}
QUICK = ("touring-wagon-first-step", "vineyard-trucks")
SUM = "vehicle mass"
TOO_LITTLE = "900 EUR"

FIRST, SECOND, USE = "find first", "find second", "another speed"
MONEY, TRADE = "too little money", f"trade-off {SUM}"
CHOICE, ALL = "needs of one choice", "needs of all"
# Seconds of processor that are asked of each; nothing is asked of the trade-off.
ASKED = {FIRST: 3.0, SECOND: 0.9, USE: 1.0, MONEY: 2.0, CHOICE: 2.0, ALL: 8.0}


def compile_modules() -> None:
    """Compile all modules, as installing does."""
    for folder in (paths.package(), paths.plugins()):
        compileall.compile_dir(folder, quiet=1)


def run(data: Path, *arguments: str | Path) -> tuple[float, str]:
    """Run a command to its end; give its seconds of processor and what it wrote."""
    code = "from configurator.cli import main; main()"
    environment = {
        **os.environ,
        "FITWRIGHT_DATA": str(data),
        "PYTHONPATH": str(paths.package().parent),
    }
    environment.pop("PYTHONDONTWRITEBYTECODE", None)  # modules are compiled, as users have them
    command = [sys.executable, "-c", code, *map(str, arguments)]
    with tempfile.TemporaryFile() as written:
        process = subprocess.Popen(command, env=environment, stdout=written)
        _, status, used = os.wait4(process.pid, 0)
        process.returncode = os.waitstatus_to_exitcode(status)
        if process.returncode not in (0, 3):
            message = f"{' '.join(command)} ended with {process.returncode}"
            raise RuntimeError(message)
        written.seek(0)
        return used.ru_utime + used.ru_stime, written.read().decode()


def measure(job: str, grade: str) -> dict[str, float]:
    """Run all commands on a bundled job in one of the `GRADES`."""
    with tempfile.TemporaryDirectory() as scratch:
        home = Path(scratch)
        data = home / "data"
        text = (JOBS / f"{job}.toml").read_text(encoding="utf-8")
        text = re.sub(r"(?m)^sure = .*\n", "", text)
        text = f"sure = {GRADES[grade]}\n{text}"
        if "[conditions]" not in text:
            text += '\n[conditions]\n"cruising speed" = "90 km/h"\n'
        original = _written(home / "original.toml", text)
        faster = _changed(home / "faster.toml", text, r'(?<="cruising speed" = ")\d+', _more)
        poor = _changed(home / "poor.toml", text, r'(?<=budget = ")[^"]+', lambda _: TOO_LITTLE)
        seconds = {FIRST: run(data, "find", original)[0]}
        seconds[SECOND], answer = run(data, "find", original, "--json")
        seconds[USE] = run(data, "find", faster)[0]
        seconds[MONEY] = run(data, "find", poor)[0]
        seconds[TRADE] = run(data, "trade-off", original, "--figure", SUM)[0]
        choice = _choice(json.loads(answer))
        seconds[CHOICE] = run(data, "needs", original, "--choice", choice)[0]
        seconds[ALL] = run(data, "needs", original)[0]
        return seconds


def _more(speed: re.Match[str]) -> str:
    return str(int(speed[0]) + 5)


def _changed(path: Path, text: str, what: str, value: Callable[[re.Match[str]], str]) -> Path:
    changed, times = re.subn(what, value, text, count=1)
    if not times:
        message = f"{path.name}: the job does not name what is to be changed"
        raise ValueError(message)
    return _written(path, changed)


def _written(path: Path, text: str) -> Path:
    path.write_text(text, encoding="utf-8")
    return path


def _choice(answer: Mapping[str, Any]) -> str:
    """Name the first changed part of the cheapest package, a tyre if they are changed."""
    parts = answer["packages"][0]["parts"]
    changed = [position for position, part in parts.items() if part not in (None, "fitted")]
    position = "tyres" if "tyres" in changed else changed[0]
    return f"{position}={parts[position]}"


def table(measured: Mapping[str, Mapping[str, float]]) -> str:
    """Put seconds of processor into a table, a line for each job; * where more than asked."""
    stages: Sequence[str] = (FIRST, SECOND, USE, MONEY, TRADE, CHOICE, ALL)
    wide = max(map(len, measured))
    lines = ["seconds of processor".ljust(wide) + "".join(f"  {stage}" for stage in stages)]
    for job, seconds in measured.items():
        cells = [
            f"{seconds[stage]:.2f}{'*' if seconds[stage] > ASKED.get(stage, 1e9) else ' '}".rjust(
                len(stage) + 2
            )
            for stage in stages
        ]
        lines.append(job.ljust(max(wide, len("seconds of processor"))) + "".join(cells))
    asked = [f"{ASKED[s]:.1f} " if s in ASKED else "" for s in stages]
    lines.append(
        "asked".ljust(max(wide, len("seconds of processor")))
        + "".join(cell.rjust(len(stage) + 2) for cell, stage in zip(asked, stages, strict=True))
    )
    return "\n".join(lines)
