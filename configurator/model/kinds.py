"""The kinds of value that a column of a list, or a measure, may have: one class each.

A kind says how its values are read, in lists and in TOML, how plugins declare them, by what they
are compared, and what a template says of them; everything else asks it. A new kind is a class here,
an entry in `KINDS`, a word of `configurator.model.parts.Kind` for type checkers, and, where people
change measures of it on the page, a field in `configurator.ui.vehicle`.
"""

from __future__ import annotations

import math
import operator
import re
from typing import TYPE_CHECKING, Any

from configurator.core import units
from configurator.core.errors import nearest
from configurator.core.text import Misread, clean, refuse_disguise, shown
from configurator.model.number_columns import number_reader, whole_number
from configurator.model.parts import Attribute, Value

if TYPE_CHECKING:
    from collections.abc import Callable

    from configurator.model.vehicles import Measure

YES = frozenset({"yes", "y", "true", "1", "ja", "j", "oui", "wahr", "vrai"})
NO = frozenset({"no", "n", "false", "0", "nein", "non", "falsch", "faux"})
# Numbers from lists that differ by less, relative to their size, are the same.
SAME = 1e-9

_COMPARE = {
    "<": operator.lt,
    "<=": operator.le,
    "=": operator.eq,
    ">=": operator.ge,
    ">": operator.gt,
    "!=": operator.ne,
}


class ValueKind:
    """A kind of value; this class knows what most have in common.

    Attributes
    ----------
    cells
        What the cells of such a column are, for who keeps the list.
    numeric
        Whether it may have a unit and bounds.
    has_choices
        Whether a plugin may name the words allowed.
    comparisons
        By what values are compared with what somebody asks for.
    declared_as
        What a plugin's author writes for such a value.
    """

    cells = ""
    numeric = False
    has_choices = False
    comparisons: tuple[str, ...] = ("=", "!=")
    declared_as = ""

    def reader(self, attribute: Attribute, unit: str | None, comma: bool) -> Callable[[str], Value]:
        """Make the function that reads texts: see `configurator.model.values.reader`."""
        raise NotImplementedError

    def text_of(self, written: object) -> str | None:
        """Return what a value of TOML that is no text would be as a text; None if it is no such."""
        raise NotImplementedError

    def is_declared(self, value: object) -> bool:
        """Whether a plugin may declare a value so."""
        raise NotImplementedError

    def declared(self, value: Any, unit: str) -> Value:
        """Turn a value that a plugin declares, in its unit, into what rules read."""
        raise NotImplementedError

    def words(self, attribute: Attribute) -> tuple[str, ...]:
        """Name the words that a cell may hold; none where anything may stand."""
        return attribute.choices

    def sample(self, attribute: Attribute) -> str:
        """Write a value that is sound if the attribute has no bounds against it."""
        raise NotImplementedError

    def example(self, attribute: Attribute) -> str:
        """Write what might stand in a file of TOML."""
        raise NotImplementedError

    def asked(self, attribute: Attribute, text: str) -> Value:
        """Read what somebody asks for; bounds and words of the list are left aside."""
        free = Attribute(attribute.name, "", attribute.unit, attribute.kind)
        return self.reader(free, None, False)(text)

    def comparison(self, sign: str) -> Callable[[Value, Value], bool]:
        """Make the function that compares what a part has with what is asked for."""
        if sign == "has":
            return _holds
        return _same if sign == "=" else lambda has, asked: not _same(has, asked)


class NumberKind(ValueKind):
    """A number in a unit; SI inside."""

    cells = "number"
    numeric = True
    comparisons: tuple[str, ...] = ("<=", ">=", "!=", "=", "<", ">")
    declared_as = "a number in its unit"

    def reader(self, attribute: Attribute, unit: str | None, comma: bool) -> Callable[[str], Value]:
        return number_reader(attribute, unit, comma)

    def text_of(self, written: object) -> str | None:
        return str(written) if is_number(written) else None

    def is_declared(self, value: object) -> bool:
        return is_number(value)

    def declared(self, value: Any, unit: str) -> Value:
        return units.to_si(float(value), unit)

    def sample(self, attribute: Attribute) -> str:
        low, high = attribute.at_least, attribute.at_most
        return f"{low if low is not None else high if high is not None else 1.0:g}"

    def example(self, attribute: Attribute) -> str:
        return f"12.5 {attribute.unit}".strip()

    def comparison(self, sign: str) -> Callable[[Value, Value], bool]:
        compare = _COMPARE[sign]

        def test(has: Value, asked: Value) -> bool:
            number, other = float(has), float(asked)  # type: ignore[arg-type]
            same = abs(number - other) <= SAME * max(abs(number), abs(other))
            return sign in ("<=", "=", ">=") if same else bool(compare(number, other))

        return test


class WholeKind(NumberKind):
    """A whole number; of what is counted in a unit (whole teeth, whole days), SI inside."""

    cells = "whole number"

    def reader(self, attribute: Attribute, unit: str | None, comma: bool) -> Callable[[str], Value]:
        read = number_reader(attribute, unit, comma)
        return lambda text: whole_number(text, read(text), attribute.unit)

    def is_declared(self, value: object) -> bool:
        return is_number(value) and value == round(value)  # type: ignore[call-overload]

    def declared(self, value: Any, unit: str) -> Value:
        return whole_number(str(value), units.to_si(float(value), unit), unit)

    def example(self, attribute: Attribute) -> str:
        return f"4 {attribute.unit}".strip()


class TextKind(ValueKind):
    """A text, compared letter by letter; one of some words where the plugin names them."""

    cells = "text, compared letter by letter"
    has_choices = True
    comparisons: tuple[str, ...] = ("=", "!=", "has")
    declared_as = "a text"

    def reader(self, attribute: Attribute, unit: str | None, comma: bool) -> Callable[[str], Value]:
        def read(text: str) -> Value:
            written = " ".join(clean(text).split())
            refuse_disguise(written)
            return _choice(written, attribute) if attribute.choices else written

        return read

    def text_of(self, written: object) -> str | None:
        return None

    def is_declared(self, value: object) -> bool:
        return isinstance(value, str)

    def declared(self, value: Any, unit: str) -> Value:
        return str(value)

    def sample(self, attribute: Attribute) -> str:
        return "A"

    def example(self, attribute: Attribute) -> str:
        return "a text"

    def asked(self, attribute: Attribute, text: str) -> Value:
        return clean(text)


class CodesKind(ValueKind):
    """Several codes, divided by spaces; their order says nothing."""

    cells = "codes, divided by spaces"
    has_choices = True
    comparisons: tuple[str, ...] = ("=", "!=", "has")
    declared_as = "codes divided by spaces"

    def reader(self, attribute: Attribute, unit: str | None, comma: bool) -> Callable[[str], Value]:
        def read(text: str) -> Value:
            written = clean(text)
            refuse_disguise(written)
            codes = frozenset(written.split())
            for code in sorted(codes):
                refuse_disguise(code)
                if re.search(r"[,;|]", code):
                    raise Misread(
                        what=f"{shown(written)} holds a comma, semicolon or bar",
                        do="divide several codes by spaces and write decimals with a point",
                    )
            if attribute.choices:
                return frozenset(_choice(code, attribute) for code in codes)
            return codes

        return read

    def text_of(self, written: object) -> str | None:
        if isinstance(written, list) and all(isinstance(code, str) for code in written):
            return " ".join(written)
        return None

    def is_declared(self, value: object) -> bool:
        return isinstance(value, str | frozenset | set | tuple | list)

    def declared(self, value: Any, unit: str) -> Value:
        return frozenset(value.split() if isinstance(value, str) else value)

    def words(self, attribute: Attribute) -> tuple[str, ...]:
        return ()

    def sample(self, attribute: Attribute) -> str:
        return "A"

    def example(self, attribute: Attribute) -> str:
        return "codes divided by spaces"


class YesNoKind(ValueKind):
    """Yes or no."""

    cells = "yes or no"
    declared_as = "True or False"

    def reader(self, attribute: Attribute, unit: str | None, comma: bool) -> Callable[[str], Value]:
        def read(text: str) -> Value:
            written = clean(text).casefold()
            if written in YES or written in NO:
                return written in YES
            raise Misread(what=f"{shown(text)} is neither yes nor no", do="write yes or no")

        return read

    def text_of(self, written: object) -> str | None:
        return ("no", "yes")[written] if isinstance(written, bool) else None

    def is_declared(self, value: object) -> bool:
        return isinstance(value, bool)

    def declared(self, value: Any, unit: str) -> Value:
        return bool(value)

    def words(self, attribute: Attribute) -> tuple[str, ...]:
        return ("yes", "no")

    def sample(self, attribute: Attribute) -> str:
        return "yes"

    def example(self, attribute: Attribute) -> str:
        return "yes"


KINDS: dict[str, ValueKind] = {
    "number": NumberKind(),
    "whole": WholeKind(),
    "text": TextKind(),
    "codes": CodesKind(),
    "yes/no": YesNoKind(),
}


def kind_of(declared: Attribute | Measure) -> ValueKind:
    """Return the kind of a column or a measure.

    Examples
    --------
    >>> kind_of(Attribute("winter", "Has the mark.", kind="yes/no")).comparisons
    ('=', '!=')
    """
    return KINDS[declared.kind]


def is_number(value: object) -> bool:
    """Whether a value is a finite number, and not true or false."""
    return isinstance(value, int | float) and not isinstance(value, bool) and math.isfinite(value)


def _same(has: Value, asked: Value) -> bool:
    return has == asked


def _holds(has: Value, asked: Value) -> bool:
    if isinstance(has, frozenset) and isinstance(asked, frozenset):
        return asked <= has
    return str(asked).casefold() in str(has).casefold()


def _choice(text: str, attribute: Attribute) -> str:
    """Return the word that a text is, whatever its capitals."""
    if text in attribute.choices:
        return text
    word = {choice.casefold(): choice for choice in attribute.choices}.get(text.casefold())
    if word is None:
        raise Misread(
            what=f"{shown(text)} is not one of the words for {attribute.name!r}",
            do=nearest(text, attribute.choices, otherwise=f"use {', '.join(attribute.choices)}"),
        )
    return word
