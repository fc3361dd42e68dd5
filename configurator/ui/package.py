"""The cheapest package now: price, parts, work, goals, limits, cautions, drawings."""

from __future__ import annotations

from typing import TYPE_CHECKING

import streamlit as st

from configurator import drawings
from configurator.core.errors import FitwrightError
from configurator.evaluation.assumed import assumed_of
from configurator.evaluation.contradictions import contradictions_of
from configurator.evaluation.lead_times import longest_wait
from configurator.evaluation.operations import operations_of, work_cost
from configurator.evaluation.packages import (
    Package,
    cautions_of,
    make_package,
    margins_of,
    not_checked,
)
from configurator.model.parts import NOTHING
from configurator.search.optimum.verification import meets
from configurator.ui import alternatives, beside, pictures, reasons_part
from configurator.ui.html_tables import table
from configurator.ui.safe_text import listed, plain
from configurator.wording.assumed_words import assumed_headline, assumed_words
from configurator.wording.plain_data import not_priced
from configurator.wording.quantities import counted, money_words, words
from configurator.wording.sentences import (
    NOTICE,
    catalog_words,
    caution_words,
    goal_words,
    margin_words,
)
from configurator.wording.unchecked import unchecked_headline, unchecked_words

if TYPE_CHECKING:
    from configurator.evaluation.evaluator import Evaluation
    from configurator.search.optimum.option_prices import CheapestPackage
    from configurator.ui.visit import Visit

CLOSEST = 8


def show(visit: Visit) -> None:
    """Show the package, or why there is none."""
    found = visit.talk.cheapest()
    evaluation = visit.talk.prepared().evaluation
    if found.choice is None:
        no_package(visit, found)
        return
    package = make_package(evaluation, found.choice)
    left, right = st.columns([3, 2], gap="large")
    with left:
        _parts(visit, evaluation, package)
        _goals(visit, evaluation, package)
        _work(visit, evaluation, package)
        st.header("Closest to a limit")
        st.markdown(
            listed(
                [
                    margin_words(margin, visit.system)
                    for margin in margins_of(evaluation, package.choice)[:CLOSEST]
                ]
            )
        )
    with right:
        beside.button(
            visit, beside.step_name(visit.talk.history), package.choice, "hold the cheapest"
        )
        _cautions(evaluation, package)
    _drawings(visit, evaluation, package)
    alternatives.show(visit, evaluation)
    _what_goes_with(evaluation, package)


def no_package(visit: Visit, found: CheapestPackage) -> None:
    """Say that there is no package, and ask why."""
    if not found.proven:
        st.warning(
            "No package was found in the time of a click, and none is proven to be impossible. "
            "Look longer, free a part or move a goal."
        )
        return
    st.warning("No package meets everything that is asked for, at any price.")
    st.button("What could give?", key="ask why", on_click=reasons_part.ask, args=(visit,))
    reasons_part.show(visit)


def _parts(visit: Visit, evaluation: Evaluation, package: Package) -> None:
    currency = visit.job.currency
    st.header("New parts")
    new = [o for o in package.choice.values() if o.changed and o.key != NOTHING]
    table(
        ("position", "part", "number", "pieces", "price"),
        [
            (o.position, o.part.title, o.key, str(o.pieces), money_words(o.price, currency))
            for o in new
        ],
        right=(3, 4),
        key="new parts",
    )
    off = [o.position for o in package.choice.values() if o.changed and o.key == NOTHING]
    stays = [o.position for o in package.choice.values() if not o.changed and o.key != NOTHING]
    empty = [o.position for o in package.choice.values() if not o.changed and o.key == NOTHING]
    for what, positions in (("Comes off", off), ("Stays", stays), ("Stays empty", empty)):
        if positions:
            st.caption(plain(f"{what}: {', '.join(positions)}."))
    days, unknown = longest_wait(package.choice, evaluation.case.job.vehicles)
    if days is not None:
        st.write(f"Longest wait for a part: {days} days.")
    if unknown:
        st.write(plain(f"Waiting time not given by the catalog: {', '.join(unknown)}."))


def _goals(visit: Visit, evaluation: Evaluation, package: Package) -> None:
    if not visit.job.goals:
        return
    st.header("What was asked for")
    rows = []
    for goal in visit.job.goals:
        value = evaluation.figure(goal.figure, package.choice)
        unit = evaluation.definition(goal.figure).unit
        rows.append(
            (
                goal_words(evaluation, goal, visit.system),
                words(evaluation.figure(goal.figure, evaluation.fitted), unit, visit.system),
                words(value, unit, visit.system),
                "met" if meets(goal, value) else "not met",
            )
        )
    table(
        ("asked for", "as it stands", "with the package", "met or not"),
        rows,
        right=(1, 2),
        key="goals",
    )


def _work(visit: Visit, evaluation: Evaluation, package: Package) -> None:
    operations = operations_of(evaluation, package.choice)
    hours = sum(one.hours for one in operations)
    st.header("Work")
    st.write(
        f"{hours:.4g} hours, {counted(len(operations), 'operation')}, "
        f"{money_words(package.work, visit.job.currency)} with materials and tax."
    )
    with st.expander("Each operation"):
        table(
            ("operation", "hours", "price"),
            [
                (
                    one.name,
                    f"{one.hours:.4g}",
                    money_words(work_cost(evaluation, one), visit.job.currency),
                )
                for one in operations
            ],
            right=(1, 2),
            key="operations",
        )


def _cautions(evaluation: Evaluation, package: Package) -> None:
    st.header("Cautions")
    said = caution_words(cautions_of(evaluation, package.choice))
    st.markdown(listed(said) if said else "None.")


def _drawings(visit: Visit, evaluation: Evaluation, package: Package) -> None:
    st.header("Drawn to scale")
    names = list(drawings.VIEWS)
    name = st.segmented_control(
        "Drawing", names, default=names[0], key="drawing", required=True, wrap=True,
        format_func=lambda one: drawings.VIEWS[one].capitalize(),
    )  # fmt: skip
    try:
        drawn = drawings.draw(
            evaluation, package.choice, name, ink=drawings.OF_PAGE, system=visit.system
        )
    except FitwrightError as problem:
        st.write(plain(str(problem)))
        return
    pictures.show(drawn.svg, key=f"drawing {name}", width_mm=drawn.width)
    if drawn.not_drawn:
        st.caption(plain(f"Not drawn: {'; '.join(drawn.not_drawn)}."))


def _what_goes_with(evaluation: Evaluation, package: Package) -> None:
    unchecked = not_checked(evaluation, package.choice)
    unpriced = not_priced(evaluation, package.choice)
    job = evaluation.case.job
    assumed = assumed_of(evaluation, job, package.choice)
    contradictions = contradictions_of(evaluation)
    if contradictions:
        with st.expander(f"Check first: {len(contradictions)}", expanded=True):
            st.markdown(listed([str(item) for item in contradictions]))
    if assumed:
        with st.expander(f"Assumed: {assumed_headline(assumed).rstrip('.')}"):
            st.markdown(listed(assumed_words(assumed, job.currency, prices={})))
    if unchecked:
        with st.expander(f"Not checked: {unchecked_headline(unchecked) or len(unchecked)}"):
            st.markdown(listed(unchecked_words(unchecked, evaluation.trade)))
    if unpriced:
        with st.expander(f"Not priced: {len(unpriced)}", expanded=True):
            st.markdown(listed(unpriced))
    origins = [catalog_words(one).rstrip(".") for one in evaluation.case.catalogs]
    st.caption(plain("".join(f"{origin}. " for origin in origins)))
    st.caption(NOTICE)
