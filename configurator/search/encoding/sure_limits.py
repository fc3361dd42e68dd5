"""Which combinations of parts keep a limit within usual tolerances, and not as calculated only.

For every limit on law, plates and contact a verdict for each combination of the parts behind it.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np

from configurator.evaluation.propagation import difference
from configurator.model.rules import TOLD_HOW_SURE, Limit, Total
from configurator.model.tolerances import reserve_of
from configurator.search.encoding.asked_values import reserves
from configurator.search.encoding.value_columns import ValueColumn

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from numpy.typing import NDArray

    from configurator.evaluation.propagation import Propagation, Source
    from configurator.model.references import Reference
    from configurator.model.rules import Rule
    from configurator.search.encoding.asked_values import (
        AskedValues,
        JointValue,
        PositionClasses,
        Worked,
    )
    from configurator.search.encoding.joint_values import JointValues

    Flags = NDArray[np.bool_]

# As for one package: see `propagation.UncertainMargin.sure` and `how_sure.unsure_rules`.
SHARE, LAST_DIGIT, CLOSE = 1e-9, 1e-12, 1e-9
# Kinds of sources that parts bring or take away.
OF_PARTS = ("part", "fitted")


@dataclass(frozen=True, slots=True)
class SureTable:
    """A limit's verdicts for all combinations of the parts behind it.

    Parameters
    ----------
    rule
        The limit.
    classes
        Position → its classes; an axis of ``sure`` for each, in order.
    sure
        For each combination whether the limit holds within usual tolerances, or is no worse than on
        the vehicle as it stands. Means nothing where it does not hold as calculated.
    """

    rule: Limit
    classes: Mapping[str, PositionClasses]
    sure: Flags

    def of(self, numbers: Mapping[str, NDArray[np.intp]]) -> Flags:
        """Look up packages: position → number of the option in each."""
        at = tuple(own.class_of[numbers[position]] for position, own in self.classes.items())
        return self.sure[at]


def counts(rule: Rule) -> bool:
    """Whether a rule is one of those that may be asked to hold within usual tolerances."""
    return isinstance(rule, Limit) and rule.concerns in TOLD_HOW_SURE


def bounds_read(rule: Limit | Total) -> list[Reference]:
    """List the references that a limit's bounds are."""
    return [b for b in (rule.at_least, rule.at_most) if not isinstance(b, int | float | None)]


def asked_of(joint: JointValues, rule: Limit) -> AskedValues:
    """Put together what a limit reads and its bounds that are references.

    Raises
    ------
    TooManyCombinations
        If the parts behind it can be combined in too many ways.
    """
    return joint.asked(rule, references_of(rule))


def sure_kinds(
    joint: JointValues, rule: Limit, given: AskedValues, wanted: Flags | None = None
) -> Flags:
    """Say which of the distinct combinations that a limit reads are sure.

    Parameters
    ----------
    joint, rule
        The values, and the limit.
    given
        From `asked_of`.
    wanted
        Which of them hold as calculated, and are asked about; all by default.
    """

    def work_out() -> Flags:
        asked = given if wanted is None or not given.rows else given.only(np.flatnonzero(wanted))
        count = len(rule.inputs)
        bounds = list(zip(asked.inputs[count:], asked.rows[count:], strict=True))
        verdicts = sure_margins(joint.stands, rule, asked.through(rule, count), bounds)
        if asked is given or wanted is None:
            return verdicts
        sure = np.zeros(len(given), np.bool_)
        sure[wanted] = verdicts
        return sure

    return joint.kept.sure(rule, given, wanted, work_out)


def sure_table(rule: Limit, given: AskedValues, sure: Flags) -> SureTable:
    """Put what is known of the distinct combinations where they stand."""
    placed = np.where(given.ids >= 0, sure[given.ids], False) if len(sure) else given.ids >= 0
    return SureTable(rule, given.classes, placed)


def sure_margins(
    stands: Propagation,
    rule: Limit | Total,
    has: Worked,
    bounds: Sequence[tuple[JointValue, NDArray[np.int64]]],
) -> Flags:
    """Hold margins against reserves; of two bounds the tighter one counts.

    Parameters
    ----------
    stands
        The vehicle as it stands.
    rule, has
        What is limited, and what there is of it in each combination.
    bounds
        The values of bounds that are references, and which of them stands in each combination.
    """
    many = len(has.exact)
    value = has.exact.numbers
    left, margins = np.full(many, np.inf), np.full(many, np.inf)
    read = iter(bounds)
    for bound, sign in ((rule.at_least, 1.0), (rule.at_most, -1.0)):
        if bound is None:
            continue
        if isinstance(bound, int | float):
            held = ValueColumn.of([stands.evaluation.bound(rule, bound, {})]).numbers
            effects = has.effects
        else:
            known, rows = next(read)
            held = known.exact.numbers[rows]
            effects = _difference(has, known, rows)
        margin = sign * (value - held)
        allowed = stands.evaluation.tolerances.allowed_in(rule, bound)
        reserve = np.maximum(0.0, reserves(effects) - allowed)
        # A margin that cannot be worked out is not a number, and not less than anything.
        tighter = margin - reserve < left
        left = np.where(tighter, margin - reserve, left)
        margins = np.where(tighter, margin, margins)
    finite = np.isfinite(left)  # else there is no margin, and nothing to be sure of
    reserve = np.where(finite, margins, 0.0) - np.where(finite, left, 0.0)
    sure: Flags = left >= -(SHARE * reserve + LAST_DIGIT)
    before = stands.margin(rule)
    if before is not None:
        sure |= margins >= before.margin - CLOSE
    return sure


def least_sure_margin(stands: Propagation, rule: Limit | Total, bound: Any) -> float:
    """Give a margin [SI] that no package keeps less of and is sure to keep a limit on a sum.

    Parameters
    ----------
    stands
        The vehicle as it stands.
    rule
        A total with this bound only, which no part has a say in.
    bound
        A number in the rule's unit, or a reference.
    """
    steady, _ = effects_without_parts(stands, rule, bound)
    reserve = max(0.0, reserve_of(steady) - stands.evaluation.tolerances.allowed_in(rule, bound))
    least = reserve - SHARE * reserve - LAST_DIGIT
    before = stands.margin(rule)
    return least if before is None else min(least, before.margin - CLOSE)


def effects_without_parts(
    stands: Propagation, rule: Limit | Total, bound: Any
) -> tuple[list[float], set[Source]]:
    """Give how far the vehicle's own measures move the margin of a limit on a sum [SI].

    Returns
    -------
    tuple
        Their effects; and all sources that move what the sum starts from, or the bound.

    Raises
    ------
    TypeError
        If the limit is not on a sum.
    """
    if not isinstance(rule, Total):
        raise TypeError(rule.name)
    if isinstance(rule.start, int | float):
        effects: Mapping[Source, float] = {}
    else:
        effects = stands.value(rule.start).effects
    if not isinstance(bound, int | float | None):
        effects = difference(effects, stands.value(bound).effects)
    # What parts add comes of parts: it cannot make up for what the vehicle's own measures are off.
    steady = [effect for (kind, _, _), effect in effects.items() if kind not in OF_PARTS]
    return steady, set(effects)


def _difference(worked: Worked, value: JointValue, rows: NDArray[np.int64]) -> NDArray[np.float64]:
    """Give the effects on a margin: a source that moves both ends counts by what is left."""
    at = {source: number for number, source in enumerate(worked.sources)}
    fresh = [source for source in value.sources if source not in at]
    effects = np.hstack([worked.effects, np.zeros((len(worked.exact), len(fresh)))])
    at |= {source: len(at) + number for number, source in enumerate(fresh)}
    effects[:, [at[source] for source in value.sources]] -= value.effects[rows]
    return effects


def references_of(rule: Limit) -> list[Reference]:
    """List what a limit reads, then the references that its bounds are."""
    return [*(item.reference for item in rule.inputs), *bounds_read(rule)]
