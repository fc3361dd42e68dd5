"""On which paper a sheet is printed: as asked, as the shop says, as the reader's country does."""

from __future__ import annotations

import io
import shutil

import pypdf
import pytest

from configurator.core import paths
from configurator.core.text import Report
from configurator.documents import formats
from configurator.documents.layout import Sheet, on_paper
from configurator.documents.number_style import Writing, locale_of
from configurator.files.catalog_files import check_catalog, load_workshop
from tests import bundled

# ISO 216 A4 210 x 297 mm and letter 8.5 x 11 in, in points of 1/72 in.
A4, LETTER = (595, 842), (612, 792)


@pytest.mark.parametrize(
    ("locale", "shop", "paper"),
    [
        ("en_GB", "", "a4"),
        ("en_US", "", "us-letter"),
        ("en_US", "a4", "a4"),
        ("de_AT", "letter", "us-letter"),
    ],
)
def test_the_shop_s_paper_comes_before_the_country_s(locale, shop, paper):
    assert Writing(locale_of(locale), "EUR", prints_on=shop).paper == paper


@pytest.mark.parametrize(("name", "size"), [(None, A4), ("a4", A4), ("letter", LETTER)])
def test_the_pdf_is_of_the_size_that_was_asked_for(name, size):
    sheet = on_paper(Sheet("Quotation", "Hut", (), ()), name)
    (page,) = pypdf.PdfReader(io.BytesIO(formats.pdf(sheet))).pages
    assert (round(page.mediabox.width), round(page.mediabox.height)) == size


@pytest.fixture(scope="module")
def trade():
    return bundled.trade()


def shop_with(tmp_path, text):
    folder = tmp_path / "demo"
    shutil.copytree(paths.catalogs() / "demo", folder)
    file = folder / "workshop.toml"
    file.write_text(f"paper = {text}\n{file.read_text(encoding='utf-8')}", encoding="utf-8")
    return folder


def test_the_settings_name_the_paper(tmp_path, trade):
    report = Report()
    workshop, _ = load_workshop(shop_with(tmp_path, '"Letter"'), trade, report)
    assert workshop is not None
    assert (workshop.paper, report.errors) == ("letter", [])


def test_a_paper_that_is_not_known_is_told_with_what_to_write(tmp_path, trade):
    errors, _, _ = check_catalog(shop_with(tmp_path, '"folio"'), trade)
    (text,) = [str(error) for error in errors if "paper" in str(error)]
    assert "workshop.toml" in text
    assert 'write "a4" or "letter"' in text
