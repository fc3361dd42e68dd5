"""Words with values in them, which are still to be said in another language."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Mapping


class ShownQuantity(str):
    """A quantity as it is shown, with what it takes to show it otherwise.

    Examples
    --------
    >>> pressure = ShownQuantity("2.8 bar", 280000.0, "bar")
    >>> pressure, pressure.value, pressure.unit
    ('2.8 bar', 280000.0, 'bar')
    """

    __slots__ = ("unit", "value")
    value: float
    unit: str

    def __new__(cls, text: str, value: float, unit: str) -> ShownQuantity:
        """Keep the value in SI and the unit in which it is shown."""
        shown = super().__new__(cls, text)
        shown.value = value
        shown.unit = unit
        return shown

    def __getnewargs__(self) -> tuple[str, float, str]:  # type: ignore[override]
        """Return what copies are made of."""
        return str(self), self.value, self.unit


class FilledText(str):
    """A text whose named places hold values; a translation begins from its template.

    Examples
    --------
    >>> text = FilledText("{speed shown} at a true {speed}", {"speed shown": "135", "speed": "120"})
    >>> text, text.filled("{speed shown} bei {speed}")
    ('135 at a true 120', '135 bei 120')
    """

    __slots__ = ("template", "values")
    template: str
    values: Mapping[str, str]

    def __new__(cls, template: str, values: Mapping[str, str]) -> FilledText:
        """Make the text of a template: ``{name}`` becomes the value of that name."""
        text = super().__new__(cls, fill(template, values))
        text.template = template
        text.values = values
        return text

    def __getnewargs__(self) -> tuple[str, Mapping[str, str]]:  # type: ignore[override]
        """Return what copies are made of: the template and its values."""
        return self.template, self.values

    def filled(self, template: str) -> str:
        """Put the same values into the template in another language."""
        return fill(template, self.values)


def fill(template: str, values: Mapping[str, str]) -> str:
    """Put values where a template names them; other braces stay as they are."""
    for name, value in values.items():
        template = template.replace(f"{{{name}}}", value)
    return template
