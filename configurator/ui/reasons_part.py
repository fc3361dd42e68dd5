"""Why something cannot be had, and what would have to give: each repair is one click."""

from __future__ import annotations

from typing import TYPE_CHECKING

import streamlit as st

from configurator.model.parts import FITTED
from configurator.questions import edits
from configurator.ui.safe_text import listed, plain
from configurator.wording.sentences import (
    because_of,
    input_words,
    inputs_of_reason,
    part_words,
    reason_words,
    repair_words,
)

if TYPE_CHECKING:
    from configurator.evaluation.evaluator import Evaluation
    from configurator.questions.answers import Explanation
    from configurator.search.explanation.conflicts import Repair
    from configurator.ui.visit import Visit

MOST_REPAIRS = 6


def ask(visit: Visit, position: str = "", part: str = "") -> None:
    """Ask about a part at a position; about the job itself without."""
    close(visit)
    visit.why = (position, part)


def close(visit: Visit) -> None:
    """Ask nothing more."""
    for name in ("why", "repairs"):
        task = visit.tasks.pop(name, None)
        if task is not None:
            task.stop()
    visit.why = None


def show(visit: Visit) -> None:
    """Show what was asked and, as far as they are there, repairs and reasons."""
    if visit.why is None:
        return
    position, part = visit.why
    evaluation = visit.talk.prepared().evaluation
    repairs = visit.work(
        "repairs", "Looking for what could give", lambda talk, _: talk.repairs(position, part)
    )
    if repairs.state == "done":
        reasons = visit.work(
            "why", "Working out the reasons", lambda talk, _: talk.why(position, part)
        )
    else:
        reasons = None
    with st.container(border=True, key="why"):
        if position:
            named = plain(part_words(evaluation, position, part))
            st.header(f"Why not {named} as {plain(position)}?")
        else:
            st.header("Why does nothing fit?" if _none(visit) else "What could give?")
        if repairs.state == "running":
            st.write("Looking for what could give …")
        elif repairs.state == "done":
            _repairs(visit, evaluation, repairs.result)
        if reasons is not None:
            if reasons.state == "done":
                _reasons(visit, evaluation, reasons.result)
            elif reasons.state == "running":
                st.write("The reasons in numbers are being worked out; this can take a minute.")
            elif reasons.state == "stopped":
                st.write("Stopped before the reasons were found.")
            else:
                st.write(plain(str(reasons.error)))
        st.button("Close", key="close why", on_click=close, args=(visit,))


def _none(visit: Visit) -> bool:
    found = visit.talk.cheapest()
    return found.choice is None


def _repairs(visit: Visit, evaluation: Evaluation, repairs: list[Repair]) -> None:
    st.markdown("**What could give** — one click does it, and can be undone")
    if not repairs:
        st.write(
            "Nothing among what was asked for: giving up as many as three wishes does not help."
        )
    position, part = visit.why or ("", "")
    for number, repair in enumerate(repairs[:MOST_REPAIRS]):
        words = repair_words(evaluation, repair, visit.system)
        end = f", and fix the {position}" if position else ""
        st.button(
            plain(words[0].upper() + words[1:] + end),
            key=f"repair {number}",
            on_click=apply,
            args=(visit, repair, position, part),
        )


def apply(visit: Visit, repair: Repair, position: str, part: str) -> None:
    """Give up what a repair names, and decide for the part that was asked about."""
    evaluation = visit.talk.prepared().evaluation
    said = repair_words(evaluation, repair, visit.system).partition("; then")[0]
    job = edits.repaired(visit.job, repair)
    if position and part == FITTED:
        job = edits.keep(job, position)
    elif position:
        job = edits.fix(job, position, part)
    visit.change(job, said)


def _reasons(visit: Visit, evaluation: Evaluation, explained: Explanation) -> None:
    if explained.possible:
        st.write("It is possible after all: its price stands in the table.")
        return
    if not explained.conflict:
        st.write(
            "No smallest set of reasons could be worked out: limits on sums over the whole "
            "vehicle are checked on whole packages only."
        )
        return
    st.markdown("**These cannot be had together; without any one of them, the others can**")
    wishes = [r for r in explained.conflict if r.wish is not None]
    rules = [r for r in explained.conflict if r.rule is not None]
    if wishes:
        st.markdown("Asked for")
        st.markdown(listed([reason_words(evaluation, one, visit.system) for one in wishes]))
    if rules:
        st.markdown("Rules that every package keeps")
    for reason in rules:
        st.markdown(listed([reason_words(evaluation, reason, visit.system)]))
        because = because_of(reason.rule) if reason.rule is not None else ""
        details = [f"because {because}"] if because else []
        details += [
            input_words(*one, visit.system) for one in inputs_of_reason(reason, evaluation.trade)
        ]
        for detail in details:
            st.caption(plain(detail))
