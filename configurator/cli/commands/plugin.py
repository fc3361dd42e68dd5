"""``fitwright plugin``: what an author of plugins does."""

from pathlib import Path
from typing import Annotated

import typer

from configurator.cli.open_case import load_trade, settings_of
from configurator.cli.program import group

plugin = group("plugin", "Start a plugin of your own.")


@plugin.command(epilog="Example: fitwright plugin new winch --into FOLDER")
def new(
    ctx: typer.Context,
    name: Annotated[str, typer.Argument(metavar="NAME", help="Of its parts, such as winch.")],
    into: Annotated[
        Path, typer.Option(metavar="FOLDER", help="Where its folder is made.")
    ] = Path(),
) -> None:
    """Write a plugin that works, with a list, a template, a job and a test, to be changed."""
    from configurator.cli.refusing import bad
    from configurator.cli.terminal import Terminal
    from configurator.testing.scaffold import write_plugin

    if not into.is_dir():
        what = "is a file" if into.exists() else "is not there"
        raise bad(str(into), f"the folder {what}", "name a folder that is there")
    made = write_plugin(name, into, load_trade(settings_of(ctx)))
    home = made[0].parents[len(made[0].relative_to(into).parts) - 2]
    writer = Terminal()
    writer.heading(f"{home}: a plugin that works, to be changed into yours")
    writer.items(str(path.relative_to(into)) for path in made)
    writer.heading("Try it")
    writer.items(
        (
            f"cd {home}",
            "python -m pytest",
            "fitwright --plugins plugins --catalogs catalogs find job.toml",
        )
    )
