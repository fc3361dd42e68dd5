"""One list of tyres, read from text: what comes of it, or of one more column."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from configurator.core.errors import InputError, Problem
from configurator.files import catalog_files
from configurator.model.parts import Part
from tests.small_trade import small_trade

if TYPE_CHECKING:
    from pathlib import Path

TRADE = small_trade()
HEADING = "part number;title;price;overall diameter [mm]"


def read_list(folder: Path, text: str | bytes) -> tuple[Part, ...]:
    data = text.encode() if isinstance(text, str) else text
    (folder / "tyres.csv").write_bytes(data)
    return catalog_files.read_catalog(folder, TRADE).parts["tyres"]


def refused(folder: Path, text: str | bytes) -> tuple[Problem, ...]:
    with pytest.raises(InputError) as caught:
        read_list(folder, text)
    return caught.value.problems


def cell(folder: Path, column: str, text: str) -> object:
    """Read one more column of one part; a heading of the same divider as HEADING."""
    (part,) = read_list(folder, f"{HEADING};{column}\nA1;Tyre;10;762;{text}\n")
    return part.values[column.partition(" [")[0]]


def refused_cell(folder: Path, column: str, text: str) -> Problem:
    (problem,) = refused(folder, f"{HEADING};{column}\nA1;Tyre;10;762;{text}\n")
    assert problem.where == f"lists/tyres.csv row 2, column '{column}'"
    return problem
