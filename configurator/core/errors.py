"""Everything that can be wrong with what a person gave us.

::

    FitwrightError                  base: nothing else reaches a user
    ├── UnitError                   a unit or quantity that cannot be read
    ├── InputError                  one or more Problems in files, all reported at once
    ├── PluginError                 a plugin that declares something that cannot work
    ├── Undecided                   a search that was given up (configurator.search)
    ├── StoreError                  a database that cannot be used (configurator.store)
    └── EditConflict                a job that somebody else has saved since (configurator.store)

A search that finds nothing is a result, never an exception.
"""

from __future__ import annotations

from dataclasses import dataclass
from difflib import get_close_matches
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable


@dataclass(frozen=True, slots=True)
class Problem:
    """One thing that is wrong with the input: where, what, and what to do about it.

    Parameters
    ----------
    where
        File, row and column, or key, as a person would look for it.
    what
        What is wrong, with the value that was read.
    do
        What to do about it; names the nearest known name where there is one.
    """

    where: str
    what: str
    do: str

    def __str__(self) -> str:
        return f"{self.where}: {self.what}; {self.do}"


class FitwrightError(Exception):
    """Base of all errors that Fitwright raises on purpose."""


class UnitError(FitwrightError):
    """A unit or a quantity that cannot be read.

    Parameters
    ----------
    text
        What was read.
    what
        What is wrong with it.
    do
        What to do about it.
    """

    def __init__(self, text: str, what: str, do: str) -> None:
        self.text = text
        self.what = what
        self.do = do
        super().__init__(f"{what}; {do}")


class InputError(FitwrightError):
    """All problems found in what was given, at once.

    Parameters
    ----------
    problems
        At least one.
    """

    def __init__(self, problems: Iterable[Problem]) -> None:
        self.problems = tuple(problems)
        super().__init__("\n".join(str(problem) for problem in self.problems))


class PluginError(FitwrightError):
    """A plugin declares something that cannot work.

    Parameters
    ----------
    plugin
        Name of the plugin.
    what
        What is wrong.
    do
        What its author can do about it.
    """

    def __init__(self, plugin: str, what: str, do: str) -> None:
        self.plugin = plugin
        self.what = what
        self.do = do
        super().__init__(f"plugin {plugin}: {what}; {do}")


def nearest(name: str, known: Iterable[str], *, otherwise: str = "check the spelling") -> str:
    """Say what to do about an unknown name: the nearest known one, or the general advice.

    Examples
    --------
    >>> nearest("tires", ["tyres", "wheels"])
    "did you mean 'tyres'?"
    >>> nearest("sofa", ["tyres", "wheels"])
    'check the spelling'
    """
    spelt = {entry.lower(): entry for entry in sorted(known)}
    matches = get_close_matches(name.lower(), spelt, n=1, cutoff=0.6)
    return f"did you mean {spelt[matches[0]]!r}?" if matches else otherwise
