"""The program: its global options, and how commands find their way into it."""

from __future__ import annotations

import importlib
import pkgutil
from pathlib import Path
from typing import Annotated, Literal

import typer

from configurator import __version__
from configurator.cli.former_commands import Commands, WholeSummaries
from configurator.cli.open_case import Settings, settings_of

# Without rich's markup, help and usage errors are plain text in a terminal and in a pipe, and
# need no second to load.
app = typer.Typer(
    name="fitwright",
    cls=Commands,
    no_args_is_help=True,
    add_completion=False,
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
    epilog="Exit status: 0 found, 3 nothing fits, 2 bad input, 1 a fault of Fitwright's own.",
)


def group(name: str, what: str) -> typer.Typer:
    """Add a group of commands, such as ``fitwright catalog ...``, and return it."""
    made = typer.Typer(cls=WholeSummaries, no_args_is_help=True, rich_markup_mode=None, help=what)
    app.add_typer(made, name=name)
    return made


def program() -> typer.Typer:
    """Return the program with all its commands.

    Every module of `configurator.cli.commands` registers its own when it is imported. They
    import nothing heavy until they are called, so that help is there at once.
    """
    from configurator.cli import commands

    for module in sorted(item.name for item in pkgutil.iter_modules(commands.__path__)):
        importlib.import_module(f"{commands.__name__}.{module}")
    return app


def _version(wanted: bool) -> None:
    if wanted:
        typer.echo(f"fitwright {__version__}")
        raise typer.Exit


@app.callback()
def options(
    ctx: typer.Context,
    catalogs: Annotated[
        list[Path] | None,
        typer.Option(
            metavar="FOLDER",
            envvar="FITWRIGHT_CATALOGS",
            help="Folder with catalogs in it, looked into before those that come with Fitwright. "
            "May be given several times.",
        ),
    ] = None,
    plugins: Annotated[
        list[Path] | None,
        typer.Option(
            metavar="FOLDER",
            envvar="FITWRIGHT_PLUGINS",
            help="Folder with the shop's own plugins. Plugins are code: name only folders you "
            "trust. May be given several times.",
        ),
    ] = None,
    units: Annotated[
        Literal["metric", "imperial"] | None,
        typer.Option(help="Units to show figures in; by default those the rules declare."),
    ] = None,
    version: Annotated[
        bool,
        typer.Option("--version", callback=_version, is_eager=True, help="Show the version."),
    ] = False,
) -> None:
    """Find the cheapest package of parts that fits a four-wheel-drive vehicle and its job."""
    from configurator.core import paths

    limits = settings_of(ctx).limits
    # What was entered on the page is found, unless somebody says where to look.
    own = [paths.own_catalogs()] if paths.own_catalogs().is_dir() else []
    ctx.obj = Settings(tuple(catalogs or own), tuple(plugins or ()), units, limits)
