"""What the page on lists says about a supplier's list is what the commands say."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
import xlsxwriter

from configurator.cli import main
from tests.docs.blocks import blocks, page

HEADINGS = (
    "Art. no.", "Description", "Thread", "Seat", "Engagement", "In a set", "Weight", "Retail price",
)  # fmt: skip
BALL_12 = ("OM-12", "Nuts M12x1.5, ball", "M12x1.5", "ball", 0.47, 20, 1.1)
CONE_14 = ("OM-14", "Nuts M14x1.5, cone", "M14x1.5", "cone", 0.55, 20, 1.4)
CONE_12 = ("OM-15", "Nuts M12x1.5, cone", "M12x1.5", "cone", 0.47, 20, 1.1)
BALL_14 = ("OM-16", "Nuts M14x1.5, ball", "M14x1.5", "ball", 0.55, 20, 1.5)


def workbook(path: Path, rows: list[tuple[tuple, float]]) -> None:
    with xlsxwriter.Workbook(str(path)) as book:
        sheet = book.add_worksheet("Prices")
        euro = book.add_format({"num_format": '#,##0.00 "€"'})
        sheet.write(0, 0, "Nuts for wheels. Prices with tax, from the first of the month")
        sheet.write_row(2, 0, HEADINGS)
        sheet.write(3, 4, "in")
        sheet.write(3, 6, "kg")
        for number, (cells, price) in enumerate(rows, start=4):
            sheet.write_row(number, 0, cells)
            sheet.write_number(number, 7, price, euro)
        sheet.write(8, 0, "Errors excepted.")


def section() -> str:
    return page("docs/lists.md").partition("## Bring your own list")[2].partition("\n## ")[0]


def told_as_written(message: str, written: str) -> None:
    """Every line of the page is a line that was told; where it has dots, more was told."""
    lines = message.splitlines()
    for line in written.strip("\n").splitlines():
        pattern = re.escape(line.rstrip()).replace(re.escape("..."), ".*")
        assert any(re.fullmatch(pattern, output) for output in lines), line


def test_a_supplier_s_list(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    for name in ("FITWRIGHT_CATALOGS", "FITWRIGHT_PLUGINS"):
        monkeypatch.delenv(name, raising=False)
    workbook(Path("november.xlsx"), [(BALL_12, 38.5), (CONE_14, 44.9), (CONE_12, 36.9)])
    workbook(Path("december.xlsx"), [(BALL_12, 41.9), (CONE_14, 44.9), (BALL_14, 47.5)])
    commands = re.findall(r"^fitwright (.+)$", section(), re.MULTILINE)
    proposal, mapping, changes = [
        body for language, body in blocks(section()) if language == "text"
    ]

    def run(command: str, status: int) -> str:
        capsys.readouterr()
        with pytest.raises(SystemExit) as end:
            main(command.split())
        captured = capsys.readouterr()
        assert end.value.code in (status, None if status == 0 else status), captured.err
        return captured.out

    empty, first, second, check = commands
    run(empty, 0)
    assert Path("nuts.xlsx").stat().st_size > 5000
    told_as_written(run(first, 2), proposal)
    file = Path("ourshop/imports/nuts.toml")
    text = file.read_text(encoding="utf-8").replace('ignore = ["In a set"]', "ignore = []")
    for line in mapping.strip().splitlines():
        name = line.partition(" = ")[0]
        text = re.sub(rf"^(# )?{name} = .*$", lambda _, new=line: new, text, flags=re.MULTILINE)
        assert line in text
    file.write_text(text, encoding="utf-8")
    assert "look at it, then add --write" in run(first, 0)
    run(f"{first} --write --price-date 2026-11-01", 0)
    told_as_written(run(second, 0), changes)
    assert "sound, 0 warnings" in run(check, 0)
