"""Keeps the server from asking other hosts anything."""

from __future__ import annotations

from streamlit import net_util


def ask_nobody_for_our_address() -> None:
    """Keep Streamlit from looking up this computer's address on the internet.

    It does so when a page of another origin knocks, to let one in that came by that address. This
    page is for this computer, or stands behind a server of the shop's: nobody comes that way.
    """
    net_util.get_external_ip = lambda: None
