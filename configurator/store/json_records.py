"""Read JSON that was saved into records, strictly: what is damaged is refused, never guessed at."""

from __future__ import annotations

import json
import math
from typing import Any, TypeVar

from cattrs import BaseValidationError, Converter, transform_error

from configurator.core.errors import FitwrightError

Kind = TypeVar("Kind")


_DO = "restore a backup: fitwright restore FILE"


def damaged(what: str, why: str) -> FitwrightError:
    """Make the error for a record that cannot be read."""
    return FitwrightError(f"{what} ({' '.join(why.split())[:200]}); {_DO}")


def loaded(text: str, what: str) -> dict[str, Any]:
    """Read a JSON object.

    Parameters
    ----------
    text
        As it was saved.
    what
        To say if it is none.

    Raises
    ------
    FitwrightError
        If it is damaged.
    """
    try:
        record = json.loads(text, parse_constant=_no_constant)
    except (ValueError, RecursionError) as problem:
        raise damaged(what, str(problem) or type(problem).__name__) from None
    if not isinstance(record, dict):
        raise damaged(what, "no JSON object")
    return record


def _no_constant(name: str) -> None:
    message = f"{name} is no number"
    raise ValueError(message)


def plain_value(value: Any, _kind: object = None) -> Any:
    """Take a number, a text, yes or no, several texts, or nothing.

    Raises
    ------
    TypeError
        If it is something else.
    """
    texts = isinstance(value, list) and all(isinstance(item, str) for item in value)
    if value is not None and not texts and not isinstance(value, str | int | float | bool):
        message = "no plain value"
        raise TypeError(message)
    return value


def strict_converter() -> Converter:
    """Make a converter that takes texts for texts and numbers for numbers only."""
    made = Converter(unstruct_collection_overrides={tuple: list})
    made.register_structure_hook(str, _exactly(str))
    made.register_structure_hook(bool, _exactly(bool))
    made.register_structure_hook(int, _exactly(int))
    made.register_structure_hook(float, _number)
    return made


def _exactly(kind: type) -> Any:
    def check(value: Any, _kind: object) -> Any:
        if kind is str and isinstance(value, str):
            return str(
                value
            )  # texts may remember how they were filled in; what is kept is the text
        if type(value) is not kind:
            message = f"{type(value).__name__} where {kind.__name__} belongs"
            raise TypeError(message)
        return value

    return check


def _number(value: Any, _kind: object) -> float | int:
    if type(value) not in (int, float) or not math.isfinite(value):
        message = "no finite number"
        raise TypeError(message)
    return value  # type: ignore[no-any-return]


def structured(record: Any, kind: type[Kind], what: str, converter: Converter) -> Kind:
    """Read a record.

    Parameters
    ----------
    record
        Plain JSON.
    kind
        What it should be.
    what
        To say if it is not.
    converter
        See `strict_converter`.

    Raises
    ------
    FitwrightError
        If it is damaged, with the place of the first fault.
    """
    try:
        return converter.structure(record, kind)
    except BaseValidationError as problem:
        first = transform_error(problem)[0]
    except Exception as problem:  # what a record that is no record at all makes of the reading
        first = f"{type(problem).__name__} @ $"
    raise damaged(what, first)
