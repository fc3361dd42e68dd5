"""The sheet for the hoist: what to measure on a vehicle, how, with room to write it down."""

from __future__ import annotations

from typing import TYPE_CHECKING

from configurator.core.units import PLAIN
from configurator.documents.layout import Cell, Section, Sheet, SheetColumn, SheetTable, ToFill
from configurator.drawings.measuring_guide import measuring_guide
from configurator.files.new_vehicle import grouped
from configurator.model.needed_values import measures_by_use

if TYPE_CHECKING:
    from collections.abc import Collection, Sequence

    from configurator.model.knowledge import Trade
    from configurator.model.needed_values import NeededValue
    from configurator.model.vehicles import Measure

_COLUMNS = (
    SheetColumn("measure", 1.5),
    SheetColumn("how", 2.6),
    SheetColumn("unit", 0.0),
    SheetColumn("value", 0.8),
)


def measuring_sheet(
    trade: Trade,
    vehicle: str,
    first: Sequence[NeededValue],
    known: Collection[str] = (),
    *,
    figures: Sequence[str] = (),
    paper: str = "a4",
) -> Sheet:
    """Lay out the sheet for the hoist.

    Parameters
    ----------
    trade
        What plugins declare.
    vehicle
        What people call it.
    first
        What is needed first.
    known
        Names of measures that need not be taken again.
    figures
        What it is needed first for.
    paper
        ``"a4"`` or ``"us-letter"``.
    """
    asked = {needed.name for needed in first if not needed.position}
    rest = [
        measure
        for measure in measures_by_use(trade)
        if measure.name not in asked and measure.name not in known
    ]
    what = f"for {', '.join(figures)}" if figures else ""
    sections = [
        Section(
            "Needed first",
            (f"Without these nothing can be worked out {what}".rstrip() + ".",) if first else (),
            table=_table(
                [(needed.words, needed.how, _unit(needed.declared.unit)) for needed in first]
            ),
        ),
        Section(
            "From where to where",
            ("Not to scale. Level floor, tyres at their pressure, loaded as weighed.",),
            drawings=measuring_guide(),
        ),
    ]
    for title, measures in grouped(rest).items():
        sections.append(Section(title, table=_table([_row(measure) for measure in measures])))
    sections.append(
        Section(
            "Measured",
            table=SheetTable(
                (SheetColumn("by"), SheetColumn("on"), SheetColumn("odometer")),
                ((ToFill("room"), ToFill("room"), ToFill("room")),),
            ),
        )
    )
    return Sheet("Measuring sheet", vehicle, (), tuple(sections), paper)


def _table(rows: Sequence[tuple[str, str, str]]) -> SheetTable | None:
    filled: list[tuple[Cell, ...]] = [(*row, ToFill("room")) for row in rows]
    return SheetTable(_COLUMNS, tuple(filled)) if filled else None


def _row(measure: Measure) -> tuple[str, str, str]:
    words = f" ({' | '.join(measure.choices)})" if measure.choices else ""
    return measure.name, f"{measure.how}{words}", _unit(measure.unit)


def _unit(unit: str) -> str:
    return "" if unit in PLAIN else unit
