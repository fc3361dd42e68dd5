"""What came of measuring, in words and as plain data."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Any

from configurator.as_built.ambiguity import left_over, unmoved, unseen
from configurator.core.units import from_si
from configurator.wording.quantities import plain, printed, unit_in, with_unit, words

if TYPE_CHECKING:
    from collections.abc import Sequence

    from configurator.as_built.ambiguity import Alike
    from configurator.as_built.carry_over import CarriedChange
    from configurator.as_built.diagnosis import Compared, Explained, Findings
    from configurator.as_built.joint_causes import Together
    from configurator.model.vehicles import Vehicle
    from configurator.wording.quantities import System

HEADINGS = ("figure", "promised", "calculated", "measured", "difference", "tolerance", "state")


# How a difference is written: value in SI, unit, system.
Say = Callable[[float, str, "System | None"], str]


def signed(value: float, unit: str, system: System | None = None) -> str:
    """Say a difference with its sign.

    Examples
    --------
    >>> signed(-0.0042, "mm"), signed(0.02, "%"), signed(0.0, "mm")
    ('-4.2 mm', '+2 %', '0 mm')
    """
    unit = unit_in(unit, system)
    shown = from_si(value, unit) - from_si(0.0, unit)
    text = printed(shown, 3)
    return with_unit(text if shown <= 0 or text == "0" else f"+{text}", unit)


def correction_words(explained: Explained, system: System | None = None, say: Say = signed) -> str:
    """Say a correction and how sure it is."""
    unit = explained.assumption.unit
    spread = _unsigned(explained.spread, unit, system, say)
    return f"{say(explained.correction, unit, system)} (give or take {spread})"


def verdict_words(findings: Findings, system: System | None = None, say: Say = signed) -> str:
    """Say in one or two sentences what the measurements tell."""
    best = findings.best
    if findings.verdict == "agrees":
        return "Every figure agrees with what was promised, within its tolerance."
    if findings.verdict == "one":
        return (
            f"Likely cause of all of it: {best[0].assumption.name} "
            f"{correction_words(best[0], system, say)}."
        )
    if findings.verdict == "several":
        named = "; or ".join(
            f"{candidate.assumption.name} {correction_words(candidate, system, say)}"
            for candidate in best
        )
        return (
            f"More than one cause is likely, and these measurements do not tell them apart: "
            f"{named}. Measure another figure."
        )
    if not findings.explained:
        return "None of the assumptions moves what was measured. Measure again."
    return (
        "No single cause of a usual size accounts for it: measure again, and look for more than "
        "one cause, or for a part other than the one that was ordered."
    )


def explained_words(explained: Explained, system: System | None = None, say: Say = signed) -> str:
    """Say how far an assumption accounts for the differences."""
    fit = "every figure then agrees" if explained.every else "not every figure then agrees"
    size = "" if explained.usual else "; more than is usual"
    return (
        f"{explained.assumption.name} {correction_words(explained, system, say)}: {fit}; accounts "
        f"for about {_unsigned(explained.share, '%', system, say)} of the difference{size}"
    )


SENSITIVITY = (
    "Sensitivity: how far a figure moves when the assumption is off by so much, found by working "
    "the package out again with it changed. The correction is the one that brings all figures "
    "together closest to what was measured, by least squares, each weighted by its tolerance."
)
ANSWERS = ("figure", "moves by", "differed by", "left", "tolerance", "state")


def answer_rows(
    findings: Findings, explained: Explained, system: System | None = None, say: Say = signed
) -> list[tuple[str, ...]]:
    """Return a row per figure under `ANSWERS`: how it answers, and what a correction leaves."""
    left = dict.fromkeys((it.figure for it, _ in left_over(findings, explained)), "still differs")
    return [
        (
            it.figure,
            say(explained.answers[it.figure] * explained.assumption.step, it.unit, system),
            say(it.difference, it.unit, system),
            say(it.measured - explained.after[it.figure], it.unit, system),
            _unsigned(it.tolerance, it.unit, system, say),
            left.get(it.figure, "agrees then"),
        )
        for it in findings.compared
    ]


def alike_lines(
    findings: Findings, pairs: Sequence[Alike], system: System | None = None, say: Say = signed
) -> list[str]:
    """Say which assumptions these measurements cannot tell apart, or cannot see at all."""
    lines = []
    if len(findings.compared) == 1 and findings.explained:
        lines.append(
            "One figure alone may have any cause that moves it: nothing else was measured that "
            "could speak against it. Measure more figures."
        )
    for pair in pairs:
        names = f"{pair.first.assumption.name} and {pair.other.assumption.name}"
        do = (
            f"measure {pair.telling} as well"
            if pair.telling is not None
            else "no other figure that can be measured on this package tells them apart"
        )
        lines.append(f"{names} move what was measured alike: {do}.")
    for hidden in unseen(findings):
        usual = _unsigned(hidden.assumption.usual, hidden.assumption.unit, system, say)
        lines.append(
            f"{hidden.assumption.name}: off by {usual}, which is the most that is usual, it "
            "moves no figure beyond its tolerance. It can neither be found nor ruled out by these "
            "figures."
        )
    return lines


def left_lines(findings: Findings, system: System | None = None, say: Say = signed) -> list[str]:
    """Say what stays unexplained by the assumption that fits best."""
    if findings.verdict == "agrees":
        return []
    best = findings.explained[0] if findings.explained else None
    if findings.best:
        best = findings.best[0]
    fixed = {unmoved_one.figure for unmoved_one in unmoved(findings)}
    corrected = f" with {best.assumption.name} corrected" if best is not None else ""
    return [
        f"{item.figure}: {say(left, item.unit, system)} is left{corrected}, where "
        f"{_unsigned(item.tolerance, item.unit, system, say)} is the tolerance"
        + ("; none of the assumptions moves it." if item.figure in fixed else ".")
        for item, left in left_over(findings, best)
    ]


MOST_TOGETHER = 3


def together_lines(
    pairs: Sequence[Together], system: System | None = None, say: Say = signed
) -> list[str]:
    """Say which two assumptions explain together what none explains by itself."""
    lines = [
        " and ".join(
            f"{item.name} {say(correction, item.unit, system)}"
            for item, correction in it.corrections
        )
        + " together would account for it: every figure then agrees."
        for it in pairs[:MOST_TOGETHER]
    ]
    if len(pairs) > MOST_TOGETHER:
        lines.append(f"{len(pairs) - MOST_TOGETHER} more pairs would, and fit less well.")
    if len(pairs) > 1:
        lines.append("These figures do not tell which two it is: measure more figures.")
    return lines


def _unsigned(value: float, unit: str, system: System | None, say: Say) -> str:
    return say(value, unit, system).removeprefix("+")


ORIGINS = {
    "measured": "measured",
    "corrected": "corrected",
    "worked out": "worked out",
    "fitted": "the job",
}
CARRIED = ("measure or position", "before the work", "after the work", "from")


def carried_rows(
    changes: Sequence[CarriedChange],
    system: System | None = None,
    say: Callable[[Any, str, System | None], str] = words,
) -> list[tuple[str, ...]]:
    """Return a row under `CARRIED` per thing that changes in a vehicle's record."""

    def said(change: CarriedChange, value: Any) -> str:
        if value is None:
            return "nothing" if change.origin == "fitted" else "not given"
        return say(value, change.unit, system)

    return [
        (
            change.name,
            said(change, change.before),
            said(change, change.after),
            ORIGINS[change.origin],
        )
        for change in changes
    ]


def title_line(after: Vehicle) -> str:
    """Say how the record of a vehicle as built is called, and what its note says."""
    return f"The record is called “{after.title}”; its note says “{after.note}”"


def show_findings(
    findings: Findings, system: System | None = None
) -> tuple[tuple[str, ...], list[tuple[str, ...]], str, list[str]]:
    """Return headings and rows of the comparison, the verdict, and a line per assumption."""
    rows = [_row(comparison, system) for comparison in findings.compared]
    lines = [explained_words(explanation, system) for explanation in findings.explained]
    return HEADINGS, rows, verdict_words(findings, system), lines


def _row(compared: Compared, system: System | None) -> tuple[str, ...]:
    return (
        compared.figure,
        words(compared.promised, compared.unit, system),
        words(compared.expected, compared.unit, system),
        words(compared.measured, compared.unit, system),
        signed(compared.difference, compared.unit, system),
        signed(compared.tolerance, compared.unit, system).lstrip("+"),
        "agrees" if compared.agrees else "differs",
    )


def findings_record(findings: Findings, system: System | None = None) -> dict[str, Any]:
    """Return what came of measuring as data."""

    def difference(value: float, unit: str) -> float:
        shown = unit_in(unit, system)
        return from_si(value, shown) - from_si(0.0, shown)

    return {
        "compared": [
            {
                "figure": comparison.figure,
                "promised": plain(comparison.promised, comparison.unit, system),
                "worked_out": plain(comparison.expected, comparison.unit, system),
                "measured": plain(comparison.measured, comparison.unit, system),
                "difference": difference(comparison.difference, comparison.unit),
                "tolerance": difference(comparison.tolerance, comparison.unit),
                "unit": unit_in(comparison.unit, system),
                "agrees": comparison.agrees,
            }
            for comparison in findings.compared
        ],
        "verdict": findings.verdict,
        "says": verdict_words(findings, system),
        "best": [candidate.assumption.name for candidate in findings.best],
        "assumptions": [
            {
                "name": explanation.assumption.name,
                "correction": difference(explanation.correction, explanation.assumption.unit),
                "give_or_take": difference(explanation.spread, explanation.assumption.unit),
                "unit": unit_in(explanation.assumption.unit, system),
                "every_figure_agrees": explanation.every,
                "usual": explanation.usual,
                "explains": explanation.share,
                "left": explanation.left,
                "before": explanation.before,
            }
            for explanation in findings.explained
        ],
    }
