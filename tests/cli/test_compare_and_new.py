"""An idea beside the package without it, the next step, a new job, and names of before."""

import json

import pytest

LIFT = '[goals."clearance under the axle"]\nat_least = "340 mm"\n'
HIGH = 'budget = "{} EUR"\n[goals."clearance under the axle"]\nas_possible = "high"\n'


def test_an_idea_is_held_against_the_package_without_it(shop):
    # Hubs and a tyre of 800 mm cost 1,799.00; with the tyre of 900 mm it is 200 more.
    ran = shop.run("compare", shop.job(LIFT), "--choose", "tyres=shop/T-90")
    assert ran.status == 0
    assert "With it the package costs 200.00 EUR more." in ran.out
    assert "1,799.00 EUR  1,999.00 EUR" in ran.out
    assert "350 mm   400 mm" in ran.out
    record = json.loads(
        shop.run("compare", shop.job(LIFT), "--choose", "tyres=shop/T-90", "--json").out
    )
    assert record["more"] == {"amount": "200.00", "currency": "EUR"}
    assert record["proven"] is True


def test_what_an_idea_makes_different_is_named(shop):
    # Without a goal nothing need change; the tyre of 900 mm needs the hubs to clear the arch.
    ran = shop.run("compare", shop.job(), "--choose", "tyres=shop/T-90")
    assert "hubs: Hubs with a drop (shop/H-50) instead of not fitted" in ran.out


def test_an_idea_that_fits_nothing_says_why(shop):
    ran = shop.run("compare", shop.job(), "--choose", "tyres=shop/T-X")
    assert ran.status == 3
    assert "No package with it meets the goals, whatever the budget." in ran.out
    assert "tyres of this make suit the rims" in ran.out


def test_an_idea_must_name_a_part_of_the_position(shop):
    ran = shop.run("compare", shop.job(), "--choose", "tyres")
    assert (ran.status, ran.out) == (2, "")
    assert "names no part; write POSITION=PART" in ran.err


def test_find_says_the_next_step(shop):
    ran = shop.run("find", shop.job(HIGH.format(1900)))
    assert (
        "The budget of 1,900.00 EUR buys no better clearance under the axle than 350 mm. The next "
        "step is 400 mm, for 1,999.00 EUR." in ran.out
    )
    assert "next step" not in shop.run("find", shop.job(HIGH.format(2500))).out
    record = json.loads(shop.run("find", shop.job(HIGH.format(1900)), "--json").out)
    (step,) = record["next_steps"]
    assert (step["level"], step["price"]["amount"], step["exact"]) == (400.0, "1999.00", True)


def test_with_too_small_a_budget_what_can_change_comes_first(shop):
    ran = shop.run("find", shop.job(f'budget = "1000 EUR"\n{LIFT}'))
    assert ran.status == 3
    assert "raise the budget of 1,000.00 EUR to 1,799.00 EUR\n" in ran.out
    assert ran.out.index("Only the budget is in the way") < ran.out.index("What can change")
    assert "These clash" not in ran.out


def test_a_new_job_is_written_and_can_be_asked_about(shop):
    job = shop.folder / "new.toml"
    asked = ["new", str(job), "--vehicle", "shop/cart", "--budget", "2500 EUR"]
    ran = shop.run(*asked, "--goal", "clearance under the axle at least 340 mm")
    assert ran.status == 0, ran.err
    assert f"fitwright find {job}" in ran.out
    assert "Cheapest package: 1,799.00 EUR" in shop.run("find", str(job)).out
    again = shop.run(*asked)
    assert (again.status, again.out) == (2, "")
    assert "the file is there already" in again.err


@pytest.mark.parametrize(
    ("more", "message"),
    [
        (["--vehicle", "shop/carts"], "did you mean 'cart'?"),
        (["--vehicle", "shop/cart", "--goal", "clearance 340"], "is no goal"),
        (["--vehicle", "shop/cart", "--goal", "clearence at least 340 mm"], "is not known"),
        (["--vehicle", "shop/cart", "--budget", "2500"], "is not an amount of money"),
        ([], "nobody can be asked; name one of: shop/cart"),
    ],
)
def test_a_new_job_that_makes_no_sense_is_not_written(shop, more, message):
    job = shop.folder / "new.toml"
    ran = shop.run("new", str(job), *more)
    assert ran.status == 2
    assert message in ran.err
    assert not job.exists()


@pytest.mark.parametrize(
    ("old", "new", "more"),
    [
        ("forces", "needs", []),
        ("trade", "trade-off", ["--figure", "clearance under the axle"]),
        ("prepare", "exact-prices", []),
    ],
)
def test_a_command_works_under_its_old_name_with_a_hint(shop, old, new, more):
    before = shop.run(old, shop.job(LIFT), *more)
    now = shop.run(new, shop.job(LIFT), *more)
    assert (before.status, before.out) == (now.status, now.out)
    assert f"hint: fitwright {old} is called fitwright {new} now" in before.err
    assert now.err == ""


def test_every_command_has_an_example(shop):
    listed = [line.split()[0] for line in shop.run("--help").out.split("Commands:")[1].splitlines()
              if line.startswith("  ") and line.split()]  # fmt: skip
    ours = set(listed) & {"find", "save", "saved", "needs", "trade-off", "as-built", "compare",
                          "new", "quote", "build-sheet", "handover", "order"}  # fmt: skip
    assert len(ours) == 12
    for command in sorted(ours):
        assert "Example: fitwright" in shop.run(command, "--help").out, command
