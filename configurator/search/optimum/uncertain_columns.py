"""How far values of many packages may be off, a row for each package.

Like `configurator.evaluation.propagation`, which does it for one package after the other.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np

from configurator.evaluation.propagation import Propagation, Uncertain
from configurator.model.parts import Missing
from configurator.model.references import FigureValue, PartValue
from configurator.model.rules import Total
from configurator.search.encoding.asked_values import (
    AskedValues,
    JointValue,
    Worked,
    constant,
    reserves,
    with_estimate,
)
from configurator.search.encoding.scopes import TooManyCombinations
from configurator.search.encoding.sure_limits import bounds_read, sure_margins
from configurator.search.encoding.value_columns import PLAIN, ValueColumn

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from numpy.typing import NDArray

    from configurator.evaluation.propagation import Source
    from configurator.model.parts import Value
    from configurator.model.references import Reference
    from configurator.model.rules import Limit
    from configurator.search.encoding.joint_values import JointValues

    Flags = NDArray[np.bool_]
    Numbers = NDArray[np.int64]


# Packages up to which a value is worked out for each of them, unless it is known for all
# combinations of parts.
FEW = 3


class UncertainColumns:
    """Values in some packages, and what moves them.

    Parameters
    ----------
    joint
        Values over all combinations of the options that are in packages.
    numbers
        Position → number of each package's option.
    """

    def __init__(self, joint: JointValues, numbers: Mapping[str, NDArray[np.intp]]) -> None:
        self.joint, self.numbers = joint, numbers
        self.evaluation = joint.evaluation
        self.many = len(next(iter(numbers.values()), ()))
        self._rows = np.arange(self.many)
        self._known: dict[str, JointValue] = {}
        self._each: list[Propagation] = []

    def sure(self, rule: Limit | Total) -> Flags:
        """Say of each package whether a limit is sure, or no worse than before."""
        bounds = [(self.value(reference), self._rows) for reference in bounds_read(rule)]
        if isinstance(rule, Total):
            total = self.value(FigureValue(rule.name))
            has = Worked(total.exact, tuple(total.sources), total.effects)
        else:
            has = self._asked([item.reference for item in rule.inputs]).through(rule)
        return sure_margins(self.joint.stands, rule, has, bounds)

    def within(self, reference: Reference) -> tuple[list[Value], list[float]]:
        """Give a reference in each package, unrounded, and how far it may be off [SI]."""
        known = self.value(reference)
        return list(known.exact), reserves(known.effects).tolist()

    def _asked(self, read: Sequence[Reference]) -> AskedValues:
        inputs = [self.value(reference) for reference in read]
        return AskedValues({}, self._rows, inputs, [self._rows] * len(inputs))

    def value(self, reference: Reference) -> JointValue:
        """Give a reference in each package; in `JointValue` each package has a value of its own."""
        key = str(reference)
        if key not in self._known:
            self._known[key] = self._worked_out(reference)
        return self._known[key]

    def _worked_out(self, reference: Reference) -> JointValue:
        evaluation = self.evaluation
        if isinstance(reference, FigureValue) and not reference.before:
            rule = evaluation.definition(reference.name)
            if isinstance(rule, Total):
                return self._of_each(*self._total(rule))
            if evaluation.late(rule):
                given = self._asked([item.reference for item in rule.inputs])
                worked = with_estimate(self.joint.stands, rule, given.through(rule))
                return self._of_each(worked.exact, worked.sources, worked.effects)
        elif not isinstance(reference, PartValue):
            known = constant(evaluation.constant(reference), self.joint.stands.value(reference))
            return self._picked(known, np.zeros(self.many, np.int64))
        if self.many <= FEW and not self.joint.knows(reference):
            return self._one_by_one(reference)
        try:
            known = self.joint.value(reference)
        except TooManyCombinations:
            return self._one_by_one(reference)
        at = tuple(own.class_of[self.numbers[p]] for p, own in known.classes.items())
        ids = known.ids[at] if at else np.zeros(self.many, np.int64)
        if (ids < 0).any():  # some package is none that the case has
            return self._one_by_one(reference)
        return self._picked(known, ids)

    def _one_by_one(self, reference: Reference) -> JointValue:
        """Work out package by package what few are asked for, or has too many combinations."""
        if not self._each:
            options = {p: self.evaluation.options(p) for p in self.numbers}
            for place in range(self.many):
                package = {p: options[p][int(own[place])] for p, own in self.numbers.items()}
                self._each.append(Propagation(self.evaluation, package))
        known = [propagation.value(reference) for propagation in self._each]
        sources = tuple(dict.fromkeys(source for value in known for source in value.effects))
        effects = np.array([[value.effects.get(s, 0.0) for s in sources] for value in known])
        return self._of_each(
            ValueColumn.of([value.exact for value in known]),
            sources,
            effects.reshape(self.many, len(sources)),
        )

    def _picked(self, known: JointValue, ids: Numbers) -> JointValue:
        return self._of_each(known.exact.at(ids), known.sources, known.effects[ids])

    def _of_each(
        self, exact: ValueColumn, sources: Sequence[Source], effects: NDArray[np.float64]
    ) -> JointValue:
        return JointValue({}, self._rows, exact, exact, sources, effects)

    def _total(self, rule: Total) -> tuple[ValueColumn, list[Source], NDArray[np.float64]]:
        """Sum a total: what it starts from, and what each new part adds to it."""
        start = rule.start
        if isinstance(start, int | float):
            known = self.evaluation.bound(rule, start, {})
            begin = constant(known, Uncertain(known))
        else:
            begin = self.value(start)
        exact = begin.exact.numbers * np.ones(self.many)
        sources = list(begin.sources)
        effects = [begin.effects * np.ones((self.many, 1))]
        for position, chosen in self.numbers.items():
            shares, own, moved = self._shares_in(rule, position, chosen)
            exact = exact + shares[chosen]
            if own:
                sources.extend(own)
                effects.append(moved[chosen])
        kinds = np.where(np.isnan(exact), 0, PLAIN).astype(np.int32)
        return ValueColumn(exact, kinds, (Missing.UNKNOWN,)), sources, np.hstack(effects)

    def _shares_in(
        self, rule: Total, position: str, chosen: NDArray[np.intp]
    ) -> tuple[NDArray[np.float64], list[Source], NDArray[np.float64]]:
        """Give the same, of a few packages only for the options that are in them."""
        if self.many > FEW or self._key(rule, position) in self.evaluation.answers:
            return self.shares(rule, position)
        return self._shares_of(rule, position, np.unique(chosen))

    def _key(self, rule: Total, position: str) -> tuple[Any, ...]:
        return ("uncertain shares", rule.name, position, self.joint.alive[position].tobytes())

    def shares(
        self, rule: Total, position: str
    ) -> tuple[NDArray[np.float64], list[Source], NDArray[np.float64]]:
        """Give what each option that may be chosen adds to a sum, and what moves that; kept."""
        key = self._key(rule, position)
        if key not in self.evaluation.answers:
            alive = np.flatnonzero(self.joint.alive[position])
            self.evaluation.answers[key] = self._shares_of(rule, position, alive)
        kept: tuple[NDArray[np.float64], list[Source], NDArray[np.float64]] = (
            self.evaluation.answers[key]
        )
        return kept

    def _shares_of(
        self, rule: Total, position: str, among: NDArray[np.intp]
    ) -> tuple[NDArray[np.float64], list[Source], NDArray[np.float64]]:
        options, fitted = self.evaluation.options(position), self.evaluation.fitted[position]
        shares = np.zeros(len(options))
        at: dict[Source, int] = {}
        cells: list[tuple[int, int, float]] = []
        before: Uncertain | None = None
        for row in among.tolist():
            option = options[row]
            if not option.changed:
                continue
            before = self.joint.stands.term(rule, fitted) if before is None else before
            for sign, term in ((1.0, self.joint.stands.term(rule, option)), (-1.0, before)):
                if term.exact is Missing.UNKNOWN:  # then so is the whole sum
                    shares[row] = np.nan
                if not term.is_number:  # it adds nothing
                    continue
                shares[row] += sign * float(term.exact)
                for source, effect in term.effects.items():
                    cells.append((row, at.setdefault(source, len(at)), sign * effect))
        moved = np.zeros((len(options), len(at)))
        for row, column, effect in cells:
            moved[row, column] += effect
        return shares, list(at), moved
