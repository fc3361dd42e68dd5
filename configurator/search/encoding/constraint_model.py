"""The constraint model: what the search works on once vehicle, parts and rules are in tables."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from configurator.evaluation.evaluator import Evaluation, Option
    from configurator.model.parts import Value
    from configurator.model.rules import Limit, Rule, Total
    from configurator.search.encoding.joint_values import JointValues
    from configurator.search.encoding.sure_limits import SureTable
    from configurator.search.encoding.tables import Table
    from configurator.search.encoding.unmarked_tables import UnmarkedTables


@dataclass(slots=True)
class Model:
    """What the search works on.

    Parameters
    ----------
    evaluation
        The rule functions, bound to vehicle and job.
    options
        Position → everything that can be chosen there.
    costs
        Position → cost of each option in minor units: its price and the work only it asks for.
    blocked
        Position → for each option whether some rule forbids it by itself.
    tables, sizes, values
        Tables over variables; for each variable the number and the list of its values.
    told_by
        For each variable the number of the table that tells its value: a position's, a figure's.
    variable_names
        What each variable stands for, alike in another model of the same vehicle.
    position_tables
        Position → number of its table; its rows are the classes.
    classes
        Position → for each class its option numbers, cheapest first.
    work_costs
        Table number → cost of each row in minor units, for work that several parts share.
    goal_tables
        Figure → number of the one-column table of its values.
    fixed_figures
        Figure → its value, where no part has a say in it.
    fixed_cost
        Cost of work that is needed whatever is chosen.
    broken
        Rules that fail whatever is chosen.
    rule_tables
        Rule → number of its table.
    soft_table, soft_values, shortfalls
        Of the rule that was asked to be soft: for each row of its table what it read, and how far
        it falls short of its bound.
    late
        Limits, fits and totals that are decided on whole packages only.
    sure_rows
        Number of a limit's table → which of its rows may hold within usual tolerances; where all
        do, it is not named.
    unsure_by_parts
        Verdicts of limits of which some rows hold so with some parts and not with others.
    unsure_by_package
        Limits and totals whose certainty is decided on whole packages only.
    joint
        What figures come to for all combinations of parts; None where no certainty is marked.
    limits_marked
        Whether that is so of limits, and not of goals only.
    marked_within
        Whether only rows are marked that packages of some jobs have; others count as sure.
    marked_apart
        Whether that was asked for, and left to cases of fewer parts as there are too many.
    unmarked
        Where limits are marked: the tables without any mark.
    partnered
        Number of a table → its rows that have a partner in all others, as far as marking found it
        out; where all have, it is not named. No package that may be asked for has another row.
    """

    evaluation: Evaluation
    options: dict[str, tuple[Option, ...]]
    costs: dict[str, NDArray[np.int64]]
    blocked: dict[str, NDArray[np.bool_]]
    tables: list[Table] = field(default_factory=list)
    sizes: list[int] = field(default_factory=list)
    values: list[list[Value]] = field(default_factory=list)
    told_by: list[int] = field(default_factory=list)
    variable_names: list[str] = field(default_factory=list)
    position_tables: dict[str, int] = field(default_factory=dict)
    classes: dict[str, list[NDArray[np.int32]]] = field(default_factory=dict)
    work_costs: dict[int, NDArray[np.int64]] = field(default_factory=dict)
    goal_tables: dict[str, int] = field(default_factory=dict)
    fixed_figures: dict[str, Value] = field(default_factory=dict)
    fixed_cost: int = 0
    broken: list[str] = field(default_factory=list)
    rule_tables: dict[str, int] = field(default_factory=dict)
    soft_table: int = -1
    soft_values: list[tuple[Value, ...]] = field(default_factory=list)
    shortfalls: NDArray[np.float64] = field(default_factory=lambda: np.zeros(0))
    late: list[Rule] = field(default_factory=list)
    sure_rows: dict[int, NDArray[np.bool_]] = field(default_factory=dict)
    unsure_by_parts: list[SureTable] = field(default_factory=list)
    unsure_by_package: list[Limit | Total] = field(default_factory=list)
    joint: JointValues | None = None
    limits_marked: bool = False
    marked_within: bool = False
    marked_apart: bool = False
    unmarked: UnmarkedTables | None = None
    partnered: dict[int, NDArray[np.int32]] = field(default_factory=dict)

    @property
    def asks_certainty(self) -> bool:
        """Whether jobs may ask for what is sure: limits are marked, here or in smaller cases."""
        return self.limits_marked or self.marked_apart
