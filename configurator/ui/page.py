"""The page: a job of the demo, the cheapest package for it, and what else is possible.

Choices are kept by key in the session, never as labels that change; everything shown from a catalog
goes through widgets that show text as text.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import streamlit as st

from configurator import answers, units
from configurator.errors import FitwrightError, InputError
from configurator.money import Money
from configurator.packages import cautions_of, make_package, margins_of, not_checked
from configurator.parts import NOTHING
from configurator.saying.sentences import (
    NOTICE,
    caution_words,
    goal_words,
    reason_words,
    repair_words,
)
from configurator.search import totals
from configurator.ui.loading import bundled_jobs, plugins, prepared

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from configurator.evaluation import Option
    from configurator.jobs import Job
    from configurator.packages import Package
    from configurator.search.queries import Prepared

SYSTEM = None  # units as the rules declare them


def show() -> None:
    """Draw the page."""
    st.set_page_config(page_title="Fitwright", layout="wide")
    st.title("Fitwright")
    names = list(bundled_jobs())
    first = names.index("hut-track-wagon") if "hut-track-wagon" in names else 0
    name = st.selectbox("Job", names, index=first, key="job")
    try:
        ready = prepared(name)
    except InputError as problem:
        for one in problem.problems:
            st.error(_plain(str(one)))
        return
    except FitwrightError as problem:
        st.error(_plain(str(problem)))
        return
    job = _job(ready)
    case = ready.evaluation.case
    st.subheader(_plain(case.job.title))
    st.write(_plain(case.vehicle.title))
    left, right = st.columns([1, 2])
    with left:
        _goals(ready, job)
        _decided(job)
    with right:
        _package(ready, job)
    _options(ready, job)
    _loaded()
    st.caption(NOTICE)


def _plain(text: str) -> str:
    """Keep text from a catalog from being read as markup."""
    for sign in "\\`*_{}[]()#+-.!|~<>$:":
        text = text.replace(sign, f"\\{sign}")
    return text


def _job(ready: Prepared) -> Job:
    """Return the job as it stands on the page: the file's, with what was fixed here."""
    job = ready.evaluation.case.job
    fixed = {**job.fixed, **st.session_state.get(f"fixed {job.title}", {})}
    budget = st.session_state.get(f"budget {job.title}", job.budget)
    return replace(job, fixed=fixed, budget=budget)


def _goals(ready: Prepared, job: Job) -> None:
    st.markdown("**Asked for**")
    evaluation = ready.evaluation
    for goal in job.goals:
        st.write(_plain(goal_words(evaluation, goal, SYSTEM)))
    if job.budget is not None:
        amount = st.number_input(
            f"Budget in {job.currency}", min_value=0, value=job.budget // 100, step=100
        )
        if amount * 100 != job.budget:
            st.session_state[f"budget {job.title}"] = int(amount) * 100
            st.rerun()


def _decided(job: Job) -> None:
    key = f"fixed {job.title}"
    chosen = st.session_state.get(key, {})
    for position, part in sorted(chosen.items()):
        st.write(_plain(f"{position}: {part} is fixed"))
        if st.button(f"Free the {position}", key=f"free {position}"):
            st.session_state[key] = {p: k for p, k in chosen.items() if p != position}
            st.rerun()


def _package(ready: Prepared, job: Job) -> None:
    found = totals.cheapest(ready, job)
    if found.choice is None:
        st.markdown("**Nothing fits**")
        _why(ready, job, [])
        return
    package = make_package(ready.evaluation, found.choice)
    proof = "" if found.proven else " (best found, not proven)"
    st.markdown(f"**Cheapest package: {Money(package.price, job.currency)}{proof}**")
    if job.budget is not None and package.price > job.budget:
        st.write(f"Over the budget by {Money(package.price - job.budget, job.currency)}.")
    _tell(ready, package)


def _tell(ready: Prepared, package: Package) -> None:
    evaluation = ready.evaluation
    rows = [
        {"position": p, "part": o.part.title, "number": o.key, "price": o.price / 100}
        for p, o in package.choice.items()
        if o.changed
    ]
    _table(rows, "price")
    currency = evaluation.case.job.currency
    st.write(f"Work: {Money(package.work, currency)}, tax included like in all prices.")
    with st.expander("Closest to a limit"):
        for margin in margins_of(evaluation, package.choice)[:8]:
            bound = "at least" if margin.at_least else "at most"
            has, needs = (units.show(v, margin.rule.unit) for v in (margin.has, margin.needs))
            st.write(_plain(f"{margin.rule.name}: has {has}, needs {bound} {needs}"))
    with st.expander("Cautions", expanded=True):
        for said in caution_words(cautions_of(evaluation, package.choice)):
            st.write(_plain(said))
    unchecked = not_checked(evaluation, package.choice)
    if unchecked:
        with st.expander("Not checked"):
            for one in unchecked:
                st.write(_plain(str(one)))


def _options(ready: Prepared, job: Job) -> None:
    st.subheader("What else is possible")
    position = st.selectbox("Position", list(ready.model.options), key="position")
    found = totals.previews(ready, job, [position])
    options = ready.model.options[position]
    rows = []
    for number, option in enumerate(options):
        price, exact = int(found.prices[position][number]), bool(found.exact[position][number])
        if price < 0:
            state, said = "impossible", None
        else:
            over = job.budget is not None and price > job.budget
            state = "over budget" if over else "available"
            said = price / 100
        rows.append(
            {
                "part": _title(option),
                "number": option.key,
                "state": state,
                "cheapest package": said,
                "": "" if exact or said is None else "at least",
            }
        )
    _table(rows, "cheapest package")
    keys = [option.key for option in options]
    chosen = st.selectbox("Part", keys, key=f"part at {position}")
    fix, why = st.columns(2)
    if fix.button("Fix this part"):
        key = f"fixed {job.title}"
        st.session_state[key] = {**st.session_state.get(key, {}), position: chosen}
        st.rerun()
    if why.button("Why not this part?"):
        _why(ready, job, [(position, chosen)])


def _table(rows: Sequence[Mapping[str, object]], money: str) -> None:
    columns = {money: st.column_config.NumberColumn(format="%.2f")}
    st.dataframe(rows, hide_index=True, width="stretch", column_config=columns)


def _title(option: Option) -> str:
    if option.key == NOTHING:
        return "nothing"
    return f"{option.part.title} (as fitted)" if not option.changed else option.part.title


def _why(ready: Prepared, job: Job, asked: list[tuple[str, str]]) -> None:
    evaluation = ready.evaluation
    with st.spinner("Working out why"):
        explained = answers.why_for(ready, job, *(asked[0] if asked else (None, None)))
    if explained.possible:
        st.write("This part is possible: its price stands in the table.")
        return
    st.write("This cannot be, because of:")
    for reason in explained.conflict:
        st.write(_plain(reason_words(evaluation, reason, SYSTEM)))
    for repair in explained.repairs[:4]:
        st.write(_plain(repair_words(evaluation, repair, SYSTEM)))


def _loaded() -> None:
    loaded = plugins()
    with st.expander("Plugins in use"):
        st.write(", ".join(plugin.name for plugin in loaded.plugins))
        for failure in loaded.trade.failures:
            st.error(_plain(f"{failure.plugin} is not in use: {failure.reason}"))
