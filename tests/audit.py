"""Ask the Python Packaging Advisory Database about every locked library: ``make audit``.

It needs the network, so no other target asks: what is known about a library changes from day to
day, and a build must not.
"""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path
from typing import Any

ROOT = Path(__file__).parents[1]
LOCKS = ("requirements.lock", "requirements-test.lock")
FAILED = 2


def audit(lock: Path) -> tuple[int, list[str]]:
    """Ask about the libraries of a lock file.

    Parameters
    ----------
    lock
        With the hash of every file: nothing is installed or resolved.

    Returns
    -------
    status, lines
        0 if nothing is known against any of them, 1 if something is, `FAILED` if that could not be
        found out for all of them.
    """
    ran = subprocess.run(
        [
            *(sys.executable, "-m", "pip_audit", "--format=json", "--progress-spinner=off"),
            *("--require-hashes", "--disable-pip", "--requirement", str(lock)),
        ],
        capture_output=True,
        text=True,
        check=False,
    )
    try:
        answer = json.loads(ran.stdout)["dependencies"]
    except (ValueError, KeyError):
        last = (ran.stderr.strip().splitlines() or ["it said nothing"])[-1]
        return FAILED, [
            f"nothing was checked: pip-audit cannot reach its service, or failed: {last}"
        ]
    return verdict(answer)


def verdict(answer: list[dict[str, Any]]) -> tuple[int, list[str]]:
    """Judge what pip-audit answers; see `audit`."""
    asked = [entry for entry in answer if "skip_reason" not in entry]
    if not asked:
        why = answer[0]["skip_reason"] if answer else "it names no library"
        return FAILED, [
            "nothing was checked: the advisory service does not answer here; try again where "
            f"there is a network ({why})"
        ]
    lines = [
        f"{entry['name']} {entry['version']}: {flaw['id']}, mended in "
        f"{', '.join(flaw['fix_versions']) or 'no release yet'}"
        for entry in asked
        for flaw in entry["vulns"]
    ]
    known = len(lines)
    lines += [
        f"{entry['name']} was not checked: {entry['skip_reason']}"
        for entry in answer
        if entry not in asked
    ]
    lines.append(f"{len(asked)} of {len(answer)} libraries checked, {known} advisories")
    return FAILED if len(asked) < len(answer) else int(known > 0), lines


def main() -> int:
    """Audit all lock files; return the worst status."""
    worst = 0
    for name in LOCKS:
        status, lines = audit(ROOT / name)
        print("\n".join(f"{name}: {line}" for line in lines), flush=True)
        worst = max(worst, status)
    return worst


if __name__ == "__main__":
    raise SystemExit(main())
