"""``fitwright page``: the page for a talk with a customer, on this computer."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from configurator.cli.open_case import settings_of
from configurator.cli.program import app

if TYPE_CHECKING:
    from configurator.cli.open_case import Settings

PORT = 8501
HOST = "127.0.0.1"


@app.command("page", epilog="Example: fitwright page")
def page(
    ctx: typer.Context,
    port: Annotated[
        int, typer.Option(min=1, max=65535, help="Of this computer, if 8501 is taken.")
    ] = PORT,
    browser: Annotated[
        bool, typer.Option(help="Open it in the browser as soon as it is there.")
    ] = True,
) -> None:
    """Start the page for a talk with a customer; Ctrl-C stops it.

    It listens on this computer only, sends nothing anywhere and loads nothing from other hosts.
    """
    import runpy
    import sys
    import threading

    from configurator.core.errors import InputError, Problem

    if _taken(port):
        raise InputError([Problem("--port", f"port {port} is in use", "name another one")])
    _tell(settings_of(ctx))
    address = f"http://{HOST}:{port}"
    typer.echo(f"The page is at {address}; Ctrl-C stops it.")
    if browser:
        threading.Thread(target=_show, args=(address,), daemon=True).start()
    sys.argv = ["fitwright page", "--port", str(port)]
    # The page is a program of its own beside this one: no command knows it.
    runpy.run_module("configurator.ui", run_name="__main__", alter_sys=False)


def _taken(port: int) -> bool:
    import socket

    with socket.socket() as asked:
        asked.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            asked.bind((HOST, port))
        except OSError:
            return True
    return False


def _tell(settings: Settings) -> None:
    """Hand the folders of lists and plugins on to the page, which reads them from there."""
    import os

    for name, folders in (
        ("FITWRIGHT_CATALOGS", settings.catalogs),
        ("FITWRIGHT_PLUGINS", settings.plugins),
    ):
        if folders:
            os.environ[name] = os.pathsep.join(str(folder.resolve()) for folder in folders)


def _show(address: str, patience: float = 60.0) -> None:
    """Open the browser when the server answers."""
    import time
    import urllib.request
    import webbrowser
    from contextlib import suppress

    end = time.monotonic() + patience
    while time.monotonic() < end:
        with suppress(OSError), urllib.request.urlopen(f"{address}/_stcore/health", timeout=2):
            webbrowser.open(address)
            return
        time.sleep(0.2)
