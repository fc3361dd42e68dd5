"""What rules are asked with, once for each distinct combination, and what moves their answers."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING, Any

import numpy as np

from configurator.evaluation.slopes import BENT
from configurator.model.tolerances import RESERVE
from configurator.search.encoding.many_answers import answers
from configurator.search.encoding.value_columns import PLAIN, ValueColumn

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Mapping, Sequence

    from numpy.typing import NDArray

    from configurator.evaluation.propagation import Propagation, Source, Uncertain
    from configurator.model.parts import Value
    from configurator.model.rules import Figure, Rule
    from configurator.search.encoding.many_answers import Tabled

    Numbers = NDArray[np.int64]
    Ids = NDArray[np.signedinteger[Any]]
    Amounts = NDArray[np.float64]
    Flags = NDArray[np.bool_]

# Combinations that a rule is asked about at once, so that they need not all be in memory.
AT_ONCE = 400_000


@dataclass(frozen=True, slots=True)
class PositionClasses:
    """Options of a position told apart by some of their attributes.

    Parameters
    ----------
    class_of
        For each option the number of its class; -1 for one that may not be chosen.
    first
        One option of each class.
    """

    class_of: Numbers
    first: Numbers


@dataclass(frozen=True)
class JointValue:
    """A value for every combination of classes of the positions behind it.

    Parameters
    ----------
    classes
        Position → its classes; an axis of ``ids`` for each, in order.
    ids
        For each combination which of the distinct values it has.
    rounded, exact
        Each distinct value as it is rounded, and as the functions give it with nothing rounded.
    sources, effects
        What moves the values, and by how much each value changes if the source is off by its whole
        tolerance [SI]: a row for each distinct value, a column for each source.
    digest
        Names the distinct values with what moves them (`kept_values.named`); empty where nothing
        that is kept hangs on them.
    """

    classes: Mapping[str, PositionClasses]
    ids: Ids
    rounded: ValueColumn
    exact: ValueColumn
    sources: Sequence[Source]
    effects: Amounts
    digest: bytes = b""

    @cached_property
    def distinct(self) -> tuple[list[Value], Numbers]:
        """The distinct rounded values, and for each value the place of its own among them."""
        return self.rounded.distinct()

    def codes_in(self, values: Sequence[Value]) -> Numbers:
        """Give for each value the place of its rounded one in a list; -1 where it has none."""
        places = {value: code for code, value in enumerate(values)}
        distinct, place = self.distinct
        return np.array([places.get(value, -1) for value in distinct], np.int64)[place]

    @cached_property
    def widths(self) -> Amounts:
        """How far each value may be off; 0 where it is no number."""
        numbers = ~np.isnan(self.exact.numbers)
        return np.where(numbers, reserves(self.effects), 0.0)

    def along(self, classes: Mapping[str, PositionClasses]) -> Ids:
        """Give the ids for combinations of finer classes of more positions."""
        ids = self.ids
        own = list(self.classes)  # -1 stands for combinations that do not fit together
        if own:
            maps = [self.classes[p].class_of[classes[p].first] for p in own]
            ids = ids[np.ix_(*maps)]
        order = [own.index(p) for p in classes if p in own]
        shape = [len(classes[p].first) if p in own else 1 for p in classes]
        return ids.transpose(order).reshape(shape)


@dataclass(frozen=True, slots=True)
class Worked:
    """What a rule's function gives for each distinct combination, unrounded, and what moves it."""

    exact: ValueColumn
    sources: tuple[Source, ...]
    effects: Amounts


@dataclass(frozen=True, slots=True)
class AskedValues:
    """What a rule reads: the distinct combinations of its inputs, and where each stands.

    Parameters
    ----------
    classes, ids
        As of `JointValue`: which of the distinct combinations stands where.
    inputs
        The values of each input.
    rows
        For each input which of its distinct values each combination has.
    """

    classes: Mapping[str, PositionClasses]
    ids: Ids
    inputs: Sequence[JointValue]
    rows: Sequence[Numbers]

    def __len__(self) -> int:
        return len(self.rows[0]) if self.rows else 1

    def rounded_answers(
        self, rule: Rule, look_up: Callable[[], Tabled | None] | None = None
    ) -> ValueColumn:
        """Ask a rule's function for the combinations as rounded.

        Its answers are the very ones that stand in tables: ``look_up`` gives these.
        """
        given = zip(self.inputs, self.rows, strict=True)
        columns = [value.rounded.at(rows) for value, rows in given]
        return answers(rule, columns, len(self), exact=True, look_up=look_up)

    def only(self, which: Numbers) -> AskedValues:
        """Take some of the distinct combinations, wherever they stand."""
        rows = [own[which] for own in self.rows]
        return AskedValues({}, np.arange(len(which)), self.inputs, rows)

    def through(self, rule: Rule, count: int | None = None) -> Worked:
        """Work out a rule's function for each combination, and what moves it.

        Parameters
        ----------
        rule
            Whose function.
        count
            How many of the inputs it reads, the first ones; all by default.
        """
        many = len(self.inputs) if count is None else count
        given = list(zip(self.inputs[:many], self.rows[:many], strict=True))
        columns = [value.exact.at(rows) for value, rows in given]
        exact = answers(rule, columns, len(self))
        moving = ~np.isnan(exact.numbers)
        sources = {
            s: n for n, s in enumerate(dict.fromkeys(s for v, _ in given for s in v.sources))
        }
        effects = np.zeros((len(self), len(sources)))
        slopes, bent = self._slopes(rule, columns, exact.numbers, moving)
        for number, (value, rows) in enumerate(given):
            moved = np.flatnonzero(slopes[:, number])
            if not (len(value.sources) and len(moved)):
                continue
            at = _place([sources[source] for source in value.sources])
            if len(moved) == len(self):
                effects[:, at] += slopes[:, number, None] * value.effects[rows]
            else:
                where = moved if isinstance(at, slice) else moved[:, None]
                effects[where, at] += slopes[moved, number, None] * value.effects[rows[moved]]
        if bent.any():
            self._move_together(rule, columns, exact.numbers, bent, sources, effects)
        return Worked(exact, tuple(sources), effects)

    def _slopes(
        self,
        rule: Rule,
        columns: Sequence[ValueColumn],
        here: Amounts,
        moving: Flags,
    ) -> tuple[Amounts, Flags]:
        """Take the steeper of the one-sided slopes in each input, and whether there is a kink.

        As `slopes.one_sided_slopes` does for one combination. A row for each combination, a
        column for each input.
        """
        slopes = np.zeros((len(self), len(columns)))
        bent = np.zeros((len(self), len(columns)), np.bool_)
        blocks: list[tuple[int, Numbers, Amounts]] = []
        for number in range(len(columns)):
            value, own = self.inputs[number], self.rows[number]
            if not value.sources:
                continue
            which = np.flatnonzero(moving & (value.widths > 0)[own])
            if len(which):
                blocks.append((number, which, value.widths[own[which]]))
        for some in _together(blocks):
            points = [(which, {number: steps}) for number, which, steps in some]
            above, below = beside(rule, columns, points)
            begin = 0
            for number, which, steps in some:
                place = slice(begin, begin + len(which))
                begin += len(which)
                up, down = (
                    (above[place] - here[which]) / steps,
                    (below[place] - here[which]) / -steps,
                )
                # A side on which the function is not defined says nothing.
                up, down = np.where(np.isnan(up), down, up), np.where(np.isnan(down), up, down)
                steeper = np.where(np.abs(up) >= np.abs(down), up, down)
                slopes[which, number] = np.where(np.isnan(steeper), 0.0, steeper)
                bent[which, number] = np.abs(up - down) > BENT * np.abs(steeper)
        return slopes, bent

    def _move_together(
        self,
        rule: Rule,
        columns: Sequence[ValueColumn],
        here: Amounts,
        bent: Flags,
        sources: Mapping[Source, int],
        effects: Amounts,
    ) -> None:
        """Set the effects of sources that reach a kink by several inputs, as for one package."""
        kinks = np.flatnonzero(bent.any(axis=1))
        reached: dict[Source, dict[int, Amounts]] = {}
        for number in range(len(columns)):
            value, own = self.inputs[number], self.rows[number][kinks]
            numbers = ~np.isnan(value.exact.numbers)[own]
            moved = np.where(numbers[:, None], value.effects[own], 0.0)
            for place in np.flatnonzero(moved.any(axis=0)).tolist():
                reached.setdefault(value.sources[place], {})[number] = moved[:, place]
        points, where = [], []
        for source, ways in reached.items():
            if len(ways) == 1:
                continue
            moved = np.stack(list(ways.values()))
            kinked = (bent[kinks][:, list(ways)].T & (moved != 0)).any(axis=0)
            rows = np.flatnonzero(kinked & ((moved != 0).sum(axis=0) > 1))
            if not len(rows):
                continue
            moved, chosen = moved[:, rows], kinks[rows]
            widths = np.stack([self.inputs[n].widths[self.rows[n][chosen]] for n in ways])
            with np.errstate(divide="ignore", invalid="ignore"):
                scales = np.where(moved != 0, widths / np.abs(moved), np.inf).min(axis=0)
            points.append((chosen, dict(zip(ways, scales * moved, strict=True))))
            where.append((sources[source], scales))
        if not points:
            return
        above, below = beside(rule, columns, points)
        begin = 0
        for (chosen, _), (column, scales) in zip(points, where, strict=True):
            part = slice(begin, begin + len(chosen))
            begin += len(chosen)
            up = np.nan_to_num((above[part] - here[chosen]) / scales)
            down = np.nan_to_num((below[part] - here[chosen]) / -scales)
            effects[chosen, column] = np.where(np.abs(up) >= np.abs(down), up, down)


def _place(columns: Sequence[int]) -> slice | Numbers:
    """Give columns as a slice where they lie next to each other: quicker to add to."""
    first = columns[0]
    if list(columns) == list(range(first, first + len(columns))):
        return slice(first, first + len(columns))
    return np.array(columns, np.int64)


def _together(
    blocks: Sequence[tuple[int, Numbers, Amounts]],
) -> Iterator[list[tuple[int, Numbers, Amounts]]]:
    """Put blocks together that are asked about at once, few enough to be held in memory."""
    some: list[tuple[int, Numbers, Amounts]] = []
    for block in blocks:
        if some and sum(len(rows) for _, rows, _ in [*some, block]) > AT_ONCE:
            yield some
            some = []
        some.append(block)
    if some:
        yield some


def beside(
    rule: Rule,
    columns: Sequence[ValueColumn],
    points: Sequence[tuple[Numbers, Mapping[int, Amounts]]],
) -> tuple[Amounts, Amounts]:
    """Ask a rule on either side of some combinations.

    Parameters
    ----------
    rule, columns
        Whose function, and its values in each combination.
    points
        Rows of combinations, and for each column that is moved there how far in each of them.

    Returns
    -------
    tuple of arrays
        What it gives where the values are greater, and less, for all points one after the other;
        not a number where it gives none.
    """
    rows = np.concatenate([own for own, _ in points])
    many = len(rows)
    moved = []
    for number, column in enumerate(columns):
        here = column.at(rows)
        sides, kinds = np.tile(here.numbers, 2), np.tile(here.kinds, 2)
        begin = 0
        for own, ways in points:
            above, below = (slice(b, b + len(own)) for b in (begin, many + begin))
            if number in ways:
                sides[above] += ways[number]
                sides[below] -= ways[number]
                kinds[above] = kinds[below] = PLAIN
            begin += len(own)
        moved.append(ValueColumn(sides, kinds, column.others))
    both = answers(rule, moved, 2 * many, aside=True).numbers
    return both[:many], both[many:]


def reserves(effects: Amounts) -> Amounts:
    """Give the reserve that each row of effects asks for: see `tolerances.reserve_of`."""
    root = RESERVE * np.sqrt(np.einsum("ij,ij->i", effects, effects))
    reserve: Amounts = np.minimum(root, np.einsum("ij->i", np.abs(effects)))
    return reserve


def with_estimate(stands: Propagation, rule: Figure, worked: Worked) -> Worked:
    """Add what a figure is off by itself where it is an estimate; ``stands``: before the build."""
    tolerance = stands.evaluation.tolerances.of_figure(rule.name)
    if tolerance is None:
        return worked
    before = stands.figure(rule.name)
    # An estimate that comes out as before is the same estimate: it is off by as much.
    same = _digits(before.exact) if before.is_number else ""
    own = np.zeros((len(worked.exact), 2))
    measures = stands.measures_of(rule)
    for row in np.flatnonzero(~np.isnan(worked.exact.numbers)).tolist():
        value = float(worked.exact.numbers[row])
        if value not in measures:
            own[row, int(_digits(value) != same)] = tolerance.half_width(value)
    sources = (
        *worked.sources,
        ("estimate", rule.name, same),
        ("estimate", rule.name, "new"),
    )
    return Worked(worked.exact, sources, np.hstack([worked.effects, own]))


def constant(value: Value, uncertain: Uncertain) -> JointValue:
    """Give a value that no part has a say in."""
    sources = tuple(uncertain.effects)
    effects = np.array([[uncertain.effects[source] for source in sources]]).reshape(1, len(sources))
    rounded_value, exact = ValueColumn.of([value]), ValueColumn.of([uncertain.exact])
    return JointValue({}, np.zeros((), np.int64), rounded_value, exact, sources, effects)


def _digits(value: Any) -> str:
    return f"{float(value):.9g}"
