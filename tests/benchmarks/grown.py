"""The demo workshop with longer lists: as if more suppliers had sent theirs.

Each new part is made from one that is there: the same connections (threads, flanges, splines, bolt
circles), other sizes, ratings and prices, in the steps in which such parts are sold. Tyres and
wheels follow the designations of their trade instead. Real figures of no maker are used.
"""

from __future__ import annotations

import csv
import io
import random
import shutil
from typing import TYPE_CHECKING

from configurator.files.part_columns import heading_name

if TYPE_CHECKING:
    from pathlib import Path

    from configurator.model.knowledge import Trade
    from configurator.model.parts import Attribute

    Row = dict[str, str]

# What two parts must have alike to go together stays as it is, and so does what a piece is of.
KEPT = frozenset(
    {
        "PCD",
        "centre bore",
        "count",
        "elastic modulus",
        "engagement needed",
        "hub register",
        "hub-face distance",
        "kingpin inclination",
        "kingpin to hub face",
        "lead time",
        "pad friction",
        "rim diameter",
        "rim width",
        "studs",
        "stud length",
        "tightening torque",
        "tube diameter",
        "tube wall",
        "yield strength",
    }
)
# Unit → step of a small and of a large value, and where large begins.
STEPS = {
    "mm": (1.0, 5.0, 200.0),
    "cm2": (0.5, 1.0, 20.0),
    "cm3": (0.5, 1.0, 20.0),
    "N/mm": (1.0, 2.0, 40.0),
    "N": (50.0, 100.0, 5000.0),
    "N*m": (50.0, 100.0, 5000.0),
    "N s/m": (50.0, 100.0, 3000.0),
    "kg": (10.0, 50.0, 500.0),
    "rpm": (50.0, 50.0, 0.0),
    "deg": (1.0, 1.0, 0.0),
    "%": (1.0, 1.0, 0.0),
    "litre": (0.05, 0.05, 0.0),
}
# How many steps a value may move.
REACH = 4
TYRE_WIDTHS = range(205, 346, 10)
TYRE_ASPECTS = (60, 65, 70, 75, 80, 85)
RIMS = (15, 16, 17, 18, 20)
FLOTATION = tuple(
    (diameter, width / 10, rim)
    for diameter in (29, 30, 31, 32, 33, 34, 35, 37)
    for width in (95, 105, 115, 125)
    for rim in (15, 16, 17)
)
RIM_WIDTHS = (6.0, 6.5, 7.0, 7.5, 8.0, 8.5, 9.0, 10.0)
PINIONS, RINGS = range(8, 14), range(35, 48)


def grow(source: Path, home: Path, trade: Trade, parts: int, seed: int = 1) -> Path:
    """Copy a catalog and make its lists longer.

    Parameters
    ----------
    source
        Folder of a catalog.
    home
        Where the copy goes, under the same name.
    trade
        Families whose lists are read.
    parts
        How many there are to be in all; each list grows by the same factor.
    seed
        Of the chance; a longer list begins with the parts of a shorter one.
    """
    folder = home / source.name
    shutil.copytree(source, folder)
    lists = sorted(path for path in folder.glob("*.csv") if path.stem in trade.families)
    read = {path: list(csv.reader(io.StringIO(path.read_text("utf-8")))) for path in lists}
    there = sum(len(rows) - 1 for rows in read.values())
    for path, (headings, *rows) in read.items():
        wanted = round(parts * len(rows) / there)
        family = trade.families[path.stem]
        bounds = {a.name: a for a in family.attributes}
        chance = random.Random(f"{seed} {family.key}")
        names = [heading_name(heading) for heading in headings]
        known = [dict(zip((name for name, _ in names), row, strict=True)) for row in rows]
        units = dict(names)
        grown = list(known)
        while len(grown) < wanted:
            model = known[len(grown) % len(known)]
            grown.append(_sibling(model, units, bounds, len(grown), chance))
        out = io.StringIO()
        writer = csv.writer(out, lineterminator="\n")
        writer.writerow(headings)
        writer.writerows(list(row.values()) for row in grown)
        path.write_text(out.getvalue(), encoding="utf-8")
    return folder


def _sibling(
    model: Row,
    units: dict[str, str | None],
    bounds: dict[str, Attribute],
    number: int,
    chance: random.Random,
) -> Row:
    row = dict(model)
    row["part number"] = f"{model['part number']}.{number}"
    row["price"] = _price(float(model["price"]), chance)
    # Lengths of one part move together: what is shortest stays below what is longest.
    shift = chance.randint(-REACH, REACH)
    for name, text in model.items():
        unit = units[name]
        if not text or name in KEPT or name == "price" or unit not in STEPS:
            continue
        if name == "mass":
            row[name] = f"{float(text) * chance.uniform(0.94, 1.06):.1f}"
            continue
        small, large, begins = STEPS[unit or ""]
        step = large if abs(float(text)) >= begins else small
        steps = shift if "length" in name else chance.randint(-REACH, REACH)
        row[name] = _within(float(text) + steps * step, bounds.get(name))
    for make in (_tyre, _wheel, _gear):
        make(row, chance)
    return row


def _within(value: float, attribute: Attribute | None) -> str:
    if attribute is not None and attribute.at_least is not None:
        value = max(value, attribute.at_least)
    if attribute is not None and attribute.at_most is not None:
        value = min(value, attribute.at_most)
    return f"{value:g}"


def _price(price: float, chance: random.Random) -> str:
    step = 5 if price < 500 else 10
    return f"{max(step, step * round(price * chance.uniform(0.8, 1.3) / step))}.00"


def _tyre(row: Row, chance: random.Random) -> None:
    """Give a tyre one of the sizes that tyres come in, within a few millimetres."""
    if not {"size", "overall diameter", "section width", "rim diameter"} <= set(row):
        return
    if chance.random() < 0.6:
        width, aspect, rim = (
            chance.choice(TYRE_WIDTHS),
            chance.choice(TYRE_ASPECTS),
            chance.choice(RIMS),
        )
        diameter = rim * 25.4 + 2 * width * aspect / 100
        row["size"] = f"LT{width}/{aspect}R{rim}"
    else:
        inches, wide, rim = chance.choice(FLOTATION)
        width, diameter = round(wide * 25.4), inches * 25.4 - 6
        row["size"] = f"{inches}x{wide:.2f}R{rim}LT"
    row["overall diameter"] = f"{round(diameter) + chance.randint(-3, 3)}"
    row["section width"] = f"{width + chance.randint(-4, 6)}"
    row["rim diameter"] = f"{rim}"
    measuring = round(width / 25.4 * 0.72 * 2) / 2
    row["measuring rim width"] = f"{measuring:g}"
    row["narrowest rim"] = f"{measuring - chance.choice((0.5, 1.0)):g}"
    row["widest rim"] = f"{measuring + chance.choice((1.0, 1.5)):g}"
    row["load index"] = f"{round(95 + (width - 205) / 6 + chance.randint(0, 8))}"
    if "rolling circumference" in row:
        row["rolling circumference"] = ""


def _wheel(row: Row, chance: random.Random) -> None:
    """Give a wheel one of the widths and offsets that wheels come in."""
    if not {"rim diameter", "rim width", "offset", "barrel diameter"} <= set(row):
        return
    rim = chance.choice(RIMS)
    row["rim diameter"] = f"{rim}"
    row["rim width"] = f"{chance.choice(RIM_WIDTHS):g}"
    row["offset"] = f"{chance.randint(-45, 55)}"
    row["barrel diameter"] = f"{round(rim * 25.4) - chance.randint(44, 52)}"


def _gear(row: Row, chance: random.Random) -> None:
    """Give a gear set a ratio that whole teeth make, near its model's."""
    if not {"ratio", "ring gear"} <= set(row):
        return
    near = [
        ring / pinion
        for pinion in PINIONS
        for ring in RINGS
        if abs(ring / pinion - float(row["ratio"])) < 0.5
    ]
    row["ratio"] = f"{chance.choice(near):.2f}"
