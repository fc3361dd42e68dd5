"""Write a new plugin that works: a family, rules, a list, a job and a test, to be changed."""

from __future__ import annotations

import re
from string import Template
from typing import TYPE_CHECKING

from configurator.core.atomic_files import write_atomically
from configurator.core.errors import InputError, Problem
from configurator.core.text import shown
from configurator.files.templates import csv_template, template
from configurator.hookspecs import INTERFACE
from configurator.loading.plugin_files import load_only
from configurator.model.knowledge import positions_of

if TYPE_CHECKING:
    from pathlib import Path

    from configurator.model.knowledge import Trade

_PLUGIN = '''\
"""$title: say in a sentence what they are for."""

from configurator.formulas.constants import STANDARD_GRAVITY
from configurator.plugin import (
    Attribute,
    Family,
    Position,
    Practice,
    computed,
    figure,
    limit,
    operation,
    part,
    practice,
    vehicle,
)

# The plugin interface that this file was written for.
INTERFACE = $interface

# A family is a list in a catalog and one or more positions on the vehicle.
family = Family(
    "$key",
    "$title",
    positions=(Position("$words", place="front body", sprung=True),),
    attributes=(
        Attribute(
            "rated load",
            "Load that its maker rates it for.",
            unit="kN",
            at_least=0.1,
            at_most=500.0,
            example="30",
        ),
    ),
    optional=True,
    meaning="Say what they are for.",
)

# A number that a shop may change in its workshop.toml.
reserve = Practice(
    "load of the $words over the vehicle's weight",
    "So many times the laden weight it should be rated for.",
    1.2,
    "common practice, no source",
    at_least=1.0,
    at_most=5.0,
)


# Inputs are the defaults of the parameters; numbers arrive in SI: newtons, kilograms, metres.
@figure(
    "$words load over weight",
    unit="",
    resolution=0.01,
    rounding="down",
    meaning="Rated load over the laden weight of the vehicle.",
    source="definition",
)
def load_over_weight(
    load: float = part("$words", "rated load"), mass: float = vehicle("laden mass")
):
    return load / (mass * STANDARD_GRAVITY.beside(mass))


# A limit is shown as "has 1.12, needs 1.2", and is what a conflict names.
@limit(
    "the $words is rated for the laden vehicle",
    unit="",
    at_least=practice("load of the $words over the vehicle's weight"),
    because="say why, in the words of a mechanic",
    source="common practice, no source",
)
def strong_enough(ratio: float = computed("$words load over weight")):
    return ratio


@operation("fit the $words", hours=1.5, station="body shop")
def fit_it(
    changed: bool = part("$words", "changed"),
    present: bool = part("$words", "present"),
):
    return changed and present
'''

_ABOUT = """\
title = "Our $words list"
currency = "EUR"
price_date = 2026-01-01
source = "Say where the prices are from."
"""

_LIST = """\
part number,title,price [EUR],lead time [day],mass [kg],rated load [kN]
S-1,small $words,240.00,5,9,12
M-2,medium $words,390.00,5,14,30
L-3,large $words,610.00,12,22,60
"""

_JOB = """\
title = "A job that needs a $words"
vehicle = "demo/valdrin-boek"
catalogs = ["demo", "$catalog"]
workshop = "demo"

[goals."$words load over weight"]
at_least = "1.3"
"""

_TEST = '''\
"""$title: the rules by themselves, in a package, and what every plugin promises."""

from pathlib import Path

import pytest
from configurator import testing

TRADE = testing.load([Path(__file__).parent / "plugins"])


def case(**job):
    values = {"mass": "20 kg"}
    small = testing.part(
        TRADE, "$key", "S", price="240 EUR", values={"rated load": "12 kN", **values}
    )
    large = testing.part(
        TRADE, "$key", "L", price="610 EUR", values={"rated load": "60 kN", **values}
    )
    vehicle = testing.demo_vehicle(TRADE)
    return testing.case(TRADE, vehicle, [small, large], rate="90 EUR", **job)


@pytest.fixture(scope="module")
def prepared():
    goals = {"$words load over weight": {"at_least": "1.3"}}
    return testing.ready(case(goals=goals), TRADE)


def test_the_figure_by_itself():
    ratio = TRADE.figures["$words load over weight"]
    # 60 kN over the weight of 2,000 kg.
    assert ratio(60_000.0, 2_000.0) == pytest.approx(60_000 / (2_000 * 9.80665))


def test_the_cheapest_that_is_strong_enough(prepared):
    # The large one, and an hour and a half of work.
    testing.assert_package(prepared, {"$words": "L"}, price="745 EUR")


def test_why_not_the_small_one(prepared):
    testing.assert_conflict(
        prepared,
        ["the $words is rated for the laden vehicle"],
        position="$words",
        part="S",
    )


def test_what_every_plugin_promises():
    testing.assert_sound(TRADE, [case()], "shop:$key")
'''


def write_plugin(name: str, folder: Path, trade: Trade) -> list[Path]:
    """Write a plugin with its list, its job and its test.

    Parameters
    ----------
    name
        What its parts are called: ``winch``.
    folder
        Takes a folder of that name; it must not be there yet.
    trade
        What is declared already.

    Returns
    -------
    list of Path
        The files, sorted.

    Raises
    ------
    InputError
        If the name cannot be used or the folder is there.
    """
    words = " ".join(name.replace("_", " ").replace("-", " ").split()).lower()
    problem = _wrong(name, words, folder, trade)
    if problem is not None:
        raise InputError([problem])
    key = words.replace(" ", "_")
    given = {
        "words": words,
        "key": key,
        "title": words.capitalize(),
        "catalog": f"{key}-list",
        "interface": str(INTERFACE),
    }
    home = folder / key
    texts = {
        f"plugins/{key}.py": _PLUGIN,
        f"catalogs/{key}-list/catalog.toml": _ABOUT,
        f"catalogs/{key}-list/{key}.csv": _LIST,
        "job.toml": _JOB,
        f"test_{key}.py": _TEST,
    }
    for place, text in texts.items():
        path = home / place
        path.parent.mkdir(parents=True, exist_ok=True)
        write_atomically(path, Template(text).substitute(given))
    made = load_only([home / "plugins" / f"{key}.py"], bundled=True).trade
    empty = csv_template(template(made.families[key], "EUR"))
    write_atomically(home / f"template-{key}.csv", empty)
    return sorted([*(home / place for place in texts), home / f"template-{key}.csv"])


def _wrong(name: str, words: str, folder: Path, trade: Trade) -> Problem | None:
    if not re.fullmatch(r"[a-z][a-z0-9 ]{1,30}", words):
        return Problem(
            "NAME",
            f"{shown(name)} cannot be the name of a plugin",
            "use 2 to 31 letters a to z, digits, spaces or dashes, a letter first",
        )
    key = words.replace(" ", "_")
    if key in trade.families or words in positions_of(trade):
        what = f"there is a family or position {shown(words)} already"
        return Problem("NAME", what, "choose another name")
    if (folder / key).exists():
        return Problem(str(folder / key), "is there already", "choose another name or --into")
    return None
