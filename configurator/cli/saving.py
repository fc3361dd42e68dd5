"""Read a job to save it, and show what was saved."""

from __future__ import annotations

import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from configurator.core import clock

if TYPE_CHECKING:
    from collections.abc import Mapping

    from configurator.cli.terminal import Terminal
    from configurator.evaluation.packages import Package
    from configurator.loading.plugin_files import Loaded
    from configurator.search.optimum.preparing import Prepared
    from configurator.store.access import KeptQuotation
    from configurator.store.comparison import QuotationComparison
    from configurator.store.repricing import Anew
    from configurator.wording.quantities import System

Database = Annotated[
    str | None,
    typer.Option(
        metavar="URL",
        help="Where jobs are saved, such as postgresql://USER@HOST/DATABASE; by default what "
        "FITWRIGHT_DATABASE says, without it a file in your data folder.",
    ),
]
Forces = Annotated[
    bool,
    typer.Option(
        "--reasons/--no-reasons",
        help="Work out and save which part needs which other too; takes some seconds.",
    ),
]


def snapshot_of(
    prepared: Prepared,
    loaded: Loaded,
    package: Package,
    *,
    proven: bool,
    locale: str,
    forces: bool,
    base: Path | None,
    valid: datetime.date | None = None,
    system: System | None = None,
) -> tuple[dict[str, Any], dict[str, Any]]:
    """Write down a quotation with everything it rests on, and its documents."""
    from configurator.cli.progress_line import progress
    from configurator.consequences import upgrades
    from configurator.documents.number_style import locale_of
    from configurator.questions.goal_certainty import certainty_in_full
    from configurator.store.saved_documents import DocumentStyle, lay_out
    from configurator.store.snapshot import snapshot

    forced = None
    if forces:
        changed = [option for option in package.choice.values() if option.changed]
        with progress("finding what else each choice needs"):
            forced = upgrades.forces_each(prepared, changed)
    day = clock.today()
    how = DocumentStyle(locale_of(locale), day, valid, system)
    written = snapshot(
        prepared.evaluation,
        package,
        loaded.plugins,
        proven=proven,
        day=day,
        locale=locale,
        forced=forced,
        base=base,
        valid=valid,
    )
    certainty = None
    if forces:
        with progress("working out what certainty would cost"):
            certainty = certainty_in_full(prepared)
    return written, lay_out(prepared.evaluation, package, how, forced, certainty)


def day_of(moment: str) -> str:
    """Return the day of a time in UTC, here."""
    return clock.day_of(moment).isoformat()


def show_kept(writer: Terminal, kept: KeptQuotation, system: System | None) -> None:
    """Show a quotation as it was given."""
    from configurator.store.change_words import value_words

    snapshot: Mapping[str, Any] = kept.snapshot
    package, job = snapshot["package"], snapshot["job"]
    writer.heading(f"{kept.number}: {kept.title}")
    writer.line(
        f"{value_words(package['price'], '')} for one vehicle, as of {day_of(kept.made_at)}, "
        f"by {kept.made_by}; vehicle {job['vehicle']['title']}; "
        f"version {kept.version} of job {kept.job}"
        + (f"; re-priced from {kept.anew_of}" if kept.anew_of else "")
        + (f"; customer's reference: {kept.customer}" if kept.customer else "")
        + (f"; valid until {kept.valid_until}" if kept.valid_until else "")
    )
    if not snapshot["proven"]:
        writer.line("It was not proven to be the cheapest that meets the job.")
    writer.heading("Parts")
    details = package["details"]
    writer.table(
        ("position", "part", "number", "pieces", "price"),
        [
            (
                position,
                details[position]["title"] if package["parts"][position] else "removed",
                package["parts"][position] or "",
                str(details[position]["pieces"]),
                value_words(details[position]["price"], ""),
            )
            for position in snapshot["changed"]
        ],
        right={3, 4},
    )
    work = package["work"]
    writer.line(f"Work: {work['hours']:g} h, {value_words(work['price'], '')}")
    if package["goals"]:
        writer.heading("Goals")
        writer.items(
            f"{asked}: {value_words(goal['value'], goal['unit'], system)}"
            for asked, goal in zip(job["asked"], package["goals"], strict=True)
        )
    _show_forced(writer, snapshot["forced"])
    for heading, notes in (
        ("Cautions", package["cautions"]),
        ("Not checked", [f"{item['rule']}: {item['why']}" for item in package["not_checked"]]),
        ("Not priced", package["not_priced"]),
    ):
        if notes:
            writer.heading(heading)
            writer.items(notes)
    writer.heading("Prices")
    writer.items(
        f"{item['title']} ({item['catalog']}): prices of {item['price_date']}, "
        f"source: {item['source']}"
        for item in job["catalogs"]
    )
    writer.heading(snapshot["notice"])


def _show_forced(writer: Terminal, forced: Mapping[str, Any] | None) -> None:
    writer.heading("What else the choices need")
    if forced is None:
        writer.line("Not worked out when this was saved.")
        return
    sentences = [
        f"{choice['position']}, {choice['title']}: {arrow['position']} "
        f"({', '.join(item['rule'] for item in arrow['because'])})"
        for choice in forced["choices"]
        for arrow in choice["forces"]
    ]
    if sentences:
        writer.items(sentences)
    else:
        writer.line("Nothing.")


def show_changes(
    writer: Terminal, comparison: QuotationComparison, currency: str, system: System | None
) -> None:
    """Show what has changed since a quotation was given."""
    from configurator.store.change_words import change_words
    from configurator.wording.quantities import money_words

    writer.heading("Changed since")
    if comparison.changes:
        writer.items(change_words(change, system) for change in comparison.changes)
    elif not comparison.not_compared:
        writer.line("Nothing.")
    if comparison.not_compared:
        writer.line("Could not be compared:")
        writer.items(comparison.not_compared)
    if comparison.same_parts is not None:
        price = money_words(comparison.same_parts.price, currency)
        writer.line(f"The same parts cost {price} today.")
    if comparison.stands_against:
        writer.line("They are no answer to the job today:")
        writer.items(comparison.stands_against)


def show_anew(
    writer: Terminal,
    old: KeptQuotation,
    new: KeptQuotation,
    anew: Anew,
    comparison: QuotationComparison,
) -> None:
    """Compare two quotations of a job."""
    from configurator.wording.quantities import money_words

    same, cheapest = comparison.same_parts, anew.answer.packages[0]

    def money(package: Package | None) -> str:
        return "not available" if package is None else money_words(package.price, new.currency)

    writer.heading("Re-priced")
    writer.table(
        ("", "price"),
        [
            (f"{old.number}, as it was", money_words(old.price, old.currency)),
            ("the same parts today", money(same)),
            ("the cheapest today", money(cheapest)),
        ],
        right={1},
    )
    what = "the same parts" if anew.same else "the cheapest package today"
    writer.line(f"Saved as {new.number}: {what}, {money_words(new.price, new.currency)}.")
    before, after = old.snapshot["package"], new.snapshot["package"]
    rows = []
    for position in dict.fromkeys([*before["parts"], *after["parts"]]):
        details, other = (package["details"].get(position) for package in (before, after))
        keys = [package["parts"].get(position) for package in (before, after)]
        if keys[0] != keys[1] or (details or {}).get("price") != (other or {}).get("price"):
            rows.append((position, _value_words(details, keys[0]), _value_words(other, keys[1])))
    if rows:
        writer.table(("position", old.number, new.number), rows)


def _value_words(detail: Mapping[str, Any] | None, key: str | None) -> str:
    if detail is None or key is None:
        return "not fitted"
    price = detail["price"]
    return f"{detail['title']}, {price['amount']} {price['currency']}"
