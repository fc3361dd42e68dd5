"""Names that were changed are read for a version, each with a hint."""

from pathlib import Path

import pytest

from configurator.core.errors import InputError
from configurator.core.text import Report
from configurator.files import toml_files
from configurator.files.catalog_files import read_catalog
from configurator.files.job_text import job_of, read_job
from configurator.files.vehicle_files import vehicle_of
from configurator.model.knowledge import Trade, positions_of
from tests import bundled

DEMO = Path(__file__).parents[2] / "catalogs" / "demo"


@pytest.fixture(scope="module")
def trade() -> Trade:
    return bundled.trade()


def test_every_new_name_is_declared_and_no_old_one(trade: Trade) -> None:
    declared = {
        *trade.families,
        *positions_of(trade),
        *(a.name for family in trade.families.values() for a in family.attributes),
        *trade.measures,
        *trade.conditions,
        *trade.practices,
        *trade.figures,
        *trade.totals,
    }
    assert trade.former_names
    assert [old for old in trade.former_names if old in declared] == []
    assert [new for new in trade.former_names.values() if new not in declared] == []


def test_job_with_old_names(trade: Trade) -> None:
    report = Report()
    text = """
title = "Old"
vehicle = "demo/orrest-wheatear"
catalogs = ["demo"]
[conditions]
"people and cargo" = "300 kg"
[goals."clearance under front hub box"]
at_least = "300 mm"
[fixed]
"front hubs" = "none"
[keep]
positions = ["rear driveshaft"]
[measured]
"tie rod length" = "1200 mm"
"""
    top = toml_files.load(text, "job", report)
    assert top is not None
    job = job_of(top, trade)
    assert report.errors == []
    assert job.conditions == {"load carried": 300.0}
    assert [goal.figure for goal in job.goals] == ["clearance under front hub reduction"]
    assert job.fixed == {"front hub reductions": "none"}
    assert job.keep == ("rear propshaft",)
    assert list(job.measured) == ["track rod length"]
    hints = [str(warning) for warning in report.warnings]
    assert len(hints) == 5
    assert any("'front hubs'" in hint and "'front hub reductions' now" in hint for hint in hints)


def test_vehicle_with_old_names(trade: Trade) -> None:
    text = (DEMO / "vehicles" / "orrest-wheatear.toml").read_text(encoding="utf-8")
    old = text
    for before, now in trade.former_names.items():
        old = old.replace(f'"{now}"', f'"{before}"')
    assert old != text
    read = []
    for written in (text, old):
        report = Report()
        top = toml_files.load(written, "vehicle", report)
        assert top is not None
        read.append(vehicle_of(top, "demo/orrest-wheatear", trade))
        assert report.errors == []
    assert report.warnings
    assert read[0].values == read[1].values
    assert {p: part and part.values for p, part in read[0].fitted.items()} == {
        p: part and part.values for p, part in read[1].fitted.items()
    }


def test_list_with_old_names(trade: Trade, tmp_path: Path) -> None:
    folder = tmp_path / "shop"
    folder.mkdir()
    about = 'title = "Shop"\ncurrency = "EUR"\nprice_date = 2026-10-01\nsource = "invented"\n'
    (folder / "catalog.toml").write_text(about, encoding="utf-8")
    rows = (DEMO / "hub_reductions.csv").read_text(encoding="utf-8")
    old = rows.replace(" hub reductions,", " hubs,").replace("PCD [mm]", "bolt circle [mm]")
    (folder / "hubs.csv").write_text(old, encoding="utf-8")
    catalog = read_catalog(folder, trade)
    parts = catalog.parts["hub_reductions"]
    assert len(parts) == len(rows.splitlines()) - 1
    assert {part.positions for part in parts} == {
        ("front hub reductions",),
        ("rear hub reductions",),
    }
    assert all(part.values["PCD"] for part in parts)
    hints = [str(warning) for warning in catalog.warnings]
    assert any("hub_reductions.csv" in hint for hint in hints)
    assert any("'PCD' now" in hint for hint in hints)
    assert sum("'front hub reductions' now" in hint for hint in hints) == 1
    (folder / "hub_reductions.csv").write_text(rows, encoding="utf-8")
    with pytest.raises(InputError, match="as well"):
        read_catalog(folder, trade)


def test_a_key_of_a_job_under_its_old_name_and_under_both(trade: Trade) -> None:
    text = """
title = "Old"
vehicle = "demo/orrest-wheatear"
catalogs = ["demo"]
ready_within = "21 days"
"""
    report = Report()
    top = toml_files.load(text, "job", report)
    assert top is not None
    assert job_of(top, trade).parts_within == 21
    assert report.errors == []
    (hint,) = report.warnings
    assert "'parts_within'" in str(hint)
    assert "ready_within" in str(hint)
    with pytest.raises(InputError, match="stands there too"):
        read_job(text + 'parts_within = "7 days"\n', trade)
