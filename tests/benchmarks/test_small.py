"""The smallest cases of the benchmarks: all solvers agree. No time is looked at."""

from __future__ import annotations

import pytest

from tests.benchmarks import harness


@pytest.mark.parametrize("case", [harness.Wide(10, 10), harness.Wide(6, 40)], ids=lambda c: c.name)
def test_all_solvers_find_the_same_price(case):
    result = harness.run(case, 20.0)

    assert result["ours"].get("failed") is None
    assert not result["differ"]
    assert result["cp_sat"]["proven"]
    assert result["cp_sat"]["price"] == result["ours"]["price"]
    assert result["toulbar2"]["price"] == result["ours"]["price"]
    assert harness.shown(result).startswith(case.name)


def test_growth_is_an_exponent_of_the_number_of_parts():
    def result(parts, seconds):
        mine = {
            "sizes": {"parts": parts, "circuit rows": parts},
            "seconds": {"first answer": seconds},
        }
        return {"case": f"wide 10 x {parts}", "ours": mine}

    (step,) = harness.growth([result(10, 1.0), result(1000, 10.0)])

    assert step["first answer"] == 0.5
    assert step["circuit rows"] == 1.0
