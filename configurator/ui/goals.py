"""What the customer asks for: goals with what can be had, budget, conditions, decided parts."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, get_args

import streamlit as st

from configurator.core import units
from configurator.model.jobs import Direction, Goal
from configurator.questions import edits
from configurator.search.optimum.verification import meets
from configurator.ui import delivery, fields, price_curve
from configurator.ui.safe_text import plain
from configurator.wording.price_bounds import why_at_least
from configurator.wording.quantities import money_words, with_unit, words
from configurator.wording.sentences import goal_words, part_words

if TYPE_CHECKING:
    from configurator.drawings.trade_off_chart import ChartLevel
    from configurator.evaluation.evaluator import Evaluation
    from configurator.ui.price_curve import Curve
    from configurator.ui.visit import Visit

_WAYS = {"": "nothing more", "high": "as high as possible", "low": "as low as possible"}
_ASKS = ("at least", "at most", "as high as possible", "as low as possible")


def show(visit: Visit) -> None:
    """Show everything that is asked for, each with a field to change it."""
    evaluation = visit.talk.prepared().evaluation
    left, right = st.columns([3, 2], gap="large")
    with left:
        st.header("What is asked for")
        st.caption("In order of preference: the first is given up last.")
        for number, goal in enumerate(visit.job.goals):
            _goal(visit, evaluation, goal, number)
        _new_goal(visit, evaluation)
    with right:
        st.header("Money")
        _budget(visit)
        st.header("Time")
        delivery.show(visit)
        st.header("How it is used")
        _conditions(visit)
        st.header("Decided parts")
        _decided(visit, evaluation)


def _goal(visit: Visit, evaluation: Evaluation, goal: Goal, number: int) -> None:
    name, unit = goal.figure, evaluation.definition(goal.figure).unit
    with st.container(border=True):
        st.markdown(f"**{plain(name[0].upper() + name[1:])}**")
        low, high, way = st.columns(3)

        def at_least(value: float | None) -> None:
            _set(visit, evaluation, replace(goal, at_least=value))

        def at_most(value: float | None) -> None:
            _set(visit, evaluation, replace(goal, at_most=value))

        with low:
            fields.number(
                "at least", goal.at_least, unit, visit.system, f"low {name}",
                at_least, about=goal.at_most,
            )  # fmt: skip
        with high:
            fields.number(
                "at most", goal.at_most, unit, visit.system, f"high {name}",
                at_most, about=goal.at_least,
            )  # fmt: skip
        with way:
            key = f"way {name}"

            def chosen() -> None:
                direction = st.session_state[key] or None
                _set(visit, evaluation, replace(goal, as_possible=direction))

            st.session_state[key] = goal.as_possible or ""
            st.selectbox(
                "beyond that", list(_WAYS), key=key, format_func=_WAYS.__getitem__, on_change=chosen
            )
        curve = price_curve.curve_of(visit, evaluation, name)
        st.caption(plain(reach_words(visit, evaluation, goal, curve)))
        price_curve.show(visit, evaluation, goal, curve)
        with st.container(horizontal=True):
            st.button(
                "Drop this wish", key=f"drop {name}", help=f"Ask nothing of {name}",
                on_click=visit.change,
                args=(edits.with_goal(visit.job, Goal(name)), f"drop the goal on {name}"),
            )  # fmt: skip
            if number:
                goals = list(visit.job.goals)
                goals[number - 1], goals[number] = goals[number], goals[number - 1]
                st.button(
                    "Matters more", key=f"up {name}", help=f"Give up {name} later",
                    on_click=visit.change,
                    args=(replace(visit.job, goals=tuple(goals)), f"{name} matters more"),
                )  # fmt: skip


def _set(visit: Visit, evaluation: Evaluation, goal: Goal) -> None:
    low, high = goal.at_least, goal.at_most
    if low is not None and high is not None and low > high:
        unit = evaluation.definition(goal.figure).unit
        visit.refused = [
            f"{goal.figure}: at least {words(low, unit, visit.system)} is above at most "
            f"{words(high, unit, visit.system)}; change the other one first"
        ]
        return
    said = f"drop the goal on {goal.figure}"
    if goal != Goal(goal.figure):
        said = f"ask for {goal_words(evaluation, goal, visit.system)}"
    visit.change(edits.with_goal(visit.job, goal), said)


def reach_words(visit: Visit, evaluation: Evaluation, goal: Goal, curve: Curve) -> str:
    """Say what the cheapest package has, and what the rest of the job leaves to be had."""
    unit = evaluation.definition(goal.figure).unit
    said = []
    found = visit.talk.cheapest()
    if found.choice is not None:
        has = evaluation.figure(goal.figure, found.choice)
        met = "met" if meets(goal, has) or goal.as_possible else "not met"
        which = "cheapest package" if found.proven else "best package found"
        said.append(f"The {which} has {words(has, unit, visit.system)} ({met}).")
    before = evaluation.figure(goal.figure, evaluation.fitted)
    said.append(f"As it stands: {words(before, unit, visit.system)}.")
    levels = curve.levels
    if levels:
        ends = [_level_words(level, unit, visit) for level in (levels[0], levels[-1])]
        if len(levels) == 1:
            said.append(f"With all else as it is asked for, only {ends[0]} can be had.")
        else:
            said.append(f"With all else as it is asked for, {ends[0]} up to {ends[1]} can be had.")
        if not any(meets(goal, level.value) for level in levels) and not curve.halted:
            said.append("None of that meets this wish.")
        prepared = visit.talk.prepared()
        if prepared.loose is not None and not curve.counted:
            said.append(f"That is at best: {why_at_least(prepared)}.")
        elif not curve.counted:
            said.append(
                "Limits on sums over the whole vehicle are not counted in that, axle loads for one."
            )
    elif goal.figure in evaluation.trade.totals:
        said.append("It is a sum over the whole vehicle: what can be had is worked out on demand.")
    elif evaluation.late(evaluation.definition(goal.figure)):
        said.append("It hangs on a sum over the whole vehicle: no range can be read off.")
    else:
        said.append(
            "Another wish stands in the way: with all else as it is asked for, nothing can be had."
        )
    return " ".join(said)


def _level_words(level: ChartLevel, unit: str, visit: Visit) -> str:
    price = money_words(level.price, visit.job.currency)
    about = "" if level.exact else "at least "
    return f"{words(level.value, unit, visit.system)} (for {about}{price})"


def _new_goal(visit: Visit, evaluation: Evaluation) -> None:
    rules = evaluation.trade
    asked = {goal.figure for goal in visit.job.goals}
    known = sorted(name for name in (*rules.figures, *rules.totals) if name not in asked)
    with st.expander("Ask for something more"):
        name = st.selectbox("Figure", known, index=None, key="new figure", placeholder="choose")
        if name is None:
            return
        rule = evaluation.definition(name)
        found = visit.talk.cheapest()
        value = evaluation.figure(name, found.choice or evaluation.fitted)
        meaning = f"{rule.meaning} " if rule.meaning else ""
        st.caption(plain(f"{meaning}Now: {words(value, rule.unit, visit.system)}."))
        if not isinstance(value, float | int) or isinstance(value, bool):
            st.write("It is no number here, so nothing can be asked of it.")
            return
        how = st.selectbox("Ask for", _ASKS, key="new ask")
        goal = {
            "at least": Goal(name, at_least=float(value)),
            "at most": Goal(name, at_most=float(value)),
            "as high as possible": Goal(name, as_possible=get_args(Direction)[0]),
            "as low as possible": Goal(name, as_possible=get_args(Direction)[1]),
        }[how]
        st.button(
            "Add",
            key="add goal",
            on_click=visit.change,
            args=(edits.with_goal(visit.job, goal), f"ask for {name} {how}"),
            help="Bounds begin with what there is now. A figure that was not asked about before "
            "is prepared first.",
        )


def _budget(visit: Visit) -> None:
    job = visit.job
    of_each = ", for each vehicle" if job.vehicles > 1 else ""
    fields.money(
        f"Budget{of_each}",
        job.budget,
        job.currency,
        "budget",
        lambda minor: visit.change(
            replace(visit.job, budget=minor),
            "take away the budget"
            if minor is None
            else f"set the budget to {money_words(minor, job.currency)}",
        ),
    )


def _conditions(visit: Visit) -> None:
    job = visit.job
    st.caption("A change here is worked out anew: it takes a little longer.")
    for name, condition in visit.shelves.trade.conditions.items():
        value = job.conditions.get(name)
        if value is None and condition.default:
            value = units.parse(condition.default, condition.unit)

        def write(typed: float | None, name: str = name) -> None:
            _set_condition(visit, name, typed)

        fields.number(
            name, value, condition.unit, visit.system, f"condition {name}", write,
            help=condition.meaning or None,
        )  # fmt: skip


def _set_condition(visit: Visit, name: str, value: float | None) -> None:
    condition = visit.shelves.trade.conditions[name]
    problem = out_of_bounds(value, condition.unit, condition.at_least, condition.at_most)
    if problem:
        visit.refused = [f"{name}: {problem}"]
        return
    visit.change(edits.with_condition(visit.job, name, value), f"set {name}")


def out_of_bounds(
    value: float | None, unit: str, at_least: float | None, at_most: float | None
) -> str:
    """Say why a number in SI cannot be; empty where it can. Bounds are in the unit.

    Examples
    --------
    >>> out_of_bounds(0.1, "mm", 200.0, None)
    'it must be at least 200 mm'
    >>> out_of_bounds(0.3, "mm", 200.0, None)
    ''
    """
    if value is None:
        return ""
    shown = units.from_si(value, unit)
    if at_least is not None and shown < at_least:
        return f"it must be at least {with_unit(f'{at_least:g}', unit)}"
    if at_most is not None and shown > at_most:
        return f"it must be at most {with_unit(f'{at_most:g}', unit)}"
    return ""


def _decided(visit: Visit, evaluation: Evaluation) -> None:
    job = visit.job
    lines = [
        (f"{position}: {part_words(evaluation, position, key)}", "Free", f"free {position}",
         edits.free(job, position), f"free the {position}")
        for position, key in job.fixed.items()
    ]  # fmt: skip
    lines += [
        (f"{position}: stays as fitted", "Free", f"free {position}",
         edits.free(job, position), f"free the {position}")
        for position in job.keep
    ]  # fmt: skip
    lines += [
        (f"left out: {key}", "Allow", f"allow {key}", edits.allow(job, key), f"allow {key}")
        for key in job.excluded
    ]
    if not lines:
        st.caption("None: everything is open. Parts are decided on under “Options”.")
    for words_, label, key, then, said in lines:
        text, button = st.columns([4, 1], vertical_alignment="center")
        text.write(plain(words_))
        button.button(label, key=key, help=said, on_click=visit.change, args=(then, said))
