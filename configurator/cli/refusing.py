"""Say what went wrong, one line each, on standard error."""

from __future__ import annotations

import os
import re
import sys
import traceback
from pathlib import Path
from typing import TYPE_CHECKING

from configurator.core.errors import FitwrightError, InputError, Problem

if TYPE_CHECKING:
    from collections.abc import Iterable

FAULT, BAD_INPUT = 1, 2

_INVISIBLE = re.compile(r"[\x00-\x1f\x7f-\x9f\u2028\u2029\u202a-\u202e\u2066-\u2069]+")


def one_line(text: str) -> str:
    r"""Put a text on one line, without anything that would steer a terminal.

    Examples
    --------
    >>> one_line("first\nsecond \x1b[31mred")
    'first second [31mred'
    """
    return re.sub(r" {2,}", " ", _INVISIBLE.sub(" ", text)).strip()


def bad(where: str, what: str, do: str) -> InputError:
    """Make the error for one thing that is wrong."""
    return InputError([Problem(where, what, do)])


def warn(lines: Iterable[object]) -> None:
    """Write warnings."""
    for line in lines:
        print(f"warning: {one_line(str(line))}", file=sys.stderr)


def complain(lines: Iterable[object]) -> None:
    """Write errors."""
    for line in lines:
        print(f"error: {one_line(str(line))}", file=sys.stderr)


def refuse(problem: Exception) -> int:
    """Write what an error says and return the exit status."""
    if isinstance(problem, BrokenPipeError):
        return close_pipe()
    try:
        if isinstance(problem, InputError):
            complain(problem.problems)
            return BAD_INPUT
        if isinstance(problem, OSError):
            reason = problem.strerror or type(problem).__name__
            where = problem.filename or "input or output"
            complain([f"{where}: {reason}; check that it is there and that you may use it"])
            return BAD_INPUT
        # Looked up by name: importing the search to compare classes would take its time.
        kind = type(problem).__name__
        if kind == "TooWide":
            complain([f"search: {problem}; fix more parts or leave catalogs out of the job"])
            return BAD_INPUT
        if isinstance(problem, FitwrightError):
            complain([problem])
            return FAULT if kind == "RefereeDisagrees" else BAD_INPUT
        complain([_fault(problem)])
    except BrokenPipeError:
        return close_pipe()
    return FAULT


def _fault(problem: Exception) -> str:
    place = traceback.extract_tb(problem.__traceback__)[-1:]
    at = f" ({Path(place[0].filename).name} line {place[0].lineno})" if place else ""
    return (
        f"{type(problem).__name__}: {problem}{at}; this is a fault of Fitwright's own: "
        "please report it with the job file and the catalogs"
    )


def close_pipe() -> int:
    """Send what is left of the output nowhere: its reader is gone."""
    nowhere = os.open(os.devnull, os.O_WRONLY)
    for stream in (sys.stdout, sys.stderr):
        try:
            stream.flush()
        except OSError:
            os.dup2(nowhere, stream.fileno())
    return FAULT
