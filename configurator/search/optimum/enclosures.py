"""What references come to in all packages of a box of options, and how fast they change there.

Sums change by what each option adds. Figures of few parts are asked for all combinations of the
options in the box. What is worked out of them is enclosed by its slopes, step by step. With what
moves values within tolerances, nothing is rounded, as in `uncertain_columns`.
"""

from __future__ import annotations

import math
from dataclasses import replace
from typing import TYPE_CHECKING, Any

import numpy as np

from configurator.evaluation.propagation import Uncertain
from configurator.model.references import FigureValue, PartValue
from configurator.model.rules import Total
from configurator.model.sure_goals import parted
from configurator.model.verdicts import OFF_STEP, resolution_in_si, rounded
from configurator.search.encoding import option_columns
from configurator.search.encoding.kept_answers import is_bundled
from configurator.search.optimum.enclosed_values import (
    Enclosure,
    OptionBox,
    VariableChange,
    constant,
    is_number,
)
from configurator.search.optimum.late_rules import PackageColumns, shares_of
from configurator.search.optimum.sloped_intervals import (
    NOTHING,
    Interval,
    NotEnclosed,
    enclosed,
    product,
    total,
)
from configurator.search.optimum.uncertain_columns import UncertainColumns

if TYPE_CHECKING:
    from collections.abc import Collection, Iterator, Mapping

    from numpy.typing import NDArray

    from configurator.evaluation.evaluator import Evaluation
    from configurator.evaluation.propagation import Source
    from configurator.model.references import Reference
    from configurator.model.rules import Figure, Limit
    from configurator.search.encoding.joint_values import JointValues

    Amounts = NDArray[np.float64]
    Rows = NDArray[np.intp]

# Combinations of options up to which a figure is asked for all of them.
MOST_COMBINATIONS = 20_000
# How near to the end of a step a value may lie, as a share of it, for rounding to be a slope.
SHORTEST = 0.02


class UnknownOptions(Exception):
    """With some options of a position a value is not known; without them it may be.

    Parameters
    ----------
    position
        The position.
    options
        Their numbers.
    """

    def __init__(self, position: str, options: Rows) -> None:
        super().__init__(position)
        self.position, self.options = position, options


class Enclosures:
    """Values of references in all packages of a box.

    Parameters
    ----------
    evaluation, box
        The rule functions, and what may be chosen.
    joint
        Values over all combinations of parts, for what moves them; None for values as calculated.
    steep
        Roundings that count as a steeper slope: then nothing is lost near the middle, and more far
        from it. The others count as a variable of their own.

    Attributes
    ----------
    changes
        Variable → how it differs.
    """

    def __init__(
        self,
        evaluation: Evaluation,
        box: OptionBox,
        joint: JointValues | None = None,
        steep: Collection[str] = (),
    ) -> None:
        self.evaluation, self.box, self.joint, self.steep = evaluation, box, joint, steep
        self.changes: dict[str, VariableChange] = {}
        self._known: dict[str, Enclosure] = {}

    def value(self, reference: Reference) -> Enclosure:
        """Enclose a reference.

        Raises
        ------
        NotEnclosed
            If nothing can be said of it.
        """
        key = str(reference)
        if key not in self._known:
            self._known[key] = self._worked_out(reference)
        return self._known[key]

    def _worked_out(self, reference: Reference) -> Enclosure:
        evaluation = self.evaluation
        if isinstance(reference, FigureValue) and not reference.before:
            rule = evaluation.definition(reference.name)
            if isinstance(rule, Total):
                return self._total(rule)
            if parted(rule.name)[1] is not None:
                raise NotEnclosed
            return self._figure(rule) if evaluation.late(rule) else self._of_parts(reference)
        if isinstance(reference, PartValue):
            return self._of_parts(reference)
        if self.joint is None:
            return constant(Uncertain(evaluation.constant(reference)))
        return constant(self.joint.stands.value(reference))

    # -- variables --------------------------------------------------------------------------------

    def _of_parts(self, reference: Reference) -> Enclosure:
        """Ask for all combinations of the options in the box, as far as they are told apart."""
        kinds = dict(self._kinds(reference))
        if not kinds:
            return self._of_vehicle(reference)
        shape = tuple(len(first) for first, _ in kinds.values())
        if math.prod(shape) > MOST_COMBINATIONS:
            raise NotEnclosed
        every = np.indices(shape).reshape(len(shape), -1)
        numbers = {
            position: self.box.options[position][first[own]]
            for (position, (first, _)), own in zip(kinds.items(), every, strict=True)
        }
        effects: dict[Source, Interval] = {}
        if self.joint is None:
            listed = PackageColumns(self.evaluation, numbers).value(reference)
            if len(set(listed)) == 1 and not is_number(listed[0]):
                return Enclosure(listed[0], None)
            values = np.array([v if is_number(v) else np.nan for v in listed], np.float64)
        else:
            known = UncertainColumns(self.joint, numbers).value(reference)
            if len(set(known.exact)) == 1 and not is_number(known.exact[0]):
                return Enclosure(known.exact[0], None)
            values = known.exact.numbers
        self._without_unknown(kinds, np.isnan(values).reshape(shape))
        if self.joint is not None:
            ends = zip(known.effects.min(axis=0), known.effects.max(axis=0), strict=True)
            for source, (low, high) in zip(known.sources, ends, strict=True):
                effects[source] = (float(low), float(high))
        middle = tuple(
            int(kind[np.flatnonzero(self.box.options[p] == self.box.centre[p])[0]])
            for p, (_, kind) in kinds.items()
        )
        table = values.reshape(shape)
        here = float(table[middle])
        reach = float(values.min()), float(values.max())
        if reach[0] == reach[1]:
            return Enclosure(here, reach, effects=effects)
        name = str(reference)
        steps = zip(kinds.items(), _by_axis(table, middle), strict=True)
        self.changes[name] = VariableChange({p: ends[:, kind] for (p, (_, kind)), ends in steps})
        return Enclosure(here, reach, {name: (1.0, 1.0)}, effects)

    def _without_unknown(
        self, kinds: Mapping[str, tuple[Rows, Rows]], unknown: NDArray[np.bool_]
    ) -> None:
        """Raise if a value is not known for some combinations."""
        if not unknown.any():
            return
        for axis, (position, (_, kind)) in enumerate(kinds.items()):
            others = tuple(other for other in range(unknown.ndim) if other != axis)
            none: NDArray[np.bool_] = np.asarray(unknown.all(axis=others))
            if none.any() and not none.all():
                raise UnknownOptions(position, self.box.options[position][none[kind]])
        raise NotEnclosed

    def _of_vehicle(self, reference: Reference) -> Enclosure:
        """Take a figure that no part has a say in."""
        if self.joint is None:
            return constant(Uncertain(self.evaluation.value(reference, {})))
        known = self.joint.value(reference)
        effects = dict(zip(known.sources, known.effects[0].tolist(), strict=True))
        return constant(Uncertain(known.exact[0], effects))

    def _kinds(self, reference: Reference) -> Iterator[tuple[str, tuple[Rows, Rows]]]:
        """Give for each position behind a reference an option of each kind, and options' kinds."""
        behind: dict[str, PartValue] = {}
        option_columns.attributes_behind(self.evaluation, reference, behind)
        by_position: dict[str, list[PartValue]] = {}
        for item in behind.values():
            by_position.setdefault(item.position, []).append(item)
        for position, items in by_position.items():
            options = self.box.options[position]
            columns = [option_columns.column(self.evaluation, position, i) for i in items]
            codes = [(column.codes[options], len(column.values)) for column in columns]
            yield position, option_columns.distinct(codes, len(options))

    def _total(self, rule: Total) -> Enclosure:
        evaluation, centre = self.evaluation, self.box.centre
        begin = constant(Uncertain(evaluation.bound(rule, rule.start, {})))
        if self.joint is not None and not isinstance(rule.start, int | float):
            begin = constant(self.joint.stands.value(rule.start))
        if begin.reach is None:
            raise NotEnclosed
        columns = None if self.joint is None else UncertainColumns(self.joint, {})
        here, ends = float(begin.at), [begin.reach]
        effects, by_option = dict(begin.effects), {}
        for position, options in self.box.options.items():
            if columns is None:
                shares = shares_of(evaluation, rule, position)
            else:
                shares, sources, moved = columns.shares(rule, position)
                for source, column in zip(sources, moved[options].T, strict=True):
                    own = float(column.min()), float(column.max())
                    effects[source] = total([effects.get(source, NOTHING), own])
            some = shares[options]
            if np.isnan(some).any():
                raise UnknownOptions(position, options[np.isnan(some)])
            here += float(shares[centre[position]])
            ends.append((float(some.min()), float(some.max())))
            if ends[-1][0] < ends[-1][1]:
                by_option[position] = np.stack([some - shares[centre[position]]] * 2)
        self.changes[rule.name] = VariableChange(by_option)
        return Enclosure(here, total(ends), {rule.name: (1.0, 1.0)}, effects)

    # -- what is worked out of them ---------------------------------------------------------------

    def _figure(self, rule: Figure) -> Enclosure:
        worked = self.through(rule)
        if worked.reach is None:
            raise NotEnclosed
        low, high = worked.reach
        if self.joint is not None:
            tolerance = self.evaluation.tolerances.of_figure(rule.name)
            if tolerance is None:
                return worked
            most = tolerance.half_width(max(abs(low), abs(high)))
            source = ("estimate", rule.name, "")  # it may be as measured, and off by nothing
            return replace(worked, effects={**worked.effects, source: (0.0, most)})
        if not rule.resolution:
            return worked
        step = resolution_in_si(rule.unit, rule.resolution)
        down = {"up": -1.0, "down": 0.0}.get(rule.rounding, -0.5) * step
        here = rounded(rule, worked.at)
        # It stays as it is until the value has come to one of the ends.
        slack = OFF_STEP * step
        ends = here + down + slack, here + down + step - slack
        off = min(worked.at - ends[0], ends[1] - worked.at)
        name = f"rounding of {rule.name}"
        reach = low - down - step - slack, high - down + slack
        if name in self.steep and off > SHORTEST * step:
            steep = (0.0, step / off)
            slopes = {variable: product(steep, own) for variable, own in worked.slopes.items()}
            return Enclosure(here, reach, slopes)
        more = -down - step - slack - (here - worked.at), -down + slack - (here - worked.at)
        self.changes[name] = VariableChange({}, more)
        return Enclosure(here, reach, {**worked.slopes, name: (1.0, 1.0)})

    def through(self, rule: Figure | Limit) -> Enclosure:
        """Enclose what a rule's function gives, nothing rounded.

        Raises
        ------
        NotEnclosed
            If nothing can be said of it.
        """
        if not is_bundled(rule):  # what its function does with intervals is not known
            raise NotEnclosed
        inputs = [self.value(item.reference) for item in rule.inputs]
        here = self.evaluation.ask(rule, tuple(item.at for item in inputs))
        if isinstance(here, bool) or not isinstance(here, int | float):
            raise NotEnclosed
        bounds, slopes = enclosed(rule, [_moved(item) for item in inputs])
        by_variable: dict[str, Interval] = {}
        effects: dict[Source, Interval] = {}
        for item, slope in zip(inputs, slopes, strict=True):
            for name, own in item.slopes.items():
                by_variable[name] = total([by_variable.get(name, NOTHING), product(slope, own)])
            for source, own in item.effects.items():
                effects[source] = total([effects.get(source, NOTHING), product(slope, own)])
        ends = [product(own, self.changes[name].reach) for name, own in by_variable.items()]
        low, high = total([(float(here), float(here)), *ends])
        reach = max(low, bounds[0]), min(high, bounds[1])
        return Enclosure(float(here), reach, by_variable, effects)


def _by_axis(table: Amounts, middle: tuple[int, ...]) -> list[Amounts]:
    """Bound how a table differs from what it is in the middle by steps that add up.

    One axis after the other is moved, the one that matters most first: each step is in its worst
    case over the axes that are moved already, while those to come stay in the middle.

    Returns
    -------
    list of array
        For each axis the least and the most of its step, by place [2, places].
    """
    axes = range(table.ndim)
    order = sorted(axes, key=lambda axis: -float(np.mean(np.ptp(table, axis=axis))))
    result: list[Amounts] = [np.zeros((2, many)) for many in table.shape]
    for place, axis in enumerate(order):
        still = tuple(
            slice(None) if other in order[: place + 1] else slice(middle[other], middle[other] + 1)
            for other in axes
        )
        moved = table[still]
        step = moved - np.take(moved, [middle[axis]], axis=axis)
        others = tuple(other for other in axes if other != axis)
        result[axis] = np.stack([step.min(axis=others), step.max(axis=others)])
    return result


def _moved(item: Enclosure) -> Any:
    """Give an input as a function is asked for it: with what it may be off to either side."""
    if item.reach is None:
        return item.at
    low, high = item.reach
    width = item.width
    return item.at if low == high and not width else (low - width, high + width)
