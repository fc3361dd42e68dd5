"""Sums over everything (mass, axle loads, payload): what a job asks of them, and who keeps it.

A sum cannot be put into a table: what hangs on one is decided on whole packages. For bounds on
prices, each limit on a sum is a ceiling: what each option adds, and what all may add together.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from functools import cached_property
from typing import TYPE_CHECKING, Any

import numpy as np

from configurator.model.parts import Missing
from configurator.model.rules import Total
from configurator.model.sure_goals import parted
from configurator.model.verdicts import TOLERANCE
from configurator.search.encoding.sure_limits import least_sure_margin
from configurator.search.optimum.sure_packages import SureLimits
from configurator.search.optimum.sure_sums import sure_margin
from configurator.search.optimum.verification import meets

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping

    from numpy.typing import NDArray

    from configurator.evaluation.evaluator import Evaluation, Option
    from configurator.model.jobs import Job
    from configurator.model.parts import Value
    from configurator.model.rules import Rule
    from configurator.search.encoding.joint_values import JointValues
    from configurator.search.optimum.preparing import Prepared, Question

# Sums are counted in thousandths of their SI unit (grams for masses), rounded so that a package
# that keeps a limit keeps it in whole numbers too.
SCALE = 1000
# What stands for a share that is not known: less than any that is.
NOT_KNOWN = -(10**9)


@dataclass(frozen=True, slots=True)
class Ceiling:
    """A sum that must stay at or below a bound; lower bounds are turned round.

    Parameters
    ----------
    name
        Of the total, for words.
    shares
        Position → for each option what it adds, in thousandths.
    room
        What all options together may add, in thousandths.
    turned
        Whether it is a lower bound, turned round.
    asked
        Whether a goal asks for it: a sum that is not known does not meet a goal, while it breaks no
        rule.
    """

    name: str
    shares: Mapping[str, NDArray[np.int64]]
    room: int
    turned: bool = False
    asked: bool = False

    @property
    def key(self) -> tuple[str, int, bool]:
        """What tells the ceilings of one case apart."""
        return self.name, self.room, self.turned


@dataclass(frozen=True)
class Late:
    """What is decided on whole packages for a job: sums with bounds, and everything else late.

    ``loose`` says that some tables are too wide to be joined, so that the circuit gives bounds.
    ``sure`` are the limits that must hold within usual tolerances, if the job asks for that.
    ``joint`` are values of all combinations of parts, where the case knows them.
    """

    question: Question
    rules: tuple[Rule, ...]
    loose: bool
    sure: SureLimits | None
    joint: JointValues | None

    @cached_property
    def ceilings(self) -> tuple[Ceiling, ...]:
        """The ceilings on sums; worked out when they are first asked for."""
        prepared, evaluation = self.question.prepared, self.question.evaluation
        ceilings: list[Ceiling] = []
        for rule in self.rules:
            if isinstance(rule, Total):
                for bound, at_least in ((rule.at_least, True), (rule.at_most, False)):
                    if bound is not None:
                        ceilings.extend(_ceiling(prepared, rule, bound, at_least=at_least))
        for goal in self.question.job.goals:
            # What a sum comes to at the least is no more than the sum: a bound, not all of it.
            total = evaluation.trade.totals.get(parted(goal.figure)[0])
            if total is not None:
                for value, at_least in ((goal.at_least, True), (goal.at_most, False)):
                    if value is not None:
                        ceilings.extend(
                            _ceiling(prepared, total, value, at_least=at_least, si=True)
                        )
        if self.sure is not None:
            ceilings.extend(_sure_ceilings(prepared, self.sure))
        return tuple(ceilings)

    @cached_property
    def reserved(self) -> tuple[Ceiling, ...]:
        """Ceilings that count what parts must be kept in reserve: they take the place of others."""
        return () if self.sure is None else tuple(_reserved(self.question.prepared, self.sure))


def late_of(question: Question) -> Late:
    """Gather what a job and its rules ask of whole packages."""
    model = question.model
    loose = question.prepared.loose is not None
    return Late(question, tuple(model.late), loose, _sure_limits(question), model.joint)


def _sure_limits(question: Question) -> SureLimits | None:
    """Gather what a job asks to hold within usual tolerances."""
    model = question.model
    if not question.job.sure or model.broken:
        return None
    if model.joint is None or not model.limits_marked:  # then each package is looked at by itself
        return SureLimits.unmarked(question.evaluation)
    by_package = tuple(model.unsure_by_package)
    return SureLimits(tuple(model.unsure_by_parts), by_package, model.joint)


def _sure_ceilings(prepared: Prepared, sure: SureLimits) -> list[Ceiling]:
    """Give what sums must keep at the least so that limits on them hold within tolerances.

    What a package is off by grows with each of its sources: no package is surer than what the
    vehicle and the conditions alone leave.
    """
    ceilings: list[Ceiling] = []
    for rule, bound, at_least in _sums_to_be_sure(sure):
        margin = least_sure_margin(sure.joint.stands, rule, bound)
        if margin > 0.0:
            ceilings.extend(_ceiling(prepared, rule, bound, at_least=at_least, margin=margin))
    return ceilings


def _reserved(prepared: Prepared, sure: SureLimits) -> list[Ceiling]:
    """Give the same with what each part is off by counted, where every limit was looked at."""
    ceilings: list[Ceiling] = []
    for rule, bound, at_least in _sums_to_be_sure(sure) if sure.marked else ():
        margin = sure_margin(sure.joint, rule, bound)
        if margin.least >= 0.0 and any(own.any() for own in margin.more.values()):
            for ceiling in _ceiling(prepared, rule, bound, at_least=at_least, margin=margin.least):
                shares = {
                    p: np.where(each == NOT_KNOWN, each, each + _thousandths(margin.more[p]))
                    for p, each in ceiling.shares.items()
                }
                ceilings.append(replace(ceiling, shares=shares))
    return ceilings


def _thousandths(amounts: NDArray[np.float64]) -> NDArray[np.int64]:
    return np.floor(amounts * SCALE).astype(np.int64)


def _sums_to_be_sure(sure: SureLimits) -> Iterator[tuple[Total, Any, bool]]:
    """Give limits on sums with a single bound: of two the tighter counts, which no sum says."""
    for rule in sure.by_package:
        if isinstance(rule, Total) and (rule.at_least is None) != (rule.at_most is None):
            at_least = rule.at_least is not None
            yield rule, rule.at_least if at_least else rule.at_most, at_least


@dataclass(frozen=True, slots=True)
class LinearLimit:
    """A sum that may come to so much: the tightest of all limits with the same shares.

    Parameters
    ----------
    shares
        Position → what each option adds, in thousandths of the sum's SI unit. Where that is not
        known, so little that the limit holds whatever else is chosen, or, where a goal asks, so
        much that it never does.
    room
        What all options together may add, in thousandths.
    """

    shares: Mapping[str, NDArray[np.int64]]
    room: int


def limits_for_prices(late: Late) -> list[LinearLimit]:
    """Put ceilings into limits as `linear_limits` does, those that count reserves first of all."""
    counted = {(ceiling.name, ceiling.turned) for ceiling in late.reserved}
    others = [c for c in late.ceilings if c.asked or (c.name, c.turned) not in counted]
    return linear_limits((*late.reserved, *others))


def linear_limits(ceilings: Iterable[Ceiling]) -> list[LinearLimit]:
    """Put ceilings on sums into limits, of several with the same shares the tightest."""
    tightest: dict[tuple[bytes, ...], LinearLimit] = {}
    for ceiling in ceilings:
        known = {p: each[each != NOT_KNOWN] for p, each in ceiling.shares.items()}
        reach = sum(int(np.abs(each).max(initial=0)) for each in known.values())
        beyond = (reach + abs(ceiling.room) + 1) * (1 if ceiling.asked else -1)
        shares = {
            position: np.where(each == NOT_KNOWN, beyond, each)
            for position, each in ceiling.shares.items()
        }
        key = tuple(each.tobytes() for each in shares.values())
        if key not in tightest or ceiling.room < tightest[key].room:
            tightest[key] = LinearLimit(shares, ceiling.room)
    return list(tightest.values())


def _ceiling(
    prepared: Prepared,
    rule: Total,
    bound: Any,
    *,
    at_least: bool,
    si: bool = False,
    margin: float = 0.0,
) -> list[Ceiling]:
    """Turn a bound into a ceiling; ``margin``: by how much it is to be kept [SI]."""
    evaluation = prepared.evaluation
    if not isinstance(bound, int | float) and evaluation.reach_of(bound):
        return []  # a bound that parts have a say in is checked package by package
    limit = bound if si else evaluation.bound(rule, bound, {})
    start = evaluation.bound(rule, rule.start, {})
    if si and isinstance(start, Missing):  # a sum that is not known meets no goal
        none = {p: np.zeros(len(seat.row_of), np.int64) for p, seat in prepared.seats.items()}
        return [Ceiling(rule.name, none, -1, at_least, asked=True)]
    if isinstance(limit, Missing) or isinstance(start, Missing):
        return []
    sign = -1 if at_least else 1
    shares = {position: _shares(evaluation, rule, position, sign) for position in prepared.seats}
    slack = TOLERANCE * max(1.0, abs(float(limit)))
    room = math.ceil((sign * (float(limit) - float(start)) - margin + slack) * SCALE) + 1
    return [Ceiling(rule.name, shares, room, at_least, asked=si)]


def _shares(evaluation: Evaluation, rule: Total, position: str, sign: int) -> NDArray[np.int64]:
    """Work out, once for a case, what each option of a position adds to a sum, in thousandths."""
    key = ("shares", rule.name, position, sign)
    if key not in evaluation.answers:
        shares: list[int] = []
        for option in evaluation.options(position):
            share = evaluation.share(rule, option)
            # An unknown mass makes the whole sum unknown: the rule is not checked with that option,
            # so nothing may be held against it.
            shares.append(
                NOT_KNOWN if isinstance(share, Missing) else math.floor(sign * share * SCALE)
            )
        evaluation.answers[key] = np.array(shares, np.int64)
    kept: NDArray[np.int64] = evaluation.answers[key]
    return kept


def keeps_late(evaluation: Evaluation, job: Job, late: Late, choice: Mapping[str, Option]) -> bool:
    """Whether a package keeps everything that is decided on whole packages."""
    seen: dict[str, Value] = {}  # most of these rules read the same sums
    if any(evaluation.verdict(rule, choice, seen).holds is False for rule in late.rules):
        return False
    met = all(
        meets(goal, evaluation.figure(goal.figure, choice, seen))
        for goal in job.goals
        if evaluation.late(evaluation.definition(goal.figure))
    )
    return met and (late.sure is None or late.sure.kept_by_one(evaluation, choice))


def has_late(evaluation: Evaluation, job: Job, late: Late) -> bool:
    """Whether anything at all is decided on whole packages."""
    return (
        late.loose
        or late.sure is not None
        or bool(late.rules)
        or any(evaluation.late(evaluation.definition(goal.figure)) for goal in job.goals)
    )
