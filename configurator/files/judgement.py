"""What a job, a vehicle or a workshop states of tolerances, and who answers for a lifted rule."""

from __future__ import annotations

from typing import TYPE_CHECKING

from configurator.core.errors import UnitError, nearest
from configurator.core.text import shown
from configurator.files import toml_files
from configurator.model.kinds import kind_of
from configurator.model.knowledge import checked_rules
from configurator.model.parts import attributes_of
from configurator.model.rules import CONCERNS, MAY_BE_LIFTED
from configurator.model.tolerances import read_tolerance

if TYPE_CHECKING:
    from collections.abc import Mapping

    from configurator.files.toml_files import TomlTable
    from configurator.model.knowledge import Trade
    from configurator.model.tolerances import Tolerance

# Where a stated tolerance has no source of its own.
STATED = "stated by the shop"


def units_of_tolerances(trade: Trade) -> dict[str, str]:
    """Return what tolerances may be stated of, each with its unit: the names of `[tolerances]`.

    These are measures, conditions and figures by name, ``"family: attribute"``, and of what is on
    the vehicle ``"fitted position: attribute"``.
    """
    names = {name: measure.unit for name, measure in trade.measures.items()}
    names |= {name: condition.unit for name, condition in trade.conditions.items()}
    names |= {name: figure.unit for name, figure in trade.figures.items()}
    for family in trade.families.values():
        for attribute in attributes_of(family):
            if kind_of(attribute).numeric:
                names[f"{family.key}: {attribute.name}"] = attribute.unit
                for position in family.positions:
                    names[f"fitted {position.name}: {attribute.name}"] = attribute.unit
    return names


def unit_of(name: str, known: Mapping[str, str]) -> str | None:
    """Return the unit of what a tolerance is stated of; None where there is no such thing.

    Beside what `units_of_tolerances` gives it may be ``"catalog/number: attribute"`` of one part.
    """
    if name in known:
        return known[name]
    part, colon, attribute = name.rpartition(": ")
    if not colon or not all(part.partition("/")):
        return None
    units = {unit for other, unit in known.items() if other.endswith(f": {attribute}")}
    return units.pop() if len(units) == 1 else None


def read_tolerances(table: TomlTable, trade: Trade) -> dict[str, str]:
    """Read `[tolerances]`: name → how far its value may be off, as it is written.

    What is wrong with it goes to the table's report.
    """
    known = units_of_tolerances(trade)
    stated: dict[str, str] = {}
    for name in table.entries:
        written = toml_files.text(table, name)
        if written is None:
            continue
        unit = unit_of(name, known)
        if unit is None:
            toml_files.unknown(table, name, name, "measure, condition or figure", known)
            continue
        try:
            read_tolerance(written, unit)
        except (ValueError, UnitError) as problem:
            table.report.error(
                table.place(name),
                f"{shown(written)} is no tolerance: {problem}",
                f'write how far it may be off, as "2 {unit}" or "1 %"'.replace("2  ", "2 "),
            )
            continue
        stated[name] = written
    return stated


def tolerances_of(stated: Mapping[str, str], trade: Trade) -> dict[str, Tolerance]:
    """Turn what was read by `read_tolerances` into tolerances."""
    known = units_of_tolerances(trade)
    units = {name: unit_of(name, known) for name in stated}
    return {
        name: read_tolerance(stated[name], unit, STATED)
        for name, unit in units.items()
        if unit is not None
    }


def read_lifted(table: TomlTable, trade: Trade) -> dict[str, str]:
    """Read `[lifted]`: rule → who answers for lifting it, and why.

    Only what should be can be lifted; what must be is refused. What is wrong goes to the report.
    """
    rules = {rule.name: rule for rule in checked_rules(trade)}
    lifted: dict[str, str] = {}
    for name in table.entries:
        who = toml_files.text(table, name)
        if name not in rules:
            toml_files.unknown(table, name, name, "rule", rules)
        elif rules[name].concerns not in MAY_BE_LIFTED:
            what = CONCERNS.get(rules[name].concerns, "what must hold")
            table.report.error(
                table.place(name),
                f"this rule must hold: it is about {what}",
                nearest(
                    name,
                    [rule.name for rule in rules.values() if rule.concerns in MAY_BE_LIFTED],
                    otherwise="take it out; a shop's practices may move its number",
                ),
            )
        elif who is not None and not who.strip():
            table.report.error(
                table.place(name),
                "nobody answers for it",
                'write who, and why: "A. Example: the customer knows, and wants it so"',
            )
        elif who is not None:
            lifted[name] = who
    return lifted
