"""Keep a quotation of the package on the page at once; what its choices force follows."""

from __future__ import annotations

import datetime
from collections.abc import Sequence
from typing import TYPE_CHECKING

import streamlit as st

from configurator.consequences import upgrades
from configurator.consequences.upgrade_words import forced_record
from configurator.core import clock
from configurator.core.errors import FitwrightError
from configurator.documents.number_style import locale_of
from configurator.documents.quotation import VALID_DAYS
from configurator.evaluation.packages import make_package
from configurator.store.access import (
    EditConflict,
    Terms,
    add_forced,
    get_job,
    keep_quotation,
    open_store,
)
from configurator.store.saved_documents import DocumentStyle, lay_out, reasons
from configurator.store.snapshot import snapshot
from configurator.ui.safe_text import plain
from configurator.ui.saved.desk import file_of, note_kept, origin, step_of
from configurator.ui.tasks import Task
from configurator.wording.quantities import money_words

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from configurator.evaluation.evaluator import Option
    from configurator.questions.session import Session
    from configurator.search.optimum.preparing import Prepared
    from configurator.ui.saved.desk import Desk
    from configurator.ui.visit import Visit

LONGEST_REFERENCE = 80
WORK = "keep quotation"
# How a paper writes numbers, dates and money.
LOCALES = {
    "en_GB": "English, Great Britain",
    "en_US": "English, United States",
    "de_DE": "German, Germany",
    "de_AT": "German, Austria",
    "de_CH": "German, Switzerland",
    "fr_FR": "French, France",
    "it_IT": "Italian, Italy",
}


def show(visit: Visit, here: Desk, by: str) -> None:
    """Offer to keep a quotation of the package shown now."""
    st.header("Keep a quotation")
    if not visit.talk.is_ready:
        st.write("When the job is worked out, its package can be quoted here.")
        return
    found, job = visit.talk.cheapest(), visit.job
    if found.choice is None or found.price is None:
        st.write("There is no package to quote. “The package” says what could give.")
        return
    st.write(
        plain(
            f"{job.title}: {money_words(found.price, job.currency)} for one vehicle, kept as it is "
            "now: parts, prices, figures, rules and versions, papers. The job is kept with it."
        )
    )
    if job.budget is not None and found.price > job.budget:
        st.warning("The package is over the budget of the job.")
    if not found.proven:
        st.warning("It is not proven that no cheaper package meets the job; the record says so.")
    customer = st.text_input(
        "Customer's reference, if any", key="kept customer", max_chars=LONGEST_REFERENCE
    )
    today = clock.today()
    default: datetime.date | None = today + datetime.timedelta(days=VALID_DAYS)
    valid = st.date_input(
        "Prices hold until", value=default, min_value=today,
        key="kept valid", format="YYYY-MM-DD",
    )  # fmt: skip
    locale = st.selectbox(
        "Papers write numbers, dates and money as in", list(LOCALES), key="kept locale",
        format_func=LOCALES.__getitem__,
    )  # fmt: skip
    busy = WORK in visit.tasks and visit.tasks[WORK].state == "running"
    why = (
        "Say who keeps it." if not by
        else "Say until when the prices hold." if valid is None
        else "It is being kept." if busy
        else None
    )  # fmt: skip
    st.button(
        "Keep the quotation", key="keep quotation", type="primary" if why is None else "secondary",
        disabled=why is not None,
        help=why, on_click=_begin, args=(visit, here, by, customer.strip(), valid, locale),
    )  # fmt: skip
    task = visit.tasks.get(WORK)
    if task is not None and task.state in ("failed", "stopped"):
        if here.conflict is None:
            st.error(plain(f"No quotation was kept: {task.error or 'it was stopped'}."))
        else:
            st.error("No quotation was kept: see “Keep this job”.")
    st.caption(
        "It is kept at once. Which part needs which other, and why, takes longer to work out "
        "and is added to it when it is there."
    )


def _begin(
    visit: Visit, here: Desk, by: str, customer: str, valid: datetime.date, locale: str
) -> None:
    visit.refused, here.said = [], ""
    visit.tasks.pop(WORK, None)
    base, file, step, title = origin(visit, here), file_of(visit), step_of(visit), visit.job.title
    plugins, system = visit.shelves.loaded.plugins, visit.system

    def keep(talk: Session, say: Callable[[str], None]) -> str:
        found, job = talk.cheapest(), talk.job
        prepared = talk.prepared()
        if found.choice is None:
            message = "there is no package now"
            raise FitwrightError(message)
        package = make_package(prepared.evaluation, found.choice)
        how = DocumentStyle(locale_of(locale), clock.today(), valid, system)
        meets = job.budget is None or package.price <= job.budget
        written = snapshot(
            prepared.evaluation,
            package,
            plugins,
            proven=found.proven and meets,
            day=how.day,
            locale=locale,
            valid=valid,
        )
        say("laying out the papers")
        laid_out = lay_out(prepared.evaluation, package, how)
        try:
            with open_store() as store:
                kept = keep_quotation(
                    store,
                    title,
                    file,
                    written,
                    price=package.price,
                    currency=job.currency,
                    started_from=base,
                    by=by,
                    terms=Terms(customer, valid.isoformat(), laid_out),
                )
                now = get_job(store, kept.job, kept.version)
        except EditConflict as conflict:
            here.conflict = conflict
            raise
        note_kept(here, step, now)
        here.shown, here.looked = kept.number, None
        here.said = f"Kept as quotation {kept.number}, version {kept.version} of job {kept.job}."
        begin_forcing(here, kept.number, lambda: prepared, found.choice, how)
        return kept.number

    visit.work(WORK, "Keeping the quotation", keep)


class _Told(Sequence["Option"]):
    """Parts, one after the other; says which is being looked at."""

    def __init__(self, options: Sequence[Option], say: Callable[[str], None]) -> None:
        self._options = options
        self._say = say

    def __len__(self) -> int:
        return len(self._options)

    def __getitem__(self, number):  # type: ignore[no-untyped-def]
        if number < len(self._options):
            self._say(f"{number} of {len(self._options)} parts")
        return self._options[number]


def begin_forcing(
    here: Desk,
    number: str,
    ready: Callable[[], Prepared],
    choice: Mapping[str, Option],
    how: DocumentStyle,
) -> None:
    """Begin to work out what the choices of a quotation force; it is added when it is there.

    Parameters
    ----------
    here
        Of the visitor.
    number
        Of the quotation.
    ready
        Gives its case, prepared.
    choice
        Its parts.
    how
        For whom its papers are written.
    """
    changed = [option for option in choice.values() if option.changed]

    def work(say: Callable[[str], None]) -> bool:
        prepared = ready()
        found = upgrades.forces_each(prepared, _Told(changed, say))
        record = forced_record(prepared.evaluation, found, "fit")
        lines = reasons(prepared.evaluation, how, found)
        with open_store() as store:
            return add_forced(store, number, record, lines)

    here.forcing[number] = Task(f"Working out what the choices of {number} force", work)
