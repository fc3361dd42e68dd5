"""Delete a kept job: asked once more, with everything that goes with it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import streamlit as st

from configurator.core.errors import FitwrightError
from configurator.store.access import (
    delete_job,
    get_job,
    list_quotations,
    list_versions,
    measurements,
    open_store,
)
from configurator.ui.safe_text import listed, plain
from configurator.ui.saved.desk import day
from configurator.ui.talk.talk_words import exact_money
from configurator.ui.visit import refuse
from configurator.wording.quantities import counted

if TYPE_CHECKING:
    from configurator.store.access import KeptJob, KeptQuotation, Store
    from configurator.ui.saved.desk import Desk
    from configurator.ui.visit import Visit

ASKED = "kept delete asked"


@dataclass(frozen=True, slots=True)
class Going:
    """What is deleted with a job.

    Parameters
    ----------
    job
        Its newest version.
    versions
        How many there are.
    quotations
        All that were kept of it, the newest first.
    measured
        How many measurements there are of its vehicle.
    """

    job: KeptJob
    versions: int
    quotations: tuple[KeptQuotation, ...]
    measured: int

    @property
    def mark(self) -> str:
        """Tells whether it is still what was asked about: somebody may keep more meanwhile."""
        numbers = [quotation.number for quotation in self.quotations]
        return repr((self.job.id, self.versions, numbers, self.measured))


def going_with(store: Store, job: int) -> Going:
    """Find what is deleted with a job.

    Raises
    ------
    StoreError
        If there is no such job.
    """
    return Going(
        get_job(store, job),
        len(list_versions(store, job)),
        tuple(quotation for quotation in list_quotations(store) if quotation.job == job),
        len(measurements(store, job)),
    )


def show(visit: Visit, here: Desk, store: Store, kept: KeptJob | None) -> None:
    """Offer to delete the job that was chosen in the list."""
    asked = st.session_state.get(ASKED)
    if kept is None or asked is None or asked[0] != kept.id:
        st.button(
            "Delete the job …", key="delete kept job", disabled=kept is None,
            on_click=_ask, args=(visit, kept),
            help="Says first what goes with it, and asks once more.",
        )  # fmt: skip
        return
    going = going_with(store, kept.id)
    if asked[1] != going.mark:
        st.warning("More was saved with this job since you were asked. Look at it again.")
        st.session_state[ASKED] = (kept.id, going.mark)
    _ask_once_more(visit, here, going)


def _ask_once_more(visit: Visit, here: Desk, going: Going) -> None:
    job = going.job
    st.warning(
        plain(
            f"Job {job.id}, {job.title}: {counted(going.versions, 'version')}, "
            f"{counted(len(going.quotations), 'quotation')} with all documents and "
            f"{counted(going.measured, 'measurement')} will be deleted for good, for everybody who "
            "uses this list. There is no undo."
        )
    )
    if going.quotations:
        st.write(
            "A quotation that was given to a customer cannot be looked at, printed or re-priced "
            "after that. These go with the job; save the documents you still need first:"
        )
        st.markdown(listed([_state_words(quotation) for quotation in going.quotations]))
        st.caption("Their numbers are never given again.")
    with st.container(horizontal=True):
        st.button(
            "Yes, delete all of it", key="delete yes", on_click=_delete,
            args=(visit, here, going),
        )  # fmt: skip
        st.button("Leave it", key="delete no", on_click=_leave)


def _state_words(quotation: KeptQuotation) -> str:
    customer = f", customer's reference: {quotation.customer}" if quotation.customer else ""
    price = exact_money(quotation.price, quotation.currency)
    saved = f"saved on {day(quotation.made_at)} by {quotation.made_by}"
    return f"{quotation.number}: {price}, {saved}{customer}"


def _ask(visit: Visit, kept: KeptJob) -> None:
    visit.refused = []
    try:
        with open_store() as store:
            st.session_state[ASKED] = (kept.id, going_with(store, kept.id).mark)
    except FitwrightError as problem:
        refuse(visit, problem)


def _leave() -> None:
    st.session_state.pop(ASKED, None)


def _delete(visit: Visit, here: Desk, going: Going) -> None:
    visit.refused, here.notice = [], ""
    try:
        with open_store() as store:
            if going_with(store, going.job.id).mark != going.mark:
                return  # more was kept meanwhile: it is asked again, with all of it
            delete_job(store, going.job.id)
    except FitwrightError as problem:
        _leave()
        refuse(visit, problem)
        return
    _leave()
    _forget(here, going)
    here.notice = (
        f"Job {going.job.id}, {going.job.title}, is deleted with all that was saved of it."
    )


def _forget(here: Desk, going: Going) -> None:
    """Nothing on the page goes on from what is no longer there."""
    numbers = {quotation.number for quotation in going.quotations}
    here.begun = [(step, job) for step, job in here.begun if job.id != going.job.id]
    here.own.pop(going.job.id, None)
    if here.conflict is not None and here.conflict.theirs.id == going.job.id:
        here.conflict = None
    for number in numbers & here.forcing.keys():
        here.forcing.pop(number).stop()
    if here.shown in numbers:
        here.shown, here.looked = None, None
    # Measurements of a package ask anew which quotation it was kept as.
    for key in ("measured kept as", "measured kept", "measured number", "measured quotation"):
        st.session_state.pop(key, None)
