"""A vehicle entered from nothing, and the sheet for the hoist."""

from __future__ import annotations

import io
import tomllib
from pathlib import Path

import pypdf
import pytest

from configurator.cli import main
from configurator.core import paths
from configurator.files.catalog_files import read_catalog, read_vehicle
from configurator.files.new_vehicle import checked_answer, grouped
from configurator.model.knowledge import Trade
from configurator.model.needed_values import needed_for
from tests import bundled

JOB = "catalogs/demo/jobs/surveyor-pickup.toml"
# What a fitter types: bare numbers in the unit asked for, a comma, inches, a slip, an open one.
TYPED = (
    "775\n271\n1550\n48\n205\n6080\n150\nnine\n1230 kg\n27\n18.11 in\n4730\n134\n3.91\n0,72\n\n.\n"
)


@pytest.fixture(scope="module")
def trade() -> Trade:
    return bundled.trade()


@pytest.fixture
def job() -> str:
    return str(paths.catalogs() / "demo" / "jobs" / "surveyor-pickup.toml")


def run(capsys: pytest.CaptureFixture[str], *command: str) -> tuple[int, str, str]:
    with pytest.raises(SystemExit) as end:
        main([*command])
    captured = capsys.readouterr()
    return int(end.value.code or 0), captured.out, captured.err


@pytest.mark.parametrize("name", ["surveyor-pickup", "hut-track-wagon", "touring-wagon-first-step"])
def test_twenty_values_at_most_are_needed_first(trade: Trade, name: str) -> None:
    path = paths.catalogs() / "demo" / "jobs" / f"{name}.toml"
    goals = tomllib.loads(path.read_text(encoding="utf-8"))["goals"]
    needed = needed_for(trade, goals)
    assert 0 < len(needed) <= 20
    assert all(value.how for value in needed)


def test_what_has_a_default_or_may_stay_empty_is_not_needed(trade: Trade) -> None:
    names = {
        value.words for value in needed_for(trade, ["engine speed at cruise", "no such figure"])
    }
    assert names == {
        "top gear ratio",
        "rear crown wheel and pinion: ratio",
        "tyres: overall diameter",
    }


def test_a_vehicle_is_asked_for(
    trade: Trade, tmp_path: Path, job: str, monkeypatch, capsys
) -> None:
    monkeypatch.setattr("sys.stdin", io.StringIO(TYPED))
    command = ("vehicle", "new", "green-wagon", "--into", str(tmp_path / "shop"), "--job", job)
    status, out, _ = run(capsys, *command, "--ask", "--title", "Green wagon")
    assert status == 0
    assert "'nine' is not a number" in out
    assert "14 of the 16 values that are needed first are in it." in out
    assert "Still to measure: lowest gear ratio, low range ratio." in out
    vehicle = read_vehicle(tmp_path / "shop", "green-wagon", trade)
    assert vehicle.title == "Green wagon"
    assert vehicle.values["top gear ratio"] == 0.72
    assert vehicle.values["laden front axle load"] == 1230.0
    springs = vehicle.fitted["front springs"]
    assert springs is not None
    assert springs.values["free length"] == 0.459994
    assert "lowest gear ratio" not in vehicle.values
    # What is there is never written over.
    assert run(capsys, *command, "--no-ask")[0] == 2


def test_every_measure_is_in_the_file(trade: Trade, tmp_path: Path, capsys) -> None:
    status, out, _ = run(capsys, "vehicle", "new", "bare", "--into", str(tmp_path), "--no-ask")
    assert status == 0
    assert "is no catalog yet" in out
    path = tmp_path / "vehicles" / "bare.toml"
    text = path.read_text(encoding="utf-8")
    assert read_vehicle(tmp_path, "bare", trade).values["wheels carried"] == 5
    measures = [measure.name for measure in trade.measures.values()]
    assert sum(map(len, grouped([*trade.measures.values()]).values())) == len(measures)
    assert [
        name for name in measures if f'"{name}"' not in text and f"\n{name} =" not in text
    ] == []
    # A line whose sign is taken away and whose value is filled in is read.
    filled = text.replace('# "wheelbase" = " mm"', '"wheelbase" = "2810 mm"')
    assert filled != text
    path.write_text(filled, encoding="utf-8")
    assert read_vehicle(tmp_path, "bare", trade).values["wheelbase"] == 2.81
    (tmp_path / "catalog.toml").write_text(
        'title = "x"\ncurrency = "EUR"\nprice_date = 2026-11-01\nsource = "x"\n', encoding="utf-8"
    )
    assert read_catalog(tmp_path, trade).vehicles == ("bare",)


@pytest.mark.parametrize(
    ("command", "what"),
    [
        (("Green Wagon",), "cannot be the name of a vehicle's file"),
        (("../x",), "cannot be the name"),
        (("w", "--goal", "engine sped at cruise"), "did you mean 'engine speed at cruise'"),
        (("w", "--job", "no-such.toml"), "cannot be opened"),
    ],
)
def test_what_cannot_be_made(tmp_path: Path, capsys, command: tuple[str, ...], what: str) -> None:
    status, _, err = run(
        capsys, "vehicle", "new", *command, "--into", str(tmp_path / "s"), "--no-ask"
    )
    assert status == 2
    assert what in err
    assert not (tmp_path / "s").exists()


def test_bare_numbers_take_the_unit_that_was_asked_for(trade: Trade) -> None:
    needed = needed_for(trade, ["clearance under rear axle"])[0]
    assert checked_answer(needed, "30.5 in") == "30.5 in"
    assert checked_answer(needed, " 775,5 ") == "775,5 mm"


def test_the_sheet_for_the_hoist(tmp_path: Path, job: str, capsys) -> None:
    path = tmp_path / "hoist.pdf"
    status, out, _ = run(
        capsys, "vehicle", "sheet", str(path), "--job", job, "--title", "Green wagon"
    )
    assert status == 0
    assert "16 values that are needed first" in out
    text = " ".join(page.extract_text() for page in pypdf.PdfReader(path).pages)
    for words in (
        "Measuring sheet: Green wagon",
        "rear springs: free length",
        "From where to where",
    ):
        assert words in text
    # Of a vehicle that is known, only what is open.
    status, out, _ = run(
        capsys, "vehicle", "sheet", str(tmp_path / "s.md"), "--job", job,
        "--vehicle", "demo/norvane-plover",
    )  # fmt: skip
    assert "0 values that are needed first" in out
    assert "Needed first" not in (tmp_path / "s.md").read_text(encoding="utf-8")


def test_a_vehicle_that_was_entered_on_the_page_is_known_to_every_command(
    tmp_path: Path, monkeypatch, capsys
) -> None:
    monkeypatch.setenv("FITWRIGHT_DATA", str(tmp_path))
    monkeypatch.delenv("FITWRIGHT_CATALOGS", raising=False)
    own = tmp_path / "catalogs" / "workshop"
    own.mkdir(parents=True)
    about = 'title = "Ours"\ncurrency = "EUR"\nprice_date = 2026-01-01\nsource = "none"\n'
    (own / "catalog.toml").write_text(about, encoding="utf-8")
    run(capsys, "vehicle", "new", "old-pickup", "--into", str(own))
    status, out, _ = run(capsys, "measures", "--vehicle", "workshop/old-pickup")
    assert status == 0
    assert "wheelbase" in out
    elsewhere = ("--catalogs", str(tmp_path), "measures", "--vehicle", "workshop/old-pickup")
    status, _, err = run(capsys, *elsewhere)
    assert status != 0
    assert "workshop" in err
