"""The pages an adviser uses with a customer. No rule, no formula and no search in here."""

from __future__ import annotations


def main() -> None:
    """Run the page; Streamlit calls this at every change."""
    from configurator.ui.page import show

    show()
