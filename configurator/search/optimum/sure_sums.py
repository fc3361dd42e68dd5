"""What sums over everything must keep so that limits on them hold within usual tolerances.

How far a sum may be off grows with each part: by the root of squares that add up. A root lies above
its secant, so what a package is off by is at least a number for the vehicle and one for each part:
a limit that is linear again, and little below the true one.
"""

from __future__ import annotations

import math
from collections import Counter
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np

from configurator.model.tolerances import RESERVE
from configurator.search.encoding.sure_limits import (
    CLOSE,
    LAST_DIGIT,
    SHARE,
    effects_without_parts,
    least_sure_margin,
)
from configurator.search.optimum.uncertain_columns import UncertainColumns

if TYPE_CHECKING:
    from collections.abc import Mapping

    from numpy.typing import NDArray

    from configurator.model.rules import Total
    from configurator.search.encoding.joint_values import JointValues

    Amounts = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class SureMargin:
    """What a package must keep of a limit on a sum, at the least, to be sure of it.

    Parameters
    ----------
    least
        Whatever its parts are [SI].
    more
        Position → for each option what it asks for beside that [SI].
    """

    least: float
    more: Mapping[str, Amounts]


def sure_margin(joint: JointValues, rule: Total, bound: Any) -> SureMargin:
    """Say what packages must keep of a limit on a sum.

    Parameters
    ----------
    joint
        Values over all combinations of the options that are in packages.
    rule, bound
        A total with this bound only, which no part has a say in.
    """
    alive = b"".join(own.tobytes() for own in joint.alive.values())
    key = ("sure margin", rule.name, str(bound), alive)
    answers = joint.evaluation.answers
    if key not in answers:
        answers[key] = _sure_margin(joint, rule, bound)
    known: SureMargin = answers[key]
    return known


def _sure_margin(joint: JointValues, rule: Total, bound: Any) -> SureMargin:
    every = {position: np.flatnonzero(own) for position, own in joint.alive.items()}
    margin = sure_margin_in(joint, rule, bound, every)
    if margin is not None:
        return margin
    none = {position: np.zeros(len(own)) for position, own in joint.alive.items()}
    return SureMargin(least_sure_margin(joint.stands, rule, bound), none)


def sure_margin_in(
    joint: JointValues, rule: Total, bound: Any, options: Mapping[str, NDArray[np.intp]]
) -> SureMargin | None:
    """Say the same of packages of some options; None where no more than for all can be said.

    Parameters
    ----------
    joint, rule, bound
        As for `sure_margin`.
    options
        Position → numbers of the options that may be chosen.
    """
    stands = joint.stands
    steady, others = effects_without_parts(stands, rule, bound)
    columns = UncertainColumns(joint, {})
    moved = {position: columns.shares(rule, position)[1:] for position in joint.alive}
    several = Counter(source for sources, _ in moved.values() for source in sources)
    # What each option adds to the squares, and to the widths, of what the lightest options add.
    squares, widths = {}, {}
    least_square = least_width = most = 0.0
    for position, (sources, effects) in moved.items():
        # What moves the sum in two ways may make up for itself: it is left aside.
        own = [n for n, source in enumerate(sources) if several[source] == 1]
        own = [n for n in own if sources[n] not in others]
        some = options[position]
        square, width = (effects[:, own] ** 2).sum(axis=1), np.abs(effects[:, own]).sum(axis=1)
        least_square += float(square[some].min(initial=np.inf))
        least_width += float(width[some].min(initial=np.inf))
        squares[position] = np.maximum(square - square[some].min(initial=np.inf), 0.0)
        widths[position] = np.maximum(width - width[some].min(initial=np.inf), 0.0)
        most += float(squares[position][some].max(initial=0.0))
    root = math.sqrt(math.hypot(*steady) ** 2 + least_square)
    if not most + least_square > 0.0:
        return None
    slope = RESERVE * (math.sqrt(root**2 + most) - root) / most if most > 0.0 else 0.0
    more = {p: np.minimum(slope * squares[p], widths[p]) * (1.0 - SHARE) for p in squares}
    allowed = stands.evaluation.tolerances.allowed_in(rule, bound)
    bare = min(RESERVE * root, sum(map(abs, steady)) + least_width) - allowed
    bare = bare * (1.0 - SHARE) - LAST_DIGIT if bare > 0.0 else bare - LAST_DIGIT
    before = stands.margin(rule)
    greatest = bare + sum(float(own[options[p]].max(initial=0.0)) for p, own in more.items())
    if before is not None and before.margin - CLOSE < greatest:
        return None  # what is no worse than before may keep less
    return SureMargin(bare, more)
