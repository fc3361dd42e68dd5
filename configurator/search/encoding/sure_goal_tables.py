"""Goals that are to be sure, as tables: what a figure comes to at the least, for each combination.

The variable of the figure is told apart (`splitting.py`) as far as that differs; a table beside it
says of each value what it comes to, and goals ask that.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from configurator.evaluation.sure_figures import value_of
from configurator.model.references import FigureValue
from configurator.model.rules import Figure
from configurator.model.sure_goals import parted
from configurator.search.encoding.asked_values import AskedValues, reserves
from configurator.search.encoding.scopes import order
from configurator.search.encoding.tables import Table

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    from configurator.model.parts import Value
    from configurator.search.encoding.constraint_model import Model
    from configurator.search.encoding.joint_values import JointValues
    from configurator.search.encoding.scopes import Term


@dataclass(frozen=True, slots=True)
class SureGoal:
    """What a figure comes to at the least or at the most.

    Parameters
    ----------
    name
        Of that, as goals ask for it.
    reference, term
        The figure itself, and where it comes from in the model.
    given
        Its distinct values, as something that reads it would have them.
    values
        For each of them what it comes to [SI].
    """

    name: str
    reference: FigureValue
    term: Term
    given: AskedValues
    values: Sequence[Value]

    @property
    def domain(self) -> list[Value]:
        """The distinct values, in order."""
        return sorted(dict.fromkeys(self.values), key=order)

    def codes(self) -> NDArray[np.int64]:
        """Give for each value of the figure the number of what it comes to in `domain`."""
        numbers = {value: code for code, value in enumerate(self.domain)}
        return np.array([numbers[value] for value in self.values], np.int64)


def sure_goal(joint: JointValues, name: str, term: Term) -> SureGoal:
    """Work out what a figure comes to.

    Raises
    ------
    TooManyCombinations
        If the parts behind it can be combined in too many ways.
    """
    rule = joint.evaluation.definition(name)
    if not isinstance(rule, Figure):
        raise TypeError(name)
    reference = FigureValue(parted(name)[0])
    value = joint.value(reference)
    given = AskedValues(value.classes, value.ids, [value], [np.arange(len(value.exact))])
    widths = reserves(value.effects).tolist()
    known = zip(value.rounded, value.exact, widths, strict=True)
    return SureGoal(name, reference, term, given, [value_of(rule, *each) for each in known])


def add_goal(model: Model, goal: SureGoal, codes: NDArray[np.int32]) -> None:
    """Add the tables of a goal to a model in which its figure's values are told apart.

    Parameters
    ----------
    model
        The tables.
    goal
        From `sure_goal`.
    codes
        For each value of the figure its code in the model; -1 where it has none.
    """
    variable, domain, own = goal.term.variable, goal.domain, goal.codes()
    size = model.sizes[variable]
    # A value that no combination has is in no package; it stays, so that reasons can be told.
    comes_to = np.full(size, -1, np.int64)
    comes_to[codes[codes >= 0]] = own[codes >= 0]
    values = list(domain)
    for code in np.flatnonzero(comes_to < 0).tolist():
        comes_to[code] = len(values)
        values.append(model.values[variable][code])
    number, defining_table = len(model.sizes), len(model.tables)
    model.values.append(values)
    model.sizes.append(len(values))
    model.told_by.append(defining_table)
    model.variable_names.append(goal.name)
    every = np.arange(size, dtype=np.int32)
    columns = (every, comes_to.astype(np.int32))
    model.tables.append(Table(goal.name, (variable, number), columns, size))
    model.goal_tables[goal.name] = len(model.tables)
    asked = (np.arange(len(values), dtype=np.int32),)
    model.tables.append(Table(goal.name, (number,), asked, len(values)))
