"""What a document is printed on: what it was laid out for, unless somebody says otherwise."""

from __future__ import annotations

from typing import TYPE_CHECKING

import streamlit as st

from configurator.core.errors import FitwrightError
from configurator.documents.layout import SETS_AS
from configurator.documents.number_style import Writing, locale_of

if TYPE_CHECKING:
    from babel import Locale

    from configurator.ui.visit import Visit

PRINTED_ON = {"a4": "A4", "letter": "Letter"}
# The field of the quotation that says how numbers are written.
CHOSEN_LOCALE = "kept locale"
ENGLISH = "en_GB"


def chosen_paper(usual: str, key: str) -> str:
    """Ask what a sheet is printed on: ``"a4"`` or ``"letter"``.

    Parameters
    ----------
    usual
        Paper that is offered first, as in `Sheet.paper`.
    key
        Of the field.
    """
    return st.radio(
        "Printed on", list(SETS_AS), index=[*SETS_AS.values()].index(usual),
        horizontal=True, key=f"{key} {usual}", format_func=PRINTED_ON.__getitem__,
    )  # fmt: skip


def usual_paper(visit: Visit) -> str:
    """Return what the workshop prints on; where it says nothing, what its country does.

    The country is that of the quotation's numbers, or else of the browser.
    """
    known = visit.begun and visit.talk.knows_cheapest
    prints_on = visit.talk.evaluation.case.workshop.paper if known else ""
    chosen = st.session_state.get(CHOSEN_LOCALE)
    locale = browser_locale() if chosen is None else locale_of(chosen)
    return Writing(locale, visit.job.currency, prints_on=prints_on).paper


def browser_locale() -> Locale:
    """Say how the reader's browser writes numbers and dates; English where it does not say."""
    try:
        return locale_of(st.context.locale or ENGLISH)
    except FitwrightError:
        return locale_of(ENGLISH)
