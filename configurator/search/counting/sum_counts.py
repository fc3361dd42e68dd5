"""How many packages keep a sum, or the budget, below a limit: exact, or between two numbers.

Sums are counted in steps. The packages below a row of the circuit, by the steps that they come to,
are the coefficients of a polynomial; a polynomial with coefficients that are not negative is one
large integer, its value at a power of two beyond all of them (Kronecker's substitution). So the
circuit is run once in ordinary integers of any size.

Where all shares are whole numbers of steps the count is exact. Where that takes too many steps,
they are made wider: with all shares rounded down more packages keep the limit than in truth, with
all rounded up fewer.

References
----------
.. [1] A. Schönhage, *Asymptotically fast algorithms for the numerical multiplication and division
   of polynomials with complex coefficients*, EUROCAM 1982: polynomials as integers.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np

from configurator.search.circuit.passes import answer, backward, forward
from configurator.search.limits import LIMITS

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from numpy.typing import NDArray

    from configurator.search.circuit.semirings import Index, Values
    from configurator.search.optimum.preparing import Prepared

# What a row takes whatever the steps, in about nanoseconds.
A_ROW = 400
# Digits of a share: thousandths of its unit (grams for masses). One that differs from a whole
# number of them by more than this is no whole number.
DIGITS = 1000
APART = 1e-4


@dataclass(frozen=True, slots=True)
class CountBySteps:
    """How many packages come to each number of steps, as one integer per row.

    Parameters
    ----------
    bits
        Of each coefficient; none reaches two to this power.
    steps
        How many coefficients are kept: what comes to more steps is not counted.

    Examples
    --------
    >>> by_steps = CountBySteps(8, 3)
    >>> one = np.array([1 + (1 << 8)], object)  # one package at no step, one at one step
    >>> [hex(number) for number in by_steps.multiply(one, one)]
    ['0x10201']
    """

    bits: int
    steps: int

    def ones(self, length: int) -> Values:
        """Count one, at no step."""
        return np.full(length, 1, object)

    def multiply(self, left: Values, right: Values) -> Values:
        """Multiply polynomials, as far as steps count."""
        return np.asarray(self.kept(left * right))

    def kept(self, polynomials: Any) -> Any:
        """Leave out what comes to too many steps."""
        return polynomials & ((1 << self.bits * self.steps) - 1)

    def add_segments(self, values: Values, starts: Index) -> Values:
        """Add up the polynomials of each segment."""
        return np.asarray(np.add.reduceat(values, starts))

    def add_by_row(self, values: Values, row_of: Index, rows: int) -> Values:
        """Add up the polynomials of each row."""
        sums = np.zeros(rows, object)
        np.add.at(sums, row_of, values)
        return sums

    def in_all(self, polynomial: int) -> int:
        """Add up the coefficients.

        Examples
        --------
        >>> CountBySteps(8, 3).in_all(0x10201)
        4
        """
        # The base leaves one when divided by one less.
        return polynomial % ((1 << self.bits) - 1)


@dataclass(frozen=True, slots=True)
class Limited:
    """What must stay at or below a limit.

    Parameters
    ----------
    shares
        Position → for each option what it adds.
    room
        What all options, and all work, may add together.
    work
        Table number → for each row of its leaf what it adds.
    """

    shares: Mapping[str, NDArray[np.float64]]
    room: float
    work: Mapping[int, NDArray[np.float64]]


@dataclass(frozen=True, slots=True)
class Below:
    """How many packages there are at least and at most, in all and with each option."""

    total: tuple[int, int]
    options: Mapping[str, tuple[tuple[int, int], ...]]

    @property
    def exact(self) -> bool:
        """Whether these are the numbers themselves."""
        every = [self.total, *(item for option in self.options.values() for item in option)]
        return all(least == most for least, most in every)


def count_below(
    prepared: Prepared,
    masks: Mapping[int, NDArray[np.int64]],
    left: Mapping[str, NDArray[np.bool_]],
    limited: Limited,
    positions: Sequence[str],
    effort: int = LIMITS.counting_effort,
) -> Below | None:
    """Count the packages of a circuit that keep a limit.

    Parameters
    ----------
    prepared
        The case; its circuit must be exact.
    masks
        Table number → 1 for each row of its leaf that counts and 0 for others, for goals.
    left
        Position → whether each option may be chosen.
    limited
        The limit.
    positions
        Positions to count the options of.
    effort
        About how many nanoseconds that may take.

    Returns
    -------
    Below or None
        None if even few steps take more effort than that.
    """
    largest = math.prod(max(1, int(each.sum())) for each in left.values())
    bits = largest.bit_length() + 1
    fine = _steps(left, limited)
    if fine is not None and _effort(prepared, bits, fine.steps) <= effort:
        both = _run(prepared, masks, left, fine, bits, positions)
        return _paired(both, both)
    steps = 1 << 12
    while steps > 8 and 2 * _effort(prepared, bits, steps) > effort:
        steps //= 2
    if 2 * _effort(prepared, bits, steps) > effort:
        return None
    counts = []
    for up in (True, False):
        coarse = _coarse(left, limited, steps, up=up)
        counts.append(_run(prepared, masks, left, coarse, bits, positions))
    return _paired(counts[0], counts[1])


@dataclass(frozen=True, slots=True)
class _Steps:
    """A limit in whole steps: no option is below none, and fewer than ``steps`` keep the limit."""

    shares: Mapping[str, NDArray[np.int64]]
    work: Mapping[int, NDArray[np.int64]]
    steps: int


_Counted = tuple[int, dict[str, tuple[int, ...]]]


def _paired(least: _Counted, most: _Counted) -> Below:
    options = {
        position: tuple(zip(few, most[1][position], strict=True))
        for position, few in least[1].items()
    }
    return Below((least[0], most[0]), options)


def _effort(prepared: Prepared, bits: int, steps: int) -> float:
    """Say about how many nanoseconds both passes take: Karatsuba's product of large integers."""
    words = bits * max(0, steps) / 64
    return 2 * prepared.circuit.rows * (A_ROW + math.pow(words, 1.58))


def _shifted(
    left: Mapping[str, NDArray[np.bool_]], limited: Limited
) -> tuple[dict[str, NDArray[np.float64]], float]:
    """Count from the least share of each position, so that none is negative."""
    shares = {}
    room = limited.room
    for position, each in limited.shares.items():
        least = float(each[left[position]].min(initial=np.inf)) if left[position].any() else 0.0
        shares[position] = np.maximum(each - least, 0.0)
        room -= least
    return shares, room


def _steps(left: Mapping[str, NDArray[np.bool_]], limited: Limited) -> _Steps | None:
    """Find steps of which all shares are whole numbers; None if there are none."""
    shares, room = _shifted(left, limited)
    whole = {p: np.rint(each * DIGITS).astype(np.int64) for p, each in shares.items()}
    work = {n: np.rint(each * DIGITS).astype(np.int64) for n, each in limited.work.items()}
    for exact, rounded in (
        *((shares[p][left[p]], whole[p][left[p]]) for p in shares),
        *((limited.work[n], work[n]) for n in work),
    ):
        if np.abs(exact * DIGITS - rounded).max(initial=0.0) > APART:
            return None
    used = [*(whole[p][left[p]] for p in whole), *work.values()]
    step = math.gcd(*(int(item) for each in used for item in np.unique(each))) or 1
    most = sum(int(each.max(initial=0)) for each in used) // step
    # What lies on the limit keeps it, whatever the last bit of a float says.
    below = math.floor((room * DIGITS + APART) / step)
    return _Steps(
        {p: each // step for p, each in whole.items()},
        {n: each // step for n, each in work.items()},
        min(below, most) + 1,
    )


def _coarse(
    left: Mapping[str, NDArray[np.bool_]], limited: Limited, steps: int, *, up: bool
) -> _Steps:
    shares, room = _shifted(left, limited)
    if room < 0:
        return _Steps({p: np.zeros(len(e), np.int64) for p, e in shares.items()}, {}, 0)
    step = max(room / (steps - 1), 1.0 / DIGITS)

    def rounded(each: NDArray[np.float64]) -> NDArray[np.int64]:
        exact = each / step
        result = np.ceil(exact - 1e-9) if up else np.floor(exact + 1e-9)
        return np.asarray(result, np.int64)

    return _Steps(
        {p: rounded(each) for p, each in shares.items()},
        {n: rounded(each) for n, each in limited.work.items()},
        math.floor(room / step + 1e-9) + 1,
    )


def _run(
    prepared: Prepared,
    masks: Mapping[int, NDArray[np.int64]],
    left: Mapping[str, NDArray[np.bool_]],
    limit: _Steps,
    bits: int,
    positions: Sequence[str],
) -> _Counted:
    tables = prepared.model.position_tables
    if limit.steps <= 0:
        return 0, {p: (0,) * len(left[p]) for p in positions}
    semiring = CountBySteps(bits, limit.steps)
    weights: dict[int, Values] = {n: mask.astype(object) for n, mask in masks.items()}

    def powers(steps: NDArray[np.int64]) -> Values:
        shifted = np.empty(len(steps), object)
        shifted[:] = [1 << bits * k if k < limit.steps else 0 for k in steps.tolist()]
        return shifted

    for number, steps in limit.work.items():
        weights[number] = powers(steps)
    for position, seat in prepared.seats.items():
        each = powers(limit.shares[position])
        each[~left[position]] = 0
        weights[tables[position]] = np.add.reduceat(each[seat.members], seat.starts)
    values = forward(prepared.circuit, weights, semiring)
    above = backward(prepared.circuit, values, semiring, {tables[p] for p in positions})
    options = {}
    for position in positions:
        rows = prepared.seats[position].row_of.tolist()
        own = powers(limit.shares[position])
        options[position] = tuple(
            semiring.in_all(semiring.kept(above[tables[position]][row] * own[n]))
            if left[position][n]
            else 0
            for n, row in enumerate(rows)
        )
    return semiring.in_all(semiring.kept(answer(values, semiring))), options
