"""Problems of a long list by their cause: one message each, with a number of rows and examples."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from configurator.core.errors import Problem
from configurator.core.text import shown

if TYPE_CHECKING:
    from configurator.core.text import Report

MOST_CAUSES = 300  # beyond, the list is of another kind altogether
EXAMPLES = 3


@dataclass(slots=True)
class _Cause:
    first: Problem
    rows: int = 0
    examples: list[str] = field(default_factory=list)


@dataclass(slots=True)
class Causes:
    """Problems as they are met; told by cause, the most frequent of a column first met first."""

    by_key: dict[tuple[str, str, str], _Cause] = field(default_factory=dict)
    count: int = 0
    beyond: int = 0

    def add(
        self, where: str, what: str, do: str, *, row: str, text: str = "", column: str = ""
    ) -> None:
        """Note a problem.

        Parameters
        ----------
        where, what, do
            As for `configurator.core.errors.Problem`.
        row
            What to call its row in a list of examples.
        text
            What stands there.
        column
            Of the list: a cause is one column's.
        """
        self.count += 1
        key = (column, _general(what, text), _general(do, text))
        cause = self.by_key.get(key)
        if cause is None:
            if len(self.by_key) >= MOST_CAUSES:
                self.beyond += 1
                return
            cause = self.by_key[key] = _Cause(Problem(where, what, do))
        cause.rows += 1
        if 1 < cause.rows <= EXAMPLES:
            cause.examples.append(f"{row} {shown(text)}" if text.strip() else row)

    def tell(self, report: Report, *, as_errors: bool = True) -> None:
        """Put one message a cause into a report."""
        note = report.error if as_errors else report.warn
        for cause in self.by_key.values():
            what = cause.first.what
            if cause.rows > 1:
                more = ", ".join(cause.examples) + (" ..." if cause.rows > EXAMPLES else "")
                what = f"{what}; {cause.rows} rows in all, also {more}"
            note(cause.first.where, what, cause.first.do)
        if self.beyond:
            note(
                "the list",
                f"{self.beyond} problems of more than {MOST_CAUSES} causes are not listed",
                "correct those above first",
            )


def _general(text: str, written: str) -> str:
    """Leave out of a message what is of one cell only."""
    if written:
        text = text.replace(shown(written), "'…'").replace(shown(written.strip()), "'…'")
    return re.sub(r"'[^']*'|\"[^\"]*\"|\d[\d.,x/]*", "…", text)
