"""Packages that really differ from the cheapest: in what much hangs on, and said in words."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import streamlit as st

from configurator.model.parts import FITTED, NOTHING
from configurator.questions import answers, edits
from configurator.questions.case_cache import posed
from configurator.ui import beside
from configurator.ui.html_tables import table
from configurator.ui.safe_text import difference, listed, plain
from configurator.wording.package_differences import (
    big_positions,
    figures_words,
    measure_words,
    parts_words,
    unit_of_attribute,
)
from configurator.wording.quantities import counted, money_words, words

if TYPE_CHECKING:
    from collections.abc import Callable

    from configurator.evaluation.evaluator import Evaluation, Option
    from configurator.questions.answers import Different
    from configurator.questions.session import Session
    from configurator.ui.visit import Visit
    from configurator.wording.quantities import System

# Packages looked for, the cheapest among them.
MOST = 5
TASK = "others"
# What was found stays known while the job is what it was, also after an undo.
KNOWN = "packages that differ"


@dataclass(frozen=True, slots=True)
class Others:
    """What was found, and whether the budget had to be left out for there to be anything."""

    found: Different
    over_budget: bool


def show(visit: Visit, evaluation: Evaluation) -> None:
    """Show packages that differ, or a button to look for them."""
    st.header("Others that differ")
    st.caption(
        "The next cheapest package differs in a nut. These differ in the parts that most others "
        "hang on, such as tyres or axles."
    )
    others: Others | None = visit.talk.known(KNOWN)
    task = visit.tasks.get(TASK)
    if others is None and task is not None and task.state == "done":
        others = task.result
        if not task.halted:
            visit.talk.asked(KNOWN, lambda *_: others)
    if others is not None:
        _all(visit, evaluation, others, halted=task is not None and task.halted)
    elif task is not None and task.state == "running":
        st.caption("They are being looked for: how far that is stands at the top of the page.")
        return
    elif task is not None:
        st.write("Stopped." if task.error is None else plain(str(task.error)))
    if others is None or (task is not None and task.halted):
        st.button(
            "Look for others" if task is None else "Look again",
            key="look for others",
            on_click=look,
            args=(visit,),
            help="Takes some seconds; you can go on meanwhile, and stop it.",
        )


def look(visit: Visit) -> None:
    """Begin to look for packages that differ."""
    visit.tasks.pop(TASK, None)
    visit.work(TASK, "Looking for packages that differ", find)


def find(talk: Session, say: Callable[[str], None]) -> Others:
    """Find packages that differ; stopped, those found so far.

    Where even the cheapest package is over the budget, the budget is left out.
    """
    job, cheapest = talk.job, talk.cheapest()
    over = job.budget is not None and cheapest.price is not None and cheapest.price > job.budget
    prepared = talk.prepared()
    if over:
        prepared = posed(prepared, replace(job, budget=None))

    def told(done: int, most: int) -> None:
        # The first is the cheapest package itself.
        say(f"{done - 1} of up to {most - 1} found")

    found = answers.different(prepared, MOST, partial=True, report=told)
    return Others(found, over)


def _all(visit: Visit, evaluation: Evaluation, others: Others, *, halted: bool) -> None:
    found = others.found
    st.write(plain(measure_words(evaluation, found, len(found.packages) if halted else MOST)))
    if others.over_budget:
        st.write("The cheapest package is over the budget: others were looked for without it.")
    if halted:
        st.write("Stopped: these were found by then.")
    for number in range(1, len(found.packages)):
        with st.container(border=True):
            _one(visit, evaluation, found, number)


def _one(visit: Visit, evaluation: Evaluation, found: Different, number: int) -> None:
    first, package = found.packages[0], found.packages[number]
    currency = visit.job.currency
    price = money_words(package.price, currency)
    against = difference(package.price - first.price, currency)
    least = "" if found.proven[number] else "; perhaps a cheaper one differs as much"
    st.markdown(f"**Other {number}: {plain(price)}**, {plain(against + least)}")
    st.markdown(listed(parts_words(evaluation, found, number, visit.system)))
    goals = [goal.figure for goal in visit.job.goals]
    moved = figures_words(evaluation, package, first, goals, visit.system)
    st.markdown(
        f"What comes of it: {plain('; '.join(moved))}."
        if moved
        else "In all that was asked for, work and wait it is the same."
    )
    rows = [
        (position, _name(first.choice[position]), _name(option))
        for position, option in package.choice.items()
        if option.key != first.choice[position].key
    ]
    with st.expander(f"Each part that differs: {len(rows)}"):
        table(("position", "cheapest package", f"other {number}"), rows, key=f"differs {number}")
    positions = big_positions(evaluation, found, number)
    called = _called(evaluation, found, number, visit.system)
    with st.container(horizontal=True):
        beside.button(visit, called, package.choice, f"hold other {number}")
        job = visit.job
        for position in positions:
            key = package.choice[position].key
            job = edits.keep(job, position) if key == FITTED else edits.fix(job, position, key)
        st.button(
            "Go on with this one",
            key=f"take other {number}",
            help=f"Decides on {counted(len(positions), 'part')}, those named first here; all else "
            "follows. Undo takes it back.",
            on_click=visit.change,
            args=(job, f"go on with {called[0].lower()}{called[1:]}"),
        )


def _called(evaluation: Evaluation, found: Different, number: int, system: System | None) -> str:
    """Name a package by what the big choices are in it, each family once."""
    of = {position: big for big in found.big for position in big.positions}
    said: dict[str, str] = {}
    for position in big_positions(evaluation, found, number):
        option, big = found.packages[number].choice[position], of[position]
        title = evaluation.families[position].title.lower()
        unit = unit_of_attribute(evaluation, position, big.attribute)
        value = words(evaluation.attribute(option, big.attribute), unit, system)
        said.setdefault(big.family, f"no {title}" if option.key == NOTHING else f"{title} {value}")
    name = ", ".join(said.values())
    return name[0].upper() + name[1:]


def _name(option: Option) -> str:
    if option.key == NOTHING:
        return "nothing"
    return option.part.title if option.changed else f"{option.part.title}, stays"
