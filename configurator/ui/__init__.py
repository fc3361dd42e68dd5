"""The pages an adviser uses with a customer. No rule, no formula and no search in here.

Only ``app.py`` imports this package; only it imports Streamlit.

Begin with `page_frame`.
"""

from __future__ import annotations


def main() -> None:
    """Run the page; Streamlit calls this at every change."""
    from configurator.ui.own_host import ask_nobody_for_our_address
    from configurator.ui.page_frame import show

    ask_nobody_for_our_address()
    show()
