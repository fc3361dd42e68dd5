"""Look options of a position up by what their lists say: conditions above the table of options."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import TYPE_CHECKING

import streamlit as st

from configurator.core.errors import InputError
from configurator.files import part_filter
from configurator.files.part_filter import FilterCondition
from configurator.model.parts import NOTHING
from configurator.ui.safe_text import listed, plain
from configurator.wording.quantities import counted, money_words, unit_in, with_unit, words

if TYPE_CHECKING:
    from configurator.evaluation.evaluator import Evaluation
    from configurator.model.parts import Attribute, Family, Part
    from configurator.ui.visit import Visit

MOST = 6
LONGEST = 120
_COMPARED = {
    ">=": "at least",
    "<=": "at most",
    "=": "is",
    "!=": "is not",
    ">": "more than",
    "<": "less than",
    "has": "has",
}
_PLACEHOLDERS = {"yes/no": "yes or no", "text": "a word", "codes": "a code"}
_NUMBER = re.compile(r"[-+]?[0-9.,]+")


@dataclass(frozen=True, slots=True)
class LookupResult:
    """What a look-up leaves.

    Parameters
    ----------
    position
        Whose options were looked up.
    facts
        Key of each option that meets all conditions → what its list says of what was asked.
    unknown
        Condition → how many options were left out because their list does not say.
    """

    position: str
    facts: dict[str, str]
    unknown: dict[str, int]


def show(visit: Visit) -> LookupResult | None:
    """Show the conditions; return what meets them, None where nothing is looked up."""
    evaluation = visit.talk.prepared().evaluation
    position, conditions = visit.look_up
    if position not in evaluation.families:
        position, conditions = "", ()
    with st.expander("Look up by what the lists say", expanded=bool(position)):
        _position(visit, evaluation, position)
        if not position:
            return None
        fields = part_filter.fields(evaluation.families[position], visit.job.currency)
        for number, condition in enumerate(conditions):
            _condition(visit, fields, number, condition)
        _more(visit, fields)
        for problem in _problems(visit, evaluation):
            st.error(plain(problem))
        found = look_up(visit)
        if found is not None:
            _say(found, evaluation)
    return found


def look_up(visit: Visit) -> LookupResult | None:
    """Find what meets the conditions that can be read; None where nothing is looked up."""
    position, conditions = visit.look_up
    evaluation = visit.talk.prepared().evaluation
    if position not in evaluation.families:
        return None
    family, options = evaluation.families[position], evaluation.options(position)
    parts = {family.key: [one.part for one in options if one.key != NOTHING]}
    fields = part_filter.fields(family, visit.job.currency)
    asked = [one for one in conditions if one.value and not _wrong(evaluation, position, one)]
    answer = part_filter.look_up(
        parts, evaluation.trade, asked, family=family.key, currency=visit.job.currency
    )
    met = {id(part) for part in answer.parts.get(family.key, ())}
    names = list(dict.fromkeys(one.attribute for one in asked))
    facts = {
        one.key: "; ".join(
            f"{name} {_value_words(visit, one.part, name, fields[name], family)}" for name in names
        )
        for one in options
        if id(one.part) in met and one.key != NOTHING
    }
    return LookupResult(position, facts, dict(answer.unknown))


def _value_words(visit: Visit, part: Part, name: str, field: Attribute, family: Family) -> str:
    value = part_filter.value_of(part, name, family)
    if name == part_filter.PRICE:
        return money_words(part.price, visit.job.currency)
    return words(value, field.unit, visit.system)


def _wrong(evaluation: Evaluation, position: str, condition: FilterCondition) -> str:
    """Say what is wrong with a condition; empty where it can be read."""
    family = evaluation.families[position]
    try:
        part_filter.look_up(
            {},
            evaluation.trade,
            [condition],
            family=family.key,
            currency=evaluation.case.job.currency,
        )
    except InputError as problem:
        return "; ".join(f"{one.what}: {one.do}" for one in problem.problems)
    return ""


def _problems(visit: Visit, evaluation: Evaluation) -> list[str]:
    position, conditions = visit.look_up
    found = []
    for number, one in enumerate(conditions, 1):
        wrong = _wrong(evaluation, position, one) if one.value else ""
        if wrong:
            found.append(f"Condition {number}, {one.attribute}: {wrong}. It is left out.")
    return found


def _position(visit: Visit, evaluation: Evaluation, position: str) -> None:
    def chosen() -> None:
        name = st.session_state["look up position"]
        fields = part_filter.fields(evaluation.families[name], visit.job.currency) if name else {}
        before = visit.look_up[1]
        # Two positions can have the same kind of part: what was asked of one is asked of the other.
        kept = tuple(one for one in before if one.attribute in fields)
        visit.look_up = (name, kept or ((_fresh(fields, ()),) if name else ()))

    st.session_state["look up position"] = position
    st.selectbox(
        "Options of which position",
        ["", *evaluation.families],
        key="look up position",
        format_func=lambda name: name or "no look-up: all options",
        on_change=chosen,
    )


def _fresh(fields: dict[str, Attribute], before: tuple[FilterCondition, ...]) -> FilterCondition:
    """Begin with what most look-ups are about: a number of the list that is not asked about yet."""
    asked = {one.attribute for one in before} | part_filter.OF_ALL
    own = [name for name, one in fields.items() if one.kind == "number" and name not in asked]
    return FilterCondition(next(iter(own), part_filter.PRICE), ">=" if own else "<=", "")


def _condition(
    visit: Visit, fields: dict[str, Attribute], number: int, condition: FilterCondition
) -> None:
    field = fields[condition.attribute]
    allowed = part_filter.allowed(field)

    def put(new: FilterCondition | None) -> None:
        position, conditions = visit.look_up
        changed = list(conditions)
        changed[number : number + 1] = [] if new is None else [new]
        visit.look_up = (position, tuple(changed))

    def attribute() -> None:
        name = st.session_state[f"look up field {number}"]
        ways = part_filter.allowed(fields[name])
        way = condition.comparison if condition.comparison in ways else ways[0]
        put(FilterCondition(name, way, ""))

    def comparison() -> None:
        way = st.session_state[f"look up way {number}"]
        put(FilterCondition(condition.attribute, way, condition.value))

    def value() -> None:
        typed = str(st.session_state[f"look up value {number}"]).strip()[:LONGEST]
        unit = _unit(visit, field)
        # The unit is kept with the number: switching units moves no condition.
        if unit and _NUMBER.fullmatch(typed):
            typed = f"{typed} {unit}"
        put(FilterCondition(condition.attribute, condition.comparison, typed))

    what, how, much, gone = st.columns([4, 3, 3, 2], vertical_alignment="bottom")
    st.session_state[f"look up field {number}"] = condition.attribute
    st.session_state[f"look up way {number}"] = condition.comparison
    st.session_state[f"look up value {number}"] = condition.value
    what.selectbox(
        f"Condition {number + 1}", list(fields), key=f"look up field {number}", on_change=attribute
    )
    how.selectbox(
        f"Compared {number + 1}",
        allowed,
        key=f"look up way {number}",
        format_func=_COMPARED.__getitem__,
        on_change=comparison,
        label_visibility="hidden",
    )
    shown_in = with_unit("", _unit(visit, field)).strip()
    much.text_input(
        f"Value {number + 1}" + (f" [{shown_in}]" if shown_in else ""),
        key=f"look up value {number}",
        placeholder=_PLACEHOLDERS.get(field.kind, "a number"),
        on_change=value,
    )
    gone.button(
        "Remove", key=f"look up without {number}", help=f"Condition {number + 1}",
        on_click=put, args=(None,),
    )  # fmt: skip


def _unit(visit: Visit, field: Attribute) -> str:
    if field.name == part_filter.PRICE:
        return visit.job.currency
    return unit_in(field.unit, visit.system)


def _more(visit: Visit, fields: dict[str, Attribute]) -> None:
    position, conditions = visit.look_up

    def more() -> None:
        visit.look_up = (position, (*conditions, _fresh(fields, conditions)))

    st.button(
        "Add a condition",
        key="look up more",
        on_click=more,
        disabled=len(conditions) >= MOST,
        help="All conditions must be met.",
    )


def _say(found: LookupResult, evaluation: Evaluation) -> None:
    every = sum(one.key != NOTHING for one in evaluation.options(found.position))
    st.markdown(
        f"**{len(found.facts)} of {every}** options for {plain(found.position)} meet this; "
        "the table shows only them."
    )
    if found.unknown:
        st.markdown("Left out, since their lists do not say:")
        st.markdown(listed([f"{one}: {counted(n, 'part')}" for one, n in found.unknown.items()]))
