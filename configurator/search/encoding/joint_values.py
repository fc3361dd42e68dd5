"""Values of rules over all combinations of the parts behind them, exact and with what moves them.

A table of the model knows values as rounded, and many combinations of parts share one. Whether a
limit holds within usual tolerances depends on the parts themselves: on the value before rounding,
and on which sources of error are behind it. So here a value is worked out for every combination of
the attributes that it hangs on, whole columns at a time: the same propagation as
`configurator.evaluation.propagation` does for one package.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any, Protocol

import numpy as np

from configurator.evaluation.propagation import Propagation
from configurator.model.knowledge import references
from configurator.model.parts import NOTHING
from configurator.model.references import FigureValue, PartValue
from configurator.model.rules import Figure
from configurator.model.verdicts import OFF_STEP, resolution_in_si, rounded
from configurator.search.encoding import option_columns
from configurator.search.encoding.alike_values import alike
from configurator.search.encoding.asked_values import (
    AskedValues,
    JointValue,
    PositionClasses,
    constant,
    with_estimate,
)
from configurator.search.encoding.kept_values import FigureValues, KeptValues, named
from configurator.search.encoding.scopes import TooManyCombinations
from configurator.search.encoding.tables import numbered
from configurator.search.encoding.value_columns import PLAIN, ValueColumn

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from numpy.typing import NDArray

    from configurator.evaluation.evaluator import Evaluation
    from configurator.model.references import Reference
    from configurator.model.rules import Rule
    from configurator.search.encoding.kept_answers import KeptAnswers
    from configurator.search.encoding.many_answers import Tabled

    Numbers = NDArray[np.int64]

# Combinations of attributes up to which a value is worked out for each of them.
MOST_COMBINATIONS = 2_000_000


class PairsOfOptions(Protocol):
    """Which options of two positions may stand together: see `compatible_pairs.CompatiblePairs`."""

    def pairs(self, positions: Sequence[str]) -> list[tuple[str, str]]:
        """List the pairs of some positions of which something is known."""

    def among(self, pair: tuple[str, str], class_of: Sequence[Numbers]) -> NDArray[np.bool_]:
        """Say which pairs of classes have options that may stand together."""


class CombinationsOfValues(Protocol):
    """Which values stand together in packages: see `values_in_packages.ValuesInPackages`."""

    def among(
        self,
        name: str,
        read: Sequence[Reference],
        inputs: Sequence[JointValue],
        rows: Sequence[Numbers],
    ) -> NDArray[np.bool_] | None:
        """Say of combinations of values whether they do; None where nothing is known."""

    def values(
        self,
        name: str,
        read: Sequence[Reference],
        inputs: Sequence[JointValue],
        rows: Sequence[Numbers],
    ) -> Tabled | None:
        """Look up what a figure comes to, rounded, and for which combinations that is known."""


class JointValues:
    """Works out values over all combinations of the options that may be chosen.

    Parameters
    ----------
    evaluation
        The case and the trade.
    alive
        Position → which of its options may be chosen.
    kept
        Where it stands on disk what tolerances did before.
    """

    def __init__(
        self,
        evaluation: Evaluation,
        alive: Mapping[str, NDArray[np.bool_]],
        kept: KeptAnswers | None = None,
    ) -> None:
        self.evaluation = evaluation
        self.alive = alive
        self.pairs: PairsOfOptions | None = None
        self.together: CombinationsOfValues | None = None
        self.stands = Propagation.as_it_stands(evaluation)
        on_disk = None if kept is None else kept.propagated
        self.kept = KeptValues(self.stands, evaluation.answers, on_disk)
        self._kinds: dict[str, NDArray[np.int32]] = {}
        self._attributes: dict[str, Mapping[str, frozenset[str]]] = {}
        self._classes: dict[tuple[str, frozenset[str]], PositionClasses] = {}
        self._values: dict[str, JointValue] = {}
        self._given: dict[Reference, JointValue] = {}
        # Figure → what it reads, and which of its distinct values each combination gives.
        self.defined: dict[str, tuple[AskedValues, Numbers]] = {}

    def narrow(
        self,
        alive: Mapping[str, NDArray[np.bool_]],
        pairs: PairsOfOptions,
        together: CombinationsOfValues | None = None,
    ) -> None:
        """Leave options, pairs of them and values together out from now on, if in no package."""
        self.alive, self.pairs, self.together = alive, pairs, together
        self._classes.clear()
        self._values.clear()
        self._given.clear()
        self.defined.clear()

    # -- classes --------------------------------------------------------------------------------

    def classes(self, read: Iterable[Reference]) -> dict[str, PositionClasses]:
        """Give the classes of the positions behind some references, positions in order."""
        merged: dict[str, set[str]] = {}
        for reference in read:
            for position, names in self._behind(reference).items():
                merged.setdefault(position, set()).update(names)
        return {p: self._told_apart(p, frozenset(merged[p])) for p in sorted(merged)}

    def _behind(self, reference: Reference) -> Mapping[str, frozenset[str]]:
        """Name the attributes of each position that a reference hangs on."""
        if isinstance(reference, PartValue):
            return {reference.position: frozenset([reference.attribute])}
        if not isinstance(reference, FigureValue) or reference.before:
            return {}
        if reference.name not in self._attributes:
            merged: dict[str, set[str]] = {}
            for deeper in references(self.evaluation.definition(reference.name)):
                for position, names in self._behind(deeper).items():
                    merged.setdefault(position, set()).update(names)
            self._attributes[reference.name] = {p: frozenset(n) for p, n in merged.items()}
        return self._attributes[reference.name]

    def _told_apart(self, position: str, names: frozenset[str]) -> PositionClasses:
        key = (position, names)
        if key not in self._classes:
            evaluation = self.evaluation
            if position not in self._kinds:
                # What is fitted has sources of its own, and nothing is off where nothing is fitted.
                options = evaluation.options(position)
                kinds = [2 * option.changed + (option.part.key == NOTHING) for option in options]
                self._kinds[position] = np.array(kinds, np.int32)
            columns = [(self._kinds[position], 4)]
            for name in sorted(names):
                column = option_columns.column(evaluation, position, PartValue(position, name))
                columns.append((column.codes, len(column.values)))
            chosen = np.flatnonzero(self.alive[position])
            first, kind = option_columns.distinct(
                [(codes[chosen], bound) for codes, bound in columns], len(chosen)
            )
            class_of = np.full(len(self._kinds[position]), -1, np.int64)
            class_of[chosen] = kind
            self._classes[key] = PositionClasses(class_of, chosen[first].astype(np.int64))
        return self._classes[key]

    def figures_behind(self, reference: Reference) -> set[str]:
        """Name the figures of a package that a reference hangs on, itself left aside."""
        names: set[str] = set()
        waiting = [reference]
        while waiting:
            item = waiting.pop()
            if not isinstance(item, FigureValue) or item.before:
                continue
            deeper = references(self.evaluation.definition(item.name))
            names |= {r.name for r in deeper if isinstance(r, FigureValue) and not r.before}
            waiting.extend(deeper)
        return names

    # -- values ---------------------------------------------------------------------------------

    def knows(self, reference: Reference) -> bool:
        """Whether a reference is worked out, or takes nothing."""
        if not isinstance(reference, FigureValue) or reference.before:
            return True
        return reference.name in self._values

    def value(self, reference: Reference) -> JointValue:
        """Work out a reference.

        Raises
        ------
        TooManyCombinations
            If the attributes that it hangs on can be combined in too many ways.
        """
        if isinstance(reference, FigureValue) and not reference.before:
            name = reference.name
            if name not in self._values:
                rule = self.evaluation.definition(name)
                if not isinstance(rule, Figure):
                    raise TypeError(name)
                self._values[name] = self._figure(rule)
            return self._values[name]
        if reference not in self._given:
            self._given[reference] = named(self._given_value(reference))
        return self._given[reference]

    def _given_value(self, reference: Reference) -> JointValue:
        if isinstance(reference, PartValue):
            return self._part(reference)
        return constant(self.evaluation.constant(reference), self.stands.value(reference))

    def _part(self, reference: PartValue) -> JointValue:
        evaluation = self.evaluation
        classes = self.classes([reference])
        (own,) = classes.values()
        options = evaluation.options(reference.position)
        name = reference.attribute
        known = [self.stands.attribute(options[n], name) for n in own.first.tolist()]
        values = ValueColumn.of([value.exact for value in known])
        sources = tuple(dict.fromkeys(source for value in known for source in value.effects))
        effects = np.array(
            [[value.effects.get(source, 0.0) for source in sources] for value in known]
        ).reshape(len(known), len(sources))
        return JointValue(classes, np.arange(len(known)), values, values, sources, effects)

    def _figure(self, rule: Figure) -> JointValue:
        given = self.asked(rule, [item.reference for item in rule.inputs])
        worked, name = self.kept.figure(rule, given, lambda: self._worked_out(rule, given))
        self.defined[rule.name] = given, worked.kind
        ids = np.where(given.ids >= 0, worked.kind[given.ids], -1)
        values = worked.rounded, worked.exact, worked.sources, worked.effects
        return JointValue(given.classes, ids, *values, name)

    def _worked_out(self, rule: Figure, given: AskedValues) -> FigureValues:
        read = [item.reference for item in rule.inputs]

        def look_up() -> Tabled | None:
            if self.together is None:
                return None
            return self.together.values(rule.name, read, given.inputs, given.rows)

        rounded_values = _rounded(rule, given.rounded_answers(rule, look_up))
        worked = with_estimate(self.stands, rule, given.through(rule))
        kept, kind = alike(rounded_values, worked.exact, worked.effects)
        values = rounded_values.at(kept), worked.exact.at(kept)
        effects = worked.effects if len(kept) == len(kind) else worked.effects[kept]
        moving = np.flatnonzero(effects.any(axis=0))
        if len(moving) < effects.shape[1]:
            effects = effects[:, moving]
        sources = tuple(worked.sources[number] for number in moving.tolist())
        return FigureValues(kind, *values, sources, effects + 0.0)  # no negative nothing

    def asked(self, rule: Rule, read: Sequence[Reference]) -> AskedValues:
        """Put together what a rule reads, once for each distinct combination of values."""
        classes = self.classes(read)
        count = math.prod(len(own.first) for own in classes.values())
        if count > MOST_COMBINATIONS:
            what = f"{rule.name!r} hangs on {count:,} combinations of parts"
            raise TooManyCombinations(
                rule.plugin or rule.name, what, "decide it package by package"
            )
        inputs = [self.value(reference) for reference in read]
        shape = tuple(len(own.first) for own in classes.values())
        fits = self._fitting(classes, shape)
        sizes = [max(len(value.exact), 1) for value in inputs]
        # Half as much memory is made ready in half the time.
        of = np.int32 if math.prod(sizes) < 2**31 else np.int64
        key: NDArray[Any] = np.zeros([1] * len(shape), of)
        bound = 1
        columns = []
        for value, size in zip(inputs, sizes, strict=True):
            own = value.along(classes)  # as few axes as it hangs on: others are spread at the end
            if int(own.min(initial=0)) < 0:
                fits = fits & (own >= 0)
            columns.append(np.broadcast_to(own, shape or (1,)))
            if bound > 2**40:
                key = np.unique(key, return_inverse=True)[1].reshape(key.shape)
                bound = key.size
            key = key * size + np.maximum(own, 0).astype(of)
            bound *= size
        key = np.broadcast_to(key, shape)
        places = np.flatnonzero(fits)
        first, kind = numbered(key.reshape(-1)[places], bound)
        ids = np.full(key.size, -1, np.int32)
        at = np.unravel_index(places[first], shape or (1,))
        rows = [column[at].astype(np.int64) for column in columns]
        together = self.together
        inside = None if together is None else together.among(rule.name, read, inputs, rows)
        if inside is not None and not inside.all():
            rows = [own[inside] for own in rows]
            kind = np.where(inside, np.cumsum(inside) - 1, -1)[kind]
        ids[places] = kind
        return AskedValues(classes, ids.reshape(shape), inputs, rows)

    def _fitting(
        self, classes: Mapping[str, PositionClasses], shape: tuple[int, ...]
    ) -> NDArray[np.bool_]:
        """Say which combinations of classes have options that may stand together."""
        fits = np.ones(shape, np.bool_)
        order = list(classes)
        pairs = self.pairs
        if pairs is None:
            return fits
        for pair in pairs.pairs(order):
            allowed = pairs.among(pair, [classes[p].class_of for p in pair])
            axes = [order.index(p) for p in pair]
            spread = [1] * len(order)
            for axis in axes:
                spread[axis] = shape[axis]
            fits &= (allowed if axes[0] < axes[1] else allowed.T).reshape(spread)
        return fits


def _rounded(rule: Figure, answers: ValueColumn) -> ValueColumn:
    """Round what a figure comes to, once for all numbers that lie alike between its steps."""
    steps = answers.numbers
    if rule.resolution:
        steps = steps / resolution_in_si(rule.unit, rule.resolution)
        near = np.round(steps)
        steps = 4 * np.floor(steps) + 2 * (near > steps) + (np.abs(steps - near) > OFF_STEP)
    _, first, place = np.unique(steps, return_index=True, return_inverse=True)
    known = [n if n != n else rounded(rule, n) for n in answers.numbers[first].tolist()]
    numbers = np.array(known, np.float64)[place.reshape(-1)]
    kinds = np.where(np.isnan(numbers), answers.kinds, PLAIN).astype(np.int32)
    return ValueColumn(numbers, kinds, answers.others)
