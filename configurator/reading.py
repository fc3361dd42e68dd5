"""Turn one text that a person wrote into one value, or say what is wrong with it.

Shared by the readers of part lists, vehicles, workshop settings and jobs. Nothing is guessed: a
text that can be read in two ways is refused with both of them.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass, field
from functools import lru_cache
from typing import TYPE_CHECKING, Any, TypeVar

from configurator import units
from configurator.errors import InputError, PluginError, Problem, UnitError, nearest
from configurator.parts import Attribute, Value
from configurator.vehicles import Condition, Measure, Practice

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable

    from configurator.rules import Figure, Total

Thing = TypeVar("Thing")

LONGEST_TEXT = 2000  # characters; a data sheet is not a cell
_LONGEST_UNIT = 40

YES = frozenset({"yes", "y", "true", "1", "ja", "j", "oui", "wahr", "vrai"})
NO = frozenset({"no", "n", "false", "0", "nein", "non", "falsch", "faux"})
PLAIN = frozenset({"", "-", "ratio"})

# Line and paragraph separators and signs that turn the direction of writing are refused as well:
# they make a text look like another one.
_CONTROL = re.compile("[\x00-\x1f\x7f-\x9f\u2028\u2029\u202a-\u202e\u2066-\u2069]")
_NUMBER = re.compile(
    r"([-+]?(?:[0-9]+(?:[.,][0-9]*)?|[.,][0-9]+)(?:[eE][-+]?[0-9]{1,3})?)\s*(.*)", re.DOTALL
)
_GROUPS = re.compile(r"[-+]?\d{1,3}(?:[ '’.,\u00a0\u202f]\d{3})+(?:[.,]\d+)?(?:\s*[^\d\s].*)?")
_FRACTION = re.compile(r"([-+]?)(?:(\d{1,6})[ -]+)?(\d{1,6})\s*/\s*(\d{1,6})\s*([^\d/].*)?")
_MONTH = (  # English and German, short and long
    r"(?:jan(?:uary?)?|feb(?:ruary?)?|mar(?:ch)?|märz?|mrz|apr(?:il)?|ma[yi]|jun[ei]?|jul[yi]?"
    r"|aug(?:ust)?|sep(?:t|tember)?|o[ck]t(?:ober)?|nov(?:ember)?|de[cz](?:ember)?)\.?"
)
_DATE = re.compile(
    "|".join(
        (
            rf"\d{{1,2}}(?:-|\.\s?){_MONTH}(?:[-\s]\d{{2,4}})?",
            rf"{_MONTH}-\d{{2,4}}",
            r"(?:19|20)\d\d-\d{1,2}-\d{1,2}(?:[T ]\d.*)?",
            r"\d{1,2}[.-]\d{1,2}[.-](?:19|20)\d\d(?: \d.*)?",
            r"\d{1,2}/\d{1,2}/(?:\d\d|(?:19|20)\d\d)(?: \d.*)?",
        )
    ),
    re.IGNORECASE,
)
_POWER_OF_TEN = re.compile(r"\d(?:[.,]\d+)?E\+\d{2,3}")


class Misread(Exception):
    """A text that is not what it should be. Its catcher knows the place and makes a Problem."""

    def __init__(self, *, what: str, do: str) -> None:
        self.what = what
        self.do = do
        super().__init__(what)


def _natural(place: str) -> list[str | int]:
    """Sort row 9 before row 10."""
    pieces = re.split(r"([0-9]{1,12})", place)
    return [int(piece) if index % 2 else piece for index, piece in enumerate(pieces)]


@dataclass(slots=True)
class Report:
    """What was found wrong so far; errors keep the files from being used, warnings do not."""

    errors: list[Problem] = field(default_factory=list)
    warnings: list[Problem] = field(default_factory=list)

    def error(self, where: str, what: str, do: str) -> None:
        """Note something that has to be put right."""
        self.errors.append(Problem(where, what, do))

    def warn(self, where: str, what: str, do: str) -> None:
        """Note something that is likely a mistake."""
        self.warnings.append(Problem(where, what, do))

    def misread(self, where: str, problem: Misread | UnitError) -> None:
        """Note a text that could not be read."""
        self.error(where, problem.what, problem.do)


def sound(thing: Thing | None, report: Report) -> Thing:
    """Return what was read, or raise everything that is wrong with it.

    Parameters
    ----------
    thing
        What was read; None only if an error says why.
    report
        What was found wrong.

    Raises
    ------
    InputError
        If there is any error.
    """
    if thing is None or report.errors:
        raise InputError(in_order(report.errors))
    return thing


def in_order(problems: Iterable[Problem]) -> list[Problem]:
    """Sort problems by place.

    Examples
    --------
    >>> [p.where for p in in_order([Problem("row 10", "", ""), Problem("row 9", "", "")])]
    ['row 9', 'row 10']
    """
    return sorted(problems, key=lambda problem: _natural(problem.where))


def shown(text: object) -> str:
    r"""Quote what was read, cut to a length that fits a message, with nothing invisible in it.

    Examples
    --------
    >>> shown("a\tb")
    "'a\\tb'"
    """
    written = text if isinstance(text, str) else str(text)
    return repr(written if len(written) <= 60 else written[:57] + "...")


def clean(text: str) -> str:
    """Strip a text and refuse what does not belong into one.

    Raises
    ------
    Misread
        If it is too long or holds a control character.

    Examples
    --------
    >>> clean("  steel wheel ")
    'steel wheel'
    """
    text = text.strip()
    if len(text) > LONGEST_TEXT:
        raise Misread(
            what=f"the text has {len(text)} characters", do=f"cut it to {LONGEST_TEXT} characters"
        )
    found = _CONTROL.search(text)
    if found:
        name = {"\n": "line break", "\r": "line break", "\t": "tab"}.get(
            found[0], f"control character U+{ord(found[0]):04X}"
        )
        raise Misread(
            what=f"{shown(text)} holds a {name}", do="put a space in its place or delete it"
        )
    return text


def is_date(text: str) -> bool:
    """Whether a text is what a spreadsheet makes of a code that looks like a date to it.

    Examples
    --------
    >>> is_date("5-Apr"), is_date("04.05.2005"), is_date("5-4.5"), is_date("10.20.30")
    (True, True, False, False)
    """
    return _DATE.fullmatch(text) is not None


def refuse_disguise(text: str) -> None:
    """Refuse a code that a spreadsheet has turned into a date or a power of ten.

    Raises
    ------
    Misread
        If it has.
    """
    if is_date(text):
        raise Misread(
            what=f"{shown(text)} is a date where a code should be",
            do="format the column as text and type the code again",
        )
    if _POWER_OF_TEN.fullmatch(text):
        raise Misread(
            what=f"{shown(text)} is a number that the spreadsheet has shortened",
            do="format the column as text and type the code again",
        )


@lru_cache(maxsize=1024)
def kind_of_unit(text: str) -> str:
    """Name what a unit measures; angles are kept apart from ratios and shares.

    Raises
    ------
    UnitError
        If the unit is not known.

    Examples
    --------
    >>> kind_of_unit("mm") == kind_of_unit("in"), kind_of_unit("deg") == kind_of_unit("%")
    (True, False)
    """
    if len(text) > _LONGEST_UNIT:
        raise UnitError(text, f"unit {shown(text)} is too long", "use a unit such as mm, in, kg")
    found = units.unit(text)
    try:
        units.to_si(1.0, text)
    except Exception as problem:  # pint knows units that no number can be converted from
        raise UnitError(
            text, f"unit {shown(text)} cannot be converted", "use a unit such as mm, in, kg"
        ) from problem
    if not found.dimensionless:
        return units.dimension(text)
    names = re.findall(r"[a-z]+", str(found))
    angles = ("radian", "degree", "turn", "arcminute", "arcsecond", "gon", "grade")
    return "angle" if any(name.endswith(angles) for name in names) else "ratio"


def refuse_other_kind(written: str, expected: str) -> None:
    """Refuse a unit that does not measure what it should.

    Raises
    ------
    Misread
        If it is not known or of another kind.
    """
    wanted = expected or "a plain number"
    try:
        fits = kind_of_unit(written) == kind_of_unit(expected)
    except UnitError as problem:
        raise Misread(
            what=problem.what, do=problem.do if "mean" in problem.do else f"give it in {wanted}"
        ) from problem
    if not fits:
        raise Misread(
            what=f"unit {shown(written)} does not measure the same as {wanted}",
            do=f"give it in {wanted}",
        )


def _why_no_number(text: str, unit: str) -> Misread:
    example = f"12 {unit}".strip()
    plain = text.replace("\u00a0", " ").strip()
    if plain.startswith("#"):
        return Misread(
            what=f"{shown(text)} is an error of the spreadsheet", do="correct its formula"
        )
    if is_date(plain):
        return Misread(
            what=f"{shown(text)} is a date where a number should be",
            do="format the column as text and type the number again",
        )
    fraction = _FRACTION.fullmatch(plain)
    if fraction and int(fraction[4]):
        number = int(fraction[2] or 0) + int(fraction[3]) / int(fraction[4])
        return Misread(
            what=f"{shown(text)} is a fraction",
            do=f"write {fraction[1]}{number:.6g} {fraction[5] or ''}".rstrip(),
        )
    if _GROUPS.fullmatch(plain):
        return Misread(
            what=f"{shown(text)} has a separator of thousands",
            do="write the digits without separators, with a point before the decimals",
        )
    if re.fullmatch(r"[-+]?(nan|inf|infinity)\b.*|[-+0-9.,]+e[-+]?\d+.*", plain, re.IGNORECASE):
        return Misread(
            what=f"{shown(text)} is not a finite number", do=f"write a number such as {example}"
        )
    return Misread(what=f"{shown(text)} is not a number", do=f"write a number such as {example}")


def split_number(text: str, unit: str, *, comma: bool) -> tuple[float, str]:
    """Read a number and the unit behind it, if there is one.

    Parameters
    ----------
    text
        What was written.
    unit
        The unit of an example in messages.
    comma
        Whether a comma before exactly three digits is known to be a decimal comma.

    Raises
    ------
    Misread
        If it is no number, or could be two.

    Examples
    --------
    >>> split_number("31,5 in", "mm", comma=False)
    (31.5, 'in')
    """
    match = _NUMBER.fullmatch(text.strip())
    if match is None or match[2][:1] in tuple("0123456789.,'’/-+"):
        raise _why_no_number(text, unit)
    if not comma and re.match(r"[-+]?[1-9]\d{0,2},\d{3}$", match[1]):
        joined = match[1].replace(",", "")
        raise Misread(
            what=f"{shown(text)} may be {match[1].replace(',', '.')} or {joined}",
            do="write it with a point before the decimals and without separators",
        )
    number = float(match[1].replace(",", "."))
    if not math.isfinite(number):
        raise _why_no_number(text, unit)
    return number, match[2]


def described(declared: Attribute | Measure | Condition | Practice | Figure | Total) -> Attribute:
    """Describe anything that has a value in a unit as an attribute is described."""
    if isinstance(declared, Attribute):
        return declared
    if isinstance(declared, Measure):
        return Attribute(
            declared.name,
            declared.meaning,
            declared.unit,
            declared.kind,
            declared.at_least,
            declared.at_most,
            declared.choices,
        )
    if isinstance(declared, Condition | Practice):
        return Attribute(
            declared.name,
            declared.meaning,
            declared.unit,
            at_least=declared.at_least,
            at_most=declared.at_most,
        )
    return Attribute(declared.name, declared.meaning, declared.unit)


def reader(
    attribute: Attribute, unit: str | None, *, comma: bool = False
) -> Callable[[str], Value]:
    """Make the function that reads texts of an attribute.

    Parameters
    ----------
    attribute
        What is read.
    unit
        Unit of a bare number, from the heading of the column; None where each text says its own.
    comma
        See `split_number`.

    Returns
    -------
    Callable
        Text → value in SI; raises `Misread`.

    Examples
    --------
    >>> reader(Attribute("wheelbase", "", "mm"), None)("112 in")
    2.8448
    """
    if attribute.kind in ("number", "whole"):
        return _number_reader(attribute, unit, comma)

    def read_text(text: str) -> Value:
        written = " ".join(clean(text).split())
        refuse_disguise(written)
        if attribute.choices:
            _refuse_unknown_choice(written, attribute)
        return written

    def read_codes(text: str) -> Value:
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
                _refuse_unknown_choice(code, attribute)
        return codes

    def read_yes_no(text: str) -> Value:
        written = clean(text).casefold()
        if written in YES or written in NO:
            return written in YES
        raise Misread(what=f"{shown(text)} is neither yes nor no", do="write yes or no")

    return {"text": read_text, "codes": read_codes, "yes/no": read_yes_no}[attribute.kind]


def _refuse_unknown_choice(text: str, attribute: Attribute) -> None:
    if text not in attribute.choices:
        raise Misread(
            what=f"{shown(text)} is not one of the words for {attribute.name!r}",
            do=nearest(text, attribute.choices, otherwise=f"use {', '.join(attribute.choices)}"),
        )


def _number_reader(attribute: Attribute, unit: str | None, comma: bool) -> Callable[[str], Value]:
    expected = attribute.unit
    needs_unit = unit is None and expected not in PLAIN
    bare = expected if unit is None else unit
    # A hair of room, so that a bound met exactly in another unit is not broken by rounding.
    low, high = -math.inf, math.inf
    if attribute.at_least is not None:
        low = units.to_si(attribute.at_least, expected)
        low -= abs(low) * 1e-11
    if attribute.at_most is not None:
        high = units.to_si(attribute.at_most, expected)
        high += abs(high) * 1e-11

    def read(text: str) -> Value:
        own = ""
        try:
            number = float(text)
        except ValueError:
            number, own = split_number(clean(text), bare, comma=comma)
        else:
            # Python reads digits of every script, and underscores between them.
            if not math.isfinite(number) or "_" in text or not text.isascii():
                raise _why_no_number(text, bare)
        if own:
            refuse_other_kind(own, expected)
            value = units.to_si(number, own)
        elif needs_unit:
            raise Misread(
                what=f"{shown(text)} has no unit", do=f"write '{text.strip()} {expected}'"
            )
        else:
            value = units.to_si(number, bare)
        if not low <= value <= high:
            raise _out_of_bounds(text, value, attribute)
        if not math.isfinite(value):
            raise _why_no_number(text, bare)
        if attribute.kind == "whole":
            return _whole(text, value, attribute)
        return value

    return read


def _out_of_bounds(text: str, value: float, attribute: Attribute) -> Misread:
    low, high, unit = attribute.at_least, attribute.at_most, attribute.unit
    if low is not None and high is not None:
        bounds = f"between {low:g} and {high:g} {unit}"
    else:
        bounds = f"at least {low:g} {unit}" if low is not None else f"at most {high:g} {unit}"
    return Misread(
        what=f"{shown(text)} is {units.show(value, unit)}, but a sound value is {bounds}".rstrip(),
        do="check the number and its unit",
    )


def _whole(text: str, value: float, attribute: Attribute) -> Value:
    counted = units.from_si(value, attribute.unit)
    if counted != round(counted):
        raise Misread(what=f"{shown(text)} is not a whole number", do="write it without decimals")
    return round(counted) if attribute.unit in PLAIN else value


def declared_value(attribute: Attribute, value: Any) -> Value:
    """Turn a value that a plugin declares, in the attribute's unit, into SI.

    Raises
    ------
    PluginError
        If it does not fit the attribute.

    Examples
    --------
    >>> declared_value(Attribute("lift", "", "mm"), 50)
    0.05
    """
    try:
        if attribute.kind == "number":
            return units.to_si(float(value), attribute.unit)
        if attribute.kind == "whole":
            return _whole(str(value), units.to_si(float(value), attribute.unit), attribute)
        if attribute.kind == "codes":
            return frozenset(value.split() if isinstance(value, str) else value)
        return bool(value) if attribute.kind == "yes/no" else str(value)
    except (TypeError, ValueError, Misread) as problem:
        raise PluginError(
            attribute.name, f"{value!r} is no value for {attribute.name!r}", "correct the default"
        ) from problem
