"""Wide cases: many families, each with a few attributes, tied to their neighbours by many rules.

Families hang together as a random tree; a rule reads attributes of a family, the one it hangs on
and at times the one that hangs on. Some rules have no structure at all (a bolt pattern list), some
compare a weighted sum with a bound (a length, a load). Whatever is on the vehicle must go.
"""

from __future__ import annotations

import random
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from configurator.core.text import Report
from configurator.files.catalog_files import load_catalog
from configurator.model.jobs import Case, Job, Workshop
from configurator.model.knowledge import Trade, gather
from configurator.model.parts import FITTED, Attribute, Family, Part, Position
from configurator.model.references import Input, PartValue
from configurator.model.rules import Fit, Limit
from configurator.model.vehicles import Vehicle

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

CATALOG = "wide"
# How many attributes a family has, about two on average: most have few, some have several.
ATTRIBUTES = (1, 1, 1, 2, 2, 2, 3, 3, 4)
VALUES = (8, 12)
# Share of combinations that a rule allows, by how many attributes it reads.
ALLOWED = {2: 0.75, 3: 0.65, 4: 0.55}


@dataclass(frozen=True, slots=True)
class Shape:
    """Sizes of a wide case: the same seed gives the same trade whatever the number of parts."""

    families: int
    parts: int
    rules: int = 36
    seed: int = 1

    @property
    def name(self) -> str:
        return f"wide {self.families} x {self.parts}"


@dataclass(frozen=True, slots=True)
class _Attribute:
    position: str
    name: str
    values: int

    @property
    def reference(self) -> PartValue:
        return PartValue(self.position, self.name)


def make_trade(shape: Shape) -> Trade:
    """Make families and rules; parts are drawn apart."""
    chance = random.Random(f"trade {shape.seed} {shape.families}")
    attributes = [
        [
            _Attribute(f"position {k}", f"a{n}", chance.randint(*VALUES))
            for n in range(chance.choice(ATTRIBUTES))
        ]
        for k in range(shape.families)
    ]
    hangs_on = [max(0, k - chance.randint(1, 3)) for k in range(shape.families)]
    families = [
        Family(
            f"family{k}",
            f"Family {k}",
            (Position(f"position {k}"),),
            tuple(
                Attribute(a.name, "any", kind="whole", at_least=0, at_most=a.values - 1)
                for a in mine
            ),
        )
        for k, mine in enumerate(attributes)
    ]
    rules: list[Fit | Limit] = [
        Fit(
            f"new part at position {k}",
            _is_new,
            (Input("changed", PartValue(f"position {k}", "changed")),),
        )
        for k in range(shape.families)
    ]
    for number in range(shape.rules):
        low = 1 + number % (shape.families - 1)
        high = hangs_on[low]
        top = hangs_on[high]
        arity = chance.choice((2, 2, 3, 3, 4))
        reach = [chance.choice(attributes[low]), chance.choice(attributes[high])]
        # A third and a fourth input from the same two families, now and then one further up.
        pool = [a for a in attributes[low] + attributes[high] if a not in reach]
        if chance.random() < 0.25:
            pool += [a for a in attributes[top] if a not in reach + pool]
        chance.shuffle(pool)
        reach += pool[: arity - 2]
        rules.append(_rule(number, reach, chance))
    return gather(families, [], [], [], rules)


def _is_new(changed: bool) -> bool:
    return changed


def _rule(number: int, reach: list[_Attribute], chance: random.Random) -> Fit | Limit:
    inputs = tuple(Input(f"x{k}", a.reference) for k, a in enumerate(reach))
    share = ALLOWED[len(reach)]
    if number % 2:
        table = np.random.default_rng(chance.getrandbits(32)).random([a.values for a in reach])
        return Fit(f"rule {number}", _listed((table < share).tolist()), inputs)
    weights = [chance.choice((-3, -2, -1, 1, 2, 3)) for _ in reach]
    sums = np.zeros([a.values for a in reach])
    for axis, (weight, attribute) in enumerate(zip(weights, reach, strict=True)):
        shape = [1] * len(reach)
        shape[axis] = attribute.values
        sums = sums + (weight * np.arange(attribute.values)).reshape(shape)
    bound = float(np.quantile(sums, 1 - share))
    return Limit(f"rule {number}", "", _weighted(weights), inputs, at_least=bound)


def _listed(table: list) -> Callable[..., bool]:
    def holds(**values: int) -> bool:
        entry = table
        for value in values.values():
            entry = entry[value]
        return bool(entry)

    return holds


def _weighted(weights: list[int]) -> Callable[..., float]:
    def weighed(**values: int) -> float:
        return float(sum(w * v for w, v in zip(weights, values.values(), strict=True)))

    return weighed


def write_catalog(shape: Shape, trade: Trade, home: Path) -> Path:
    """Write a catalog of random parts, as a shop would keep it."""
    folder = home / CATALOG
    folder.mkdir(parents=True)
    (folder / "catalog.toml").write_text(
        f'title = "{shape.name}"\ncurrency = "EUR"\nprice_date = 2026-01-01\n'
        'source = "drawn by chance"\n',
        encoding="utf-8",
    )
    for family in trade.families.values():
        chance = random.Random(f"parts {shape.seed} {family.key}")
        names = [a.name for a in family.attributes]
        lines = [",".join(["part number", "title", "price", *names])]
        for n in range(shape.parts):
            key = f"{family.key}-{n}"
            price = 5 * chance.randint(8, 120)
            # A longer list begins with the parts of a shorter one.
            values = [str(chance.randint(0, int(a.at_most or 0))) for a in family.attributes]
            lines.append(",".join([key, key, str(price), *values]))
        (folder / f"{family.key}.csv").write_text("\n".join(lines) + "\n", encoding="utf-8")
    return folder


def read(trade: Trade, folder: Path) -> Case:
    """Read the catalog and make a case of it."""
    report = Report()
    catalog = load_catalog(folder, trade, report)
    if report.errors:
        raise ValueError(report.errors[:3])
    fitted = {
        place.name: Part(FITTED, f.key, "worn", 0, dict.fromkeys([a.name for a in f.attributes], 0))
        for f in trade.families.values()
        for place in f.positions
    }
    vehicle = Vehicle(f"{CATALOG}/vehicle", "Vehicle", {}, fitted)
    job = Job("wide", vehicle.key, (CATALOG,), sure=False)
    return Case(job, vehicle, catalog.parts, Workshop(), (catalog.info,))
