"""Rules asked for many combinations of values at once.

Most rules are arithmetic. Given columns of numbers in place of numbers, their functions work whole
columns out, in the same steps as one number and with the same outcome. Where a function decides
(``if a > b``, ``max(a, b)``), it is asked anew for the combinations that decide alike. Whatever a
column cannot do as a number would is asked for one combination after the other.

What a function does with a column is known of the rules that come with Fitwright, by a test; those
of others are asked one by one.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.lib.mixins import NDArrayOperatorsMixin

from configurator.evaluation.rule_calls import call_rule
from configurator.evaluation.slopes import beyond
from configurator.model.parts import Missing
from configurator.search.encoding.kept_answers import is_bundled
from configurator.search.encoding.positional_rules import asker, by_position
from configurator.search.encoding.value_columns import PLAIN, ValueColumn

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Sequence

    from numpy.typing import NDArray

    from configurator.model.parts import Value
    from configurator.model.rules import Rule

    Rows = NDArray[np.intp]
    # Values for combinations, and for which of them they are known.
    Tabled = tuple[ValueColumn, NDArray[np.bool_]]

# Combinations up to which asking one by one takes no longer.
FEW = 12
# How often a function may be asked anew for combinations that decide alike.
MOST_WAYS = 64
# The exponent that most powers have.
SQUARE = 2
# The least base that may have any exponent.
SMALLEST = 5e-324
# What functions may do with columns: each number comes out as it does alone, to the last bit
# (IEEE 754 says of these what they give), or but for the last bits.
EXACT = frozenset(
    [
        *(np.add, np.subtract, np.multiply, np.true_divide, np.negative, np.positive),
        *(np.absolute, np.minimum, np.maximum, np.sqrt),
        *(np.less, np.less_equal, np.greater, np.greater_equal, np.equal, np.not_equal),
    ]
)
CLOSE = frozenset(
    [
        *(np.exp, np.power, np.radians, np.degrees),
        *(np.sin, np.cos, np.tan, np.arcsin, np.arccos, np.arctan, np.arctan2),
    ]
)


class DecidedBothWays(BaseException):
    """A function decides one way for some combinations and the other way for others.

    No rule may catch it as an error of its own.
    """

    def __init__(self, flags: NDArray[np.bool_]) -> None:
        super().__init__()
        self.flags = flags


class Flags:
    """What a comparison of a column gives."""

    __hash__ = None  # type: ignore[assignment]

    def __init__(self, flags: NDArray[np.bool_]) -> None:
        self.flags = flags

    def __bool__(self) -> bool:
        first = bool(self.flags[0])
        if (self.flags != first).any():
            raise DecidedBothWays(self.flags)
        return first

    def __eq__(self, other: object) -> bool:
        raise TypeError(type(self).__name__)

    def __str__(self) -> str:
        raise TypeError(type(self).__name__)


class NumberColumn(NDArrayOperatorsMixin):
    """Numbers that a rule's function takes for one number."""

    __hash__ = None  # type: ignore[assignment]

    allowed: frozenset[Any] = EXACT | CLOSE

    def __init__(self, numbers: NDArray[np.float64]) -> None:
        self.numbers = numbers

    def __array_ufunc__(self, ufunc: Any, method: str, *inputs: Any, **options: Any) -> Any:
        """Work a function of numpy, or an operator, out for all numbers."""
        if ufunc not in self.allowed or method != "__call__" or options:
            return NotImplemented
        if ufunc is np.power:
            return _power(*inputs)
        given = [item.numbers if isinstance(item, NumberColumn) else item for item in inputs]
        if ufunc is np.true_divide:
            zero = np.equal(given[1], 0.0)
            if zero.any():
                if not zero.all():
                    raise DecidedBothWays(zero)
                raise ZeroDivisionError
        answer = ufunc(*given)
        if answer.dtype == np.bool_:
            return Flags(answer)
        return type(self)(answer) if answer.dtype == np.float64 else NotImplemented

    def __bool__(self) -> bool:
        return bool(Flags(self.numbers != 0.0))

    def __str__(self) -> str:
        raise TypeError(type(self).__name__)


class ExactNumberColumn(NumberColumn):
    """Numbers of which no bit may come out otherwise than of each alone."""

    allowed = EXACT


def _power(base: object, exponent: object) -> NumberColumn:
    """Raise to a power, as Python does but for the last bits; whatever might be an error, by it."""
    below, above = _numbers(base), _numbers(exponent)
    if isinstance(above, int | float) and above == SQUARE:
        powers, plain = np.square(below), True
    else:
        powers = np.power(np.asarray(below, np.float64), np.asarray(above, np.float64))
        least = 0.0 if np.all(np.greater(above, 0.0)) else SMALLEST
        plain = bool(np.all(np.greater_equal(below, least)))
    if not (plain and np.isfinite(powers).all()):
        both = (item.tolist() for item in np.broadcast_arrays(below, above))
        listed = [item**power for item, power in zip(*both, strict=True)]
        if set(map(type, listed)) != {float}:
            raise TypeError(base)
        powers = np.array(listed, np.float64)
    return NumberColumn(powers)


def _numbers(item: object) -> Any:
    return item.numbers if isinstance(item, NumberColumn) else item


def worth_columns(rule: Rule, many: int) -> bool:
    """Whether it is known what a rule's function does with a column, and there is much to ask."""
    return many > FEW and is_bundled(rule)


def answers(
    rule: Rule,
    columns: Sequence[ValueColumn],
    many: int,
    *,
    aside: bool = False,
    exact: bool = False,
    look_up: Callable[[], Tabled | None] | None = None,
) -> ValueColumn:
    """Ask a rule's function for many combinations of values.

    Parameters
    ----------
    rule
        Whose function.
    columns
        A column for each of its inputs.
    many
        Length of the columns.
    aside
        Whether the combinations are beside those that there are: where the function is not defined,
        or gives no number, there is none.
    exact
        Whether they must be what comes of each combination alone, to the last bit.
    look_up
        Gives what stands in a table already; asked where the function takes no columns.

    Returns
    -------
    ValueColumn
        What it gives; `Missing` where it does not apply.

    Raises
    ------
    PluginError
        If the function fails, or gives no number (NaN).
    """
    asked = _Asked(rule, columns, aside, ExactNumberColumn if exact else NumberColumn, look_up)
    for rows in _alike_in_kind(columns, many):
        asked.ask(rows)
    return asked.answers(many)


def _alike_in_kind(columns: Sequence[ValueColumn], many: int) -> Iterator[Rows]:
    """Give the rows that have a plain number in the same columns, and else the same values."""
    key, bound = np.zeros(many, np.int64), 1
    for column in columns:
        if column.others:
            key = key * (len(column.others) + 1) + (column.kinds + 1)
            bound *= len(column.others) + 1
            if bound > 2**32:
                key = np.unique(key, return_inverse=True)[1].reshape(-1)
                bound = many
    if bound == 1:
        yield np.arange(many)
        return
    order = np.argsort(key, kind="stable")
    yield from np.split(order, np.flatnonzero(np.diff(key[order])) + 1)


def _are_all(rows: Rows, many: int) -> bool:
    """Whether these rows are all that there are, in order."""
    return len(rows) == many and bool((rows[1:] > rows[:-1]).all())


@dataclass(frozen=True, slots=True)
class _Piece:
    """What some rows have come to: numbers, or values of any kind."""

    rows: Rows
    values: NDArray[np.float64] | ValueColumn


class _Asked:
    """What a rule is asked for, and what it gave so far."""

    def __init__(
        self,
        rule: Rule,
        columns: Sequence[ValueColumn],
        aside: bool,
        make_column: type[NumberColumn] = NumberColumn,
        look_up: Callable[[], Tabled | None] | None = None,
    ) -> None:
        self._rule, self._columns, self._aside = rule, columns, aside
        self._look_up = look_up
        self._function = by_position(rule)
        self._ask = asker(rule)
        self._known: dict[tuple[Value, ...], Value] = {}
        self._pieces: list[_Piece] = []
        self._make_column = make_column

    @cached_property
    def _tabled(self) -> Tabled | None:
        return None if self._look_up is None else self._look_up()

    def answers(self, many: int) -> ValueColumn:
        """Put the pieces together."""
        if len(self._pieces) == 1 and _are_all(self._pieces[0].rows, many):
            values = self._pieces[0].values
            return values if isinstance(values, ValueColumn) else ValueColumn.of_numbers(values)
        numbers, kinds = np.full(many, np.nan), np.full(many, PLAIN, np.int32)
        places: dict[tuple[type, Value], int] = {}
        for piece in self._pieces:
            if isinstance(piece.values, ValueColumn):
                own = piece.values
                numbers[piece.rows] = own.numbers
                here = [places.setdefault((type(o), o), len(places)) for o in own.others]
                kinds[piece.rows] = np.array([*here, PLAIN], np.int32)[own.kinds]
            else:
                numbers[piece.rows] = piece.values
        return ValueColumn(numbers, kinds, tuple(value for _, value in places))

    def ask(self, rows: Rows) -> None:
        """Ask for rows that are alike in kind, all at once as far as that can be done."""
        if not len(rows):
            return
        if not self._columns or not worth_columns(self._rule, len(rows)):
            self.ask_each(rows)
            return
        first = [column[int(rows[0])] for column in self._columns]
        absent = any(
            isinstance(value, Missing) and not item.takes_missing
            for item, value in zip(self._rule.inputs, first, strict=True)
        )
        if absent:
            self._note(rows, call_rule(self._rule, tuple(first)))
            return
        waiting = [rows]
        for _ in range(MOST_WAYS):
            if not waiting:
                return
            own = waiting.pop()
            if not worth_columns(self._rule, len(own)):
                self.ask_each(own)
                continue
            try:
                with np.errstate(all="ignore"):
                    answer = self._function(*self._arguments(own))
            except DecidedBothWays as decided:
                waiting += [own[decided.flags], own[~decided.flags]]
            except Exception:  # one by one it is said of which rule and with what
                self.ask_each(own)
            else:
                self._take(own, answer)
        for own in waiting:
            self.ask_each(own)

    def _arguments(self, rows: Rows) -> list[Any]:
        """Give for each input a column, or the value that all of these rows have."""
        given: list[Any] = []
        every = _are_all(rows, len(self._columns[0]))
        for column in self._columns:
            kind = int(column.kinds[rows[0]])
            if kind != PLAIN:
                value = column.others[kind]
                given.append(None if isinstance(value, Missing) else value)
                continue
            numbers = column.numbers if every else column.numbers[rows]
            same = bool((numbers == numbers[0]).all())
            given.append(float(numbers[0]) if same else self._make_column(numbers))
        return given

    def _take(self, rows: Rows, answer: Any) -> None:
        """Note an answer for all rows, if it is one."""
        if isinstance(answer, NumberColumn):
            undefined = np.isnan(answer.numbers)
            if undefined.any():
                self.ask_each(rows[undefined])
                rows, answer = rows[~undefined], NumberColumn(answer.numbers[~undefined])
            self._pieces.append(_Piece(rows, answer.numbers))
        elif isinstance(answer, Flags):
            for flag in (True, False):
                self._note(rows[answer.flags == flag], flag)
        elif type(answer) in _VALUES and answer == answer:
            self._note(rows, answer)
        else:
            self.ask_each(rows)

    def _note(self, rows: Rows, answer: Any) -> None:
        value = _as_value(answer)
        self._pieces.append(_Piece(rows, ValueColumn.repeated(value, len(rows))))

    def ask_each(self, rows: Rows) -> None:
        """Ask for each combination that no table tells; once for those that are the same."""
        if self._tabled is not None and len(rows) > FEW:
            tabled, there = self._tabled
            inside, rows = rows[there[rows]], rows[~there[rows]]
            self._pieces.append(_Piece(inside, tabled.at(inside)))
        listed = [column.at(rows).listed() for column in self._columns]
        known, values = self._known, []
        for given in zip(*listed, strict=True) if listed else [()] * len(rows):
            if given not in known:
                known[given] = self._answer(given)
            values.append(known[given])
        self._pieces.append(_Piece(rows, ValueColumn.of(values)))

    def _answer(self, given: tuple[Value, ...]) -> Value:
        if self._aside:
            number = beyond(self._ask, given)
            return Missing.UNKNOWN if number is None else number
        return _as_value(self._ask(given))


_VALUES = frozenset({float, np.float64, int, bool, str, frozenset, Missing, type(None)})


def _as_value(answer: Any) -> Value:
    if answer is None:
        return Missing.NOT_FITTED
    return float(answer) if type(answer) is np.float64 else answer
