"""A rule that does not return is found and ended: no step comes at which its work could stop."""

from __future__ import annotations

import ctypes
import sys
from typing import TYPE_CHECKING

from configurator.core.progress import Cancelled

if TYPE_CHECKING:
    from types import FrameType

# Where functions of plugins are called from.
CALLERS = (
    "configurator.evaluation.rule_calls",
    "configurator.model.taken_with",
    "configurator.search.encoding.positional_rules",
)
# What a rule calls in its turn.
FORMULAS = "configurator.formulas"


def line_of_rule(thread: int) -> str:
    """Name file, line and function of the rule that a thread is in.

    Parameters
    ----------
    thread
        Its identifier.

    Returns
    -------
    str
        As ``winch.py, line 12, in winch_is_strong_enough``; empty where it is in no rule.
    """
    inside: FrameType | None = None
    frame = sys._current_frames().get(thread)
    while frame is not None:
        module = frame.f_globals.get("__name__", "")
        if module.startswith("configurator.") and not module.startswith(FORMULAS):
            break
        inside, frame = frame, frame.f_back
    if inside is None or frame is None or frame.f_globals["__name__"] not in CALLERS:
        return ""
    code = inside.f_code
    file = code.co_filename.replace("\\", "/").rpartition("/")[2]
    return f"{file}, line {inside.f_lineno}, in {code.co_name}"


def end_rule(thread: int) -> None:
    """Let what a thread is in meet `Cancelled` at its next line of Python."""
    ctypes.pythonapi.PyThreadState_SetAsyncExc(ctypes.c_ulong(thread), ctypes.py_object(Cancelled))
