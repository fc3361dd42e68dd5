"""The finished vehicle: promised against measured, what explains it, and what is carried on."""

from __future__ import annotations

from typing import TYPE_CHECKING

import streamlit as st

from configurator.as_built import compare, explain
from configurator.as_built.ambiguity import alike
from configurator.as_built.as_built_words import (
    ANSWERS,
    SENSITIVITY,
    alike_lines,
    answer_rows,
    corrected_by,
    left_lines,
    share_words,
    show_findings,
    signed,
    together_lines,
)
from configurator.as_built.entry import Entry, check
from configurator.as_built.joint_causes import together
from configurator.core import clock
from configurator.ui.html_tables import table
from configurator.ui.measuring import follow_up, kept_measurements, measured_fields
from configurator.ui.measuring.follow_up import keep_or_begin
from configurator.ui.measuring.which_package import choose
from configurator.ui.safe_text import listed, plain
from configurator.wording.quantities import counted, printed
from configurator.wording.sentences import begun

if TYPE_CHECKING:
    from configurator.as_built import Findings
    from configurator.as_built.ambiguity import Alike
    from configurator.as_built.entry import CheckedEntry
    from configurator.as_built.joint_causes import Together
    from configurator.ui.measuring.which_package import Built
    from configurator.ui.visit import Visit
    from configurator.wording.quantities import System


def show(visit: Visit) -> None:
    """Show what can be measured, and what was."""
    st.header("As-built check")
    st.write(
        "When the work is done: enter what was measured. Each figure is held against what was "
        "promised, and the likely cause of the differences is looked for."
    )
    measurement = kept_measurements.asked_to_open()
    built = choose(visit)
    if built is None:
        return
    draft = measured_fields.draft_of(built)
    if measurement is not None:
        kept_measurements.take(built, draft, measurement)
    entry = Entry(dict(draft.numbers), draft.day, draft.by, draft.note)
    today = clock.today()
    checked = check(entry, built.evaluation, built.choice, today=today, system=visit.system)
    measured_fields.show(visit, built, draft, checked)
    if not draft.numbers:
        st.info("Nothing is entered yet. Leave empty what was not measured.")
        kept_measurements.kept_before(visit, built, draft)
        return
    _what_is_wrong(checked)
    if not checked.values:
        return
    findings = _findings(built, checked)
    pairs = alike(findings, built.evaluation, built.choice)
    _compared(built, findings, visit.system)
    twos = together(findings, built.evaluation, built.choice)
    _explained(findings, pairs, twos, visit.system)
    follow_up.show(visit, built, draft, checked, findings, pairs, twos)


def _what_is_wrong(checked: CheckedEntry) -> None:
    if not checked.problems:
        return
    st.error(
        "This cannot be taken as it is. What is right is compared below; nothing is saved until "
        "all is right.\n\n" + listed([str(problem) for problem in checked.problems.values()])
    )


def _findings(built: Built, checked: CheckedEntry) -> Findings:
    compared = built.as_promised(compare(built.evaluation, built.choice, checked.values))
    return explain(built.evaluation, built.choice, compared)


def _compared(built: Built, findings: Findings, system: System | None) -> None:
    headings, rows, _, _ = show_findings(findings, system)
    table(
        headings, rows, caption="Promised and measured", right=(1, 2, 3, 4, 5), key="measured found"
    )
    off = sum(not comparison.agrees for comparison in findings.compared)
    st.caption(
        f"Within the tolerance: {len(findings.compared) - off} of "
        f"{counted(len(findings.compared), 'figure')}. Promised values are rounded to the "
        "safe side; differences are to what was worked out before rounding. Tolerances are common "
        "practice, no source."
    )
    changed = built.changed_since([comparison.figure for comparison in findings.compared], system)
    if changed:
        st.warning(
            "Rules or lists have changed since the quotation; differences are to what is worked "
            "out today:\n\n" + listed(changed)
        )


def _explained(
    findings: Findings,
    pairs: tuple[Alike, ...],
    twos: tuple[Together, ...],
    system: System | None,
) -> None:
    st.header("Likely cause")
    _, _, verdict, _ = show_findings(findings, system)
    st.markdown(f"**{plain(verdict)}**")
    if not findings.explained:
        return
    table(
        ("assumption", "correction that fits best", "usual up to", "accounts for", "left", "state"),
        [
            (
                explained.assumption.name,
                corrected_by(explained, system),
                signed(explained.assumption.usual, explained.assumption.unit, system).lstrip("+"),
                share_words(explained.share),
                f"{printed(explained.left, 2)} of {printed(explained.before, 2)} tolerances",
                ("all agree then" if explained.every else "not all agree then")
                + ("" if explained.usual else "; more than is usual"),
            )
            for explained in findings.explained
        ],
        caption="Each assumption by itself, corrected as well as it can be",
        right=(1, 2, 3, 4),
        key="measured assumptions",
    )
    st.caption(
        "Accounts for: the share of the difference, counted in tolerances, that the "
        "correction takes away. Give or take: one standard error, if each tolerance is one."
    )
    _sensitivity(findings, system)
    untold = alike_lines(findings, pairs, system)
    st.subheader("What these figures cannot tell")
    st.markdown(listed(untold) if untold else "They tell all assumptions in the table apart.")
    left = [*left_lines(findings, system), *together_lines(twos, system)]
    st.subheader("Not accounted for")
    if left:
        st.markdown(listed(left))
    else:
        st.markdown("Nothing: every figure agrees within its tolerance, as said above.")


def _sensitivity(findings: Findings, system: System | None) -> None:
    st.subheader("Sensitivity")
    names = [explained.assumption.name for explained in findings.explained]
    keep_or_begin("measured assumption", names[0], names)
    name = st.selectbox("Sensitivity to", names, key="measured assumption")
    explained = next(it for it in findings.explained if it.assumption.name == name)
    off = signed(explained.assumption.step, explained.assumption.unit, system)
    table(
        (ANSWERS[0], f"moves for {off}", *ANSWERS[2:]),
        answer_rows(findings, explained, system),
        caption=f"{begun(name)}, corrected by {corrected_by(explained, system)}",
        right=(1, 2, 3, 4),
        key="measured sensitivity",
    )
    st.caption(plain(SENSITIVITY))
