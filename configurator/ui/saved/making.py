"""Keep a quotation of the package on the page at once; what its choices force follows."""

from __future__ import annotations

import datetime
from typing import TYPE_CHECKING

import streamlit as st

from configurator.consequences import upgrades
from configurator.consequences.known_upgrades import forced_by_each
from configurator.consequences.upgrade_words import forced_record
from configurator.core import clock
from configurator.core.errors import FitwrightError
from configurator.documents.number_style import locale_of
from configurator.documents.quotation import VALID_DAYS
from configurator.evaluation.packages import make_package
from configurator.questions.goal_certainty import certainty_in_full
from configurator.store.access import (
    EditConflict,
    Terms,
    add_forced,
    get_job,
    keep_quotation,
    open_store,
)
from configurator.store.saved_documents import DocumentStyle, certainty_lines, lay_out, reasons
from configurator.store.snapshot import snapshot
from configurator.ui.printed_on import CHOSEN_LOCALE
from configurator.ui.safe_text import plain
from configurator.ui.saved.desk import file_of, note_kept, origin, step_of, who
from configurator.ui.talk import certainty_data
from configurator.ui.talk import talk_words as say
from configurator.ui.talk.talk_words import exact_money
from configurator.ui.talk.turns import TURNS
from configurator.ui.tasks import Task

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence

    from configurator.consequences.upgrade_records import Forced
    from configurator.core.progress import Progress
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


def show(visit: Visit, here: Desk) -> None:
    """Offer to save a quotation of the package shown now."""
    st.header("Quotation")
    if not visit.talk.is_ready:
        st.write("When the job is worked out, its package can be quoted here.")
        return
    cheapest, job = visit.talk.cheapest(), visit.job
    if cheapest.choice is None or cheapest.price is None:
        what = "“Goals” says what can change." if cheapest.proven else "“Look longer” looks for it."
        st.write(f"There is no package to quote. {what}")
        return
    st.write(
        plain(
            f"{job.title}: {exact_money(cheapest.price, job.currency)} for one vehicle. Saved with "
            "it: parts, prices, figures, rules, documents, and the job itself."
        )
    )
    if job.budget is not None and cheapest.price > job.budget:
        st.warning("The package is over budget.")
    if not cheapest.proven:
        st.warning("There may be a cheaper package; the quotation says so.")
    left, right = st.columns(2)
    today = clock.today()
    st.session_state.setdefault("kept valid", today + datetime.timedelta(days=VALID_DAYS))
    with left:
        who(here)
        st.date_input("Valid until", min_value=today, key="kept valid", format="YYYY-MM-DD")
    with right:
        st.text_input(
            "Customer's reference, if any", key="kept customer", max_chars=LONGEST_REFERENCE
        )
        st.selectbox(
            "Numbers, dates and money as in", list(LOCALES), key=CHOSEN_LOCALE,
            format_func=LOCALES.__getitem__,
        )  # fmt: skip
    busy = WORK in visit.tasks and visit.tasks[WORK].state == "running"
    st.button(
        "Save the quotation", key="keep quotation", type="secondary" if busy else "primary",
        disabled=busy, on_click=_begin, args=(visit, here),
    )  # fmt: skip
    task = visit.tasks.get(WORK)
    if task is not None and task.state in ("failed", "stopped"):
        if here.conflict is None:
            st.error(plain(f"No quotation was saved: {task.error or 'it was stopped'}."))
        else:
            st.error("No quotation was saved: see “Saved jobs”.")
    if here.missing:
        st.error(here.missing)
    st.caption(
        "It is saved at once. Which part needs which other, and what certainty costs, takes "
        "longer to work out and is added when it is there."
    )


def _begin(visit: Visit, here: Desk) -> None:
    """Save what is in the fields at the moment of the tap, whatever was drawn before."""
    by = str(st.session_state.get("kept by", "")).strip()
    customer = str(st.session_state.get("kept customer", "")).strip()
    locale = str(st.session_state.get(CHOSEN_LOCALE, next(iter(LOCALES))))
    valid = st.session_state.get("kept valid")
    here.by = by
    here.missing = (
        "Write your name under “Saved by” first." if not by
        else "Write until when the prices are valid." if valid is None
        else ""
    )  # fmt: skip
    if here.missing or valid is None or not visit.talk.is_ready:
        return
    visit.refused, here.notice = [], ""
    visit.tasks.pop(WORK, None)
    base, file, step, title = origin(visit, here), file_of(visit), step_of(visit), visit.job.title
    plugins, system = visit.shelves.loaded.plugins, visit.system

    def keep(talk: Session, progress: Progress) -> str:
        cheapest, job = talk.cheapest(), talk.job
        # What its choices force is asked of the whole case, which may take long to be made.
        prepared = talk.prepared(for_goals=True)
        if cheapest.choice is None:
            message = "there is no package now"
            raise FitwrightError(message)
        package = make_package(prepared.evaluation, cheapest.choice)
        how = DocumentStyle(locale_of(locale), clock.today(), valid, system)
        meets = job.budget is None or package.price <= job.budget
        written = snapshot(
            prepared.evaluation,
            package,
            plugins,
            proven=cheapest.proven and meets,
            day=how.day,
            locale=locale,
            valid=valid,
        )
        progress.report(words="laying out the documents")
        known = certainty_data.known(talk)
        laid_out = lay_out(prepared.evaluation, package, how, certainty=known)
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
        here.notice = f"Saved as quotation {kept.number}, version {kept.version} of job {kept.job}."
        begin_forcing(
            here, kept.number, talk.prepared, cheapest.choice, how,
            lambda _, options: forced_by_each(talk, options),
        )  # fmt: skip
        return kept.number

    visit.work(WORK, "Saving the quotation", keep)


def begin_forcing(
    here: Desk,
    number: str,
    ready: Callable[[], Prepared],
    choice: Mapping[str, Option],
    how: DocumentStyle,
    forces_each: Callable[[Prepared, Sequence[Option]], list[Forced]] = upgrades.forces_each,
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
    forces_each
        Works it out, or knows it.
    """
    changed = [option for option in choice.values() if option.changed]

    def work(progress: Progress) -> bool:
        prepared = ready()
        # It belongs to what is saved, so it goes on when whoever saved it has left: in its turn,
        # between what follows behind the clicks of others.
        with TURNS.taken(progress):
            progress.template = "{done} of {of} parts"
            forced = forces_each(prepared, changed)
            record = forced_record(prepared.evaluation, forced, "fit")
            lines = reasons(prepared.evaluation, how, forced)
        with TURNS.taken(progress):
            progress.report(words=say.WHAT_CERTAINTY_COSTS.lower())
            costs = certainty_lines(prepared.evaluation, how, *certainty_in_full(prepared))
        with open_store() as store:
            return add_forced(store, number, record, lines, costs)

    here.forcing[number] = Task(f"Working out what else the parts of {number} need", work)
