"""Say what an import found out, proposes and would change."""

from __future__ import annotations

from typing import TYPE_CHECKING

from configurator.core import money
from configurator.core.text import shown
from configurator.supplier_lists.column_readings import required_columns
from configurator.supplier_lists.headings import headings_at
from configurator.supplier_lists.mapping import doubtful
from configurator.supplier_lists.price_lists import letters
from configurator.wording.quantities import counted

if TYPE_CHECKING:
    from configurator.cli.terminal import Terminal
    from configurator.model.parts import Family
    from configurator.supplier_lists.mapping import Mapping
    from configurator.supplier_lists.price_lists import PriceList
    from configurator.supplier_lists.taking_over import ListComparison

LONG_LIST = (
    "  A long list: --ready JOB.toml with --write, or fitwright exact-prices JOB.toml, makes ready "
    "what a job needs of it, before the customer is there."
)
IN_BACKGROUND = (
    "  What {job} needs is being made ready in the background (process {process}); what comes of "
    "it stands in {log}."
)
MOST_LINES = 12  # of each kind of difference, unless all are asked for


def say_file(writer: Terminal, prices: PriceList) -> None:
    """Say what was found out about the file."""
    sheet = f", sheet {shown(prices.sheet)}" if prices.sheet else ""
    writer.heading(f"{prices.file}{sheet}")
    writer.items(prices.notes)


def say_mapping(
    writer: Terminal, prices: PriceList, mapping: Mapping, title: str, *, reasons: bool
) -> None:
    """Say which column is taken for which; with the reasons where somebody has to judge them."""
    result = headings_at(prices, mapping.headings)
    columns = {item.text: letters(item.column) for item in result}
    if not prices.sheet:
        columns = {item.text: str(item.column + 1) for item in result}
    writer.heading(title)
    rows = []
    for name, source in mapping.columns.items():
        unit = source.unit or "-"
        if source.multiply:
            unit += f" x {source.multiply}"
        sure = "yes" if source.confirmed else "TO CONFIRM"
        if source.read:
            unit = f"{source.read}{f': {source.take}' if source.take else ''}"
        taken = " + ".join(
            f"{columns.get(heading, '?')} {shown(heading)}" for heading in source.headings
        )
        rows.append((name, taken, unit, sure, source.why))
    headings = ("our column", "is the supplier's", "unit", "certain", "because")
    shown_columns = len(headings) if reasons else 3
    writer.table(headings[:shown_columns], [row[:shown_columns] for row in rows])
    if mapping.decimals and not reasons:
        writer.line(f"  decimals stand behind a {mapping.decimals}")
    for name, text in mapping.same.items():
        writer.line(f"  {name} is {shown(text)} for every part")
    known = {*mapping.taken_headings}
    rest = [
        item.text for item in result if item.text not in known and item.text not in mapping.only
    ]
    if rest:
        writer.line(f"  not taken: {', '.join(shown(text) for text in rest)}")


def lacking(mapping: Mapping, family: Family) -> list[str]:
    """Name the columns that every part needs and the mapping does not fill."""
    filled = {*mapping.columns, *mapping.same}
    return [name for name in required_columns(family) if name not in filled]


def say_lacking(writer: Terminal, mapping: Mapping, family: Family, file: str) -> None:
    """Say what the supplier's list lacks."""
    names = lacking(mapping, family)
    if names:
        writer.line(
            f"  every new part needs them, and no column is taken for: {', '.join(names)}; name "
            f"the column in {file}, or write there under [same] what holds for all"
        )


def say_doubts(writer: Terminal, mapping: Mapping, file: str) -> None:
    """Say what has to be confirmed before anything can be written."""
    doubts = doubtful(mapping)
    if not doubts:
        return
    writer.heading(f"To be confirmed in {file}: {', '.join(doubts)}")
    writer.items(
        [
            "look at each line with confirmed = false: write true if it is right, correct it, or "
            "delete the line",
            "then give the same command again",
        ]
    )


def say_rows(writer: Terminal, made: ListComparison) -> None:
    """Say what became of the supplier's rows."""
    tally = made.tally
    writer.heading(f"Rows: {counted(tally.rows, 'part')} read")
    lines = []
    if tally.remarks:
        lines.append(
            f"{counted(tally.remarks, 'row')} of headings or notes left out: "
            + "; ".join(tally.remark_examples)
        )
    if tally.others:
        lines.append(f"{counted(tally.others, 'row')} left out, as [only] says")
    if tally.hidden:
        lines.append(f"{counted(tally.hidden, 'hidden row')} left out, as the mapping says")
    if tally.joined_lines:
        lines.append(
            f"{counted(tally.joined_lines, 'cell')} with line breaks: spaces are put in their place"
        )
    if tally.formula_like:
        lines.append(
            "text that a spreadsheet would take for a formula stays text here; look at it before "
            f"the list is opened in one: {'; '.join(tally.formula_like)}"
        )
    if tally.alike:
        lines.append(f"{counted(tally.alike, 'row')} given twice, alike in everything: taken once")
    if tally.invisible:
        lines.append(f"{counted(tally.invisible, 'text')} with invisible signs: they are taken out")
    if made.left_out and made.tally.bad:
        lines.append(f"{counted(made.tally.bad, 'row')} with problems left out, as asked")
    if made.held:
        lines.append(
            f"{counted(made.held, 'part')} of them stay as the list has them now: nothing sound "
            "was found for them"
        )
    writer.items(lines)


def say_differences(writer: Terminal, made: ListComparison, *, every: bool = False) -> None:
    """Say what is new, withdrawn, priced differently, otherwise changed."""
    differences, counts = made.differences, made.differences.counts
    keep = made.mapping.withdrawn == "keep"
    gone = "no longer in the supplier's list, kept" if keep else "withdrawn"
    writer.heading(
        f"Against {made.folder.name}/{made.family.key}.csv: {counts['new']} new, "
        f"{counts['withdrawn']} {gone}, {counts['priced']} priced differently, "
        f"{counts['changed']} otherwise changed, {counts['same']} as before"
    )

    def price(minor: int) -> str:
        return money.amount(minor, made.currency)

    def limited(kind: str, rows: list[tuple[str, ...]], headings: tuple[str, ...]) -> None:
        if not rows:
            return
        writer.line(f"  {kind}:")
        shown_rows = rows if every else rows[:MOST_LINES]
        right = {k for k, text in enumerate(headings) if "price" in text or text == "change"}
        writer.table(headings, shown_rows, right=right)
        more = counts[kind.split()[0]] - len(shown_rows)
        if more > 0:
            writer.line(f"  ... and {more} more")

    heads = ("part number", "title", f"price [{made.currency}]")
    limited("new", [(n, t, price(p)) for n, t, p in differences.new], heads)
    limited("withdrawn", [(n, t, price(p)) for n, t, p in differences.withdrawn], heads)
    limited(
        "priced differently",
        [
            (n, t, price(old), price(new), f"{(new - old) / old:+.1%}" if old else "was 0")
            for n, t, old, new in differences.priced
        ],
        ("part number", "title", "old price", "new price", "change"),
    )
    limited(
        "changed otherwise",
        [
            (
                number,
                "; ".join(f"{c}: {old or 'empty'} -> {new or 'empty'}" for c, old, new in cells),
            )
            for number, _, cells in differences.changed
        ],
        ("part number", "what"),
    )
    had = sum(counts[kind] for kind in ("withdrawn", "same")) + len(differences.priced)
    if counts["withdrawn"] * 2 > had and counts["withdrawn"] > 2 and not keep:
        writer.line(
            "  More than half of the list would go. If it holds other suppliers' parts, write "
            'withdrawn = "keep" into the mapping.'
        )
