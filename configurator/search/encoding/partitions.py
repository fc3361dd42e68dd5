"""Values told apart as far as it takes, so that what a rule says of them is never mixed.

A partition gives each distinct value of an input a block; it begins with one block for each rounded
value. Where combinations of blocks hold answers that differ, blocks are split, those that settle
most with the fewest values first.

References
----------
.. [1] R. Paige and R. E. Tarjan, *Three partition refinement algorithms*, SIAM Journal on Computing
   16 (1987); from memory.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from configurator.search.encoding.tables import distinct_count, keys, numbered

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from numpy.typing import NDArray

    Numbers = NDArray[np.int64]

# Stands for an answer that does not matter.
NO_MATTER = -1
# Stands for answers that differ even with one input fully told apart.
MIXED = -2


def refined(rows: Sequence[Numbers], blocks: Sequence[Numbers], answers: Numbers) -> list[Numbers]:
    """Split blocks until no combination of them has answers that differ.

    Parameters
    ----------
    rows
        For each input the number of its value in each combination.
    blocks
        For each input the block of each of its values.
    answers
        What is said of each combination: a number, or `NO_MATTER`.

    Returns
    -------
    list of arrays
        The blocks, numbered anew.

    Examples
    --------
    >>> rows = [np.array([0, 1, 2]), np.array([0, 0, 0])]
    >>> refined(rows, [np.zeros(3, int), np.zeros(1, int)], np.array([0, 1, 1]))[0].tolist()
    [0, 1, 1]
    """
    result = [block.copy() for block in blocks]
    while True:
        here = _mixed([block[row] for block, row in zip(result, rows, strict=True)], answers)
        if not len(here):
            return result
        few = [row[here] for row in rows]
        own = answers[here]
        number = _most_settled(few, result, own)
        _split(few, result, own, number)


def _key(columns: Sequence[Numbers], many: int) -> Numbers:
    """Give each combination in some columns of whole numbers from -1 on a number."""
    sizes = [int(column.max(initial=-1)) + 2 for column in columns]
    key, _, bound = keys([(column + 1).astype(np.int32) for column in columns], sizes, many)
    return numbered(key, bound)[1].astype(np.int64)


def _mixed(columns: Sequence[Numbers], answers: Numbers) -> Numbers:
    """Give the combinations that matter and stand in one group with others that differ."""
    matter = np.flatnonzero(answers != NO_MATTER)
    if not len(matter):
        return matter
    key = _key([column[matter] for column in columns], len(matter))
    own = answers[matter]
    many = int(key.max()) + 1
    least = np.full(many, np.iinfo(np.int64).max)
    most = np.full(many, np.iinfo(np.int64).min)
    np.minimum.at(least, key, own)
    np.maximum.at(most, key, own)
    differ: Numbers = matter[(least != most)[key]]
    return differ


def _most_settled(rows: Sequence[Numbers], blocks: Sequence[Numbers], answers: Numbers) -> int:
    """Choose the input that leaves fewest mixed if told apart; of equals that of least values."""
    block_columns = [block[row] for block, row in zip(blocks, rows, strict=True)]
    best = None
    for number, row in enumerate(rows):
        values = distinct_count(row)
        if values == distinct_count(block_columns[number]):
            continue  # nothing left to tell apart
        columns = [*block_columns[:number], row, *block_columns[number + 1 :]]
        rank = (len(_mixed(columns, answers)), values, number)
        best = rank if best is None else min(best, rank)
    if best is None:
        message = "combinations of the same values have different answers"
        raise ValueError(message)
    return best[2]


def _split(rows: Sequence[Numbers], blocks: list[Numbers], answers: Numbers, number: int) -> None:
    """Split the blocks of one input: values stay together as far as none contradicts another."""
    block_columns = [block[row] for block, row in zip(blocks, rows, strict=True)]
    beside = _key([*block_columns[:number], *block_columns[number + 1 :]], len(answers))
    says: dict[int, dict[int, int]] = {}
    for value, other, answer in zip(
        rows[number].tolist(), beside.tolist(), answers.tolist(), strict=True
    ):
        mine = says.setdefault(value, {})
        mine[other] = answer if mine.get(other, answer) == answer else MIXED
    groups: dict[int, list[tuple[dict[int, int], list[int]]]] = {}
    # Those that say most come first: the others join them.
    for value in sorted(says, key=lambda item: (-len(says[item]), item)):
        listed = groups.setdefault(int(blocks[number][value]), [])
        for known, members in listed:
            if _agree(known, says[value]):
                known.update(says[value])
                members.append(value)
                break
        else:
            listed.append((dict(says[value]), [value]))
    following = int(blocks[number].max()) + 1
    grown = False
    for listed in groups.values():
        for _, members in listed[1:]:
            blocks[number][members] = following
            following += 1
            grown = True
    if not grown:  # it takes a second input: these values are told apart one by one
        for value in sorted(says)[1:]:
            blocks[number][value] = following
            following += 1


def _agree(known: Mapping[int, int], more: Mapping[int, int]) -> bool:
    return all(known.get(other, answer) == answer for other, answer in more.items())
