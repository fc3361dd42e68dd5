"""A quotation that is open: what was agreed, its papers, what has changed since, priced anew."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import streamlit as st

from configurator.core import clock, units
from configurator.core.errors import FitwrightError
from configurator.core.money import read_amount
from configurator.documents import formats
from configurator.documents.layout import on_paper
from configurator.store.access import get_job, get_quotation, open_store
from configurator.store.change_words import change_words, value_words
from configurator.store.repricing import look_again
from configurator.store.saved_documents import PAPERS, paper
from configurator.store.snapshot import readable
from configurator.ui.html_tables import table
from configurator.ui.printed_on import chosen_paper
from configurator.ui.safe_text import listed, plain
from configurator.ui.saved import measurements, priced_again
from configurator.ui.saved.desk import day, open_job
from configurator.ui.sharing import file_name
from configurator.ui.talk import again_data
from configurator.ui.talk.talk_words import exact_money
from configurator.ui.visit import refuse
from configurator.wording.certainty import MARKS, chance_words, within_words, words_of_grade
from configurator.wording.sentences import begun

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence

    from configurator.documents.layout import Sheet
    from configurator.evaluation.evaluator import Evaluation
    from configurator.store.access import KeptQuotation, Store
    from configurator.store.comparison import QuotationComparison
    from configurator.ui.saved.desk import Desk
    from configurator.ui.visit import Visit
    from configurator.wording.quantities import System

MIME = {
    "PDF": "application/pdf",
    "XLSX": "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
    "Markdown": "text/markdown",
}
ENDS = {"PDF": "pdf", "XLSX": "xlsx", "Markdown": "md"}


@dataclass(frozen=True, slots=True)
class QuotationToday:
    """A quotation held against today.

    Parameters
    ----------
    number
        Of the quotation.
    shelves
        Plugins and catalogs of the look.
    comparison
        What has changed.
    evaluation
        Of today; None where the catalogs cannot be read.
    """

    number: str
    shelves: Any
    comparison: QuotationComparison
    evaluation: Evaluation | None


def show(visit: Visit, here: Desk, store: Store, number: str) -> None:
    """Show a quotation."""
    try:
        kept = get_quotation(store, number)
        snapshot = readable(kept.snapshot, number)
    except FitwrightError as problem:
        st.error(plain(str(problem)))
        st.button("Close", key="close quotation", on_click=_close, args=(visit, here))
        return
    st.header(plain(f"Quotation {number}: {kept.title}"))
    _about(kept, snapshot)
    with st.container(horizontal=True):
        st.button(
            "Open its job", key="open its job", on_click=_open_its_job, args=(visit, here, kept),
            help="“Undo” leads back to the job before.",
        )  # fmt: skip
        st.button(
            "As last time", key="like quotation", on_click=_as_last_time, args=(visit, number),
            help="For the job on the page: the package that changes least since this quotation.",
        )  # fmt: skip
        st.button("Close the quotation", key="close quotation", on_click=_close, args=(visit, here))
    left, right = st.columns([3, 2], gap="large")
    with left:
        _agreed(visit, kept, snapshot)
    with right:
        with st.container(key="papers"):
            _papers(kept)
        measurements.show(visit, store, kept, snapshot)
        looked = _look(visit, here, kept, snapshot)
        if looked is not None:
            _changed(visit, here, kept, looked)
        _forced(visit, here, kept, looked)
    if looked is not None:
        priced_again.show(visit, here, kept, looked.comparison)


def _close(visit: Visit, here: Desk) -> None:
    priced_again.forget(visit)
    here.shown, here.looked, here.notice = None, None, ""


def _as_last_time(visit: Visit, number: str) -> None:
    """Look at the build for what changes least since a quotation."""
    visit.plans[again_data.NUMBER] = number
    visit.turn_to("build", again_data.TASK)
    try:
        again_data.look(visit)
    except FitwrightError as problem:
        refuse(visit, problem)


def _open_its_job(visit: Visit, here: Desk, kept: KeptQuotation) -> None:
    visit.refused = []
    try:
        with open_store() as store:
            job = get_job(store, kept.job, kept.version)
    except FitwrightError as problem:
        refuse(visit, problem)
        return
    open_job(visit, here, job)


def _about(kept: KeptQuotation, snapshot: Mapping[str, Any]) -> None:
    sentences = [
        f"{exact_money(kept.price, kept.currency)} for one vehicle",
        snapshot["job"]["vehicle"]["title"],
        f"saved on {day(kept.made_at)} by {kept.made_by}",
        f"version {kept.version} of job {kept.job}",
    ]
    if kept.anew_of:
        sentences.append(f"re-prices {kept.anew_of}")
    if kept.customer:
        sentences.append(f"customer's reference: {kept.customer}")
    if kept.valid_until:
        over = kept.valid_until < clock.today().isoformat()
        sentences.append(f"{'was valid' if over else 'valid'} until {kept.valid_until}")
    st.write(plain(f"{'; '.join(sentences)}."))
    if not snapshot["proven"]:
        st.write("It was not proven to be the cheapest that meets the job.")


# -- what was agreed ----------------------------------------------------------------------------


def _agreed(visit: Visit, kept: KeptQuotation, snapshot: Mapping[str, Any]) -> None:
    package, job = snapshot["package"], snapshot["job"]
    st.subheader("What was agreed")
    details, parts = package["details"], package["parts"]
    table(
        ("position", "part", "number", "pieces", "price"),
        [
            (
                position,
                details[position]["title"] if parts[position] else "removed",
                parts[position] or "",
                str(details[position]["pieces"]),
                _amount(details[position]["price"]),
            )
            for position in snapshot["changed"]
        ],
        right=(3, 4),
        key=f"agreed parts {kept.number}",
    )
    work = package["work"]
    st.write(plain(f"Work: {work['hours']:g} hours, {_amount(work['price'])}."))
    if package["goals"]:
        sure = {goal["figure"]: goal for goal in _how_sure(package)["goals"]}
        table(
            ("asked for", "promised", "how sure"),
            [
                (
                    asked,
                    value_words(goal["value"], goal["unit"], visit.system),
                    _goal_grade(sure.get(goal["figure"]), goal, visit.system),
                )
                for asked, goal in zip(job["asked"], package["goals"], strict=False)
            ],
            key=f"agreed goals {kept.number}",
        )
    with st.expander(f"Figures: {len(package['figures'])}"):
        table(
            ("figure", "value"),
            [
                (name, value_words(figure["value"], figure["unit"], visit.system))
                for name, figure in package["figures"].items()
            ],
            key=f"agreed figures {kept.number}",
        )
    with st.expander(f"Cautions: {len(package['cautions'])}", expanded=True):
        st.markdown(listed(package["cautions"]) or "None.")
        st.caption(plain(snapshot["notice"]))
    calculated = [
        f"{begun(rule['rule'])}: {chance_words(rule['missed'])}"
        for rule in _how_sure(package)["rules"]
    ]
    unchecked = [f"{rule['rule']}: {rule['why']}" for rule in package["not_checked"]]
    for heading, notes in (
        ("Limits that hold as calculated only", calculated),
        ("Not checked", unchecked),
        ("Not priced", package["not_priced"]),
    ):
        if notes:
            with st.expander(f"{heading}: {len(notes)}"):
                st.markdown(listed(notes))
    made = snapshot["made_with"]
    with st.expander("Lists, rules and versions"):
        st.markdown(
            listed(
                [
                    *(
                        f"{catalog['title']} ({catalog['catalog']}): "
                        f"prices of {catalog['price_date']}, source: {catalog['source']}"
                        for catalog in job["catalogs"]
                    ),
                    f"Fitwright {made['program']}",
                    *(
                        f"plugin {plugin['name']}, {plugin['version'] or 'no version'}"
                        for plugin in made["plugins"]
                    ),
                    f"{len(snapshot['rules'])} rules, written down with the quotation",
                ]
            )
        )


def _how_sure(package: Mapping[str, Any]) -> Mapping[str, Any]:
    """Return how sure goals and limits were; nothing of a quotation from before that was kept."""
    sure: Mapping[str, Any] = package.get("how_sure", {"rules": [], "goals": []})
    return sure


def _goal_grade(
    sure: Mapping[str, Any] | None, goal: Mapping[str, Any], system: System | None
) -> str:
    """Say how sure a goal is to be met; empty where nothing is known, or it is missed."""
    if sure is None or not sure["within"] or not goal["met"]:
        return ""
    unit = sure["unit"]
    within = within_words(units.to_si(sure["within"], unit) - units.to_si(0.0, unit), unit, system)
    return f"{MARKS[sure['grade']]} {words_of_grade(sure['grade'], sure['missed'])}, ±{within}"


def _amount(record: Mapping[str, str]) -> str:
    """Say an amount of a snapshot as the page says all of them."""
    return exact_money(
        read_amount(record["amount"], record["currency"], "groups"), record["currency"]
    )


# -- papers -------------------------------------------------------------------------------------


def _papers(kept: KeptQuotation) -> None:
    st.subheader("Documents")
    name = st.selectbox("Document", list(PAPERS), key="kept paper", format_func=PAPERS.__getitem__)
    try:
        sheet = paper(kept, name)
    except FitwrightError as problem:
        st.write(plain(str(problem)))
        return
    sheet = on_paper(sheet, chosen_paper(sheet.paper, "kept paper size"))
    with st.container(horizontal=True):
        for kind in MIME:
            st.download_button(
                f"Save as {kind}",
                _writer(sheet, kind),
                file_name=f"{file_name(kept.title)}-{kept.number}-{name}.{ENDS[kind]}",
                mime=MIME[kind],
                key=f"save {kind}",
                on_click="ignore",
            )


def _writer(sheet: Sheet, kind: str) -> Callable[[], bytes]:
    """Return what writes a paper when it is asked for."""

    def write() -> bytes:
        if kind == "PDF":
            return formats.pdf(sheet)
        if kind == "Markdown":
            return formats.markdown(sheet).encode("utf-8")
        return formats.xlsx(sheet)

    return write


# -- what has changed since ---------------------------------------------------------------------


def _look(
    visit: Visit, here: Desk, kept: KeptQuotation, snapshot: Mapping[str, Any]
) -> QuotationToday | None:
    known: QuotationToday | None = here.looked
    if known is not None and known.number == kept.number and known.shelves is visit.shelves:
        return known
    try:
        with st.spinner("Reading lists and rules of today"):
            answer, evaluation = look_again(snapshot, visit.shelves.loaded, visit.shelves.folders)
    except FitwrightError as problem:
        st.subheader("Changed since")
        st.warning(plain(f"Today's lists cannot be held against it: {problem}"))
        return None
    looked = QuotationToday(kept.number, visit.shelves, answer, evaluation)
    here.looked = looked
    return looked


def _changed(visit: Visit, here: Desk, kept: KeptQuotation, looked: QuotationToday) -> None:
    st.subheader("Changed since")
    comparison = looked.comparison
    sentences = [change_words(change, visit.system) for change in comparison.changes]
    if sentences:
        st.markdown(listed(sentences))
    elif not comparison.not_compared:
        st.write("Nothing: lists, rules and figures are as they were.")
    if comparison.not_compared:
        st.write("Could not be compared:")
        st.markdown(listed(list(comparison.not_compared)))
    if comparison.same_parts is not None:
        price = exact_money(comparison.same_parts.price, kept.currency)
        st.write(plain(f"The same parts cost {price} today."))
    if comparison.stands_against:
        st.write("The same parts are no answer to the job today:")
        st.markdown(listed(list(comparison.stands_against)))
    st.button("Read the lists again", key="look again", on_click=_look_again, args=(visit, here))


def _look_again(visit: Visit, here: Desk) -> None:
    priced_again.forget(visit)
    here.looked = None


# -- what the choices forced --------------------------------------------------------------------


def needed_lines(choices: Sequence[Mapping[str, Any]]) -> list[str]:
    """Say of each choice which other parts it needed, each once, with all rules that ask for it."""
    lines: dict[str, list[str]] = {}
    for choice in choices:
        for arrow in choice["forces"]:
            needed = f"{choice['position']}, {choice['title']}: {arrow['position']}"
            rules = ", ".join(reason["rule"] for reason in arrow["because"])
            lines.setdefault(needed, []).append(rules)
    return [f"{needed} ({'; '.join(rules)})" for needed, rules in lines.items()]


def _forced(visit: Visit, here: Desk, kept: KeptQuotation, looked: QuotationToday | None) -> None:
    st.subheader("What else it needed")
    forced = kept.snapshot["forced"]
    if forced is not None:
        st.markdown(listed(needed_lines(forced["choices"])) or "Nothing.")
        return
    task = here.forcing.get(kept.number)
    if task is not None and task.state == "running":
        st.write("It is being worked out and will be added here and to the build sheet.")
        return
    if task is not None and task.state == "done":
        st.write("It is there: look at the quotation again.")
        return
    ended = "" if task is None else f" It was stopped{f': {task.error}' if task.error else ''}."
    st.write(plain(f"It is not worked out for this quotation.{ended} The build sheet says so."))
    changed = looked is None or looked.evaluation is None or bool(looked.comparison.changes)
    st.button(
        "Work it out now", key="force again", disabled=changed,
        on_click=priced_again.force,
        args=(visit, here, kept, None if looked is None else looked.comparison),
        help="Lists or rules have changed since: it would not be what was agreed." if changed
        else "It can take some minutes; you can go on meanwhile.",
    )  # fmt: skip
