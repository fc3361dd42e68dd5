"""What no package near another keeps of a limit: its margin there, and how fast it can rise.

A limit that is decided on whole packages is a function of sums and of figures of few parts. Around
one package its margin changes by no more than its slopes allow: each in its worst case over all
options that may be chosen (mean value form). What a package differs in adds up position by
position, so that this is a limit on a sum again: one that every package keeps which keeps the rule,
and that a package which breaks the rule mostly does not. It is looser the more is open.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np

from configurator.evaluation.propagation import Uncertain
from configurator.model.references import FigureValue
from configurator.model.rules import Total
from configurator.model.tolerances import reserve_of
from configurator.model.verdicts import TOLERANCE
from configurator.search.encoding.sure_limits import CLOSE, LAST_DIGIT, SHARE
from configurator.search.optimum.enclosed_values import OptionBox, constant
from configurator.search.optimum.enclosures import Enclosures, UnknownOptions
from configurator.search.optimum.resource_constraints import LinearLimit
from configurator.search.optimum.sloped_intervals import NOTHING, NotEnclosed, product, total
from configurator.search.optimum.sure_sums import sure_margin_in

if TYPE_CHECKING:
    from collections.abc import Mapping

    from numpy.typing import NDArray

    from configurator.evaluation.evaluator import Evaluation
    from configurator.model.rules import Limit
    from configurator.search.encoding.joint_values import JointValues
    from configurator.search.optimum.enclosed_values import Enclosure

# Steps in which margins are counted: so many for all that they may change by.
STEPS = 2_000_000
# So little that whatever else is chosen a limit holds.
WITH_ALL_ELSE = 4 * STEPS
# What rounding in the last bits may come to, as a share of the numbers that go in.
LAST_BITS = 1e-9


@dataclass(frozen=True, slots=True)
class LimitAround:
    """A limit around a package.

    Parameters
    ----------
    linear
        It.
    loose
        Position → by how much it may be too loose for its options.
    """

    linear: LinearLimit
    loose: Mapping[str, float]


def limit_around(
    evaluation: Evaluation, box: OptionBox, rule: Limit | Total, joint: JointValues | None = None
) -> LimitAround | None:
    """Give what each package of a box keeps that keeps a rule; None where nothing can be said.

    Parameters
    ----------
    evaluation, box
        The rule functions; what may be chosen, and the package around which it is said.
    rule
        A limit on whole packages with one bound.
    joint
        Values over all combinations of parts, where the rule is to hold within usual tolerances.
    """
    if (rule.at_least is None) == (rule.at_most is None):
        return None  # of two bounds the tighter counts
    free: dict[str, NDArray[np.intp]] = {}
    steep: list[str] = []
    while True:
        try:
            enclosures = Enclosures(evaluation, box, joint, steep)
            limit = _limit(enclosures, rule)
        except NotEnclosed:
            return None
        except UnknownOptions as unknown:
            # A rule on what is not known is not broken: with these options it holds.
            if box.centre[unknown.position] in unknown.options:
                return None
            free[unknown.position] = np.append(free.get(unknown.position, []), unknown.options)
            left = np.setdiff1d(box.options[unknown.position], unknown.options)
            box = OptionBox({**box.options, unknown.position: left}, box.centre)
            continue
        roundings = [name for name, change in enclosures.changes.items() if not change.by_option]
        if limit is not None and limit.linear.room >= 0 and len(roundings) > 1 and not steep:
            steep = roundings[:-1]  # of the last nothing is lost
            continue
        if limit is None:
            return None
        for position, options in free.items():
            limit.linear.shares[position][options.astype(np.intp)] = -WITH_ALL_ELSE
        return limit


def _limit(enclosures: Enclosures, rule: Limit | Total) -> LimitAround | None:
    at_least = rule.at_least is not None
    bound: Any = rule.at_least if at_least else rule.at_most
    if isinstance(rule, Total):
        has = enclosures.value(FigureValue(rule.name))
    else:
        has = enclosures.through(rule)
    if isinstance(bound, int | float):
        held = constant(Uncertain(enclosures.evaluation.bound(rule, bound, {})))
    else:
        held = enclosures.value(bound)
    if has.reach is None or held.reach is None:
        return None
    return _linear(enclosures, rule, bound, (has, held) if at_least else (held, has))


def _linear(
    enclosures: Enclosures, rule: Limit | Total, bound: Any, ends: tuple[Enclosure, Enclosure]
) -> LimitAround:
    """Put the first less the second, which must not be below what is needed, as a limit."""
    more, less = ends
    options = enclosures.box.options
    needed = _needed(enclosures, rule, bound, ends)
    rises = {position: np.zeros(len(own)) for position, own in options.items()}
    if enclosures.joint is not None and isinstance(rule, Total):
        margin = sure_margin_in(enclosures.joint, rule, bound, options)
        if margin is not None:
            needed = margin.least
            rises = {position: -margin.more[position][own] for position, own in options.items()}
    room = float(more.at) - float(less.at) - needed
    room += LAST_BITS * (1.0 + max(map(abs, (*more.reach, *less.reach))))  # type: ignore[misc]
    least = {position: np.zeros(len(own)) for position, own in options.items()}
    for name in dict.fromkeys([*more.slopes, *less.slopes]):
        low, high = less.slopes.get(name, NOTHING)
        slope = total([more.slopes.get(name, NOTHING), (-high, -low)])
        change = enclosures.changes[name]
        room += product(slope, change.beside)[1]
        for position, own in change.by_option.items():
            corners = [end * changed for end in slope for changed in own]
            rises[position] += np.max(corners, axis=0)
            least[position] += np.min(corners, axis=0)
    reach = sum(float(np.abs(own).max(initial=0.0)) for own in rises.values()) + abs(room)
    scale = STEPS / max(reach, LAST_BITS)
    shares = {}
    for position, own in rises.items():
        every = len(enclosures.evaluation.options(position))
        shares[position] = np.zeros(every, np.int64)
        shares[position][options[position]] = np.floor(-own * scale).astype(np.int64)
    loose = {p: float((own - least[p]).max(initial=0.0)) for p, own in rises.items()}
    return LimitAround(LinearLimit(shares, math.ceil(room * scale) + 1), loose)


def _needed(
    enclosures: Enclosures, rule: Limit | Total, bound: Any, ends: tuple[Enclosure, Enclosure]
) -> float:
    """Give what every package's margin is no less than that keeps the rule."""
    joint = enclosures.joint
    if joint is None:
        largest = max(abs(end) for item in ends for end in item.reach or ())
        return -TOLERANCE * max(1.0, largest)
    more, less = ends
    widths = []
    for source in dict.fromkeys([*more.effects, *less.effects]):
        low, high = less.effects.get(source, NOTHING)
        low, high = total([more.effects.get(source, NOTHING), (-high, -low)])
        widths.append(0.0 if low <= 0.0 <= high else min(abs(low), abs(high)))
    reserve = max(0.0, reserve_of(widths) - joint.evaluation.tolerances.allowed_in(rule, bound))
    needed = reserve - SHARE * reserve - LAST_DIGIT
    before = joint.stands.margin(rule)
    return needed if before is None else min(needed, before.margin - CLOSE)
