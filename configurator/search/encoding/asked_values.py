"""What rules are asked with, once for each distinct combination, and what moves their answers."""

from __future__ import annotations

import inspect
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, TypeGuard

import numpy as np

from configurator.evaluation.propagation import BENT, beyond, moved_together
from configurator.evaluation.rule_calls import call_rule
from configurator.model.parts import Missing
from configurator.model.tolerances import RESERVE, reserve_of

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence

    from numpy.typing import NDArray

    from configurator.evaluation.propagation import Propagation, Source, Uncertain
    from configurator.model.parts import Value
    from configurator.model.rules import Figure, Rule

    Numbers = NDArray[np.int64]
    Amounts = NDArray[np.float64]

# Decimals of SI units to which values that differ count as alike.
DIGITS = 11
# Types of numbers that need no second look; yes and no have a type of their own.
PLAIN = (float, np.float64, int)


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


@dataclass(frozen=True, slots=True)
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
    ids: Numbers
    rounded: Sequence[Value]
    exact: Sequence[Value]
    sources: Sequence[Source]
    effects: Amounts
    digest: bytes = b""

    def along(self, classes: Mapping[str, PositionClasses]) -> Numbers:
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

    exact: list[Value]
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
    ids: Numbers
    inputs: Sequence[JointValue]
    rows: Sequence[Numbers]

    def __len__(self) -> int:
        return len(self.rows[0]) if self.rows else 1

    def rounded(self) -> list[tuple[Value, ...]]:
        """Give the combinations as rounded."""
        return self._listed([value.rounded for value in self.inputs])

    def exact(self) -> list[tuple[Value, ...]]:
        """Give the combinations with nothing rounded."""
        return self._listed([value.exact for value in self.inputs])

    def _listed(self, values: Sequence[Sequence[Value]]) -> list[tuple[Value, ...]]:
        if not self.rows:
            return [()]
        columns = [
            [each[row] for row in rows.tolist()]
            for each, rows in zip(values, self.rows, strict=True)
        ]
        return list(zip(*columns, strict=True))

    def through(
        self, rule: Rule, count: int | None = None, wanted: NDArray[np.bool_] | None = None
    ) -> Worked:
        """Work out a rule's function for each combination, and what moves it.

        Parameters
        ----------
        rule
            Whose function.
        count
            How many of the inputs it reads, the first ones; all by default.
        wanted
            Combinations of which it matters what moves them; all by default.
        """
        many = len(self.inputs) if count is None else count
        rows = [values[:many] for values in self.exact()]
        ask = asker(rule)
        known: dict[tuple[Value, ...], Any] = {}
        exact = []
        for values in rows:
            if values not in known:
                answer = ask(values)
                if type(answer) is np.float64:  # what reads it is quicker with Python's own
                    answer = float(answer)
                known[values] = Missing.NOT_FITTED if answer is None else answer
            exact.append(known[values])
        moving = np.fromiter((is_number(value) for value in exact), np.bool_, len(exact))
        if wanted is not None:
            moving &= wanted
        sources: dict[Source, int] = {}
        parts = []
        bent = np.zeros((len(rows), many), np.bool_)
        for number, value in enumerate(self.inputs[:many]):
            if not value.sources:
                continue
            slopes, bent[:, number] = self._slopes(rule, rows, exact, number, moving)
            parts.append((number, slopes))
            for source in value.sources:
                sources.setdefault(source, len(sources))
        effects = np.zeros((len(rows), len(sources)))
        for number, slopes in parts:
            value = self.inputs[number]
            at = [sources[source] for source in value.sources]
            effects[:, at] += slopes[:, None] * value.effects[self.rows[number]]
        for row in np.flatnonzero(bent.any(axis=1)).tolist():
            self._move_together(ask, rows[row], exact[row], row, bent[row], sources, effects)
        return Worked(exact, tuple(sources), effects)

    def _move_together(
        self,
        ask: Callable[[tuple[Value, ...]], Any],
        values: tuple[Value, ...],
        here: Value,
        row: int,
        bent: NDArray[np.bool_],
        sources: Mapping[Source, int],
        effects: Amounts,
    ) -> None:
        """Set the effects of sources that reach a kink by several inputs, as for one package."""
        ways: dict[Source, dict[int, float]] = {}
        widths: dict[int, float] = {}
        for number in range(len(bent)):
            value, own = self.inputs[number], int(self.rows[number][row])
            if not value.sources or not is_number(values[number]):
                continue
            moved = value.effects[own]
            widths[number] = reserve_of(moved.tolist())
            for place in np.flatnonzero(moved).tolist():
                ways.setdefault(value.sources[place], {})[number] = float(moved[place])
        for source, reached in ways.items():
            if len(reached) > 1 and any(bent[number] for number in reached):
                effects[row, sources[source]] = moved_together(
                    ask,
                    values,
                    reached,
                    widths,
                    float(here),  # type: ignore[arg-type]
                )

    def _slopes(
        self,
        rule: Rule,
        rows: Sequence[tuple[Value, ...]],
        exact: Sequence[Value],
        number: int,
        moving: NDArray[np.bool_],
    ) -> tuple[Amounts, NDArray[np.bool_]]:
        """Take the steeper of the one-sided slopes in one input, and whether there is a kink.

        As `propagation.one_sided_slopes` does for one combination.
        """
        value, own = self.inputs[number], self.rows[number]
        numbers = np.fromiter((is_number(v) for v in value.exact), np.bool_, len(value.exact))
        widths = reserves(value.effects)
        which = np.flatnonzero(moving & (numbers & (widths > 0))[own])
        slopes, bent = np.zeros(len(rows)), np.zeros(len(rows), np.bool_)
        if not len(which):
            return slopes, bent
        steps = widths[own[which]]
        given = [rows[row] for row in which.tolist()]
        here = np.array([exact[row] for row in which.tolist()], np.float64)
        gaps = np.zeros(len(rows), np.bool_)
        for other, at in zip(self.inputs, self.rows, strict=True):
            gaps |= np.fromiter((type(v) is Missing for v in other.exact), np.bool_)[at]
        above, below = beside(rule, given, number, steps.tolist(), gaps[which].tolist())
        up, down = (above - here) / steps, (below - here) / -steps
        # A side on which the function is not defined says nothing.
        up, down = np.where(np.isnan(up), down, up), np.where(np.isnan(down), up, down)
        steeper = np.where(np.abs(up) >= np.abs(down), up, down)
        slopes[which] = np.where(np.isnan(steeper), 0.0, steeper)
        bent[which] = np.abs(up - down) > BENT * np.abs(steeper)
        return slopes, bent


def beside(
    rule: Rule,
    given: Sequence[tuple[Value, ...]],
    number: int,
    steps: Sequence[float],
    gaps: Sequence[bool],
) -> tuple[Amounts, Amounts]:
    """Ask a rule on either side of some combinations: one value more, and less, by a step.

    Parameters
    ----------
    rule, given
        Whose function, and its values in each combination.
    number, steps
        Which of the values is moved, and how far in each combination.
    gaps
        Combinations in which some value is missing.

    Returns
    -------
    tuple of arrays
        What it gives above and below; not a number where it gives none.
    """
    quick, ask = by_position(rule), asker(rule)
    known: dict[tuple[tuple[Value, ...], float], tuple[float, float]] = {}
    sides = []
    for values, step, gap in zip(given, steps, gaps, strict=True):
        key = (values, step)
        both = known.get(key)
        if both is None:
            moved: list[Any] = list(values)
            at = moved[number]
            plain = not gap
            try:
                if plain:
                    moved[number] = at + step
                    above = quick(*moved)
                    moved[number] = at - step
                    below = quick(*moved)
                    plain = type(above) in PLAIN and type(below) in PLAIN
            except Exception:  # asked again with care
                plain = False
            if not plain:
                head, tail = values[:number], values[number + 1 :]
                above = beyond(ask, (*head, at + step, *tail))
                below = beyond(ask, (*head, at - step, *tail))
                above = np.nan if above is None else above
                below = np.nan if below is None else below
            both = known[key] = (above, below)
        sides.append(both)
    both_sides = np.array(sides, np.float64).reshape(len(sides), 2)
    return both_sides[:, 0], both_sides[:, 1]


def reserves(effects: Amounts) -> Amounts:
    """Give the reserve that each row of effects asks for: see `tolerances.reserve_of`."""
    widths = np.abs(effects)
    root: Amounts = RESERVE * np.sqrt((widths**2).sum(axis=1))
    reserve: Amounts = np.minimum(root, widths.sum(axis=1))
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
    for row, value in enumerate(worked.exact):
        if is_number(value) and value not in measures:
            own[row, int(_digits(value) != same)] = tolerance.half_width(value)
    sources = (
        *worked.sources,
        ("estimate", rule.name, same),
        ("estimate", rule.name, "new"),
    )
    return Worked(worked.exact, sources, np.hstack([worked.effects, own]))


def alike(
    rounded_values: Sequence[Value], exact: Sequence[Value], effects: Amounts
) -> tuple[list[int], Numbers]:
    """Find values that nothing tells apart: a row of each kind, and the kind of each row."""
    # Rounded to far below any tolerance: sums in another order differ in the last bits.
    rounded_effects = np.round(effects, DIGITS)
    rounded_effects += 0.0  # no negative nothing
    kinds: dict[tuple[Value, Value, bytes], int] = {}
    kept: list[int] = []
    kind = np.empty(len(rounded_values), np.int64)
    for row, (rounded_value, value) in enumerate(zip(rounded_values, exact, strict=True)):
        close = round(value, DIGITS) if isinstance(value, float) else value
        key = (rounded_value, close, rounded_effects[row].tobytes())
        if key not in kinds:
            kinds[key] = len(kept)
            kept.append(row)
        kind[row] = kinds[key]
    return kept, kind


def constant(value: Value, uncertain: Uncertain) -> JointValue:
    """Give a value that no part has a say in."""
    sources = tuple(uncertain.effects)
    effects = np.array([[uncertain.effects[source] for source in sources]]).reshape(1, len(sources))
    return JointValue({}, np.zeros((), np.int64), [value], [uncertain.exact], sources, effects)


def by_position(rule: Rule) -> Callable[..., Any]:
    """Give a rule's function as one that takes its inputs in order."""
    function: Any = rule.function
    names = [item.parameter for item in rule.inputs]
    own = list(inspect.signature(function).parameters.values())
    first = own[: len(names)]
    in_order = [each.name for each in first] == names
    if in_order and all(each.kind is each.POSITIONAL_OR_KEYWORD for each in first):
        return function  # type: ignore[no-any-return]
    return lambda *values: function(**dict(zip(names, values, strict=True)))


def asker(rule: Rule) -> Callable[[tuple[Value, ...]], Any]:
    """Give a rule's function as `rule_calls.call_rule` asks it, but quicker for sound values."""
    function = by_position(rule)

    def ask(values: tuple[Value, ...]) -> Any:
        if Missing in map(type, values):
            return call_rule(rule, values)
        try:
            answer = function(*values)
        except Exception:  # asked again, so that it is said of which rule and with what
            return call_rule(rule, values)
        return call_rule(rule, values) if answer != answer else answer

    return ask


def is_number(value: Any) -> TypeGuard[float]:
    """Whether a value is a number, yes and no left aside."""
    return isinstance(value, int | float) and not isinstance(value, bool)


def _digits(value: Any) -> str:
    return f"{float(value):.9g}"
