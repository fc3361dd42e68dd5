"""What each choice forces, and the work of a package in sequence."""

from __future__ import annotations

import json
from itertools import pairwise
from xml.etree import ElementTree

import pytest

from configurator.cli.commands import needs
from configurator.consequences.graph_drawing import draw_pages, paper_scale
from configurator.consequences.graph_wrapping import LEAST_TYPE, TEXT_SIZE
from configurator.consequences.upgrade_graph import Box, Edge, Picture

TALL = ("--choice", "tyres=shop/T-90")
GOAL = '[goals."clearance under the axle"]\nat_least = "380 mm"\n'


def test_an_arrow_has_its_property_its_rule_and_its_numbers(shop):
    ran = shop.run("needs", shop.job(), *TALL, "--json")
    assert ran.status == 0
    record = json.loads(ran.out)
    assert "goals and budget are not counted" in record["relative_to"]
    (choice,) = record["choices"]
    assert (choice["position"], choice["part"]) == ("tyres", "shop/T-90")
    # 4 tyres, the hubs, 3 h and 2 litres of oil, against leaving the cart as it is.
    assert choice["adds"] == {"amount": "1999.00", "currency": "EUR"}
    (arrow,) = choice["forces"]
    assert (arrow["position"], arrow["property"]) == ("hubs", "drop at least 50 mm")
    assert arrow["direct"] is True
    assert arrow["through"] == []
    (because,) = arrow["because"]
    assert because["rule"] == "the tyre clears the arch"
    assert because["has"] == pytest.approx(-20)
    assert because["needs"] == pytest.approx(20)
    assert because["unit"] == "mm"
    assert record["sets"] == []


def test_what_is_left_alone_is_shown_with_numbers_on_request(shop):
    choice = ("--choice", "tyres=shop/T-80")
    asked = shop.run("needs", shop.job(), *choice, "--unchanged", "--json")
    (kept,) = json.loads(asked.out)["choices"][0]["not_forced"]
    assert kept["position"] == "hubs"
    (rule,) = kept["rules"]
    assert (rule["before"], rule["after"], rule["needs"]) == pytest.approx((100, 30, 20))
    out = shop.run("needs", shop.job(), *choice, "--unchanged").out
    assert "100 mm before, 30 mm after, minimum 20 mm" in out
    assert "Needs nothing else" in out


def test_without_a_choice_it_asks_about_the_cheapest_package(shop):
    ran = shop.run("needs", shop.job(GOAL), "--goals", "--json")
    record = json.loads(ran.out)
    assert [choice["position"] for choice in record["choices"]] == ["tyres", "hubs"]
    assert "Goals and budget are counted." in record["relative_to"]
    # The tyres are too small for the goal whatever is chosen; the hubs belong to the tyres.
    reasons = [
        (choice["position"], arrow["position"], arrow["anyway"], because["rule"])
        for choice in record["choices"]
        for arrow in choice["forces"]
        for because in arrow["because"]
    ]
    assert ("tyres", "hubs", False, "the tyre clears the arch") in reasons
    assert any(r[:2] == ("hubs", "tyres") and "clearance" in r[3] for r in reasons)


def test_words_name_the_rule_and_the_price(shop):
    out = shop.run("needs", shop.job(), *TALL).out
    assert "Adds 1,999.00 EUR in all, compared with the cheapest package without it." in out
    assert "hubs: drop at least 50 mm, because the tyre clears the arch: −20 mm at best" in out
    assert "no approval" in out


def test_a_part_that_fits_nothing_says_why(shop):
    ran = shop.run("needs", shop.job(), "--choice", "tyres=shop/T-X")
    assert ran.status == 3
    assert "tyres of this make suit the rims" in ran.out
    asked = shop.run("needs", shop.job(), "--choice", "tyres=shop/T-X", "--json")
    (choice,) = json.loads(asked.out)["choices"]
    assert choice["possible"] is False
    assert "tyres of this make suit the rims" in [reason["name"] for reason in choice["conflict"]]


@pytest.mark.parametrize("kind", ["svg", "graphml"])
def test_a_graph_goes_to_a_file(shop, kind):
    target = shop.folder / f"out.{kind}"
    ran = shop.run("needs", shop.job(), *TALL, f"--{kind}", "--output", str(target))
    assert (ran.status, ran.out) == (0, "")
    text = target.read_text(encoding="utf-8")
    ElementTree.fromstring(text)
    assert "hubs" in text


def test_dot_goes_to_standard_output(shop):
    out = shop.run("needs", shop.job(), *TALL, "--dot").out
    assert '"tyres" -> "hubs"' in out


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        (("--choice", "tyres"), "--choice: 'tyres' names no part; write POSITION=PART"),
        (("--choice", "tyers=shop/T-90"), "did you mean 'tyres'?"),
        (("--choice", "tyres=shop/T-99"), "there is no part 'shop/T-99'"),
        (("--json", "--svg"), "more than one was asked for"),
    ],
)
def test_bad_input_is_refused_with_what_to_do(shop, arguments, message):
    ran = shop.run("needs", shop.job(), *arguments)
    assert (ran.status, ran.out) == (2, "")
    assert message in ran.err


def test_a_job_that_nothing_meets_has_no_choices_to_ask_about(shop):
    ran = shop.run("needs", shop.job('budget = "1 EUR"\n' + GOAL))
    assert ran.status == 3
    assert "name a --choice" in ran.err


def test_work_in_sequence_with_what_it_uses_and_the_finish(shop):
    ran = shop.run("work", shop.job(GOAL), "--json")
    record = json.loads(ran.out)
    assert ran.status == 0
    assert [step["operation"] for step in record["steps"]] == ["fit the hubs"]
    assert record["hours"] == 3.0
    assert record["consumables"] == {"gear oil": 2.0, "sealant": 1.0}
    # The list gives no lead times, so the finish is a least one.
    assert record["earliest_finish"]["exact"] is False
    assert record["earliest_finish"]["days"] == pytest.approx(3 / 8)
    assert {wait["position"] for wait in record["lead_time_not_known"]} == {"tyres", "hubs"}
    out = shop.run("work", shop.job(GOAL)).out
    assert "fit the hubs" in out
    assert "Lead time not known" in out
    assert "The wheels sit lower." in out


def test_work_of_a_package_that_is_not_there(shop):
    ran = shop.run("work", shop.job(GOAL), "--package", "50")
    assert ran.status == 2
    assert "use a number from 1 to" in ran.err
    none = shop.run("work", shop.job('budget = "1 EUR"\n' + GOAL))
    assert none.status == 3


def chain(count):
    """A picture of so many boxes, each forcing the next."""
    names = [f"position {number}" for number in range(count)]
    return Picture(
        "forced",
        tuple(Box(name, ("All-terrain tyre",), name == names[0]) for name in names),
        tuple(Edge(name, other, ("a rule",), True, ("x",)) for name, other in pairwise(names)),
        (),
    )


def test_a_drawing_that_one_sheet_cannot_hold_is_written_on_several(tmp_path, capsys):
    picture = chain(150)
    needs._draw(picture, "light", tmp_path / "forced.svg")
    sentence = " ".join(capsys.readouterr().out.split())
    count = len(draw_pages(picture))
    assert count > 1
    names = [f"forced-{number}-of-{count}.svg" for number in range(1, count + 1)]
    assert sorted(path.name for path in tmp_path.iterdir()) == sorted(names)
    assert f"on {count} sheets, to be read in this order: {', '.join(names)}." in sentence
    for number, name in enumerate(names, 1):
        text = (tmp_path / name).read_text(encoding="utf-8")
        assert f"sheet {number} of {count}</title>" in text
        assert paper_scale(text) * TEXT_SIZE >= LEAST_TYPE


def test_a_drawing_on_the_console_stays_one_and_says_that_it_is_large(capsys):
    needs._draw(chain(150), "light", None)
    ran = capsys.readouterr()
    assert len(ElementTree.fromstring(ran.out).findall(".//*[@class='box']")) >= 150
    assert "--output FILE.svg writes it on" in ran.err


def test_a_small_drawing_is_one_file_of_the_name_that_was_given(tmp_path, capsys):
    needs._draw(chain(4), "dark", tmp_path / "forced.svg")
    assert [path.name for path in tmp_path.iterdir()] == ["forced.svg"]
    assert capsys.readouterr().out == ""
