"""Up to four packages side by side; what differs, and what no longer answers the job, is said."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import streamlit as st

from configurator.evaluation.lead_times import longest_wait
from configurator.evaluation.operations import operations_of
from configurator.evaluation.packages import broken_rules, cautions_of, make_package
from configurator.model.parts import NOTHING
from configurator.search.optimum.verification import meets, permitted
from configurator.ui import beside
from configurator.ui.html_tables import table
from configurator.ui.safe_text import difference, plain
from configurator.wording.quantities import counted, money_words, words
from configurator.wording.sentences import goal_words

if TYPE_CHECKING:
    from collections.abc import Sequence

    from configurator.evaluation.evaluator import Evaluation, Option
    from configurator.evaluation.packages import Package
    from configurator.ui.visit import Visit


def show(visit: Visit) -> None:
    """Show the packages that were set aside, those for the vehicle at hand side by side."""
    st.header("Packages side by side")
    if not visit.beside:
        st.write(
            "None yet. Under “The package”, set the cheapest one aside, change what is asked for "
            "or what is decided, and set the next one beside it."
        )
        return
    evaluation = visit.talk.prepared().evaluation
    here = beside.of_vehicle(visit)
    choices = [(held, beside.as_it_is_now(evaluation, held)) for held in here]
    shown = [(held, choice) for held, choice in choices if choice is not None]
    if shown:
        packages = [make_package(evaluation, choice) for _, choice in shown]
        names = [held.name for held, _ in shown]
        table(
            ("compared", *names), rows(visit, evaluation, packages), key="beside",
            caption=f"Differences are against “{names[0]}”",
        )  # fmt: skip
        st.caption(
            "All are worked out for the vehicle, its use and the catalogs as the job has them "
            "now. Positions at which all of them have the same part are left out."
        )
    else:
        st.write("None of those set aside is for the vehicle of this job as it stands.")
    gone = [held for held, choice in choices if choice is None]
    other = [held for held in visit.beside if held not in here]
    for number, held in enumerate(visit.beside):
        if held not in gone and held not in other:
            _one(visit, number)
    if gone or other:
        st.subheader("Set aside, not compared")
        for number, held in enumerate(visit.beside):
            if held in gone:
                st.caption("The catalogs of this job do not have all of its parts.")
                _one(visit, number)
            elif held in other:
                st.caption(plain(f"It is for another vehicle: {held.vehicle}."))
                _one(visit, number)


def _one(visit: Visit, number: int) -> None:
    """Show a field to name a package so that it is known again, and a button to take it away."""
    held, key = visit.beside[number], f"name {number}"
    others = {one.name for one in visit.beside if one is not held}

    def renamed() -> None:
        typed = st.session_state[key].strip()
        if typed and typed not in others:
            visit.beside[number] = replace(held, name=typed)

    # The visit owns the name: one that is empty or taken is not kept.
    st.session_state[key] = held.name
    name, button = st.columns([2, 3], vertical_alignment="bottom")
    name.text_input(
        f"Name of package {number + 1}", key=key, max_chars=beside.LONGEST, on_change=renamed
    )
    button.button(
        plain(f"Take away “{held.name}”"), key=f"take away {number}",
        on_click=visit.beside.remove, args=(held,),
    )  # fmt: skip


def rows(visit: Visit, evaluation: Evaluation, packages: Sequence[Package]) -> list[list[str]]:
    """Return the table: prices, work, goals, then the positions where they differ."""
    currency = visit.job.currency
    first = packages[0]

    def marked(said: Sequence[str]) -> list[str]:
        return [
            text if number == 0 else f"{text} (same)" if text == said[0] else f"{text} (differs)"
            for number, text in enumerate(said)
        ]

    prices = [money_words(one.price, currency) for one in packages]
    compared = [
        prices[0],
        *(
            f"{price} ({difference(one.price - first.price, currency)})"
            for price, one in zip(prices[1:], packages[1:], strict=True)
        ),
    ]
    hours = [sum(o.hours for o in operations_of(evaluation, p.choice)) for p in packages]
    found = [
        ["price", *compared],
        ["parts", *marked([money_words(p.price - p.work, currency) for p in packages])],
        ["work", *marked([money_words(p.work, currency) for p in packages])],
        ["hours of work", *marked([f"{one:.4g}" for one in hours])],
        ["longest wait", *marked([_wait(p, visit.job.vehicles) for p in packages])],
        ["cautions", *marked([str(len(cautions_of(evaluation, p.choice))) for p in packages])],
    ]
    found.insert(1, ["meets what is asked now", *[_meets(visit, evaluation, p) for p in packages]])
    for goal in visit.job.goals:
        unit = evaluation.definition(goal.figure).unit
        values = [
            words(evaluation.figure(goal.figure, p.choice), unit, visit.system) for p in packages
        ]
        found.append([goal.figure, *marked(values)])
    for position in evaluation.families:
        options = [p.choice[position] for p in packages]
        if len({option.key for option in options}) > 1:
            found.append([position, *marked([_name(option) for option in options])])
    return found


def _wait(package: Package, vehicles: int) -> str:
    days, unknown = longest_wait(package.choice, vehicles)
    if unknown:
        return "not known" if days is None else f"{counted(days, 'day')}, or more: not all known"
    return "none" if days is None else counted(days, "day")


def _meets(visit: Visit, evaluation: Evaluation, package: Package) -> str:
    """Say whether a package still answers the job, or what it is that it does not meet."""
    job = visit.job
    missed = [
        goal_words(evaluation, goal, visit.system)
        for goal in job.goals
        if not meets(goal, evaluation.figure(goal.figure, package.choice))
    ]
    missed += [
        f"{position} as decided"
        for position, option in package.choice.items()
        if not permitted(job, option)
    ]
    missed += [rule.name for rule in broken_rules(evaluation, package.choice)]
    if job.budget is not None and package.price > job.budget:
        missed.append(f"budget of {money_words(job.budget, job.currency)}")
    return f"no: {'; '.join(missed)}" if missed else "yes"


def _name(option: Option) -> str:
    if option.key == NOTHING:
        return "nothing"
    return option.part.title if option.changed else f"{option.part.title}, stays"
