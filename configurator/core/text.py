"""What is wrong with what a person wrote: collect it, and the checks that any text must pass."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, TypeVar

from configurator.core.errors import InputError, Problem, UnitError

if TYPE_CHECKING:
    from collections.abc import Iterable

Thing = TypeVar("Thing")

LONGEST_TEXT = 2000  # characters; a data sheet is not a cell

# Line and paragraph separators and signs that turn the direction of writing are refused as well:
# they make a text look like another one.
_CONTROL = re.compile("[\x00-\x1f\x7f-\x9f\u2028\u2029\u202a-\u202e\u2066-\u2069]")
# Signs of no width, and hyphens that are shown at a line's end only.
_INVISIBLE = re.compile(
    "[\u00ad\u061c\u180e\u200b-\u200f\u2060-\u2064\ufe00-\ufe0f\ufeff\ufff9-\ufffb]"
)
# Letters of other scripts that look like Latin ones, in capitals and small.
_LOOK_ALIKE = str.maketrans(
    "\u0410\u0412\u0415\u041a\u041c\u041d\u041e\u0420\u0421\u0422\u0425\u0423\u0406\u0408\u0405"
    "\u0430\u0435\u043e\u0440\u0441\u0443\u0445\u0456\u0458\u0455"  # Cyrillic, capitals and small
    "\u0391\u0392\u0395\u0396\u0397\u0399\u039a\u039c\u039d\u039f\u03a1\u03a4\u03a5\u03a7\u03bf\u03bd"
    "\u0131\u2160\u2164\u2169",
    "ABEKMHOPCTXYIJSaeopcyxijsABEZHIKMNOPTYXoviIVX",
)
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
    match = _CONTROL.search(text)
    if match:
        name = {"\n": "line break", "\r": "line break", "\t": "tab"}.get(
            match[0], f"control character U+{ord(match[0]):04X}"
        )
        raise Misread(
            what=f"{shown(text)} holds a {name}", do="put a space in its place or delete it"
        )
    return text


def invisible_sign(text: str) -> str:
    """Name the first sign of a text that nobody sees; empty if there is none.

    Examples
    --------
    >>> invisible_sign("17\u200b"), invisible_sign("17")
    ('U+200B', '')
    """
    sign = _INVISIBLE.search(text)
    return f"U+{ord(sign[0]):04X}" if sign else ""


def without_look_alikes(text: str) -> str:
    """Put Latin letters in the place of those of other scripts that look like them.

    A text that is changed by it, and holds Latin letters or digits as well, is likely a slip.

    Examples
    --------
    >>> without_look_alikes("\u041c14") == "M14", without_look_alikes("Rohrd\u00e4mpfer")
    (True, 'Rohrd\u00e4mpfer')
    """
    if text.isascii():
        return text
    return text.translate(_LOOK_ALIKE)


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
