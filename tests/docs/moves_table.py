"""What each family moves and which rules read it, as the table in DEVELOPERS.md.

``python -m tests.docs.moves_table`` renews it there; a test holds it against the plugins.
"""

from __future__ import annotations

from itertools import groupby
from pathlib import Path
from typing import TYPE_CHECKING

from configurator.model.parts import AXLES
from tests import bundled
from tests.plugins.state_coverage import movements, nearest_readers

if TYPE_CHECKING:
    from configurator.model.knowledge import Trade

PAGE = Path(__file__).parents[2] / "DEVELOPERS.md"
BEGIN = "<!-- moved parts: made by `python -m tests.docs.moves_table` -->"
END = "<!-- end of moved parts -->"
# How many rules a row names.
MOST = 4
HEAD = "| parts | move | by their | measured there | read together in |\n|---|---|---|---|---|\n"


def table(trade: Trade) -> str:
    """Return the table: a row for each thing that a family moves and rules that read it."""
    rows: dict[tuple[str, str, str, str], list[str]] = {}
    for movement in movements(trade):
        readers = list(dict.fromkeys(_both(name) for name in nearest_readers(trade, movement)))
        more = f" and {len(readers) - MOST} more" if len(readers) > MOST else ""
        result = ", ".join(readers[:MOST]) + more or f"*{movement.why}*"
        by = ", ".join(movement.moves.by)
        measures = rows.setdefault((movement.family, movement.moves.thing, by, result), [])
        if _both(movement.measure) not in measures:
            measures.append(_both(movement.measure))
    lines = []
    for family, of_family in groupby(rows, key=lambda row: row[0]):
        title = trade.families[family].title
        for _, thing, by, result in of_family:
            measures = ", ".join(rows[family, thing, by, result])
            lines.append(f"| {title} | {thing} | {by} | {measures} | {result} |")
            title = ""
    still = [family.title.lower() for family in trade.families.values() if family.moves == ()]
    return (
        f"{HEAD}{chr(10).join(lines)}\n\nNothing that is measured moves with: {', '.join(still)}.\n"
    )


def _both(name: str) -> str:
    """Write a name for both axles: ``{axle} track``."""
    for axle in AXLES:
        name = name.replace(f"{axle} ", "{axle} ")
    return name


def block(text: str) -> str:
    """Return the part of the page between the marks."""
    return text.partition(BEGIN)[2].partition(END)[0].strip() + "\n"


def main() -> None:
    """Renew the table in DEVELOPERS.md."""
    text = PAGE.read_text(encoding="utf-8")
    before, _, rest = text.partition(BEGIN)
    after = rest.partition(END)[2]
    made = table(bundled.trade())
    PAGE.write_text(f"{before}{BEGIN}\n\n{made}\n{END}{after}", encoding="utf-8")


if __name__ == "__main__":
    main()
