"""``fitwright parts``: look parts up in the catalogs."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from configurator.cli.open_case import (
    Settings,
    check_catalog_folders,
    load_trade,
    prepare,
    settings_of,
)
from configurator.cli.program import app

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from configurator.cli.terminal import Terminal
    from configurator.files.part_filter import FilterResult
    from configurator.model.jobs import CatalogInfo
    from configurator.model.knowledge import Trade
    from configurator.model.parts import Part
    from configurator.questions.answers import OptionState
    from configurator.search.optimum.preparing import Prepared


@app.command()
def parts(
    ctx: typer.Context,
    family: Annotated[
        str | None, typer.Option(metavar="F", help="Only this family, such as wheels.")
    ] = None,
    where: Annotated[
        list[str] | None,
        typer.Option(
            metavar="CONDITION",
            help='Such as "offset >= 20 mm" or "price <= 400 EUR"; may be given several times, '
            "all must be met. Comparisons: <= >= != = < > has.",
        ),
    ] = None,
    fits: Annotated[
        Path | None,
        typer.Option(
            metavar="JOB.toml", help="Say of each what the cheapest package with it costs."
        ),
    ] = None,
    catalog: Annotated[
        list[str] | None,
        typer.Option(
            metavar="NAME",
            help="Only these catalogs; without it, all in the folders of --catalogs, or else those "
            "that come with Fitwright.",
        ),
    ] = None,
    as_json: Annotated[bool, typer.Option("--json", help="Write JSON.")] = False,
) -> None:
    """Look parts up in the catalogs: by family, by what their lists say, by whether they fit."""
    from configurator.cli.refusing import bad
    from configurator.cli.terminal import Terminal, write_json
    from configurator.files.part_filter import look_up, read_condition

    settings = settings_of(ctx)
    conditions = [read_condition(text) for text in where or ()]
    prepared = None
    if fits is not None:
        if catalog:
            raise bad(
                where="--catalog",
                what="the job of --fits names its catalogs",
                do="leave out one of the two",
            )
        prepared = prepare(settings, fits)
        evaluation = prepared.evaluation
        trade, case = evaluation.trade, evaluation.case
        shelf, infos, currency = case.parts, list(case.catalogs), case.job.currency
    else:
        trade = load_trade(settings)
        shelf, infos, currency = _all_catalogs(settings, trade, catalog or ())
    found = look_up(shelf, trade, conditions, family=family, currency=currency)
    states = _states(prepared, trade, found) if prepared is not None else {}
    if as_json:
        write_json(_record(settings, trade, found, states, infos, currency))
    else:
        _show(Terminal(), settings, trade, found, states, infos, currency)
    if not found.parts:
        raise typer.Exit(3)


def _all_catalogs(
    settings: Settings, trade: Trade, names: Sequence[str]
) -> tuple[Mapping[str, tuple[Part, ...]], list[CatalogInfo], str]:
    """Read the named catalogs, or all that the folders of catalogs hold, or those that come along.

    Catalogs that change the parts of others are laid over them, whatever their names.
    """
    from configurator.cli.refusing import warn
    from configurator.core import paths
    from configurator.core.text import Report, sound
    from configurator.files.catalog_files import catalog_folder, load_catalog
    from configurator.files.layers import Layer, stack

    check_catalog_folders(settings)
    if names:
        folders = [catalog_folder(name, settings.catalogs) for name in dict.fromkeys(names)]
    else:
        homes = settings.catalogs or (paths.catalogs(),)
        every = [path.parent for home in homes for path in sorted(home.glob("*/catalog.toml"))]
        folders = list({folder.name: folder for folder in reversed(every)}.values())[::-1]
    report = Report()
    opened = [load_catalog(folder, trade, report) for folder in folders]
    opened.sort(key=lambda one: bool(one.overrides))
    settled = [one for one in opened if one.workshop is not None and one.workshop.rates]
    shop = next(iter(settled or opened), None)
    currency = shop.info.currency if shop is not None else ""
    rates = shop.workshop.rates if shop is not None and shop.workshop is not None else {}
    layers = [Layer(one.info, one.parts, one.overrides) for one in opened]
    stacked = stack(layers, currency, rates, "catalogs", report)
    sound(stacked, report)
    warn(report.warnings)
    return stacked.parts, list(stacked.infos), currency


def _states(
    prepared: Prepared, trade: Trade, found: FilterResult
) -> dict[tuple[str, str], OptionState]:
    """Say of each part that was found, at each position, what the cheapest package costs."""
    from configurator.cli.progress_line import progress
    from configurator.questions import answers

    positions = [place.name for key in found.parts for place in trade.families[key].positions]
    with progress("pricing every option"):
        told = answers.options(prepared, positions)
    return {(one.option.key, at): one for at, options in told.items() for one in options}


def _rows(
    trade: Trade, key: str, found: FilterResult, states: Mapping[tuple[str, str], OptionState]
) -> list[tuple[Part, OptionState | None]]:
    """Pair each part with what is known of it, once for each position that it goes to."""
    rows: list[tuple[Part, OptionState | None]] = []
    for part in found.parts[key]:
        at = [states.get((part.key, place.name)) for place in trade.families[key].positions]
        known = [(part, one) for one in at if one is not None]
        rows.extend(known or [(part, None)])
    return rows


def _show(
    writer: Terminal,
    settings: Settings,
    trade: Trade,
    found: FilterResult,
    states: Mapping[tuple[str, str], OptionState],
    infos: Sequence[CatalogInfo],
    currency: str,
) -> None:
    from configurator.model.parts import Missing, attributes_of
    from configurator.wording.quantities import counted, money_words, words
    from configurator.wording.sentences import catalog_words

    if not found.parts:
        writer.line("No part in the catalogs meets these conditions.")
    for key in found.parts:
        family = trade.families[key]
        # A column that is empty in every row says nothing.
        columns = [
            one
            for one in attributes_of(family)
            if not all(isinstance(p.values[one.name], Missing) for p in found.parts[key])
        ]
        headings = ["part", "title", "price", *(one.name for one in columns), "lead time", "stock"]
        if states:
            headings += ["position", "state", "cheapest package"]
        rows = []
        for part, state in _rows(trade, key, found, states):
            row = [part.key, part.title, money_words(part.price, currency)]
            row += [words(part.values[one.name], one.unit, settings.units) for one in columns]
            row += ["" if part.lead_time is None else f"{part.lead_time} days"]
            row += ["" if part.stock is None else str(part.stock)]
            if state is not None:
                price = "" if state.price is None else money_words(state.price, currency)
                row += [state.option.position, state.state]
                row += [price if state.exact or not price else f"at least {price}"]
            elif states:
                row += ["", "", ""]
            rows.append(row)
        keep = [k for k in range(len(headings)) if k < 3 or any(row[k] for row in rows)]
        writer.heading(f"{family.title}: {counted(len(found.parts[key]), 'part')}")
        writer.table(
            [headings[k] for k in keep],
            [[row[k] for k in keep] for row in rows],
            right=set(range(2, len(keep))) if not states else {2},
        )
        changed = [part for part in found.parts[key] if part.origins]
        if changed:
            writer.line("Not as the supplier's list has it:")
            writer.items(f"{part.key}: {_origins(part)}" for part in changed)
        notes = [part for part in found.parts[key] if part.note]
        if notes:
            writer.line("Notes:")
            writer.items(f"{part.key}: {part.note}" for part in notes)
    if found.unknown:
        writer.heading("Left out, since their lists do not say")
        writer.items(
            f"{condition}: {counted(number, 'part')}" for condition, number in found.unknown.items()
        )
    writer.heading("Prices")
    writer.items(catalog_words(one) for one in infos)


def _origins(part: Part) -> str:
    """Say where values are from that are not the list's own, those of one place together."""
    names: dict[str, list[str]] = {}
    for name, origin in part.origins.items():
        names.setdefault(origin, []).append(name)
    return "; ".join(f"{', '.join(of)} from {origin}" for origin, of in names.items())


def _record(
    settings: Settings,
    trade: Trade,
    found: FilterResult,
    states: Mapping[tuple[str, str], OptionState],
    infos: Sequence[CatalogInfo],
    currency: str,
) -> dict[str, Any]:
    from configurator.model.parts import attributes_of
    from configurator.wording.quantities import money_record, plain, unit_in

    told = []
    for key, parts_ in found.parts.items():
        for part in parts_:
            record: dict[str, Any] = {
                "part": part.key,
                "family": key,
                "title": part.title,
                "price": money_record(part.price, currency),
                "maker": part.maker,
                "positions": list(part.positions)
                or [place.name for place in trade.families[key].positions],
                "lead_time_days": part.lead_time,
                "stock": part.stock,
                "note": part.note,
                "place": part.place,
                "origins": dict(part.origins),
                "attributes": {
                    one.name: {
                        "value": plain(part.values[one.name], one.unit, settings.units),
                        "unit": unit_in(one.unit, settings.units),
                    }
                    for one in attributes_of(trade.families[key])
                },
            }
            if states:
                record["fits"] = {
                    place.name: {
                        "state": state.state,
                        "cheapest_package": money_record(state.price, currency),
                        "exact": state.exact,
                    }
                    for place in trade.families[key].positions
                    if (state := states.get((part.key, place.name))) is not None
                }
            told.append(record)
    return {
        "parts": told,
        "left_out_unknown": dict(found.unknown),
        "catalogs": [
            {
                "catalog": one.key,
                "price_date": one.price_date,
                "source": one.source,
                "remarks": list(one.remarks),
            }
            for one in infos
        ],
    }
