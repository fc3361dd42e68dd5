"""How sentences are written: in which language, which units, and how prices look."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Protocol

from configurator.wording.quantities import money_words, words

if TYPE_CHECKING:
    from collections.abc import Iterable

    from configurator.model.parts import Value
    from configurator.wording.quantities import System


class Style(Protocol):
    """Writes sentences for a reader."""

    @property
    def system(self) -> System | None:
        """Units of the reader; None for those that rules declare."""

    def text(self, message: str) -> str:
        """Return a message in the reader's language."""

    def say(self, template: str, **values: object) -> str:
        """Return a sentence in the reader's language, with its named values."""

    def value(self, value: Value | None, unit: str) -> str:
        """Write a value [SI] with its unit."""

    def price(self, minor: int) -> str:
        """Write an amount of money [minor units]."""

    def day(self, day: str) -> str:
        """Write a day that is given as ``YYYY-MM-DD``."""


@dataclass(frozen=True, slots=True)
class English:
    """Writes the sentences as they stand in the code: British English, numbers with a point.

    Parameters
    ----------
    currency
        Of prices.
    system
        Units of the reader; None for those that rules declare.

    Examples
    --------
    >>> English("EUR").price(123450), English(system="imperial").value(0.3, "mm")
    ('1,234.50 EUR', '11.81 in')
    """

    currency: str = ""
    system: System | None = None

    def text(self, message: str) -> str:
        """Return a message as it is."""
        return message

    def say(self, template: str, **values: object) -> str:
        """Return a sentence with its named values."""
        return template.format(**values)

    def value(self, value: Value | None, unit: str) -> str:
        """Write a value [SI] with its unit."""
        return words(value, unit, self.system)

    def price(self, minor: int) -> str:
        """Write an amount of money [minor units]."""
        return money_words(minor, self.currency)

    def day(self, day: str) -> str:
        """Return a day as it is."""
        return day


ENGLISH = English()


def listed(style: Style, names: Iterable[str]) -> str:
    """Write names as a list, each in the reader's language.

    Examples
    --------
    >>> listed(ENGLISH, ["track", "entry height"])
    'track, entry height'
    """
    return ", ".join(style.text(name) for name in names)
