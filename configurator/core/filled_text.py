"""Words with values in them, which are still to be said in another language."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Mapping


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
