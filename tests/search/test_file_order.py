"""The order of plugin files, of catalogs and of the rows in their files changes no answer."""

from __future__ import annotations

import random

import pytest

from configurator.files import job_files
from configurator.loading import plugin_files
from configurator.questions import answers

IMPORTS = '''"""A file of a shop's plugins."""

from configurator.plugin import (
    Attribute, Family, Measure, Position, each, figure, fit, limit, operation, part, total, vehicle
)

'''
PLUGINS = {
    "wheels.py": """
TYRES = Family("tyres", "Tyres", (Position("tyres"),),
               (Attribute("diameter", "Across.", "mm"), Attribute("rim", "Rim.", kind="text")),
               pieces=4)
RIMS = Family("rims", "Rims", (Position("rims"),), (Attribute("rim", "Rim.", kind="text"),))
ARCH = Measure("arch room", "From the wheel centre.", "tape", "mm")

@fit("the tyre fits the rim", because="the bead must seat", source="geometry")
def seats(tyre: str = part("tyres", "rim"), rim: str = part("rims", "rim")):
    return tyre == rim
""",
    "axles.py": """
HUBS = Family("hubs", "Hubs", (Position("hubs"),), (Attribute("drop", "Drop.", "mm"),))

@figure("clearance", unit="mm", source="geometry")
def clearance(d: float = part("tyres", "diameter"), drop: float = part("hubs", "drop")):
    return d / 2 + drop

@operation("fit the hubs", hours=2.0)
def fit_hubs(changed: bool = part("hubs", "changed")):
    return changed
""",
    "room.py": """
@limit("the tyre clears the arch", unit="mm", at_least=10.0, because="mud",
       source="geometry")
def room(room: float = vehicle("arch room"), clearance: float = part("tyres", "diameter"),
         drop: float = part("hubs", "drop")):
    return room + drop - clearance / 2

@total("mass", unit="kg", at_most=452.0, start=400.0, source="sum")
def mass(mass: float = each("mass"), pieces: int = each("pieces")):
    return mass * pieces
""",
}
HEADS = {
    "tyres": "part number,title,price [EUR],diameter [mm],rim,mass [kg]",
    "rims": "part number,title,price [EUR],rim,mass [kg]",
    "hubs": "part number,title,price [EUR],drop [mm],mass [kg]",
}
ABOUT = 'title = "A list"\ncurrency = "EUR"\nprice_date = 2026-10-01\nsource = "invented"\n'
JOB = """title = "A job"
vehicle = "east/cart"
catalogs = {catalogs}
workshop = "east"
[goals.clearance]
at_least = "395 mm"
"""
VEHICLE = """title = "Cart"
[figures]
"arch room" = "420 mm"
[fitted.tyres]
title = "Tyre"
mass = "10 kg"
diameter = "700 mm"
rim = "A"
[fitted.rims]
title = "Rim"
mass = "8 kg"
rim = "A"
[fitted.hubs]
title = "Hub"
mass = "5 kg"
drop = "0 mm"
"""


def rows(chance, catalog, more=1.37):
    """Lines of each list, no two parts of a family at the same price if each costs more."""
    made = {family: [] for family in HEADS}
    first = 0.11 if catalog == "west" and more else 0.0
    for n in range(8):
        cost = chance.choice((90, 120, 150)) + first + n * more
        size, rim = chance.choice((700, 760, 800)), chance.choice("AB")
        made["tyres"].append(f"{catalog}-T{n},T,{cost:.2f},{size},{rim},{chance.randint(9, 14)}")
        made["rims"].append(
            f"{catalog}-R{n},R,{cost:.2f},{chance.choice('AB')},{chance.randint(6, 9)}"
        )
        drop = chance.choice((0, 20, 40))
        made["hubs"].append(f"{catalog}-H{n},H,{cost:.2f},{drop},{chance.randint(5, 9)}")
    return made


def written(folder, lists, chance, *, mix_plugins=True):
    """Write plugins, catalogs and a job in some order; without chance, in the plain one."""

    def ordered(several):
        several = list(several)
        if chance is not None:
            chance.shuffle(several)
        return several

    for number, name in enumerate(ordered(PLUGINS) if mix_plugins else PLUGINS):
        # Files are read in the order of their names.
        path = folder / "plugins" / f"{'abc'[number]}_{name}"
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(IMPORTS + PLUGINS[name], "utf-8")
    for catalog, made in lists.items():
        home = folder / "catalogs" / catalog
        (home / "vehicles").mkdir(parents=True)
        (home / "catalog.toml").write_text(ABOUT, "utf-8")
        for family in ordered(made):
            lines = [HEADS[family], *ordered(made[family])]
            (home / f"{family}.csv").write_text("\n".join(lines) + "\n", "utf-8")
    east = folder / "catalogs" / "east"
    (east / "workshop.toml").write_text('title = "A shop"\nrate = "80 EUR"\n', "utf-8")
    (east / "vehicles" / "cart.toml").write_text(VEHICLE, "utf-8")
    job = folder / "job.toml"
    job.write_text(JOB.format(catalogs=ordered(lists)).replace("'", '"'), "utf-8")
    return job


def answered(folder, lists, chance, *, cheapest=3, mix_plugins=True):
    job = written(folder, lists, chance, mix_plugins=mix_plugins)
    trade = plugin_files.load([folder / "plugins"], installed=False, bundled=False).trade
    assert not trade.failures
    case = job_files.read_case(job, trade, [folder / "catalogs"])
    prepared = answers.ready(case, trade, keep=False)
    answer = answers.find(prepared, cheapest=cheapest)
    prices = {
        (position, state.option.key): (state.price, state.state, state.exact)
        for position, states in answers.options(prepared).items()
        for state in states
    }
    packages = [
        (package.price, {position: option.key for position, option in package.choice.items()})
        for package in answer.packages
    ]
    return prices, packages, answers.count(prepared, []).total


@pytest.mark.parametrize("seed", range(4))
def test_files_and_rows_in_another_order_give_the_same_answers(tmp_path, seed):
    chance = random.Random(seed)
    lists = {catalog: rows(chance, catalog) for catalog in ("east", "west")}
    plain = answered(tmp_path / "plain", lists, None)
    assert plain[1], "a package should be found"
    cheapest = [price for price, _ in plain[1]]
    assert len(set(cheapest)) == len(cheapest), "which of equally cheap ones is first is open"
    for number in range(3):
        assert answered(tmp_path / str(number), lists, random.Random(seed * 10 + number)) == plain


@pytest.mark.parametrize("seed", range(6))
def test_which_of_equally_cheap_packages_come_first_does_not_hang_on_rows(tmp_path, seed):
    chance = random.Random(seed)
    lists = {catalog: rows(chance, catalog, more=0) for catalog in ("east", "west")}
    plain = answered(tmp_path / "plain", lists, None, cheapest=12, mix_plugins=False)
    prices = [price for price, _ in plain[1]]
    assert len(set(prices)) < len(prices)
    for number in range(3):
        mixed = random.Random(seed * 10 + number)
        again = answered(tmp_path / str(number), lists, mixed, cheapest=12, mix_plugins=False)
        assert again == plain
