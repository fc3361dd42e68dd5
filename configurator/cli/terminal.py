"""Write headings, sentences, lists and tables: dressed in a terminal, plain text in a pipe.

What comes from catalogs is text and nothing but text: it is never read as markup.
"""

from __future__ import annotations

import json
import sys
from typing import TYPE_CHECKING, Any, TextIO

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable, Sequence

    from rich.console import Console


class Terminal:
    """Writes to a stream.

    Parameters
    ----------
    stream
        Standard output by default. The text is dressed where it is a terminal.
    """

    def __init__(self, stream: TextIO | None = None) -> None:
        self._stream = stream or sys.stdout
        self._console: Console | None = None
        self._started = False
        if self._stream.isatty():
            from rich.console import Console

            self._console = Console(file=self._stream, markup=False, emoji=False, highlight=False)

    def heading(self, text: str) -> None:
        """Write a heading, with an empty line above it unless it is the first thing."""
        if self._started:
            self.line("")
        if self._console is None:
            self.line(text)
        else:
            self._started = True
            self._console.print(text, style="bold")

    def line(self, text: str) -> None:
        """Write a sentence."""
        self._started = True
        if self._console is None:
            self._stream.write(f"{text.rstrip()}\n")
        else:
            self._console.print(text)

    def items(self, texts: Iterable[str], *, indent: int = 2) -> None:
        """Write a list, one sentence each."""
        if self._console is None:
            for text in texts:
                self.line(f"{' ' * indent}- {text}")
            return
        from rich.padding import Padding
        from rich.table import Table
        from rich.text import Text

        grid = Table.grid(padding=(0, 1, 0, 0))
        grid.add_column()
        grid.add_column(overflow="fold")
        for text in texts:
            grid.add_row("-", Text(text))
        self._started = True
        self._console.print(Padding(grid, (0, 0, 0, indent)))

    def table(
        self,
        headings: Sequence[str],
        rows: Iterable[Sequence[str]],
        *,
        right: Collection[int] = (),
    ) -> None:
        """Write a table; ``right`` holds the columns of numbers."""
        lines = [list(row) for row in rows]
        if self._console is None:
            self._plain_table(headings, lines, right)
            return
        from rich import box
        from rich.table import Table
        from rich.text import Text

        words = [
            _longest_word([head, *(row[k] for row in lines)]) for k, head in enumerate(headings)
        ]
        if sum(words) + 3 * (len(words) - 1) > self._console.width:
            self._blocks(headings, lines)
            return
        table = Table(box=box.SIMPLE_HEAD, pad_edge=False, header_style="bold", show_edge=False)
        for number, heading in enumerate(headings):
            table.add_column(
                Text(heading),
                justify="right" if number in right else "left",
                overflow="fold",
                min_width=words[number],
            )
        for row in lines:
            table.add_row(*(Text(cell) for cell in row))
        self._started = True
        self._console.print(table)

    def _blocks(self, headings: Sequence[str], rows: Sequence[Sequence[str]]) -> None:
        """Write the rows one below the other: the terminal is too narrow for the columns."""
        for row in rows:
            self.line(row[0])
            text = zip(headings[1:], row[1:], strict=True)
            self.items(f"{heading}: {cell}".lstrip(": ") for heading, cell in text if cell)

    def _plain_table(
        self, headings: Sequence[str], rows: Sequence[Sequence[str]], right: Collection[int]
    ) -> None:
        every = [headings, *rows]
        widths = [max(len(row[k]) for row in every) for k in range(len(headings))]
        for row in every:
            cells = [
                cell.rjust(width) if k in right else cell.ljust(width)
                for k, (cell, width) in enumerate(zip(row, widths, strict=True))
            ]
            self.line("  " + "  ".join(cells))


def _longest_word(texts: Iterable[str]) -> int:
    """Return the length of the longest word, as far as a column should be kept wide for it."""
    return min(20, max((len(word) for text in texts for word in text.split()), default=1))


def write_json(record: Any) -> None:
    """Write data as JSON on standard output."""
    # Where the output is not UTF-8, signs outside ASCII are written as JSON escapes.
    universal = (sys.stdout.encoding or "").lower().replace("-", "") == "utf8"
    text = json.dumps(record, indent=2, ensure_ascii=not universal, allow_nan=False)
    sys.stdout.write(f"{text}\n")
