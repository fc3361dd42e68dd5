"""All combinations of values that one rule can meet in a model.

A rule's function is asked once for each; how they are put together decides how often that is.
"""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np

from configurator.core.errors import PluginError
from configurator.model.parts import Missing, Value
from configurator.search.encoding import tables

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping, Sequence

    from numpy.typing import NDArray

    from configurator.model.rules import Rule

# A rule's table of more combinations than this is refused at load, with the rule's name.
LARGEST_TABLE = 2_000_000


class TooManyCombinations(PluginError):
    """A rule that would have to be asked more often than there is time for."""


@dataclass(frozen=True, slots=True)
class Term:
    """Where an input comes from: a constant, a column of a position, or a figure variable."""

    value: Value = Missing.UNKNOWN
    position: str = ""
    variable: int = -1


@dataclass(frozen=True, slots=True)
class Span:
    """All combinations of values that a rule can meet, as columns of codes.

    ``key`` is equal for equal combinations of equal values, whatever model they are in.
    """

    variables: tuple[int, ...]
    columns: tuple[NDArray[np.int32], ...]
    rows: int
    terms: tuple[Term, ...]
    values: Mapping[int, list[Value]]
    key: tuple[Any, ...]

    def arguments(self) -> Iterator[tuple[Value, ...]]:
        """Give the combinations as the rule's function reads them."""
        if not self.variables:
            yield tuple(term.value for term in self.terms)
            return
        column_of = dict(zip(self.variables, self.columns, strict=True))
        known: list[Iterable[Value]] = []
        for term in self.terms:
            if term.variable < 0:
                known.append(itertools.repeat(term.value))
            else:
                values = self.values[term.variable]
                known.append([values[code] for code in column_of[term.variable].tolist()])
        yield from zip(*known, strict=False)  # the repeated constants have no end


def make_span(
    rule: Rule,
    terms: Sequence[Term],
    columns: Mapping[int, NDArray[np.int32]],
    values: Sequence[list[Value]],
) -> Span:
    """Put together every combination of codes that a rule can meet.

    Columns of one position come as its classes combine them, never mixed.

    Parameters
    ----------
    rule
        For the message.
    terms
        Where its inputs come from.
    columns
        Variable of a position → its code in each of the position's classes.
    values
        For each variable of the model the list of its values.

    Raises
    ------
    TooManyCombinations
        If there are more than ``LARGEST_TABLE``.
    """
    variables = list(dict.fromkeys(t.variable for t in terms if t.variable >= 0))
    owner = {t.variable: t.position for t in terms if t.variable >= 0}
    groups: list[tuple[list[int], NDArray[np.int32]]] = []
    for position in dict.fromkeys(owner.values()):
        if position:
            mine = [v for v in variables if owner[v] == position]
            listed = [columns[v] for v in mine]
            key, _, _ = tables.keys(listed, [len(values[v]) for v in mine], len(listed[0]))
            _, first = np.unique(key, return_index=True)  # in order of the first column
            groups.append((mine, np.stack([column[first] for column in listed], axis=1)))
    for variable in variables:
        if not owner[variable]:
            codes = np.arange(len(values[variable]), dtype=np.int32)
            groups.append(([variable], codes[:, None]))
    lengths = [len(rows) for _, rows in groups]
    count = math.prod(lengths)
    if count > LARGEST_TABLE:
        text = ", ".join(map(str, lengths))
        raise TooManyCombinations(
            rule.plugin or rule.name,
            f"rule {rule.name!r} would have to be asked for {count:,} combinations ({text})",
            "split it into figures with an honest resolution",
        )
    span: dict[int, NDArray[np.int32]] = {}
    inner = count
    for (mine, rows), length in zip(groups, lengths, strict=True):
        inner = inner // length if length else 0
        index = np.tile(np.repeat(np.arange(length), inner), count // max(length * inner, 1))
        for k, variable in enumerate(mine):
            span[variable] = rows[index, k].astype(np.int32)
    domains = tuple(tuple(values[v]) for v in variables)
    return Span(
        tuple(variables),
        tuple(span[v] for v in variables),
        count,
        tuple(terms),
        {v: values[v] for v in variables},
        (domains, tuple(rows.tobytes() for _, rows in groups)),
    )


def order(value: Value) -> tuple[int, Any]:
    """Sort key for values of any kind: numbers first, then texts and codes, missing last."""
    if isinstance(value, Missing):
        return (2, value.name)
    if isinstance(value, bool | int | float):
        return (0, float(value))
    return (1, " ".join(sorted(value)) if isinstance(value, frozenset) else value)
