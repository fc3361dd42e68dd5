"""The pages an adviser uses with a customer. No rule, no formula and no search in here.

Only ``app.py`` imports this package; only it imports Streamlit.

Begin with `page`.
"""

from __future__ import annotations


def main() -> None:
    """Run the page; Streamlit calls this at every change."""
    from configurator.ui.page import show

    show()
