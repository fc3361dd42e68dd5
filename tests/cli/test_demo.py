"""What `fitwright demo` shows, on a small demo workshop of its own."""

from __future__ import annotations

import pytest

from configurator.core import paths
from tests.cli.conftest import FILES, JOB

pytestmark = pytest.mark.wheel

FIRST = 'budget = "2000 EUR"\n[goals."clearance under the axle"]\nat_least = "340 mm"\n'
SECOND = '[goals."clearance under the axle"]\nat_least = "450 mm"\n'


@pytest.fixture
def demo(shop, monkeypatch):
    plugin = FILES["plugins/cart.py"]
    shop.write(
        "plugins/cart.py",
        plugin.replace('Position("hubs")', 'Position("front hub reductions")').replace(
            'part("hubs"', 'part("front hub reductions"'
        ),
    )
    for name, text in FILES.items():
        if name.startswith("catalogs/"):
            shop.write(name.replace("/shop/", "/demo/"), text)
    monkeypatch.setattr(paths, "catalogs", lambda: shop.folder / "catalogs")
    job = JOB.replace('"shop', '"demo')
    shop.write("catalogs/demo/jobs/a.toml", job + FIRST)
    shop.write("catalogs/demo/jobs/b.toml", job.replace("Over the ford", "Too high") + SECOND)
    return shop


def test_the_first_job_is_shown_in_full_and_the_others_in_short(demo):
    ran = demo.run("demo")
    first, second = ran.out.split("Too high")
    assert "Go on\n  - fitwright page: " in second
    assert f"fitwright find {demo.folder / 'catalogs' / 'demo' / 'jobs' / 'a.toml'}: " in second
    assert ran.err == ""
    for text in (
        "Over the ford\nVehicle: A cart\nGoals: clearance under the axle at least 340 mm\n"
        "Budget: 2,000",
        "Cheapest package: 1,799.00 EUR",
        "fit the hubs",
        "350 mm  met",
        "tyres: Old tyres must go:\n"
        "  - clearance under the axle at least 340 mm: with everything else you want, ",
        "front hub reductions: must be fitted:",
        "With hub reductions: the cheapest package costs 1,799.00 EUR.",
        "Without: no package meets these goals.",
        "The hubs were changed: The wheels sit lower.",
        "sealant: the settings of the workshop give no price",
        "prices of 2026-10-01",
        "no approval",
    ):
        assert text in first
    assert "Nothing fits" in second
    assert "settle for 400 mm of clearance under the axle" in second
    # A job that cannot be met makes the whole a demo of something that does not fit.
    assert ran.status == 3
