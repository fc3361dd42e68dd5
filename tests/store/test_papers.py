"""Papers of a quotation: kept as laid out, taken again as they were."""

from __future__ import annotations

import datetime
import io
import json

import openpyxl
import pytest

from configurator.core import paths
from configurator.core.errors import FitwrightError
from configurator.documents import formats
from configurator.documents.number_style import locale_of
from configurator.files import job_files
from configurator.questions import answers
from configurator.store.saved_documents import PAPERS, DocumentStyle, lay_out, paper, read, written
from configurator.store.saved_quotations import KeptQuotation
from tests import bundled

DAY = datetime.date(2026, 11, 2)


@pytest.fixture(scope="module")
def quoted():
    trade = bundled.trade()
    job = paths.catalogs() / "demo" / "jobs" / "vineyard-trucks.toml"
    prepared = answers.ready(job_files.read_case(job, trade, ()), trade)
    return prepared.evaluation, answers.find(prepared).packages[0]


@pytest.fixture(scope="module")
def laid_out(quoted):
    how = DocumentStyle(locale_of("de_AT"), DAY, datetime.date(2026, 12, 24))
    return lay_out(*quoted, how)


def kept(record, **more):
    return KeptQuotation(
        "2026-0007", 1, 1, "t", "2026-11-02T08:00:00+00:00", "anna", 1, "EUR", None, {},
        papers=record, **more,
    )  # fmt: skip


def test_every_paper_comes_back_from_json_as_it_was_laid_out(laid_out, tmp_path):
    again = json.loads(json.dumps(laid_out, allow_nan=False))
    assert set(again) == set(PAPERS)
    for name, paper_again in again.items():
        assert "not made" not in paper_again, name
        assert written(read(paper_again)) == paper_again
        sheet = paper(kept(again), name)
        assert sheet.name == f"{sheet.kind} 2026-0007"
        assert formats.pdf(sheet).startswith(b"%PDF")
        (tmp_path / f"{name}.xlsx").write_bytes(formats.xlsx(sheet))
    book = openpyxl.load_workbook(io.BytesIO((tmp_path / "quotation.xlsx").read_bytes()))
    numbers = [c.value for row in book["Preis"].iter_rows() for c in row]
    assert any(isinstance(number, int | float) for number in numbers)


def test_the_quotation_says_for_whom_until_when_and_what_came_later(laid_out):
    text = formats.markdown(paper(kept(laid_out, customer="<b>Order</b> | 7"), "quotation"))
    assert r"Ihr Zeichen: \<b\>Order\</b\> \| 7" in text
    assert "gültig bis 24. Dezember 2026" in text
    assert "Why one part needs another" not in text
    assert "Für dieses Blatt nicht ermittelt" in formats.markdown(paper(kept(laid_out), "build"))
    later = formats.markdown(paper(kept(laid_out, reasons=("hubs; needed.",)), "build"))
    assert "- hubs; needed." in later
    assert "nicht ermittelt" not in later
    first = formats.markdown(paper(kept(laid_out), "quotation"))
    assert "für dieses Angebot nicht berechnet" in first
    later = formats.markdown(paper(kept(laid_out, certainty=("Sicher: 2 € mehr.",)), "quotation"))
    assert "- Sicher: 2 € mehr." in later
    assert "nicht berechnet" not in later


def test_a_paper_that_is_not_there_says_why():
    with pytest.raises(FitwrightError, match="documents were not saved with it; re-price it"):
        paper(kept(None), "quotation")
    with pytest.raises(FitwrightError, match="could not be made: a circle"):
        paper(kept({"build": {"not made": "a circle"}}), "build")
