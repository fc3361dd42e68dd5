"""The command line: words and tables only; no rule, no formula and no search in here.

A command is a module of `configurator.cli.commands` that registers itself with the program in
`configurator.cli.program`; there is no list of commands to keep. Nothing imports this package.

Begin with `program`.
"""

from __future__ import annotations

import gc
import sys
from typing import TYPE_CHECKING

from configurator.core.memory import collect_seldom

if TYPE_CHECKING:
    from collections.abc import Sequence

    from configurator.search.limits import Limits

__all__ = ["main"]


def main(arguments: Sequence[str] | None = None, limits: Limits | None = None) -> None:
    """Run ``fitwright``.

    Parameters
    ----------
    arguments
        Those of the command line by default.
    limits
        How much the search may try and keep, if that differs from what was tuned.

    Raises
    ------
    SystemExit
        With 0 if a package was found or the question was answered, 3 if nothing fits, 2 if the
        input is bad, 1 if Fitwright itself is at fault, 130 if it was interrupted by Ctrl-C,
        SIGTERM or SIGHUP.
    """
    collect_seldom()  # most objects of a command live to its end
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            # A terminal that cannot show a sign gets a question mark, not an error.
            stream.reconfigure(errors="replace")
    status = _run(arguments, limits)
    if "configurator.core.kept_units" in sys.modules:
        sys.modules["configurator.core.kept_units"].save()
    try:
        sys.stdout.flush()
    except OSError:
        # The reader of a pipe is gone; Python would complain once more when it closes it.
        from configurator.cli.refusing import close_pipe

        status = close_pipe()
    if arguments is None:
        # What is left goes with the process: to look for cycles among it once more, as Python does
        # at its end, takes another tenth.
        gc.freeze()
    raise SystemExit(status)


def _run(arguments: Sequence[str] | None, limits: Limits | None) -> int:
    try:
        from configurator.cli.interruption import ended_like_ctrl_c
        from configurator.cli.open_case import Settings
        from configurator.cli.program import program

        with ended_like_ctrl_c():
            given = None if limits is None else Settings(limits=limits)
            program()(args=arguments, prog_name="fitwright", obj=given)
    except SystemExit as end:
        return end.code if isinstance(end.code, int) else int(end.code is not None)
    except KeyboardInterrupt:
        return 130
    except Exception as problem:  # nobody who asks about tyres wants to read a traceback
        from configurator.cli.refusing import refuse

        return refuse(problem)
    return 0
