"""What the plugins were asked and what they answered."""

from __future__ import annotations

import json


def test_each_hook_call_and_its_answer(shop):
    ran = shop.run("plugins", "--trace")
    assert ran.out.startswith("7 hook calls, in this order\n")
    assert "  - cart: families() answered 2: tyres, hubs\n" in ran.out
    assert "  - cart: practices() answered 0\n" in ran.out
    load = json.loads(shop.run("plugins", "--trace", "--json").out)["trace"]
    assert load[0] == {"plugin": "cart", "hook": "families", "answer": ["tyres", "hubs"]}
    assert len(load) == 7
    assert "trace" not in json.loads(shop.run("plugins", "--json").out)


def test_a_plugin_for_another_interface_is_named_with_what_to_do(shop):
    shop.write("own/late.py", "INTERFACE = (9, 0)\nimport nothing_of_the_kind\n")
    ran = shop.run("--plugins", str(shop.folder / "own"), "plugins")
    assert ran.status == 0
    assert "late: written for plugin interface 9.0, this is" in ran.out
    assert "get a newer release of Fitwright" in ran.err
