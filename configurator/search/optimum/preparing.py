"""Make a case ready for questions: its model, its circuit, and where options sit in it."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from functools import partial
from typing import TYPE_CHECKING, Any

import numpy as np

from configurator.core.memory import collected_seldom
from configurator.model.sure_goals import lowered
from configurator.search.circuit import cache
from configurator.search.circuit.conditioning import make_conditioned
from configurator.search.circuit.mini_buckets import Loose
from configurator.search.circuit.nodes import Circuit
from configurator.search.circuit.pruning import in_joined_order
from configurator.search.circuit.semirings import CHEAPEST_32, CHEAPEST_64, MinPlus
from configurator.search.encoding import option_columns
from configurator.search.encoding.constraint_model import Model
from configurator.search.encoding.encoder import make_model
from configurator.search.encoding.kept_answers import KeptAnswers
from configurator.search.limits import LIMITS
from configurator.search.optimum.affordable_rows import affordable_rows, leaves_little
from configurator.search.optimum.known_orders import look_up
from configurator.search.optimum.lately import Lately
from configurator.search.optimum.model_joining import join_model
from configurator.search.optimum.narrowing import (
    covers,
    is_small_enough,
    rows_left,
    rows_within,
    steady,
)
from configurator.search.optimum.seats import Seat, seat_of

if TYPE_CHECKING:
    from collections.abc import Collection, Mapping, Sequence

    from numpy.typing import NDArray

    from configurator.evaluation.evaluator import Evaluation
    from configurator.model.jobs import Goal, Job
    from configurator.model.rules import Rule
    from configurator.search.circuit.elimination import KnownOrder
    from configurator.search.limits import Limits


@dataclass(slots=True)
class Prepared:
    """A case ready to be asked: model, circuit, and where options sit in it.

    Goals, fixed parts, kept and ruled-out parts are not in it; they come with each question. What
    the last questions left on the circuit is kept, and what *as high as possible* came to.
    """

    model: Model
    circuit: Circuit
    semiring: MinPlus
    seats: dict[str, Seat]
    loose: Loose | None = None  # what makes prices lower bounds only; None where they are exact
    lately: Lately = field(default_factory=Lately)
    settled: dict[Any, tuple[Goal, ...]] = field(default_factory=dict)
    limits: Limits = LIMITS
    within: Job | None = None  # what all jobs that are asked must wish for as well
    most: int | None = None  # what packages may cost that are asked for; None if anything
    keep: bool = False  # whether what is made for it is kept on disk

    @property
    def evaluation(self) -> Evaluation:
        """The rule functions."""
        return self.model.evaluation


@dataclass(frozen=True, slots=True)
class Question:
    """A prepared case, and the job that is asked of it.

    Parameters
    ----------
    prepared
        The case; what it leaves open, the job decides.
    job
        Its goals, parts and budget count; the job that the case was prepared for is left aside.
        Goals that are to be sure stand in it as the search asks them: `sure_goals.lowered`.
    picks
        Whether its picks are all that is decided; else who asks masks options as well.

    Raises
    ------
    ValueError
        If the case was narrowed to another job or to a price, and leaves packages of this one out.
    """

    prepared: Prepared
    job: Job
    picks: bool = True

    def __post_init__(self) -> None:
        """Put the job's goals as the search asks them."""
        within = self.prepared.within
        if within is not None and not covers(within, self.job, picks=self.picks):
            message = "the case was narrowed to a job that asks for what this one does not"
            raise ValueError(message)
        most, budget = self.prepared.most, self.job.budget
        if most is not None and (budget is None or budget > most):
            message = "the case was narrowed to packages that cost less than this job allows"
            raise ValueError(message)
        object.__setattr__(self, "job", lowered(self.job))

    @property
    def model(self) -> Model:
        """Vehicle, parts and rules as tables."""
        return self.prepared.model

    @property
    def evaluation(self) -> Evaluation:
        """The rule functions."""
        return self.prepared.model.evaluation

    @classmethod
    def of(cls, prepared: Prepared) -> Question:
        """Ask what the job asks that the case was prepared for."""
        return cls(prepared, prepared.evaluation.case.job)

    def about(self, job: Job) -> Question:
        """Ask another job of the same case."""
        return Question(self.prepared, job, self.picks)

    def whole(self, most: int | None = None) -> Question:
        """Ask it of the whole case, whose wishes may move, where it was narrowed.

        With ``most`` only for packages that cost no more, in minor units: that takes less time.
        """
        if self.prepared.within is None and self.prepared.most is None:
            return self
        return Question(_anew(self.prepared, most), self.job)


@collected_seldom()
def prepare(
    evaluation: Evaluation,
    goals: Collection[str] = (),
    *,
    rules: Collection[Rule] | None = None,
    allowed: Mapping[str, Collection[int]] | None = None,
    cut: Sequence[Goal] = (),
    near: Sequence[Goal] = (),
    within: Job | None = None,
    most: int | None = None,
    work: bool = True,
    soft: str = "",
    sure: bool | None = None,
    few_rows: int = 0,
    keep: bool = False,
    limits: Limits = LIMITS,
    positions: Collection[str] | None = None,
) -> Prepared:
    """Make the model and its circuit.

    Parameters
    ----------
    evaluation
        The case and the trade.
    goals
        Figures that may be asked about, beside those that rules read.
    rules
        Limits, fits and bounded totals in force; all by default.
    allowed
        Position → option numbers to choose from; all where a position is not named.
    cut
        Goals that will not move: what does not meet them is left out of the circuit.
    near
        Goals that all packages meet which are asked for, on figures that others will be asked of:
        what does not meet them is left out as well, but values that do stay told apart.
    within
        The job whose goals and picks will not move either, nor its grade if it is to be sure; with
        it, only jobs that wish for the same and more may be asked. Not heeded where the tables are
        too large for that to pay, or known to be joined in ``few_rows``. Where no such number is
        given, certainty is worked out for these jobs only: to ask others, tables are made anew
        (`whole_of`).
    most
        What packages cost at most that will be asked for, in minor units; only jobs with such a
        budget may be asked. Not with ``within``.
    work, soft, positions
        As for `make_model`.
    sure
        Whether jobs may ask for what holds within usual tolerances; by default if the case's does.
    keep
        Whether to look for the circuit on disk, and to keep it there.
    limits
        How much may be tried and kept, now and with every question about the case.

    Raises
    ------
    PluginError
        If a rule fails or its table is too large.
    TooWide
        If the tables cannot be joined in memory.
    """
    kept = KeptAnswers(evaluation, limits) if keep else None
    left = None if within is None or few_rows else rows_within(within, limits)
    if most is not None:
        left = partial(affordable_rows, most=most)
    model = make_model(
        evaluation,
        goals,
        rules=rules,
        allowed=allowed,
        work=work,
        soft=soft,
        sure=evaluation.case.job.sure if sure is None else sure,
        limits=limits,
        kept=kept,
        left=left,
        positions=positions,
    )
    if kept is not None:
        kept.save()
    served = look_up(model) if keep and within is not None and few_rows else None
    if served is not None and served.rows <= few_rows:
        within = None
    return _joined(model, cut, within, limits, keep=keep, served=served, most=most, near=near)


def whole_of(prepared: Prepared, *, soon: bool = False) -> Prepared:
    """Join the tables of a case that was narrowed to a job once more, as they are, if need be.

    With ``soon`` it is given up where the order that is known for them does not serve.

    Raises
    ------
    TooWide
        If they cannot be joined in memory, or not ``soon``.
    """
    within = prepared.within
    if prepared.most is not None:
        return _anew(prepared)
    if within is None:
        return prepared
    left = rows_left(prepared.model, within.goals, within)
    if left is not None and not left:
        return replace(prepared, within=None)  # that job leaves all of them
    if prepared.model.marked_within:
        return _anew(prepared)
    return _joined(prepared.model, (), None, prepared.limits, keep=prepared.keep, soon=soon)


def narrowed_to(prepared: Prepared, job: Job, *, soon: bool = False) -> Prepared:
    """Join what a job leaves of a case's tables; ``soon`` as for `whole_of`.

    Raises
    ------
    TooWide
        If they cannot be joined in memory, or not ``soon``.
    """
    if prepared.model.marked_within or prepared.most is not None:
        prepared = _anew(prepared)
    return _joined(prepared.model, (), job, prepared.limits, keep=prepared.keep, soon=soon)


def _anew(prepared: Prepared, most: int | None = None) -> Prepared:
    """Make a case ready once more, for whatever may be asked of it, up to a price if one is given.

    Where that leaves much of the tables, or they are too wide even so, that of any price is made.
    """
    model, keep, limits = prepared.model, prepared.keep, prepared.limits
    figures, sure = [*model.goal_tables, *model.fixed_figures], model.asks_certainty
    large = model.marked_apart or not is_small_enough(model, limits)
    if most is not None and (large or not leaves_little(model, most)):
        most = None
    made = prepare(prepared.evaluation, figures, most=most, sure=sure, keep=keep, limits=limits)
    return made if most is None or made.loose is None else _anew(prepared)


def _joined(
    model: Model,
    cut: Sequence[Goal],
    within: Job | None,
    limits: Limits,
    *,
    keep: bool,
    served: KnownOrder | None = None,
    most: int | None = None,
    soon: bool = False,
    near: Sequence[Goal] = (),
) -> Prepared:
    # Where values were told apart for certainty, tables may have grown since.
    narrow = model.marked_within or is_small_enough(model, limits)
    within = steady(model, within) if within is not None and narrow else None
    still = (*cut, *near) if within is None else (*cut, *near, *within.goals)
    rows = rows_left(model, still, within) if most is None else affordable_rows(model, most)
    apart = {model.goal_tables[goal.figure] for goal in near if goal.figure in model.goal_tables}
    circuit, loose = join_model(model, rows, limits, apart, keep=keep, served=served, soon=soon)
    prepared = seated(model, circuit, loose, limits)
    prepared = replace(prepared, within=within, most=most, keep=keep)
    return (_kept_tight(prepared) if keep else None) or prepared


def tighten(prepared: Prepared, *, keep: bool = False) -> Prepared:
    """Make prices of a case exact that are bounds, as its tables are too wide to be joined at once.

    Takes minutes for a few thousand parts.

    Parameters
    ----------
    prepared
        The case; one whose prices are exact is returned as it is.
    keep
        Whether the circuit is kept on disk, where `prepare` finds it.

    Raises
    ------
    TooWide
        If the tables are too wide even for each part of the position that most hangs on.
    """
    if prepared.loose is None:
        return prepared
    loose, labels = prepared.loose, _labels(prepared)
    given = (loose.tables, loose.sizes, loose.told_by, set(prepared.model.position_tables.values()))
    circuit = make_conditioned(*given, labels, prepared.limits)
    if keep:
        cache.save(cache.name_of(*given, labels, prepared.limits), circuit, prepared.limits)
    return _tight(prepared, circuit)


def _kept_tight(prepared: Prepared) -> Prepared | None:
    """Look up on disk what `tighten` gave."""
    if prepared.loose is None:
        return None
    loose = prepared.loose
    given = (loose.tables, loose.sizes, loose.told_by, set(prepared.model.position_tables.values()))
    name = cache.name_of(*given, _labels(prepared), prepared.limits)
    circuit = cache.load(name, loose.tables)
    return None if circuit is None else _tight(prepared, circuit)


def _tight(prepared: Prepared, circuit: Circuit) -> Prepared:
    """Put a circuit made of the tables of a loose one in its place."""
    origins = prepared.circuit.leaf_rows
    leaf_rows: list[Any] = [
        [origins[number][row] for row in rows] for number, rows in enumerate(circuit.leaf_rows)
    ]
    tight = seated(prepared.model, Circuit(circuit.nodes, leaf_rows), None, prepared.limits)
    return replace(tight, within=prepared.within, keep=prepared.keep)


def _labels(prepared: Prepared) -> dict[int, NDArray[np.int64]]:
    """Mark the rows of a loose circuit's tables that must stay rows of their own."""
    model, origins = prepared.model, prepared.circuit.leaf_rows
    alone = set(model.goal_tables.values())
    if model.soft_table >= 0:
        alone.add(model.soft_table)
    labels = {number: np.arange(len(origins[number])) for number in alone}
    for number, work in [*model.work_costs.items(), *model.sure_rows.items()]:
        labels[number] = np.array([work[rows[0]] for rows in origins[number]], np.int64)
    return labels


def seated(
    model: Model, circuit: Circuit, loose: Loose | None, limits: Limits = LIMITS
) -> Prepared:
    """Look up where options sit in a circuit.

    Parameters
    ----------
    model
        Whose tables the circuit joins, or a part of what they have in common.
    circuit
        Its leaf rows stand for rows of the model's tables.
    loose
        What makes prices lower bounds; None where they are exact.
    limits
        What questions about it go by.
    """
    if loose is None:
        circuit = in_joined_order(circuit, set(model.position_tables.values()))
    circuit.limits = limits
    circuit.make_ready()
    seats = {position: seat_of(model, circuit, position) for position in model.options}
    most = sum(int(seat.costs.max(initial=0)) for seat in seats.values())
    most += sum(int(costs.max(initial=0)) for costs in model.work_costs.values())
    # Where cost is moved to raise bounds, single amounts may be larger than all prices together.
    small = loose is None and most + model.fixed_cost < CHEAPEST_32.impossible // 2
    semiring = CHEAPEST_32 if small else CHEAPEST_64
    for position, seat in seats.items():
        seat.least = seat.least.astype(semiring.dtype)
        prices = np.where(seat.inside, seat.costs + model.fixed_cost, -1)
        seat.prices = prices.astype(semiring.dtype)
        # Now, or the first click would wait for it.
        option_columns.numbers_by_key(model.evaluation, position)
    return Prepared(model, circuit, semiring, seats, loose, limits=limits)
