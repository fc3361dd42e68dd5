"""Local rules: what a country or state forbids or wants approved, as a shop has written it down.

A file ``<catalog>/local/<name>.toml`` holds bounds on figures, on their change (``change``) or on
their change in per cent (``relative`` as well), each with where it is from and of which date. The
figures are read as they are, not rounded to the side that is safe for the rules of the trade. A
rule that forbids becomes a limit of the search; one that needs approval becomes a caution.
Fitwright knows no law by itself: without a file, none was checked, and that is said.
"""

from __future__ import annotations

import re
from functools import partial
from typing import TYPE_CHECKING

from configurator.core import units
from configurator.core.errors import nearest
from configurator.core.text import shown
from configurator.files import toml_files
from configurator.model.jobs import LocalRules
from configurator.model.parts import Attribute, Missing
from configurator.model.references import FigureValue, Input
from configurator.model.rules import Caution, Limit
from configurator.model.unrounded import unrounded_figures
from configurator.model.values import described

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from configurator.core.text import Report
    from configurator.files.toml_files import TomlTable
    from configurator.model.knowledge import Trade
    from configurator.model.rules import Figure, Total

FOLDER = "local"
FORBIDS, NEEDS_APPROVAL = "forbids", "needs approval"
_KEYS = (
    "figure",
    "change",
    "relative",
    "at_least",
    "at_most",
    "says",
    "source",
    "date",
    "effect",
    "approve",
)
_CHANGE = Attribute("change", "Whether the change of the figure is bounded.", kind="yes/no")
_RELATIVE = Attribute("relative", "Whether as a share of what it was.", kind="yes/no")
_SHARE = Attribute("share", "A change as a share of what it was.", unit="%")


def load_local_rules(folder: Path, name: str, trade: Trade, report: Report) -> LocalRules | None:
    """Read a file of local rules, and leave the problems in a report.

    Parameters
    ----------
    folder
        Of the catalog.
    name
        Of the file, without its ending.
    trade
        The figures and totals there are.
    report
        Takes what is wrong.
    """
    known = sorted(path.stem for path in (folder / FOLDER).glob("*.toml"))
    if name not in known:
        listed = f"use one of {', '.join(known)}" if known else f"write {FOLDER}/<name>.toml"
        what = f"there are no local rules {shown(name)}"
        report.error(f"{folder.name}/{FOLDER}", what, nearest(name, known, otherwise=listed))
        return None
    where = f"{folder.name}/{FOLDER}/{name}.toml"
    top = toml_files.load(folder / FOLDER / f"{name}.toml", where, report)
    if top is None:
        return None
    toml_files.refuse_unknown(top, ("title", "rules"))
    title = toml_files.text(top, "title", required='"..."') or name
    table = toml_files.subtable(top, "rules")
    if not table.entries:
        report.error(where, "there are no rules in it", 'write [rules."..."] with lines below it')
    figures: dict[str, Figure] = {}
    sources: dict[str, str] = {}
    rules: list[Limit | Caution] = []
    for key in table.entries:
        entry = toml_files.subtable(table, key)
        rule = _rule(entry, key, title, trade, figures)
        if rule is not None:
            rules.append(rule)
            sources[key] = f"{entry.entries['source']}, {entry.entries['date']}"
    return LocalRules(f"{folder.name}/{name}", title, tuple(rules), figures, sources)


def load_every_local_rule(folder: Path, trade: Trade, report: Report) -> list[LocalRules]:
    """Read all files of local rules of a catalog, and leave the problems in a report."""
    names = sorted(path.stem for path in (folder / FOLDER).glob("*.toml"))
    rules = [load_local_rules(folder, name, trade, report) for name in names]
    return [rule for rule in rules if rule is not None]


def _rule(
    table: TomlTable, name: str, title: str, trade: Trade, figures: dict[str, Figure]
) -> Limit | Caution | None:
    """Read a rule; ``figures`` takes those that it reads, not rounded."""
    before = len(table.report.errors)
    toml_files.refuse_unknown(table, _KEYS)
    for taken in (trade.limits, trade.fits, trade.totals, trade.figures, trade.cautions):
        if name in taken:
            table.report.error(
                table.where, f"a plugin declares {shown(name)} already", "rename the local rule"
            )
    if not re.search(r"\w", name):
        table.report.error(table.where, "the rule has no name", "say in words what it asks for")
    figure = toml_files.text(table, "figure", required='"vehicle mass"')
    everything: dict[str, Figure | Total] = {**trade.figures, **trade.totals}
    if figure is not None:
        figure = toml_files.now(table, figure, everything, trade.former_names, "figure")
    if figure is not None and figure not in everything:
        toml_files.unknown(table, "figure", figure, "figure", everything)
    says = toml_files.text(table, "says", required='"..."', lines=True) or ""
    source = toml_files.text(table, "source", required='"..."', lines=True) or ""
    date = toml_files.date(table, "date")
    effect = toml_files.text(table, "effect", required=f'"{FORBIDS}"')
    if effect not in (None, FORBIDS, NEEDS_APPROVAL):
        table.report.error(
            table.place("effect"),
            f"{shown(effect)} is not what a rule can do",
            f'write "{FORBIDS}" or "{NEEDS_APPROVAL}"',
        )
    required = '"..."' if effect == NEEDS_APPROVAL else ""
    approve = toml_files.text(table, "approve", required=required) or ""
    change = toml_files.value(table, "change", _CHANGE) is True
    if figure is None or figure not in everything:
        return None
    declared = everything[figure]
    relative = toml_files.value(table, "relative", _RELATIVE) is True
    if relative and not change:
        table.report.error(
            table.place("relative"), "only a change can be relative", "write change = true as well"
        )
    measured = _SHARE if relative else described(declared)
    low, high = _bound(table, "at_least", measured), _bound(table, "at_most", measured)
    if "at_least" not in table.entries and "at_most" not in table.entries:
        table.report.error(table.where, "the rule has no bound", "write at_least or at_most")
    if len(table.report.errors) > before:
        return None
    exact, made = unrounded_figures(declared.name, trade.figures, trade.totals)
    figures.update(made)
    inputs = [Input("value", FigureValue(exact))]
    if change:
        inputs.append(Input("before", FigureValue(exact, before=True)))
    cited = f"{title}: {source}, {date}"
    bounded = relative_change if relative else amount
    if effect == NEEDS_APPROVAL:
        broken = partial(outside, bounded, at_least=low, at_most=high)
        text = f"{says} (local rule; {cited})"
        return Caution(name, broken, tuple(inputs), text, approve=approve)
    return Limit(
        name,
        measured.unit,
        bounded,
        tuple(inputs),
        None if low is None else units.from_si(low, measured.unit),
        None if high is None else units.from_si(high, measured.unit),
        says,
        cited,
        quantity=f"change of {declared.name}" if change else declared.name,
    )


def _bound(table: TomlTable, key: str, measured: Attribute) -> float | None:
    value = toml_files.value(table, key, measured)
    return float(value) if isinstance(value, int | float) else None


def amount(value: float, before: float = 0.0) -> float:
    """Return what a local rule bounds: a figure, or its change from the vehicle as it stands."""
    return value - before


def relative_change(value: float, before: float) -> float | Missing:
    """Return the change of a figure as a share of what it was; not known where that was nought.

    Examples
    --------
    >>> round(relative_change(0.84, 0.80), 3)
    0.05
    """
    return (value - before) / abs(before) if before else Missing.UNKNOWN


def outside(
    bounded: Callable[..., float | Missing],
    value: float,
    before: float = 0.0,
    *,
    at_least: float | None = None,
    at_most: float | None = None,
) -> bool | Missing:
    """Whether what a local rule bounds is outside its bounds, and so needs approval.

    Examples
    --------
    >>> outside(amount, 1.92, 1.90, at_most=0.05), outside(amount, 1.96, 1.90, at_most=0.05)
    (False, True)
    """
    has, hair = bounded(value, before), 1e-9
    if isinstance(has, Missing):
        return has
    low = at_least is not None and has < at_least - hair * max(1.0, abs(at_least))
    high = at_most is not None and has > at_most + hair * max(1.0, abs(at_most))
    return low or high
