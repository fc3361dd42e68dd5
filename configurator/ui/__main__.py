"""Starts the page: ``python -m configurator.ui``, which ``fitwright page`` runs."""

from __future__ import annotations

import argparse

from configurator.core import paths
from configurator.ui.own_host import ask_nobody_for_our_address


def main() -> None:
    """Start the server; ends when it is stopped."""
    parser = argparse.ArgumentParser(prog="python -m configurator.ui", description=__doc__)
    parser.add_argument("--port", type=int, default=8501)
    asked = parser.parse_args()
    ask_nobody_for_our_address()
    from streamlit.web import cli

    arguments = ["run", str(paths.app()), "--server.port", str(asked.port)]
    cli.main(arguments, prog_name="streamlit", standalone_mode=False)


if __name__ == "__main__":
    main()
