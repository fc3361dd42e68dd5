"""The sheets of a quotation, kept as they were laid out: a paper taken later says the same."""

from __future__ import annotations

import base64
from dataclasses import dataclass, replace
from decimal import Decimal
from pathlib import Path
from typing import TYPE_CHECKING, Any, get_type_hints

from configurator import drawings
from configurator.core.errors import FitwrightError
from configurator.documents import document_templates
from configurator.documents.build_sheet import REASONS_KEY, build_sheet
from configurator.documents.cost_of_certainty import CERTAINTY_KEY, certainty_items
from configurator.documents.handover_sheet import handover_sheet
from configurator.documents.layout import Cell, Number, Sheet, ToFill
from configurator.documents.number_style import Writing, writing_for
from configurator.documents.order_list import order_sheet
from configurator.documents.quotation import quotation_sheet
from configurator.documents.sheet_drawings import drawn_for
from configurator.documents.upgrade_lines import forced_lines
from configurator.store.json_records import strict_converter, structured
from configurator.wording.translation import FOLDER, translator

if TYPE_CHECKING:
    import datetime
    from collections.abc import Callable, Mapping, Sequence

    from babel import Locale

    from configurator.consequences.upgrade_records import Forced
    from configurator.evaluation.evaluator import Evaluation
    from configurator.evaluation.packages import Package
    from configurator.questions.certainty_records import CertaintyPrice, GoalCertainty
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
    certainty: tuple[CertaintyPrice, Sequence[GoalCertainty]] | None = None,
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
    certainty
        What it would cost; None likewise.

    Returns
    -------
    Record
        Name of a paper → the sheet, or ``{"not made": why}`` where it could not be laid out.
    """
    drawn = drawings.for_paper(
        evaluation, package.choice, system=how.system, **drawn_for(evaluation, how.locale)
    )
    of_fitter = drawings.for_paper(
        evaluation,
        package.choice,
        system=how.system,
        **drawn_for(evaluation, how.locale),
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
            drawings=drawn,
            certainty=certainty,
        ),
        "build": lambda: build_sheet(
            evaluation,
            package,
            forced=forced,
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
    """Say why one part needs another, for the build sheet."""
    writing = Writing(how.locale, evaluation.case.job.currency, how.system)
    return forced_lines(forced, evaluation, writing)


def certainty_lines(
    evaluation: Evaluation,
    how: DocumentStyle,
    price: CertaintyPrice,
    goals: Sequence[GoalCertainty],
) -> list[str]:
    """Say what certainty would cost, for the quotation."""
    writing = writing_for(evaluation, how.locale, how.system)
    return certainty_items(evaluation, price, goals, writing)


def paper(kept: KeptQuotation, name: str) -> Sheet:
    """Return a paper of a quotation as it was laid out, with number and customer's reference.

    Reasons, and what certainty would cost, that were worked out afterwards stand where the paper
    said that they were not.

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
            f"quotation {kept.number}: its documents were not saved with it; "
            "re-price it to get some"
        )
        raise FitwrightError(message)
    if "not made" in stored:
        message = f"quotation {kept.number}: this paper could not be made: {stored['not made']}"
        raise FitwrightError(message)
    sheet = read(stored)
    about = []
    if kept.customer:
        here = (Path(document_templates.__file__).with_name(FOLDER),)
        speech = translator(sheet.language, here)
        about.append(speech.say(document_templates.YOUR_REFERENCE, reference=kept.customer))
    sections = sheet.sections
    later = {REASONS_KEY: kept.reasons, CERTAINTY_KEY: kept.certainty}
    sections = tuple(
        replace(section, sentences=(), items=tuple(lines))
        if (lines := later.get(section.key)) is not None
        else section
        for section in sections
    )
    lines = (*sheet.lines, *about)
    return replace(sheet, number=kept.number, lines=lines, sections=sections)


def written(sheet: Sheet) -> Record:
    """Write a sheet as plain JSON; `read` gives it back."""
    record: Record = SHEETS.unstructure(sheet)
    return record


def read(record: Mapping[str, Any]) -> Sheet:
    """Read what `written` wrote.

    Raises
    ------
    FitwrightError
        If it is damaged.
    """
    return structured(record, Sheet, "its paper is damaged", SHEETS)


def _read_cell(cell: Any, _kind: object) -> Cell:
    if isinstance(cell, dict) and "fill" in cell:
        return ToFill(SHEETS.structure(cell["fill"], get_type_hints(ToFill)["kind"]))
    kind: type[Number | str] = Number if isinstance(cell, dict) else str
    return SHEETS.structure(cell, kind)


def _decimal(text: Any, _kind: object) -> Decimal:
    number = Decimal(SHEETS.structure(text, str))
    if not number.is_finite():
        raise ValueError(text)
    return number


SHEETS = strict_converter()
SHEETS.register_unstructure_hook(Decimal, str)
SHEETS.register_structure_hook(Decimal, _decimal)
SHEETS.register_structure_hook(Cell, _read_cell)
SHEETS.register_unstructure_hook(ToFill, lambda cell: {"fill": cell.kind})
# A logo's bytes, as text.
SHEETS.register_unstructure_hook(bytes, lambda data: base64.b64encode(data).decode())
SHEETS.register_structure_hook(bytes, lambda text, _kind: base64.b64decode(text, validate=True))
