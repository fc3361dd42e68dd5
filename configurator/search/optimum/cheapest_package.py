"""What a search for the cheapest package comes to."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Mapping

    from configurator.evaluation.evaluator import Option


@dataclass(frozen=True, slots=True)
class CheapestPackage:
    """The cheapest package that keeps everything, or one that does.

    Parameters
    ----------
    price, choice
        None where none was found.
    proven
        Whether there is none cheaper, or none at all. Otherwise there may be.
    least
        No package is cheaper; 0 where nothing is known of that.
    """

    price: int | None
    choice: Mapping[str, Option] | None
    proven: bool
    least: int = 0
