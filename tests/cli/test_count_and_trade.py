"""How many packages, what a figure costs, and packages that differ: as a user runs them."""

from __future__ import annotations

import json

import pytest

from configurator.search.limits import Limits

GOAL = 'budget = "1900 EUR"\n[goals."clearance under the axle"]\nat_least = "340 mm"\n'
CLEARANCE = ("--figure", "clearance under the axle")
SUMS = """

from configurator.plugin import each, total


@total("mass of the cart", unit="kg", start=400.0, at_most=420.0, source="a scale")
def mass(mass: float = each("mass"), pieces: int = each("pieces")):
    return mass * pieces


@total("pieces aboard", unit="", start=0.0, source="counted")
def aboard(pieces: int = each("pieces")):
    return float(pieces)


@figure("share of the axle", unit="", source="geometry")
def share(mass: float = computed("mass of the cart")):
    return mass / 1000
"""


def data(shop, *arguments):
    ran = shop.run(*arguments, "--json")
    assert ran.err == ""
    return json.loads(ran.out)


def prices(points):
    return [(point["price"]["amount"], *point["values"]) for point in points]


# -- count --------------------------------------------------------------------------------------


def test_count_in_all_and_with_each_part(shop):
    # By hand: without hubs the tyres as fitted, of 70 and of 80; with hubs the one of 90 as well.
    record = data(shop, "count", shop.job())
    assert (record["packages"], record["exact"], record["at_most_because_of"]) == (7, True, [])
    tyres = {tyre["part"]: tyre["packages"] for tyre in record["positions"]["tyres"]}
    assert tyres == {"fitted": 2, "shop/T-70": 2, "shop/T-80": 2, "shop/T-90": 1, "shop/T-X": 0}
    hubs = {hub["part"]: hub["packages"] for hub in record["positions"]["hubs"]}
    assert hubs == {None: 3, "shop/H-50": 4}
    assert record["within_budget"] is None


def test_goals_and_the_budget_count(shop):
    record = data(shop, "count", shop.job(GOAL))
    # Hubs with the tyre of 80 or of 90; the second is over the budget.
    assert record["packages"] == 2
    assert record["within_budget"] == {"packages": 1, "exact": True, "at_most": 1}


def test_what_is_kept_fixed_and_ruled_out_counts(shop):
    assert data(shop, "count", shop.job('[fixed]\nhubs = "none"\n'))["packages"] == 3
    assert data(shop, "count", shop.job('[keep]\npositions = ["tyres"]\n'))["packages"] == 2
    ruled = shop.job('[exclude]\nparts = ["shop/T-80", "shop/H-50"]\n')
    assert data(shop, "count", ruled)["packages"] == 2


def test_count_in_words(shop):
    ran = shop.run("count", shop.job(GOAL), "--position", "tyres")
    assert ran.status == 0
    assert "2 packages meet this job, the budget left aside." in ran.out
    assert "Within the budget of 1,900.00 EUR: 1." in ran.out
    assert "50.0 %" in ran.out
    assert "prices of 2026-10-01, source: invented" in ran.out


def test_count_of_nothing(shop):
    job = shop.job('[goals."clearance under the axle"]\nat_least = "450 mm"\n')
    ran = shop.run("count", job)
    assert ran.status == 3
    assert "0 packages meet this job" in ran.out


def test_sums_make_a_count_a_bound_that_says_so(shop):
    plugin = shop.folder / "plugins/cart.py"
    plugin.write_text(plugin.read_text() + SUMS)
    rows = "part number,title,price [EUR],overall diameter [mm],maker code,mass [kg]\n"
    shop.write(
        "catalogs/shop/tyres.csv",
        rows + "T-70,Tyre of seventy,100,700,A,4\nT-80,Tyre of eighty,150,800,A,9\n",
    )
    shop.write(
        "catalogs/shop/vehicles/cart.toml",
        'title = "A cart"\n[figures]\n"arch room" = "430 mm"\n[fitted.tyres]\n'
        'title = "Old tyres"\n"overall diameter" = "660 mm"\n"maker code" = "A"\n'
        'mass = "3 kg"\n',
    )
    shop.write(
        "catalogs/shop/hubs.csv",
        "part number,title,price [EUR],drop [mm],mass [kg]\nH-50,Hubs,900,50,1\n",
    )
    few = data(shop, "count", shop.job())
    # Four tyres of 9 kg make 436 kg: both packages with them go.
    assert (few["packages"], few["exact"]) == (4, True)
    # One sum by itself is counted by what it comes to, packages need not be listed for that.
    shop.limits = Limits(listed_packages=0)
    assert data(shop, "count", shop.job()) == few
    shop.limits = Limits(listed_packages=0, counting_effort=0)
    many = data(shop, "count", shop.job())
    assert (many["packages"], many["exact"], many["at_least"]) == (6, False, 0)
    assert many["at_most_because_of"] == ["mass of the cart"]
    out = shop.run("count", shop.job()).out
    assert "At most 6 packages meet this job" in out
    assert "may strike off some of them: mass of the cart." in out
    # What hangs on several sums cannot be set against the price.
    ran = shop.run("trade-off", shop.job(), "--figure", "share of the axle")
    assert ran.status == 2
    assert "hangs on sums" in ran.err
    # A sum beside a figure can, but not beside itself.
    mass = ("--against", "mass of the cart")
    both = data(shop, "trade-off", shop.job(), *CLEARANCE, "--better", "high", *mass)
    assert [figure["better"] for figure in both["figures"]] == ["high", "low"]
    assert all(point["exact"] for point in both["front"])
    dearer = [(float(p["price"]["amount"]), p["values"][0]) for p in both["front"]]
    assert dearer == sorted(dearer)
    assert len(dearer) > 1
    turned = ("--figure", "mass of the cart", "--against", CLEARANCE[1], "--against-better", "high")
    assert data(shop, "trade-off", shop.job(), *turned)["front"] == [
        {**point, "values": point["values"][::-1]} for point in both["front"]
    ]
    out = shop.run("trade-off", shop.job(), *CLEARANCE, "--better", "high", *mass).out
    assert "mass of the cart is a sum over the whole vehicle: levels less than" in out
    ran = shop.run("trade-off", shop.job(), "--figure", "mass of the cart", *mass)
    assert ran.status == 2
    assert "'mass of the cart' is named twice" in ran.err
    assert "name another figure" in ran.err
    # Two sums can: hubs are one piece of 1 kg more than nothing.
    two = ("--figure", "mass of the cart", "--against", "pieces aboard")
    ran = shop.run("trade-off", shop.job(), *two)
    assert ran.status == 2
    assert "tells what is better in 'pieces aboard'" in ran.err
    assert "add --against-better high or --against-better low" in ran.err
    sums = data(shop, "trade-off", shop.job(), *two, "--against-better", "high")
    assert prices(sums["front"]) == [("0.00", 400.0, 0.0), ("1199.00", 401.0, 1.0)]
    assert all(0 < figure["step"] < 1 for figure in sums["figures"])
    assert all(point["exact"] for point in sums["front"])
    out = shop.run("trade-off", shop.job(), *two, "--against-better", "high").out
    assert out.count("is a sum over the whole vehicle: levels less than") == 2
    # A sum by itself can: low is better, as its limit is from above.
    record = data(shop, "trade-off", shop.job(), "--figure", "mass of the cart")
    (figure,) = record["figures"]
    # Two hundred steps from the lightest to the heaviest there is; nothing is left out of a figure.
    assert 0 < figure.pop("step") < 1
    assert figure == {"figure": "mass of the cart", "unit": "kg", "better": "low"}
    assert all(point["exact"] for point in record["front"])
    assert prices(record["front"]) == [("0.00", 400.0)]
    assert [figure["step"] is None for figure in both["figures"]] == [True, False]
    dear = data(shop, "trade-off", shop.job(), "--figure", "mass of the cart", "--better", "high")
    # Four tyres of 70 weigh 1 kg each more than those fitted, hubs 1 kg; those of 80 too much.
    assert prices(dear["front"]) == [("0.00", 400.0), ("400.00", 404.0), ("1599.00", 405.0)]
    out = shop.run("trade-off", shop.job(), "--figure", "mass of the cart", "--better", "high").out
    assert "mass of the cart: high is better." in out
    assert "better than a line above may be left out." in out


# -- trade --------------------------------------------------------------------------------------


def test_every_level_of_a_figure_with_its_price(shop):
    record = data(shop, "trade-off", shop.job(GOAL), *CLEARANCE)
    # Fitted 230, 250, 300; with hubs (900 + 3 h at 90 + 2 l at 14.50) 50 more, and then 400.
    assert prices(record["levels"]) == [
        ("0.00", 230.0),
        ("400.00", 250.0),
        ("1199.00", 280.0),
        ("600.00", 300.0),
        ("1799.00", 350.0),
        ("1999.00", 400.0),
    ]
    assert record["figures"] == [
        {"figure": "clearance under the axle", "unit": "mm", "better": "high", "step": None}
    ]
    assert prices(record["front"]) == [
        ("0.00", 230.0),
        ("400.00", 250.0),
        ("600.00", 300.0),
        ("1799.00", 350.0),
        ("1999.00", 400.0),
    ]
    assert [point["as_asked"] for point in record["front"]] == [False, False, False, True, True]


def test_what_is_better_can_be_said(shop):
    record = data(shop, "trade-off", shop.job(), *CLEARANCE, "--better", "low")
    assert prices(record["front"]) == [("0.00", 230.0)]
    unsaid = data(shop, "trade-off", shop.job(), *CLEARANCE)
    assert unsaid["figures"][0]["better"] is None
    assert len(unsaid["front"]) == len(unsaid["levels"])


def test_trade_in_words_with_a_drawing(shop):
    ran = shop.run("trade-off", shop.job(GOAL), *CLEARANCE)
    assert ran.status == 0
    assert "clearance under the axle: high is better." in ran.out
    assert "600.00 EUR" in ran.out
    assert "not as asked" in ran.out
    assert "over budget" in ran.out
    drawn = [line for line in ran.out.splitlines() if "|" in line]
    assert len(drawn) == 12
    assert sum(line.count("o") for line in drawn) == 5
    assert sum(line.count(".") for line in drawn) >= 1
    imperial = shop.run("--units", "imperial", "trade-off", shop.job(GOAL), *CLEARANCE).out
    assert "13.78 in" in imperial


def test_two_figures_against_the_price(shop):
    plugin = shop.folder / "plugins/cart.py"
    plugin.write_text(
        plugin.read_text() + '\n\n@figure("entry height", unit="mm", source="geometry")\n'
        "def entry(diameter: float = part('tyres', 'overall diameter'),\n"
        "          drop: float = part('hubs', 'drop')):\n"
        "    return diameter / 2 + 2 * drop\n"
    )
    both = (*CLEARANCE, "--against", "entry height")
    record = data(shop, "trade-off", shop.job(GOAL), *both, "--against-better", "low")
    # 400 mm of clearance only with hubs; 280 mm is beaten by 300 mm, which is cheaper and lower.
    assert prices(record["front"]) == [
        ("0.00", 230.0, 330.0),
        ("400.00", 250.0, 350.0),
        ("600.00", 300.0, 400.0),
        ("1799.00", 350.0, 500.0),
        ("1999.00", 400.0, 550.0),
    ]
    ran = shop.run("trade-off", shop.job(GOAL), *both, "--against-better", "low")
    assert "entry height [mm] (up) over clearance under the axle [mm] (across)" in ran.out
    unsaid = shop.run("trade-off", shop.job(GOAL), *both)
    assert unsaid.status == 2
    assert "add --against-better high or --against-better low" in unsaid.err


def test_figures_that_are_not_there(shop):
    ran = shop.run("trade-off", shop.job(GOAL), "--figure", "clearance under the axel")
    assert (ran.status, ran.out) == (2, "")
    assert "did you mean 'clearance under the axle'?" in ran.err
    assert shop.run("trade-off", shop.job(GOAL)).status == 2


def test_a_trade_without_any_package(shop):
    ran = shop.run("trade-off", shop.job('[fixed]\ntyres = "shop/T-X"\n'), *CLEARANCE)
    assert ran.status == 3
    assert "Nothing fits, whatever the level." in ran.out


# -- packages that differ -----------------------------------------------------------------------


def test_packages_that_differ_and_how(shop):
    record = data(shop, "find", shop.job(), "--different", "3")
    # A fifth of 660 to 900 mm is 48 mm: the tyre of 700 mm does not differ from the one fitted.
    amounts = [package["price"]["amount"] for package in record["packages"]]
    assert amounts == ["0.00", "1799.00"]
    different = record["different"]
    assert different["packages"][0]["differs_at"] == []
    for package in different["packages"][1:]:
        assert package["proven"]
        assert {d["position"] for d in package["differs_at"]} <= {"tyres", "hubs"}
        assert package["says"].startswith("Beside the cheapest package: ")
    out = shop.run("find", shop.job(), "--different", "3").out
    assert "differs from all before it" in out
    assert "Beside the cheapest package: " in out


@pytest.mark.parametrize(
    "arguments", [["--different", "1"], ["--different", "2", "--cheapest", "2"]]
)
def test_what_cannot_be_asked(shop, arguments):
    assert shop.run("find", shop.job(), *arguments).status == 2


def test_different_packages_where_nothing_fits(shop):
    job = shop.job('[goals."clearance under the axle"]\nat_least = "450 mm"\n')
    ran = shop.run("find", job, "--different", "3")
    assert ran.status == 3
    assert "Nothing fits" in ran.out
