"""What the package's parts force, as a picture and as a list, and the sequence of the work."""

from __future__ import annotations

from typing import TYPE_CHECKING

import streamlit as st

from configurator.consequences import graph_drawing
from configurator.consequences.known_upgrades import forced_by_each
from configurator.consequences.upgrade_words import arrow_words, picture_of, relative_to
from configurator.core.errors import FitwrightError
from configurator.evaluation.packages import make_package
from configurator.evaluation.work_plan import work_plan
from configurator.ui import pictures
from configurator.ui.html_tables import table
from configurator.ui.safe_text import listed, plain
from configurator.ui.talk.talk_words import exact_money
from configurator.wording.sentences import option_words

if TYPE_CHECKING:
    from configurator.consequences.upgrade_records import Forced
    from configurator.core.progress import Progress
    from configurator.evaluation.evaluator import Evaluation
    from configurator.questions.session import Session
    from configurator.ui.visit import Visit

EVERY = "every part of the package"


def show(visit: Visit) -> None:
    """Show what is forced and the work."""
    cheapest = visit.talk.cheapest()
    if cheapest.choice is None:
        st.write("There is no package yet. “Goals” says what can change.")
        return
    evaluation = visit.talk.evaluation
    changed = [option for option in cheapest.choice.values() if option.changed]
    st.header("What else it needs")
    st.write(
        "What every package with this part needs elsewhere: whatever else is chosen, these "
        "positions cannot be without it."
    )
    st.caption(plain(relative_to(evaluation, "fit")))
    names = [EVERY, *(option.position for option in changed)]
    first = "tyres" if "tyres" in names else names[-1]
    key = "forced by"
    if st.session_state.get(key) not in names:
        st.session_state[key] = first
    name = st.selectbox(
        "Asked about", names, key=key,
        help="All at once can take some minutes; you can go on meanwhile.",
    )  # fmt: skip
    asked = [option for option in changed if name in (EVERY, option.position)]
    # Not when the box is told to have changed: where pages are drawn in quick succession that is
    # told again, after this part was left, and would end what was begun.
    if st.session_state.get("forced of") != name:
        _forget(visit)
        st.session_state["forced of"] = name

    def work_out(talk: Session, progress: Progress) -> list[Forced]:
        progress.template = "{done} of {of} parts"
        return forced_by_each(talk, asked)

    task = visit.work("forced", "Working out what else it needs", work_out)
    if task.state == "done":
        _answer(visit, evaluation, task.result)
    elif task.state == "running":
        st.write("It is being worked out: each answer is true of all packages there are.")
    else:
        st.write("Stopped." if task.error is None else plain(str(task.error)))
        st.button("Work it out again", key="forced again", on_click=_begin_anew, args=(visit,))
    _work(visit, evaluation)


def _begin_anew(visit: Visit) -> None:
    # Told again, a click must not end what it began.
    if "forced" in visit.tasks and visit.tasks["forced"].state != "running":
        _forget(visit)


def _forget(visit: Visit) -> None:
    task = visit.tasks.pop("forced", None)
    if task is not None:
        task.stop()


def _answer(visit: Visit, evaluation: Evaluation, forced: list[Forced]) -> None:
    picture = picture_of(evaluation, forced, "What else it needs", visit.system)
    left, right = st.columns([3, 2], gap="large")

    def chosen(position: str) -> None:
        st.session_state["forced at"] = position

    theme: graph_drawing.Theme = "dark" if st.context.theme.type == "dark" else "light"
    with left:
        pictures.show(
            graph_drawing.draw(picture, theme=theme, interactive=True), key="graph", chosen=chosen
        )
        st.caption("Click a box, or reach it by Tab and press Enter, to read about it alone.")
    with right:
        _list(visit, evaluation, forced)


def _list(visit: Visit, evaluation: Evaluation, forced: list[Forced]) -> None:
    at = st.session_state.get("forced at", "")
    places = {step.option.position for step in forced}
    places |= {arrow.position for step in forced for arrow in step.arrows}
    if at in places:
        st.markdown(f"**Only what concerns: {plain(at)}**")
        st.button("Show all", key="forced all", on_click=_show_all)
    else:
        at = ""
    for step in forced:
        arrows = [a for a in step.arrows if at in ("", a.position, step.option.position)]
        if at and not arrows and step.option.position != at:
            continue
        st.markdown(f"**{plain(step.option.position)}: {plain(option_words(step.option))}**")
        if arrows:
            st.markdown(listed([arrow_words(evaluation, a, visit.system) for a in arrows]))
        else:
            st.write("Needs nothing else.")
        if step.adds is not None:
            about = "" if step.adds_proven else "about "
            more = "more" if step.adds >= 0 else "less"
            price = exact_money(abs(step.adds), visit.job.currency)
            st.caption(
                f"Goals and budget aside, the cheapest package with it costs {about}{price} {more} "
                "than the cheapest without it."
            )


def _show_all() -> None:
    st.session_state["forced at"] = ""


def _work(visit: Visit, evaluation: Evaluation) -> None:
    cheapest = visit.talk.cheapest()
    if cheapest.choice is None:
        return
    st.header("Sequence of work")
    try:
        plan = work_plan(evaluation, make_package(evaluation, cheapest.choice))
    except FitwrightError as problem:
        st.write(plain(str(problem)))
        return
    table(
        ("step", "operation", "where", "hours", "after", "needs the new"),
        [
            (
                str(step.number),
                step.operation.name,
                ", ".join(filter(None, (step.operation.station, step.axle))),
                f"{step.operation.hours:.4g}",
                ", ".join(step.after),
                ", ".join(wait.position for wait in step.waits_for),
            )
            for step in plan.steps
        ],
        right=(3,),
        key="sequence",
    )
    st.write(
        f"{plan.hours:.4g} hours in all; with enough hands, done {plan.finish:.1f} days after the "
        "order at the earliest."
    )
