"""Jobs: read, written and read again, and put together with what they name."""

from __future__ import annotations

import os
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from configurator.core import units
from configurator.core.errors import InputError
from configurator.files.job_files import case_of, read_case, read_job, write_job
from configurator.model.jobs import Goal, Job
from tests import bundled
from tests.small_trade import small_trade, write_catalog

TRADE = small_trade()

JOB = """
title = "Hut 31\\" track"
vehicle = "lists/wagon"
catalogs = ["./lists"]
budget = "18500 EUR"
vehicles = 2
[conditions]
"cruising speed" = "97,3 km/h"
[goals.mass]
as_possible = "low"
[goals."engine speed"]
at_least = "1900 rpm"
at_most = "2300 rpm"
sure = true
[fixed]
tyres = "lists/A2"
hoist = "none"
"spare tyre" = "fitted"
[keep]
positions = ["spare tyre"]
[exclude]
parts = ["lists/A1"]
[measured]
wheelbase = "2850 mm"
plugs = ["X", "Y"]
"front suspension" = "independent"
doors = 5
"""


@pytest.fixture
def home(tmp_path: Path) -> Path:
    write_catalog(tmp_path / "lists")
    return tmp_path


def problems_of(text: str) -> list[tuple[str, str]]:
    with pytest.raises(InputError) as caught:
        read_job(text, TRADE)
    return [(p.where, p.what) for p in caught.value.problems]


def refused_case(home: Path, text: str) -> list[tuple[str, str, str]]:
    (home / "job.toml").write_text(text, encoding="utf-8")
    with pytest.raises(InputError) as caught:
        read_case(home / "job.toml", TRADE, [home])
    return [(p.where, p.what, p.do) for p in caught.value.problems]


def test_job() -> None:
    job = read_job(JOB, TRADE)
    assert job == Job(
        title='Hut 31" track',
        vehicle="lists/wagon",
        catalogs=("./lists",),
        budget=1850000,
        currency="EUR",
        conditions={"cruising speed": units.to_si(97.3, "km/h")},
        goals=(
            Goal("mass", as_possible="low"),
            Goal("engine speed", units.to_si(1900, "rpm"), units.to_si(2300, "rpm"), sure=True),
        ),
        fixed={"tyres": "lists/A2", "hoist": "none", "spare tyre": "fitted"},
        keep=("spare tyre",),
        excluded=("lists/A1",),
        vehicles=2,
        measured={
            "wheelbase": 2.85,
            "plugs": frozenset({"X", "Y"}),
            "front suspension": "independent",
            "doors": 5,
        },
    )
    written = write_job(job, TRADE)
    assert read_job(written, TRADE) == job
    assert '"cruising speed" = "97.3 km/h"' in written
    assert 'at_least = "1900 rpm"' in written


def test_a_sum_cannot_surely_be_as_low_as_possible() -> None:
    ((where, what),) = problems_of(JOB.replace('"low"', '"low"\nsure = true'))
    assert where == "job, [goals.mass], 'sure'"
    assert "cannot be had surely" in what


def test_a_goal_that_is_only_sure_asks_for_nothing() -> None:
    ((where, what),) = problems_of(JOB.replace('as_possible = "low"', "sure = true"))
    assert (where, what) == ("job, [goals.mass]", "the goal asks for nothing")


TEXTS = st.text(
    st.characters(exclude_categories=["Cc", "Cs", "Zl", "Zp", "Cf"]), min_size=1, max_size=20
).filter(lambda text: text.strip() == text)
SPEEDS = st.floats(0, 83).map(units.normalise)
RADII = st.floats(-1e6, 1e6).map(units.normalise)


@given(
    title=TEXTS,
    names=st.lists(TEXTS, min_size=1, max_size=3),
    budget=st.none() | st.integers(0, 10**11),
    currency=st.sampled_from(["EUR", "JPY", "KWD"]),
    speed=SPEEDS,
    bounds=st.tuples(RADII, RADII).map(sorted),
    number=TEXTS,
    wheelbase=st.floats(1.5, 5).map(units.normalise),
)
def test_what_is_written_reads_back(
    title: str,
    names: list[str],
    budget: int | None,
    currency: str,
    speed: float,
    bounds: list[float],
    number: str,
    wheelbase: float,
) -> None:
    job = Job(
        title=title,
        vehicle=f"{names[0]}/x",
        catalogs=tuple(names),
        budget=budget,
        currency=currency,
        conditions={"cruising speed": speed},
        goals=(Goal("tyre radius", bounds[0], bounds[1]), Goal("mass", as_possible="high")),
        fixed={"tyres": f"a/{number}"},
        excluded=(f"b/{number}",),
        workshop=title,
        measured={"wheelbase": wheelbase},
        parts_within=len(number),
    )
    assert read_job(write_job(job, TRADE), TRADE) == job


def test_everything_wrong_with_a_job() -> None:
    assert problems_of(
        """
        titel = "x"
        catalogs = []
        budget = 18500
        vehicles = 0
        [conditions]
        "cruising speed" = 100
        "crusing speed" = "100 km/h"
        [goals."engine sped"]
        at_least = "1900 rpm"
        [goals."lost figure"]
        at_least = "1 mm"
        [goals.mass]
        [goals."tyre radius"]
        at_least = "500 mm"
        at_most = "40 cm"
        as_possible = "higher"
        at = 3
        [fixed]
        tyres = "none"
        "spare tyre" = "A1"
        bonnet = "lists/A1"
        [keep]
        positions = ["bonet", "spare tyre"]
        parts = []
        [exclude]
        parts = "A1"
        [measured]
        wheelbase = "2850"
        """
    ) == [
        ("job", "no catalog to choose from"),
        ("job", "'title' is missing"),
        ("job", "'vehicle' is missing"),
        ("job, 'budget'", "'18500' has no currency"),
        ("job, 'titel'", "key 'titel' is not known"),
        ("job, 'vehicles'", "'0' is out of bounds: a sound value is between 1 and 1000"),
        ("job, [conditions], 'cruising speed'", "100 has no unit"),
        ("job, [conditions], 'crusing speed'", "condition 'crusing speed' is not known"),
        ("job, [exclude], 'parts'", "'A1' is not a list of texts"),
        ("job, [fixed], 'bonnet'", "position 'bonnet' is not known"),
        ("job, [fixed], 'spare tyre'", "'A1' is not a part"),
        ("job, [fixed], 'tyres'", "this position must have a part"),
        ("job, [goals.\"tyre radius\"], 'as_possible'", "'higher' is no direction"),
        ("job, [goals.\"tyre radius\"], 'at'", "key 'at' is not known"),
        ("job, [goals.\"tyre radius\"], 'at_least'", "it is above at_most"),
        ("job, [goals.mass]", "the goal asks for nothing"),
        ("job, [goals], 'engine sped'", "figure 'engine sped' is not known"),
        (
            "job, [goals], 'lost figure'",
            "cannot be worked out: no loaded plugin declares the measure "
            "'a measure that nobody declares' (check the spelling)",
        ),
        ("job, [keep], 'parts'", "key 'parts' is not known"),
        ("job, [keep], 'positions'", "position 'bonet' is not known"),
        ("job, [keep], 'positions'", "'spare tyre' is to be kept, and fixed to 'A1'"),
        ("job, [measured], 'wheelbase'", "'2850' has no unit"),
    ]


@pytest.mark.parametrize(
    ("text", "place"),
    [
        ('title = "x"\nvehicle = oops\n', "job line 2"),
        ('title = "x', "job"),
        ("a = 1\na = 2\n", "job"),
        ("a = " + "[" * 5000, "job"),
        ("a = " + "9" * 5000, "job"),
    ],
)
def test_broken_toml(text: str, place: str) -> None:
    ((where, _),) = problems_of(text)
    assert where.startswith(place)


def test_ruled_out_and_fixed() -> None:
    text = JOB.replace('parts = ["lists/A1"]', 'parts = ["lists/A2"]')
    assert problems_of(text) == [
        ("job, [exclude], 'parts'", "'lists/A2' is ruled out, and fixed"),
    ]


def test_case(home: Path) -> None:
    (home / "job.toml").write_text(JOB, encoding="utf-8")
    case = read_case(home / "job.toml", TRADE)
    assert [part.key for part in case.parts["tyres"]] == ["lists/A1", "lists/A2"]
    assert case.parts["hoists"] == ()
    assert case.workshop.rate == 9200
    assert [info.key for info in case.catalogs] == ["lists"]
    assert case.vehicle.values["wheelbase"] == 2.85  # measured, not 112 in
    assert case.vehicle.values["doors"] == 5
    assert case.vehicle.values["kerb mass"] == 2000.0


def test_catalogs_by_name_and_vehicle_of_another(home: Path) -> None:
    other = write_catalog(home / "others")
    (other / "workshop.toml").write_text('rate = "50 EUR"', encoding="utf-8")
    (other / "tyres.csv").write_text("broken", encoding="utf-8")  # not asked for
    job = replace(
        read_job(JOB, TRADE), vehicle="others/wagon", catalogs=("lists",), workshop="others"
    )
    case = case_of(job, TRADE, [home])
    assert case.vehicle.key == "others/wagon"
    assert case.workshop.rate == 5000
    assert [info.key for info in case.catalogs] == ["lists"]


def test_a_job_without_a_file_names_no_paths(home: Path) -> None:
    with pytest.raises(InputError, match="is a path"):
        case_of(read_job(JOB, TRADE), TRADE, [home])


def test_everything_wrong_with_a_case(home: Path) -> None:
    text = (
        JOB.replace('"lists/wagon"', '"lists/wagn"')
        .replace("18500 EUR", "18500 CHF")
        .replace('tyres = "lists/A2"', 'tyres = "lists/a3"')
        .replace('parts = ["lists/A1"]', 'parts = ["lists/A11"]')
        .replace('["./lists"]', '["./lists", "lists", "nowhere"]')
    )
    refused_problems = refused_case(home, text)
    assert [(where, what) for where, what, _ in refused_problems] == [
        ("job.toml, 'catalogs'", "'lists' is there twice"),
        ("job.toml, 'catalogs'", "there is no catalog 'nowhere'"),
        ("job.toml, 'catalogs'", "catalog 'lists' is in EUR, the job in CHF"),
        ("job.toml, 'workshop'", "its prices are in EUR, the job in CHF"),
        ("lists/vehicles", "there is no vehicle 'wagn'"),
    ]
    refused_problems = refused_case(home, text.replace(', "lists", "nowhere"', ""))
    assert [what for _, what, _ in refused_problems if "part" in what] == [
        "there is no part 'lists/A11' in the catalogs",
        "there is no part 'lists/a3' in the catalogs",
    ]
    assert all("lists/A" in do for _, what, do in refused_problems if "part" in what)


def test_problems_of_catalog_and_job_come_together(home: Path) -> None:
    (home / "lists" / "tyres.csv").write_text("part number\n", encoding="utf-8")
    refused_problems = refused_case(home, JOB.replace("97,3 km/h", "97,3 kg"))
    assert {where.partition(",")[0] for where, _, _ in refused_problems} == {
        "job.toml",
        "lists/tyres.csv row 1",
    }


def test_parts_at_the_wrong_place(home: Path) -> None:
    refused_problems = refused_case(
        home,
        JOB.replace('hoist = "none"', 'hoist = "lists/A1"')
        .replace('"spare tyre" = "fitted"', '"spare tyre" = "lists/A2"')
        .replace('positions = ["spare tyre"]', "positions = []")
        .replace('parts = ["lists/A1"]', "parts = []"),
    )
    assert [(where, what) for where, what, _ in refused_problems] == [
        ("job.toml, [fixed], 'hoist'", "'lists/A1' is of 'tyres', not 'hoists'"),
        ("job.toml, [fixed], 'spare tyre'", "'lists/A2' is made for tyres"),
    ]


def test_nothing_there_to_keep(home: Path) -> None:
    refused_problems = refused_case(
        home, JOB.replace('hoist = "none"', "").replace('["spare tyre"]', '["hoist"]')
    )
    assert [(where, what) for where, what, _ in refused_problems] == [
        ("job.toml, [keep]", "nothing is fitted as 'hoist' that could be kept"),
    ]


def test_without_a_budget_the_currency_is_the_catalogs(home: Path) -> None:
    for name in ("catalog.toml", "workshop.toml", "tyres.csv"):
        path = home / "lists" / name
        path.write_text(path.read_text("utf-8").replace("EUR", "CHF"), encoding="utf-8")
    (home / "job.toml").write_text(JOB.replace('budget = "18500 EUR"', ""), encoding="utf-8")
    assert read_case(home / "job.toml", TRADE).job.currency == "CHF"


def test_missing_file(home: Path) -> None:
    with pytest.raises(InputError) as caught:
        read_case(home / "nothing.toml", TRADE)
    (problem,) = caught.value.problems
    assert problem.where == "nothing.toml"
    assert os.strerror(2) in problem.what


def test_a_goal_remembers_the_unit_it_was_written_in():
    from configurator.files.job_text import read_job, write_job

    trade = bundled.trade()
    text = (
        'title = "a"\nvehicle = "demo/b"\ncatalogs = ["demo"]\n'
        '[goals."front track"]\nat_most = "70 in"\n'
    )
    job = read_job(text, trade)
    assert job.goals[0].written_in == "in"
    assert job.goals[0].at_most == pytest.approx(1.778)
    assert 'at_most = "70 in"' in write_job(job, trade)
    assert read_job(write_job(job, trade), trade) == job
