"""The sheets of a quotation, kept as they were laid out: a paper taken later says the same."""

from __future__ import annotations

from dataclasses import asdict, dataclass, replace
from decimal import Decimal
from typing import TYPE_CHECKING, Any

from configurator import drawings
from configurator.core.errors import FitwrightError
from configurator.documents.build_sheet import build_sheet
from configurator.documents.handover_sheet import handover_sheet
from configurator.documents.layout import Number, Section, Sheet, SheetColumn, SheetTable, ToFill
from configurator.documents.number_style import Writing, numbers_of
from configurator.documents.order_list import order_sheet
from configurator.documents.quotation import REASONS, quotation_sheet
from configurator.documents.upgrade_lines import forced_lines
from configurator.drawings import Drawing

if TYPE_CHECKING:
    import datetime
    from collections.abc import Callable, Mapping, Sequence

    from babel import Locale

    from configurator.consequences.upgrade_records import Forced
    from configurator.documents.layout import Cell
    from configurator.evaluation.evaluator import Evaluation
    from configurator.evaluation.packages import Package
    from configurator.store.saved_quotations import KeptQuotation
    from configurator.wording.plain_data import Record
    from configurator.wording.quantities import System

# Name of a paper → what people call it.
PAPERS = {
    "quotation": "Quotation",
    "build": "Build sheet",
    "handover": "Handover sheet",
    "order": "Order list",
}


@dataclass(frozen=True, slots=True)
class DocumentStyle:
    """For whom papers are written: locale, day, how long the prices hold, units."""

    locale: Locale
    day: datetime.date
    valid: datetime.date | None = None
    system: System | None = None


def lay_out(
    evaluation: Evaluation,
    package: Package,
    how: DocumentStyle,
    forced: Sequence[Forced] | None = None,
) -> Record:
    """Lay out all papers of a package, as plain JSON.

    Parameters
    ----------
    evaluation, package
        What is quoted.
    how
        For whom.
    forced
        What each changed part forces; None if that was not worked out, which the paper then says.

    Returns
    -------
    Record
        Name of a paper → the sheet, or ``{"not made": why}`` where it could not be laid out.
    """
    drawn = drawings.for_paper(
        evaluation, package.choice, system=how.system, number=numbers_of(how.locale)
    )
    of_fitter = drawings.for_paper(
        evaluation,
        package.choice,
        system=how.system,
        number=numbers_of(how.locale),
        names=("front", "rear", "side"),
    )
    made: dict[str, Callable[[], Sheet]] = {
        "quotation": lambda: quotation_sheet(
            evaluation,
            package,
            locale=how.locale,
            day=how.day,
            valid=how.valid,
            system=how.system,
            forced=forced,
            drawings=drawn,
        ),
        "build": lambda: build_sheet(
            evaluation,
            package,
            locale=how.locale,
            day=how.day,
            system=how.system,
            drawings=of_fitter,
        ),
        "handover": lambda: handover_sheet(
            evaluation,
            package,
            locale=how.locale,
            day=how.day,
            system=how.system,
            drawings=of_fitter,
        ),
        "order": lambda: order_sheet(evaluation, package, locale=how.locale, day=how.day),
    }
    return {name: _made(make) for name, make in made.items()}


def _made(make: Callable[[], Sheet]) -> Record:
    try:
        return written(make())
    except FitwrightError as problem:
        return {"not made": str(problem)}


def reasons(evaluation: Evaluation, how: DocumentStyle, forced: Sequence[Forced]) -> list[str]:
    """Say for the customer why one part needs another."""
    writing = Writing(how.locale, evaluation.case.job.currency, how.system)
    return forced_lines(forced, evaluation, writing)


def paper(kept: KeptQuotation, name: str) -> Sheet:
    """Return a paper of a quotation as it was laid out, with number and customer's reference.

    Reasons that were worked out afterwards stand where the paper said that they were not.

    Parameters
    ----------
    kept
        The quotation.
    name
        One of `PAPERS`.

    Raises
    ------
    FitwrightError
        If the paper was not kept, with the reason.
    """
    stored = (kept.papers or {}).get(name)
    if stored is None:
        message = (
            f"quotation {kept.number}: its papers were not kept with it; price it anew to get some"
        )
        raise FitwrightError(message)
    if "not made" in stored:
        message = f"quotation {kept.number}: this paper could not be made: {stored['not made']}"
        raise FitwrightError(message)
    sheet = read(stored)
    about = f"Quotation {kept.number}"
    if kept.customer:
        about += f"; customer's reference: {kept.customer}"
    sections = sheet.sections
    if name == "quotation" and kept.reasons is not None:
        sections = tuple(
            replace(section, sentences=(), items=tuple(kept.reasons))
            if section.heading == REASONS
            else section
            for section in sections
        )
    return replace(sheet, lines=(about, *sheet.lines), sections=sections)


def written(sheet: Sheet) -> Record:
    """Write a sheet as plain JSON; `read` gives it back."""
    return {
        "kind": sheet.kind,
        "title": sheet.title,
        "lines": list(sheet.lines),
        "paper": sheet.paper,
        "sections": [
            {
                "heading": section.heading,
                "short": section.short,
                "sentences": list(section.sentences),
                "items": list(section.items),
                "table": None if section.table is None else _table(section.table),
                "drawings": [
                    {**asdict(it), "not_drawn": list(it.not_drawn)} for it in section.drawings
                ],
            }
            for section in sheet.sections
        ],
    }


def _table(table: SheetTable) -> Record:
    return {
        "columns": [asdict(column) for column in table.columns],
        "rows": [[_cell(cell) for cell in row] for row in table.rows],
        "last": table.last,
    }


def _cell(cell: Cell) -> Any:
    if isinstance(cell, Number):
        return {"text": cell.text, "value": str(cell.value), "form": cell.form}
    return {"fill": cell.kind} if isinstance(cell, ToFill) else cell


def read(record: Mapping[str, Any]) -> Sheet:
    """Read what `written` wrote."""
    return Sheet(
        record["kind"],
        record["title"],
        tuple(record["lines"]),
        tuple(
            Section(
                item["heading"],
                tuple(item["sentences"]),
                tuple(item["items"]),
                None if item["table"] is None else _read_table(item["table"]),
                tuple(
                    Drawing(**{**it, "not_drawn": tuple(it["not_drawn"])})
                    for it in item["drawings"]
                ),
                item["short"],
            )
            for item in record["sections"]
        ),
        record["paper"],
    )


def _read_table(record: Mapping[str, Any]) -> SheetTable:
    columns = tuple(SheetColumn(**item) for item in record["columns"])
    rows = tuple(tuple(_read_cell(cell) for cell in row) for row in record["rows"])
    return SheetTable(columns, rows, record["last"])


def _read_cell(cell: Any) -> Cell:
    if not isinstance(cell, dict):
        return str(cell)
    if "fill" in cell:
        return ToFill(cell["fill"])
    return Number(cell["text"], Decimal(cell["value"]), cell["form"])
