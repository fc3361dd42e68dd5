"""The order list holds every new part once, for all vehicles."""

from __future__ import annotations

import json

import pytest

from configurator import homes

JOB = homes.catalogs() / "demo" / "jobs" / "vineyard-trucks.toml"


def run(capsys, *words):
    """Run a command and return what it wrote."""
    from configurator.cli import main

    with pytest.raises(SystemExit) as end:
        main([*words])
    assert end.value.code == 0
    return capsys.readouterr().out


def test_the_order_is_the_package_times_the_vehicles(capsys):
    data = json.loads(run(capsys, "order", str(JOB), "--json"))
    (package,) = json.loads(run(capsys, "find", str(JOB), "--json"))["packages"]
    new = {
        package["parts"][position]: detail
        for position, detail in package["details"].items()
        if detail["changed"] and package["parts"][position]
    }
    assert {one["part"] for one in data["order"]} == set(new)
    total = sum(float(one["price"]["amount"]) for one in data["order"])
    parts = float(package["price"]["amount"]) - float(package["work"]["price"]["amount"])
    assert total == pytest.approx(6 * parts)
    makers = [one["maker"] for one in data["order"]]
    assert makers == sorted(makers)
    assert "demo/PTA-25585R16" in run(capsys, "order", str(JOB)).replace("\n", "")
