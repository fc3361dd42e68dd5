"""What came of measuring, in words and as plain data."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Any

from configurator.as_built import as_built_templates as template
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
    ('−4.2 mm', '+2 %', '0 mm')
    """
    unit = unit_in(unit, system)
    shown = from_si(value, unit) - from_si(0.0, unit)
    text = printed(shown, 3)
    sign = "" if shown <= 0 or text == "0" else "+"
    return with_unit(f"{sign}{text.replace('-', '−')}", unit)


def corrected_by(explained: Explained, system: System | None = None) -> str:
    """Say a correction and how sure it is, where its assumption is named beside it."""
    unit = explained.assumption.unit
    return template.CORRECTED_BY.format(
        correction=signed(explained.correction, unit, system),
        spread=_unsigned(explained.spread, unit, system, signed),
    )


def share_words(share: float) -> str:
    """Say a share in whole percent, which is more than is known of it.

    Examples
    --------
    >>> share_words(0.262), share_words(0.0004), share_words(1.0)
    ('26 %', 'under 1 %', '100 %')
    """
    return "under 1 %" if share < 0.01 else f"{round(100 * share)} %"


def correction_words(explained: Explained, system: System | None = None, say: Say = signed) -> str:
    """Say an assumption with its correction and how sure it is."""
    unit = explained.assumption.unit
    return template.CORRECTION.format(
        cause=explained.assumption.name,
        correction=say(explained.correction, unit, system),
        spread=_unsigned(explained.spread, unit, system, say),
    )


def verdict_words(findings: Findings, system: System | None = None, say: Say = signed) -> str:
    """Say in one or two sentences what the measurements tell."""
    if findings.verdict == "agrees":
        return template.AGREES
    causes = [correction_words(candidate, system, say) for candidate in findings.best]
    if findings.verdict == "one":
        return template.LIKELY.format(cause=causes[0])
    if findings.verdict == "several":
        return template.SEVERAL.format(causes="; or ".join(causes))
    return template.NO_SINGLE_CAUSE if findings.explained else template.NOTHING_MOVES


def explained_words(explained: Explained, system: System | None = None, say: Say = signed) -> str:
    """Say how far an assumption accounts for the differences."""
    return template.ACCOUNTS[explained.every, explained.usual].format(
        cause=correction_words(explained, system, say),
        share=_unsigned(explained.share, "%", system, say),
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
        lines.append(template.SINGLE_FIGURE)
    for pair in pairs:
        names = {"first": pair.first.assumption.name, "second": pair.other.assumption.name}
        if pair.telling is None:
            lines.append(template.ALIKE_NEVER.format(**names))
        else:
            lines.append(template.ALIKE_MEASURE.format(figure=pair.telling, **names))
    for hidden in unseen(findings):
        usual = _unsigned(hidden.assumption.usual, hidden.assumption.unit, system, say)
        lines.append(template.UNSEEN.format(cause=hidden.assumption.name, usual=usual))
    return lines


def left_lines(findings: Findings, system: System | None = None, say: Say = signed) -> list[str]:
    """Say what stays unexplained by the assumption that fits best."""
    if findings.verdict == "agrees":
        return []
    best = findings.explained[0] if findings.explained else None
    if findings.best:
        best = findings.best[0]
    fixed = {unmoved_one.figure for unmoved_one in unmoved(findings)}
    return [
        template.LEFT[best is not None, item.figure in fixed].format(
            figure=item.figure,
            left=say(left, item.unit, system),
            tolerance=_unsigned(item.tolerance, item.unit, system, say),
            cause=best.assumption.name if best is not None else "",
        )
        for item, left in left_over(findings, best)
    ]


MOST_TOGETHER = 3


def together_lines(
    pairs: Sequence[Together], system: System | None = None, say: Say = signed
) -> list[str]:
    """Say which two assumptions explain together what none explains by itself."""
    lines = []
    for pair in pairs[:MOST_TOGETHER]:
        first, second = (
            template.CAUSE.format(cause=item.name, correction=say(correction, item.unit, system))
            for item, correction in pair.corrections
        )
        lines.append(template.TOGETHER.format(first=first, second=second))
    if len(pairs) > MOST_TOGETHER:
        lines.append(template.MORE_PAIRS.format(number=len(pairs) - MOST_TOGETHER))
    if len(pairs) > 1:
        lines.append(template.WHICH_PAIR)
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

    def shown(change: CarriedChange, value: Any) -> str:
        if value is None:
            return "not fitted" if change.origin == "fitted" else "not given"
        return say(value, change.unit, system)

    return [
        (
            change.name,
            shown(change, change.before),
            shown(change, change.after),
            ORIGINS[change.origin],
        )
        for change in changes
    ]


def title_line(after: Vehicle) -> str:
    """Say how the record of a vehicle as built is called, and what its note says."""
    return template.TITLE.format(title=after.title, note=after.note)


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
