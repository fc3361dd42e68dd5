"""Which package was built: the one shown now, one set aside, or a saved quotation."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import streamlit as st

from configurator.core import units
from configurator.core.errors import FitwrightError
from configurator.store.access import get_quotation, list_quotations, open_store
from configurator.store.addresses import address, is_there
from configurator.store.change_words import change_words
from configurator.store.repricing import look_again
from configurator.store.snapshot import readable
from configurator.ui.safe_text import listed, plain

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from configurator.as_built import Compared
    from configurator.evaluation.evaluator import Evaluation, Option
    from configurator.store.access import KeptQuotation
    from configurator.store.comparison import Change
    from configurator.ui.visit import Visit
    from configurator.wording.quantities import System

NOW = "now"


@dataclass(frozen=True, slots=True)
class Built:
    """A package that was built.

    Parameters
    ----------
    key
        Tells it from others of this visit.
    says
        Which it is, in words.
    evaluation, choice
        As worked out today.
    quotation
        As it was kept; None for a package of this visit.
    changes
        What has changed since it was kept.
    proven
        Whether it is proven to be the cheapest.
    """

    key: str
    says: str
    evaluation: Evaluation
    choice: Mapping[str, Option]
    quotation: KeptQuotation | None = None
    changes: tuple[Change, ...] = ()
    proven: bool = False

    def as_promised(self, compared: Iterable[Compared]) -> list[Compared]:
        """Put in what the quotation promised, where there is one."""
        kept = self.quotation
        figures = {} if kept is None else kept.snapshot["package"]["figures"]
        result = []
        for comparison in compared:
            then = figures.get(comparison.figure, {})
            value = then.get("value")
            number = isinstance(value, int | float) and not isinstance(value, bool)
            promised = units.to_si(float(value), then["unit"]) if number else comparison.promised
            result.append(replace(comparison, promised=promised))
        return result

    def changed_since(self, figures: Iterable[str], system: System | None) -> list[str]:
        """Say which of some figures come out differently today."""
        asked = set(figures)
        return [
            change_words(change, system)
            for change in self.changes
            if change.kind == "figure" and change.subject in asked
        ]


def choose(visit: Visit) -> Built | None:
    """Ask which package was built; None, with what to do, where there is none to measure."""
    kept = _kept()
    names = {NOW: "The package shown now"}
    names |= {
        f"beside {n}": f"Set aside: {package.name}"
        for n, package in enumerate(visit.beside)
        if package.vehicle == visit.job.vehicle
    }
    names |= {
        quotation.number: f"Quotation {quotation.number}: {quotation.title}" for quotation in kept
    }
    if st.session_state.get("measured which") not in names:
        st.session_state["measured which"] = NOW
    which = st.selectbox(
        "Which package was built", list(names), key="measured which", format_func=names.__getitem__
    )
    if which == NOW:
        cheapest = visit.talk.cheapest()
        if cheapest.choice is None:
            more = " or choose a saved quotation" if kept else ""
            st.warning(f"There is no package now. Change what is asked for{more}.")
            return None
        evaluation = visit.talk.evaluation
        says = "A package that was not saved as a quotation"
        return Built(_key(visit, NOW), says, evaluation, cheapest.choice, proven=cheapest.proven)
    if which.startswith("beside "):
        held = visit.beside[int(which.removeprefix("beside "))]
        evaluation = visit.talk.evaluation
        return Built(
            _key(visit, held.name), f"Package set aside as {held.name}", evaluation, held.choice
        )
    return _of_quotation(visit, which)


def _key(visit: Visit, name: str) -> str:
    return f"{visit.job.vehicle}\n{visit.job.title}\n{name}"


def _kept() -> list[KeptQuotation]:
    try:
        if not is_there(address()):  # looking leaves nothing behind
            return []
        with open_store() as store:
            return list_quotations(store)
    except FitwrightError as problem:
        st.warning(plain(f"What was saved cannot be looked at: {problem}"))
        return []


def _of_quotation(visit: Visit, number: str) -> Built | None:
    """Work a quotation out with the lists and rules of today, once for each visit."""
    before = st.session_state.get("measured quotation")
    if before is not None and before[0] == number and before[1] is visit.shelves:
        known: Built = before[2]
        return known
    try:
        result = _worked_out(visit, number)
    except FitwrightError as problem:
        st.warning(plain(str(problem)))
        return None
    if result is not None:
        st.session_state["measured quotation"] = (number, visit.shelves, result)
    return result


def _worked_out(visit: Visit, number: str) -> Built | None:
    with open_store() as store:
        kept = get_quotation(store, number)
    snapshot = readable(kept.snapshot, number)
    comparison, evaluation = look_again(snapshot, visit.shelves.loaded, visit.shelves.folders)
    if evaluation is None or comparison.same_parts is None:
        gone = [change_words(change) for change in comparison.changes if change.kind == "withdrawn"]
        st.warning(
            plain(f"Quotation {number} cannot be worked out any more with the lists of today:")
            + "\n\n"
            + listed([*gone, *comparison.not_compared])
            + "\n\nPut the missing parts back into a list, or re-price the quotation."
        )
        return None
    says = f"Quotation {number}, version {kept.version} of job {kept.job}"
    return Built(number, says, evaluation, comparison.same_parts.choice, kept, comparison.changes)
