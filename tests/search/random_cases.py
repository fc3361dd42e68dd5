"""Small random problems of every kind the search must handle, for comparison with enumeration."""

from __future__ import annotations

import random
from dataclasses import dataclass, replace

from configurator.evaluation.evaluator import Evaluation
from configurator.model.jobs import Case, Goal, Job, Workshop
from configurator.model.knowledge import Trade, gather
from configurator.model.parts import FITTED, Attribute, Family, Missing, Part, Position
from configurator.model.references import (
    FigureValue,
    Input,
    PartValue,
    VehicleValue,
    each,
    inputs_of,
)
from configurator.model.rules import Figure, Fit, Limit, Operation, Total
from configurator.model.vehicles import Measure, Vehicle

NUMBERS = ("a", "b")


@dataclass(frozen=True)
class RandomCase:
    """A random trade and a job in it."""

    trade: Trade
    case: Case

    @property
    def evaluation(self) -> Evaluation:
        return Evaluation(self.case, self.trade)


def _linear(weights: tuple[int, ...]):
    def work_out(**values: float) -> float:
        return float(sum(w * v for w, v in zip(weights, values.values(), strict=True)))

    return work_out


def _product(**values: float) -> float:
    share = 1.0
    for value in values.values():
        share *= value + 1
    return share


def _coded(seed: int, density: float):
    """A yes-or-no function without any structure."""

    def holds(**values: object) -> bool:
        key = repr((seed, sorted((k, str(v)) for k, v in values.items())))
        return random.Random(key).random() < density

    return holds


def _any(**values: bool) -> bool:
    return any(values.values())


def _inputs(references: list) -> tuple[Input, ...]:
    return tuple(Input(f"x{k}", r) for k, r in enumerate(references))


def _mass(mass: float = each("mass"), pieces: int = each("pieces")) -> float:
    return mass * pieces


def _lever(mass: float = each("mass"), a: float | None = each("a")) -> float:
    return mass * (2.0 if a is None else a)


def _reach(b: float | None = each("b"), pieces: int = each("pieces")) -> float:
    return pieces * (3.0 if b is None else b)


def _ratio(moment: float, mass: float) -> float:
    return moment / max(mass, 1.0)


def _sums(chance: random.Random) -> list:
    """Sums over everything, limited from below or above, and a figure over two of them."""
    rules: list = [
        Total(
            "mass",
            "kg",
            _mass,
            inputs_of(_mass),
            start=100.0,
            at_most=chance.choice((92.0, 100.0, 110.0)),
        ),
        Total("moment", "kg", _lever, inputs_of(_lever), start=50.0),
    ]
    if chance.random() < 0.5:
        rules[1] = replace(rules[1], at_least=chance.choice((30.0, 45.0, 60.0)))
    height = (Input("moment", FigureValue("moment")), Input("mass", FigureValue("mass")))
    rules.append(Figure("height", "", _ratio, height))
    if chance.random() < 0.5:
        inputs = (Input("height", FigureValue("height")),)
        rules.append(Limit("height limit", "", lambda height: height, inputs, at_most=0.55))
    return rules


def make(
    seed: int,
    *,
    families: int = 5,
    parts: int = 3,
    spread: int = 4,
    sums: bool = False,
    third: bool = False,
) -> RandomCase:
    """Make a random case; the same one for the same seed.

    With ``sums``, totals are limited too; with ``third``, there is one more that nothing limits.
    """
    chance = random.Random(seed)
    count = chance.randint(3, families)
    trade_families = []
    for k in range(count):
        optional = chance.random() < 0.3
        positions = (
            (Position(f"p{k}"),)
            if chance.random() < 0.8
            else (Position(f"p{k}"), Position(f"q{k}"))
        )
        attributes = (
            Attribute("a", "any", required=False, when_empty=0 if chance.random() < 0.6 else None),
            Attribute("b", "any", required=False, when_empty=1 if chance.random() < 0.6 else None),
            Attribute("code", "any", kind="text", required=False),
        )
        trade_families.append(
            Family(
                f"f{k}",
                f"F{k}",
                positions,
                attributes,
                pieces=chance.choice((1, 1, 2)),
                optional=optional,
            )
        )
    positions = [p.name for f in trade_families for p in f.positions]

    def value() -> object:
        return Missing.UNKNOWN if chance.random() < 0.06 else float(chance.randint(0, spread))

    def part(key: str, family: Family, price: int) -> Part:
        code = chance.choice("xyz")
        return Part(
            key,
            family.key,
            key,
            price,
            {"a": value(), "b": value(), "code": code, "mass": float(chance.randint(1, 9))},
        )

    stock = {
        f.key: tuple(
            part(f"c/{f.key}-{n}", f, chance.choice((0, 50, 100, 100, 250, 990)))
            for n in range(chance.randint(1, parts))
        )
        for f in trade_families
    }
    fitted = {
        p.name: (None if f.optional and chance.random() < 0.5 else part(FITTED, f, 0))
        for f in trade_families
        for p in f.positions
    }
    measures = [Measure("wheelbase", "any", "tape")]

    def attribute() -> PartValue:
        return PartValue(chance.choice(positions), chance.choice(NUMBERS))

    rules: list = []
    names: list[str] = []
    for k in range(chance.randint(1, 4)):
        references: list = [attribute() for _ in range(chance.randint(1, 3))]
        if names and chance.random() < 0.5:
            references.append(FigureValue(chance.choice(names)))
        if chance.random() < 0.2:
            references.append(VehicleValue("wheelbase"))
        references = list(dict.fromkeys(references))
        function = (
            _product
            if chance.random() < 0.3
            else _linear(tuple(chance.choice((-1, 1, 2)) for _ in references))
        )
        resolution = chance.choice((0.0, 0.0, 2.0))
        rounding = chance.choice(("down", "up", "nearest"))
        names.append(f"g{k}")
        rules.append(Figure(f"g{k}", "", function, _inputs(references), resolution, rounding))
    for k in range(chance.randint(1, 4)):
        references = [attribute() for _ in range(chance.randint(1, 2))]
        if chance.random() < 0.6:
            references.append(FigureValue(chance.choice(names)))
        references = list(dict.fromkeys(references))
        bound: object = chance.choice((0.0, 2.0, 4.0))
        if chance.random() < 0.2:
            bound = FigureValue(chance.choice(names))
        low = chance.random() < 0.5
        rules.append(
            Limit(
                f"limit {k}",
                "",
                _linear(tuple(chance.choice((-1, 1, 2)) for _ in references)),
                _inputs(references),
                at_least=bound if low else None,
                at_most=None if low else bound,
            )
        )
    for k in range(chance.randint(1, 3)):
        references = [
            PartValue(chance.choice(positions), chance.choice(("code", "a", "changed", "present")))
            for _ in range(chance.randint(1, 3))
        ]
        references = list(dict.fromkeys(references))
        rules.append(
            Fit(
                f"fit {k}",
                _coded(seed * 10 + k, chance.choice((0.5, 0.8, 0.9))),
                _inputs(references),
            )
        )
    for k in range(chance.randint(0, 3)):
        chosen = chance.sample(positions, chance.randint(1, min(4, len(positions))))
        references = [PartValue(p, "changed") for p in chosen]
        rules.append(
            Operation(f"work {k}", _any, _inputs(references), hours=chance.choice((0.5, 1.0)))
        )
    if sums:
        rules.extend(_sums(chance))
    if third:
        rules.append(Total("reach", "", _reach, inputs_of(_reach), start=20.0))
    trade = gather(trade_families, measures, [], [], rules)
    goals = []
    if sums and chance.random() < 0.4:
        goals.append(Goal("moment", at_most=chance.choice((45.0, 50.0, 60.0))))
    for name in chance.sample(names, chance.randint(0, min(2, len(names)))):
        at_least = float(chance.randint(-4, 6)) if chance.random() < 0.6 else None
        at_most = float(chance.randint(0, 14)) if chance.random() < 0.5 else None
        goals.append(Goal(name, at_least, at_most))
    fixed, keep, excluded = {}, [], []
    if chance.random() < 0.25:
        position = chance.choice(positions)
        family = next(f for f in trade_families if any(p.name == position for p in f.positions))
        fixed[position] = chance.choice(stock[family.key]).key
    if chance.random() < 0.25:
        keep.append(chance.choice(positions))
    if chance.random() < 0.25:
        excluded.append(chance.choice(stock[chance.choice(trade_families).key]).key)
    job = Job(
        "random",
        "c/v",
        ("c",),
        budget=chance.choice((None, 300, 800, 1500)),
        goals=tuple(goals),
        fixed=fixed,
        keep=tuple(keep),
        excluded=tuple(excluded),
        sure=False,
    )
    vehicle = Vehicle("c/v", "V", {"wheelbase": 2.0}, fitted)
    return RandomCase(
        trade, Case(job, vehicle, stock, Workshop("shop", rate=chance.choice((0, 60))))
    )
