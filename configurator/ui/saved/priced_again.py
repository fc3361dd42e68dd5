"""A kept quotation priced anew, beside the old one."""

from __future__ import annotations

import datetime
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import streamlit as st

from configurator.core import clock
from configurator.documents.number_style import locale_of
from configurator.documents.quotation import VALID_DAYS
from configurator.questions import answers
from configurator.store.access import Terms, keep_anew, open_store
from configurator.store.repricing import kept_case, price_anew
from configurator.store.saved_documents import DocumentStyle, lay_out
from configurator.store.snapshot import snapshot
from configurator.ui.html_tables import table
from configurator.ui.safe_text import difference, plain
from configurator.ui.saved.making import begin_forcing
from configurator.ui.talk.talk_words import exact_money

if TYPE_CHECKING:
    from collections.abc import Mapping

    from configurator.core.progress import Progress
    from configurator.evaluation.packages import Package
    from configurator.questions.session import Session
    from configurator.search.optimum.preparing import Prepared
    from configurator.store.access import KeptQuotation
    from configurator.store.comparison import QuotationComparison
    from configurator.store.repricing import Anew
    from configurator.ui.saved.desk import Desk
    from configurator.ui.visit import Visit

WORK, KEEP = "re-price", "keep anew"


@dataclass(frozen=True, slots=True)
class Priced:
    """A quotation priced anew.

    Parameters
    ----------
    number
        Of the quotation.
    prepared
        Its job, with the lists of today.
    anew
        The answer.
    """

    number: str
    prepared: Prepared
    anew: Anew


def forget(visit: Visit) -> None:
    """End and forget what was worked out for a quotation."""
    for name in (WORK, KEEP):
        task = visit.tasks.pop(name, None)
        if task is not None:
            task.stop()


def show(visit: Visit, here: Desk, kept: KeptQuotation, comparison: QuotationComparison) -> None:
    """Offer to price a quotation anew; show it beside the old one."""
    st.subheader("Re-priced")
    task = visit.tasks.get(WORK)
    if task is not None and task.state == "done" and task.result.number != kept.number:
        forget(visit)
        task = None
    if task is None:
        st.write("With the lists and rules of today; the old quotation stays as it is.")
        st.button("Re-price", key="re-price", on_click=_price, args=(visit, kept, comparison))
        return
    if task.state == "running":
        st.write("It is being worked out.")
        return
    if task.state != "done":
        for line in str(task.error or "Stopped.").split("\n"):
            st.error(plain(line))
        st.button("Try again", key="price again", on_click=forget, args=(visit,))
        return
    _beside(visit, here, kept, comparison, task.result)


def _price(visit: Visit, kept: KeptQuotation, comparison: QuotationComparison) -> None:
    forget(visit)
    visit.refused = []
    shelves = visit.shelves

    def price(_: Session, progress: Progress) -> Priced:
        # Read anew: a case that is ready may be older than the lists.
        case = kept_case(kept.snapshot, shelves.trade, shelves.folders)
        progress.report(words="working out what fits with what")
        prepared = answers.ready(case, shelves.trade)
        progress.report(words="searching")
        return Priced(kept.number, prepared, price_anew(prepared, comparison))

    visit.work(WORK, f"Re-pricing {kept.number}", price)


def _beside(
    visit: Visit, here: Desk, kept: KeptQuotation, comparison: QuotationComparison, priced: Priced
) -> None:
    new = priced.anew.package
    if new is None:
        st.warning("No package meets the job today. Open its job and move a goal or free a part.")
        return
    currency = kept.currency
    cheapest = priced.anew.answer.packages[0]

    def against(package: Package | None) -> tuple[str, str]:
        if package is None:
            return "not available", ""
        return exact_money(package.price, currency), difference(
            package.price - kept.price, currency
        )

    table(
        ("compared", "price", "against the old one"),
        [
            (f"{kept.number}, as it was", exact_money(kept.price, currency), ""),
            ("the same parts today", *against(comparison.same_parts)),
            ("the cheapest today", *against(cheapest)),
        ],
        right=(1,),
        key=f"anew prices {kept.number}",
    )
    rows = _rows(kept.snapshot["package"], new, currency)
    if rows:
        table(("position", kept.number, "re-priced"), rows, key=f"anew parts {kept.number}")
    what = "the same parts" if priced.anew.same else "the cheapest package today"
    st.write(plain(f"To be saved: {what}, {exact_money(new.price, currency)} for one vehicle."))
    task = visit.tasks.get(KEEP)
    if task is not None and task.state == "running":
        return
    if task is not None and task.state != "done":
        st.error(plain(f"Nothing was saved: {task.error or 'it was stopped'}."))
    by = here.by.strip()
    st.button(
        "Save it beside the old one", key="keep anew", type="primary" if by else "secondary",
        disabled=not by,
        help=None if by else "Say who keeps it.",
        on_click=_keep, args=(visit, here, kept, priced, by),
    )  # fmt: skip


def _rows(then: Mapping[str, Any], new: Package, currency: str) -> list[tuple[str, str, str]]:
    rows = []
    for position, option in new.choice.items():
        detail, key = then["details"].get(position), then["parts"].get(position)
        old = "nothing"
        if detail is not None and key is not None:
            price = detail["price"]
            old = f"{detail['title']} ({key}), {price['amount']} {price['currency']}"
        now = "nothing"
        if option.part.title and option.key != "none":
            money = exact_money(option.price, currency)
            now = f"{option.part.title} ({option.key}), {money}"
        if old != now:
            rows.append((position, old, now))
    return rows


def _keep(visit: Visit, here: Desk, kept: KeptQuotation, priced: Priced, by: str) -> None:
    visit.refused = []
    visit.tasks.pop(KEEP, None)
    plugins, system = visit.shelves.loaded.plugins, visit.system

    def keep(_: Session, progress: Progress) -> str:
        new, prepared = priced.anew.package, priced.prepared
        if new is None:  # not offered then
            return ""
        today = clock.today()
        locale = kept.snapshot["paper"]["locale"]
        valid = today + datetime.timedelta(days=VALID_DAYS)
        how = DocumentStyle(locale_of(locale), today, valid, system)
        written = snapshot(
            prepared.evaluation,
            new,
            plugins,
            proven=priced.anew.proven,
            day=today,
            locale=locale,
            valid=valid,
        )
        progress.report(words="laying out the documents")
        laid_out = lay_out(prepared.evaluation, new, how)
        with open_store() as store:
            made = keep_anew(
                store,
                kept,
                written,
                price=new.price,
                currency=prepared.evaluation.case.job.currency,
                by=by,
                terms=Terms(kept.customer, valid.isoformat(), laid_out),
            )
        here.shown, here.looked = made.number, None
        here.notice = f"Saved as quotation {made.number}, beside {kept.number}."
        begin_forcing(here, made.number, lambda: prepared, new.choice, how)
        return made.number

    visit.work(KEEP, "Keeping the quotation", keep)


def force(visit: Visit, here: Desk, kept: KeptQuotation, comparison: QuotationComparison) -> None:
    """Begin to work out what the choices of a quotation force; nothing has changed since then."""
    same, shelves = comparison.same_parts, visit.shelves
    if same is None:
        return

    def ready() -> Prepared:
        case = kept_case(kept.snapshot, shelves.trade, shelves.folders)
        return answers.ready(case, shelves.trade)

    made = clock.day_of(kept.made_at)
    how = DocumentStyle(locale_of(kept.snapshot["paper"]["locale"]), made, None, visit.system)
    begin_forcing(here, kept.number, ready, same.choice, how)
