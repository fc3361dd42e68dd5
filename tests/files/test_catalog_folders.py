"""What stands beside the lists of a catalog: about it, workshop, vehicles."""

from __future__ import annotations

from pathlib import Path

import pytest

from configurator.core.errors import InputError
from configurator.files import catalog_files
from configurator.model.knowledge import Failure
from configurator.model.parts import Missing
from tests.files.tyre_list import TRADE
from tests.small_trade import ABOUT, WAGON, small_trade


def test_about_the_catalog(folder: Path) -> None:
    about = folder / "catalog.toml"
    about.write_text('titel = "x"\ncurrency = "euro"\nprice_date = "1.10.2026"', encoding="utf-8")
    with pytest.raises(InputError) as caught:
        catalog_files.read_catalog(folder, TRADE)
    assert [p.where for p in caught.value.problems] == [
        "lists/catalog.toml",
        "lists/catalog.toml",
        "lists/catalog.toml, 'currency'",
        "lists/catalog.toml, 'price_date'",
        "lists/catalog.toml, 'titel'",
    ]
    about.write_text(ABOUT + "\nlicence = ", encoding="utf-8")
    with pytest.raises(InputError) as caught:
        catalog_files.read_catalog(folder, TRADE)
    (problem,) = caught.value.problems
    assert problem.where == "lists/catalog.toml line 7" or "end of the file" in problem.where
    about.unlink()
    with pytest.raises(InputError, match="the file is missing"):
        catalog_files.read_catalog(folder, TRADE)


def test_workshop(folder: Path) -> None:
    (folder / "workshop.toml").write_text(
        'tax = 20\n[consumables]\n"gear oil" = 14.5\n"gaer oil" = "1 USD"\n[practices]\nslip = 2\n'
        "slipp = 0.5",
        encoding="utf-8",
    )
    errors, warnings, _ = catalog_files.check_catalog(folder, TRADE)
    where = "lists/workshop.toml"
    assert [(p.where, p.what) for p in errors] == [
        (where, "'rate' is missing"),
        (f"{where}, 'tax'", "20 has no unit"),
        (f"{where}, [consumables], 'gaer oil'", "1.00 USD is not in the catalog's currency"),
        (f"{where}, [consumables], 'gear oil'", "'14.5' has no currency"),
        (f"{where}, [practices], 'slip'", "'2' is out of bounds: a sound value is between 0 and 1"),
        (f"{where}, [practices], 'slipp'", "practice 'slipp' is not known"),
    ]
    assert warnings[0].do == "did you mean 'gear oil'?"


def test_vehicle(folder: Path) -> None:
    wagon = catalog_files.read_vehicle(folder, "wagon", TRADE)
    assert (wagon.key, wagon.title, wagon.note) == ("lists/wagon", "Wagon", "two lines")
    assert wagon.values == {
        "wheelbase": 2.8448,
        "kerb mass": 2000.0,
        "front suspension": "solid axle",
        "doors": 4,
        "plugs": frozenset({"A", "B"}),
    }
    assert wagon.fitted["hoist"] is None
    tyres = wagon.fitted["tyres"]
    assert tyres is not None
    assert (tyres.key, tyres.title, tyres.price) == ("fitted", "worn tyres", 0)
    assert tyres.values["overall diameter"] == 0.7493
    assert tyres.values["plies"] is Missing.UNKNOWN


def test_refused_vehicle(folder: Path) -> None:
    (folder / "vehicles" / "wagon.toml").write_text(
        """
        colour = "red"
        [figures]
        wheelbase = 2850
        wheelbases = "2850 mm"
        doors = "two"
        "front suspension" = "Swing axle"
        [fitted.tyres]
        "overall diameter" = "762 kg"
        [fitted.hoists]
        title = "x"
        """,
        encoding="utf-8",
    )
    with pytest.raises(InputError) as caught:
        catalog_files.read_vehicle(folder, "wagon", TRADE)
    file = "lists/vehicles/wagon.toml"
    assert [(p.where, p.what) for p in caught.value.problems] == [
        (file, "'title' is missing"),
        (f"{file}, 'colour'", "key 'colour' is not known"),
        (f"{file}, [figures], 'doors'", "'two' is not a number"),
        (
            f"{file}, [figures], 'front suspension'",
            "'Swing axle' is not one of the words for 'front suspension'",
        ),
        (f"{file}, [figures], 'wheelbase'", "2850 has no unit"),
        (f"{file}, [figures], 'wheelbases'", "measure 'wheelbases' is not known"),
        (f"{file}, [fitted.tyres]", "'title' is missing"),
        (
            f"{file}, [fitted.tyres], 'overall diameter'",
            "unit 'kg' does not measure the same as mm",
        ),
        (f"{file}, [fitted]", "nothing is fitted as 'spare tyre', which must have a part"),
        (f"{file}, [fitted], 'hoists'", "position 'hoists' is not known"),
    ]
    assert "'2850 mm'" in next(p.do for p in caught.value.problems if "2850" in p.what)
    # A bad vehicle keeps the catalog from being used, and the check says so too.
    with pytest.raises(InputError):
        catalog_files.read_catalog(folder, TRADE)
    errors, _, counts = catalog_files.check_catalog(folder, TRADE)
    assert len(errors) == len(caught.value.problems)
    assert counts["tyres"] == 2


def test_unknown_names_are_borne_where_a_plugin_is_missing(folder: Path) -> None:
    path = folder / "vehicles" / "wagon.toml"
    path.write_text(WAGON + '[fitted.snorkel]\ntitle = "high"\n', encoding="utf-8")
    with pytest.raises(InputError, match="snorkel"):
        catalog_files.read_vehicle(folder, "wagon", TRADE)
    trade = small_trade(Failure("shop:snorkels", "broken"))
    assert "snorkel" not in catalog_files.read_vehicle(folder, "wagon", trade).fitted
    _, (warning,), _ = catalog_files.check_catalog(folder, trade)
    assert "snorkel" in warning.where


@pytest.mark.parametrize("key", ["wagn", "../wagon", "", "wagon.toml"])
def test_unknown_vehicle(folder: Path, key: str) -> None:
    with pytest.raises(InputError) as caught:
        catalog_files.read_vehicle(folder, key, TRADE)
    (problem,) = caught.value.problems
    assert problem.where == "lists/vehicles"
    assert "wagon" in problem.do


def test_catalog_folder(tmp_path: Path, folder: Path) -> None:
    assert catalog_files.catalog_folder("lists", [tmp_path]) == folder
    for name in ("list", "../lists", "", "."):
        with pytest.raises(InputError) as caught:
            catalog_files.catalog_folder(name, [tmp_path])
        assert "there is no catalog" in caught.value.problems[0].what
    with pytest.raises(InputError, match="did you mean 'lists'"):
        catalog_files.catalog_folder("List", [tmp_path])
