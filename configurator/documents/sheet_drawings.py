"""How the drawings on a sheet write: as the sheet itself."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, TypedDict

from configurator.documents.number_style import numbers_of, writing_for

if TYPE_CHECKING:
    from babel import Locale

    from configurator.evaluation.evaluator import Evaluation


class DrawnFor(TypedDict):
    """How drawings write: numbers, and texts in the reader's language."""

    number: Callable[[str], str]
    text: Callable[[str], str]


def drawn_for(evaluation: Evaluation, locale: Locale) -> DrawnFor:
    """Return how the drawings on a sheet of a case write numbers and texts."""
    how = writing_for(evaluation, locale)
    return {"number": numbers_of(locale), "text": how.text}
