"""The file of a new vehicle: every measure in groups, what is known filled in, the rest to fill in.

What is not known stands there as a comment, so that the file can be read at any time.
"""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

import tomlkit

from configurator.core.errors import InputError, Problem
from configurator.core.units import PLAIN
from configurator.model.kinds import kind_of
from configurator.model.knowledge import positions_of
from configurator.model.parts import attributes_of
from configurator.model.values import described, reader

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from configurator.model.knowledge import Trade
    from configurator.model.needed_values import NeededValue
    from configurator.model.parts import Attribute
    from configurator.model.vehicles import Measure

# Where a workshop finds a measure; the first pattern that its name holds.
GROUPS: tuple[tuple[str, str], ...] = (
    ("On the scale and the plate", r"mass|axle load|payload|permitted m|permitted .* load"),
    ("Engine, gearbox and speed", r"engine|gear ratio|range ratio|idle|speed"),
    ("Brakes and steering", r"brake|pedal|booster|pressure|deceleration|steering|rod|link|joint"),
    ("Springs, shocks and propshafts", r"spring|shock|bump|strap|propshaft|gearbox|Panhard"),
    ("Body and lamps", r"headlamp|sill|roof|window|bonnet|cab|bed|overhang|hard point|door|screen"),
    (
        "Room about wheels and axles",
        r"room|arch|lock|radius|wheel|suspension|mounts|spare|underside",
    ),
)
OTHERS = "Everything else"


def group_of(name: str) -> str:
    """Name the group of a measure.

    Examples
    --------
    >>> group_of("laden mass"), group_of("front arch room")
    ('On the scale and the plate', 'Room about wheels and axles')
    """
    return next((title for title, pattern in GROUPS if re.search(pattern, name)), OTHERS)


def grouped(measures: Sequence[Measure]) -> dict[str, list[Measure]]:
    """Put measures into their groups, in the order of `GROUPS`."""
    groups: dict[str, list[Measure]] = {title: [] for title, _ in GROUPS}
    groups[OTHERS] = []
    for measure in measures:
        groups[group_of(measure.name)].append(measure)
    return {title: listed for title, listed in groups.items() if listed}


def checked_answer(needed: NeededValue, text: str) -> str:
    """Return an answer as the file has it.

    A bare number is taken in the unit that was asked for.

    Raises
    ------
    Misread
        If it cannot be read.

    Examples
    --------
    >>> from configurator.model.needed_values import NeededValue
    >>> from configurator.model.vehicles import Measure
    >>> checked_answer(NeededValue("wheelbase", "", Measure("wheelbase", "", "", "mm")), "2810")
    '2810 mm'
    """
    attribute = described(needed.declared)
    unit = attribute.unit if kind_of(attribute).numeric else ""
    written = " ".join(text.split())
    reader(attribute, unit)(written)
    bare = re.fullmatch(r"[-+]?[\d.,]+", written)
    return f"{written} {unit}".strip() if bare and unit not in PLAIN else written


def new_vehicle_text(
    trade: Trade,
    title: str,
    first: Sequence[NeededValue] = (),
    answers: Mapping[tuple[str, str], str] | None = None,
    figures: Sequence[str] = (),
) -> str:
    """Write the file of a new vehicle.

    Parameters
    ----------
    trade
        The measures, families and positions there are.
    title
        What people call it.
    first
        What is needed first.
    answers
        Position (empty for a measure) and name → text, checked by `checked_answer`.
    figures
        What it is needed first for.
    """
    known = answers or {}
    document = tomlkit.document()
    for line in (
        "A vehicle as it stands. Take the # from a line and write the value between the quotes,",
        "with its unit; metric or imperial. What stays a comment is not known: rules that need it",
        "are not checked, and listed as such.",
    ):
        document.add(tomlkit.comment(line))
    document["title"] = title
    if first:
        document.add(tomlkit.nl())
        what = f"for {', '.join(figures)}" if figures else "first"
        document.add(tomlkit.comment(f"Needed {what}:"))
        for needed in first:
            mark = "known" if (needed.position, needed.name) in known else "TO MEASURE"
            document.add(tomlkit.comment(f"  {needed.words} ({mark})"))
    document["figures"] = _measures(trade, known)
    document["fitted"] = _fitted(trade, known, {needed.position for needed in first})
    return tomlkit.dumps(document)


def _measures(trade: Trade, known: Mapping[tuple[str, str], str]) -> tomlkit.items.Table:
    table = tomlkit.table()
    for title, measures in grouped([*trade.measures.values()]).items():
        table.add(tomlkit.nl())
        table.add(tomlkit.comment(f"-- {title}"))
        for measure in measures:
            if ("", measure.name) in known:
                table.add(measure.name, known["", measure.name])
                table[measure.name].comment(_one_line(measure.how))
            elif measure.default is not None and measure.name == "wheels carried":
                table.add(measure.name, str(measure.default))
                table[measure.name].comment(_one_line(measure.how))
            else:
                table.add(tomlkit.comment(_to_fill(described(measure), _hint(measure))))
    return table


def _fitted(
    trade: Trade, known: Mapping[tuple[str, str], str], first: set[str]
) -> tomlkit.items.Table:
    table = tomlkit.table(is_super_table=True)
    positions = positions_of(trade)
    # What is asked for first stands first.
    for position in sorted(positions, key=lambda name: name not in first):
        family = positions[position]
        if family.optional:
            continue
        part = tomlkit.table()
        part["title"] = known.get((position, "title"), f"{position} as found")
        for attribute in attributes_of(family):
            if (position, attribute.name) in known:
                part[attribute.name] = known[position, attribute.name]
            elif attribute.required:
                part.add(tomlkit.comment(_to_fill(attribute, _one_line(attribute.meaning))))
        part.add(tomlkit.nl())
        table[position] = part
    return table


def _to_fill(attribute: Attribute, hint: str) -> str:
    unit = attribute.unit if attribute.unit not in PLAIN else ""
    words = f"{' | '.join(attribute.choices)}; " if attribute.choices else ""
    name = tomlkit.string(attribute.name).as_string()
    return f'{name} = "{f" {unit}" if unit else ""}"  # {words}{hint}'


def _hint(measure: Measure) -> str:
    default = (
        ""
        if measure.default is None
        else f" (without it: {measure.default} {measure.unit}".rstrip() + ")"
    )
    return _one_line(f"{measure.how}{default}").strip()


def _one_line(text: str) -> str:
    return " ".join(text.split())


def refuse_key(key: str) -> None:
    """Refuse a name that is no name of a file.

    Raises
    ------
    InputError
        If it is none.
    """
    if not re.fullmatch(r"[a-z0-9][a-z0-9_-]{0,60}", key):
        what = f"{key!r} cannot be the name of a vehicle's file"
        do = "use small letters, digits and hyphens, such as green-wagon"
        raise InputError([Problem("NAME", what, do)])
