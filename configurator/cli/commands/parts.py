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
from configurator.cli.parameters import AsJson
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


@app.command(epilog='Example: fitwright parts --family wheels --where "offset >= 20 mm"')
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
            metavar="JOB.toml", help="Show for each part what the cheapest package with it costs."
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
    as_json: AsJson = False,
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
    result = look_up(shelf, trade, conditions, family=family, currency=currency)
    states = _states(prepared, trade, result) if prepared is not None else {}
    if as_json:
        write_json(_record(settings, trade, result, states, infos, currency))
    else:
        _show(Terminal(), settings, trade, result, states, infos, currency)
    if not result.parts:
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
    opened.sort(key=lambda item: bool(item.overrides))
    settled = [source for source in opened if source.workshop is not None and source.workshop.rates]
    shop = next(iter(settled or opened), None)
    currency = shop.info.currency if shop is not None else ""
    rates = shop.workshop.rates if shop is not None and shop.workshop is not None else {}
    layers = [Layer(source.info, source.parts, source.overrides) for source in opened]
    stacked = stack(layers, currency, rates, "catalogs", report)
    sound(stacked, report)
    warn(report.warnings)
    return stacked.parts, list(stacked.infos), currency


def _states(
    prepared: Prepared, trade: Trade, result: FilterResult
) -> dict[tuple[str, str], OptionState]:
    """Say of each part that was found, at each position, what the cheapest package costs."""
    from configurator.cli.progress_line import progress
    from configurator.questions import answers

    positions = [place.name for key in result.parts for place in trade.families[key].positions]
    with progress("pricing every option"):
        states = answers.options(prepared, positions)
    return {(option.option.key, at): option for at, options in states.items() for option in options}


def _rows(
    trade: Trade, key: str, result: FilterResult, states: Mapping[tuple[str, str], OptionState]
) -> list[tuple[Part, OptionState | None]]:
    """Pair each part with what is known of it, once for each position that it goes to."""
    rows: list[tuple[Part, OptionState | None]] = []
    for part in result.parts[key]:
        at = [states.get((part.key, place.name)) for place in trade.families[key].positions]
        known = [(part, item) for item in at if item is not None]
        rows.extend(known or [(part, None)])
    return rows


def _show(
    writer: Terminal,
    settings: Settings,
    trade: Trade,
    result: FilterResult,
    states: Mapping[tuple[str, str], OptionState],
    infos: Sequence[CatalogInfo],
    currency: str,
) -> None:
    from configurator.model.parts import Missing, attributes_of
    from configurator.wording.quantities import counted, money_words, words
    from configurator.wording.sentences import catalog_words

    if not result.parts:
        writer.line("No part in the catalogs meets these conditions.")
    for key in result.parts:
        family = trade.families[key]
        # A column that is empty in every row says nothing.
        columns = [
            attribute
            for attribute in attributes_of(family)
            if not all(isinstance(p.values[attribute.name], Missing) for p in result.parts[key])
        ]
        headings = [
            "part",
            "title",
            "price",
            *(column.name for column in columns),
            "lead time",
            "stock",
        ]
        if states:
            headings += ["position", "state", "cheapest package"]
        rows = []
        for part, state in _rows(trade, key, result, states):
            row = [part.key, part.title, money_words(part.price, currency)]
            row += [
                words(part.values[column.name], column.unit, settings.units) for column in columns
            ]
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
        writer.heading(f"{family.title}: {counted(len(result.parts[key]), 'part')}")
        writer.table(
            [headings[k] for k in keep],
            [[row[k] for k in keep] for row in rows],
            right=set(range(2, len(keep))) if not states else {2},
        )
        changed = [part for part in result.parts[key] if part.origins]
        if changed:
            writer.line("Not as the supplier's list has it:")
            writer.items(f"{part.key}: {_origins(part)}" for part in changed)
        notes = [part for part in result.parts[key] if part.note]
        if notes:
            writer.line("Notes:")
            writer.items(f"{part.key}: {part.note}" for part in notes)
    if result.unknown:
        writer.heading("Left out, since their lists do not say")
        writer.items(
            f"{condition}: {counted(number, 'part')}"
            for condition, number in result.unknown.items()
        )
    writer.heading("Prices")
    writer.items(catalog_words(info) for info in infos)


def _origins(part: Part) -> str:
    """Say where values are from that are not the list's own, those of one place together."""
    names: dict[str, list[str]] = {}
    for name, origin in part.origins.items():
        names.setdefault(origin, []).append(name)
    return "; ".join(f"{', '.join(of)} from {origin}" for origin, of in names.items())


def _record(
    settings: Settings,
    trade: Trade,
    result: FilterResult,
    states: Mapping[tuple[str, str], OptionState],
    infos: Sequence[CatalogInfo],
    currency: str,
) -> dict[str, Any]:
    from configurator.model.parts import attributes_of
    from configurator.wording.quantities import money_record, plain, unit_in

    records = []
    for key, listed in result.parts.items():
        for part in listed:
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
                    attribute.name: {
                        "value": plain(part.values[attribute.name], attribute.unit, settings.units),
                        "unit": unit_in(attribute.unit, settings.units),
                    }
                    for attribute in attributes_of(trade.families[key])
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
            records.append(record)
    return {
        "parts": records,
        "left_out_unknown": dict(result.unknown),
        "catalogs": [
            {
                "catalog": info.key,
                "price_date": info.price_date,
                "source": info.source,
                "remarks": list(info.remarks),
            }
            for info in infos
        ],
    }
