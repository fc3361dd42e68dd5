"""Commands and options that have other names now: the old ones go on working, with a hint."""

from __future__ import annotations

import sys
from typing import Any

import typer.core

# Old name → the one it has now.
COMMANDS = {
    "build": "build-sheet",
    "forces": "needs",
    "keep": "save",
    "kept": "saved",
    "measured": "as-built",
    "prepare": "exact-prices",
    "trade": "trade-off",
}
# Command as it is called now → old option → the one it has now; none where it has none.
OPTIONS = {
    "quote": {"--forces": "", "--no-forces": ""},
    "needs": {"--not-forced": "--unchanged"},
    "save": {"--forces": "--reasons", "--no-forces": "--no-reasons"},
    "saved": {"--forces": "--reasons", "--no-forces": "--no-reasons", "--anew": "--re-price"},
}
DROPPED = "hint: {old} is not needed any more: the build sheet gives the reasons (--reasons)"
LONGEST_SUMMARY = 200  # letters; longer ones are cut off
HINT = "hint: {old} is called {new} now; the old name works in this version only"


def present_names(arguments: list[str]) -> tuple[list[str], list[str]]:
    """Return a command with its options under the names of today, and a hint for each old one.

    Examples
    --------
    >>> present_names(["kept", "2026-0001", "--anew"])[0]
    ['saved', '2026-0001', '--re-price']
    >>> present_names(["draw", "--scale", ""])[0]
    ['draw', '--scale', '']
    """
    if not arguments:
        return arguments, []
    command, *rest = arguments
    present = [COMMANDS.get(command, command)]
    options = OPTIONS.get(present[0], {})
    hints = []
    if present[0] != command:
        hints.append(HINT.format(old=f"fitwright {command}", new=f"fitwright {present[0]}"))
    for argument in rest:
        new = options.get(argument, argument)
        # An argument may be empty itself: only an old option without a successor is dropped.
        if new or argument not in options:
            present.append(new)
        if new != argument:
            hints.append((HINT if new else DROPPED).format(old=argument, new=new))
    return present, hints


class WholeSummaries(typer.core.TyperGroup):
    """A group whose help says of every command what it does, whole and not cut off."""

    def format_commands(self, ctx: Any, formatter: Any) -> None:
        """Write each command with the first sentence of its help."""
        commands = [(name, self.get_command(ctx, name)) for name in self.list_commands(ctx)]
        rows = [
            (name, command.get_short_help_str(limit=LONGEST_SUMMARY))
            for name, command in commands
            if command is not None and not command.hidden
        ]
        with formatter.section("Commands"):
            formatter.write_dl(rows)


class Commands(WholeSummaries):
    """The commands by the names of today, and by those they had."""

    def resolve_command(self, ctx: Any, args: list[str]) -> Any:
        """Find the command; the hints go to standard error."""
        present, hints = present_names(args)
        for hint in hints:
            print(hint, file=sys.stderr)
        return super().resolve_command(ctx, present)
