"""A list that one visitor uploads: checked, used for the visit, given back; nobody else sees it."""

from __future__ import annotations

import csv
import gc
import io
import re
import zipfile
from dataclasses import replace

import pytest
from playwright.sync_api import expect

from configurator.core.errors import FitwrightError, InputError
from configurator.loading import plugin_files
from configurator.questions import edits
from configurator.ui import own_list
from configurator.ui.shared_cases import Library, session_for
from configurator.ui.visit import Visit
from configurator.wording.sentences import catalog_words
from tests.short_lists import write_short_lists
from tests.ui.serving import begun, go_to, still


@pytest.fixture
def shop(tmp_path):
    """A shop's folder of catalogs."""
    return write_short_lists(tmp_path / "catalogs").parent


@pytest.fixture
def visit(job, shop):
    shelves = Library(plugin_files.load(installed=False), (shop,))
    return Visit(session_for(job, shelves), shelves)


def dearer(shop, more=100, without=()):
    """Return the list of tyres with every price raised."""
    text = (shop / "demo" / "tyres.csv").read_text(encoding="utf-8-sig")
    rows = list(csv.DictReader(io.StringIO(text)))
    made = io.StringIO()
    writer = csv.DictWriter(made, rows[0])
    writer.writeheader()
    price = next(name for name in rows[0] if name.startswith("price"))
    for row in rows:
        if row["part number"] not in without:
            writer.writerow({**row, price: f"{float(row[price]) + more:.2f}"})
    return made.getvalue().encode()


def everything(folder):
    return {path: path.read_bytes() for path in sorted(folder.rglob("*")) if path.is_file()}


def test_prices_come_from_the_list_until_it_is_given_back_and_the_shop_is_untouched(visit, shop):
    before, files = visit.talk.cheapest().price, everything(shop)
    visit.change(replace(visit.job, title="another title"), "a step to undo")
    own_list.take(visit, "tyres.csv", dearer(shop), "demo")
    # Whatever tyres it takes are dearer, and the vehicle has five of them at most.
    assert visit.talk.cheapest().price > before
    assert visit.talk.history.can_undo == "a step to undo"
    catalogs = [
        catalog_words(catalog) for catalog in visit.talk.prepared().evaluation.case.catalogs
    ]
    assert "tyres.csv is a list uploaded for one visit" in "\n".join(catalogs)
    place = visit.shelves.own.home
    assert (place / "demo" / "tyres.csv").is_file()
    assert {path.suffix for path in place.rglob("*") if path.is_file()} <= {".csv", ".toml", ".svg"}

    # Somebody else at the same time is shown the shop's.
    shared = visit.shelves.own.shop
    other = Visit(session_for(visit.job, shared), shared)
    assert other.talk.cheapest().price == before

    own_list.give_back(visit)
    assert visit.talk.cheapest().price == before
    assert visit.shelves is shared
    assert everything(shop) == files
    gc.collect()
    assert not place.exists()


def test_what_the_job_stands_on_and_is_not_in_the_list_is_refused_and_nothing_changes(visit, shop):
    tyre = visit.talk.cheapest().choice["tyres"].key
    visit.change(edits.fix(visit.job, "tyres", tyre), "decide")
    shelves = visit.shelves
    missing = dearer(shop, without={tyre.partition("/")[2]})
    with pytest.raises(InputError, match=re.escape(tyre)):
        own_list.take(visit, "tyres.csv", missing, "demo")
    with pytest.raises(InputError, match=r"tyres\.csv"):
        own_list.take(visit, "tyres.csv", b"part number,title,price [EUR]\nA,B,abc\n", "demo")
    assert visit.shelves is shelves


def packed(files):
    made = io.BytesIO()
    with zipfile.ZipFile(made, "w") as archive:
        for name, data in files.items():
            archive.writestr(name, data)
    return made.getvalue()


def test_a_whole_catalog_takes_the_place_of_one_and_no_code_comes_with_it(visit, shop):
    before = visit.talk.cheapest().price
    files = {
        f"lists/{path.relative_to(shop / 'demo').as_posix()}": data
        for path, data in everything(shop / "demo").items()
    }
    files["lists/tyres.csv"] = dearer(shop)
    files["lists/plugin.py"] = b"raise SystemExit"
    files["lists/plugins/more.py"] = b"raise SystemExit"
    own_list.take(visit, "lists.zip", packed(files), "demo")
    assert visit.talk.cheapest().price > before
    assert not list(visit.shelves.own.home.rglob("*.py"))
    own_list.give_back(visit)

    # Without the vehicle of the job it cannot be used.
    bare = {name: data for name, data in files.items() if "/vehicles/" not in name}
    with pytest.raises(FitwrightError, match="vehicle"):
        own_list.take(visit, "lists.zip", packed(bare), "demo")
    assert visit.shelves.own is None


@pytest.mark.browser
def test_an_uploaded_list_is_used_from_the_page_and_a_link_says_that_it_lacks_it(
    open_page, short_lists
):
    page = open_page()
    price = page.locator(".head .total")
    before = price.inner_text()
    go_to(page, "Lists and rules")
    page.get_by_role("region", name="List or catalog").locator("input[type=file]").set_input_files(
        {"name": "tyres.csv", "mimeType": "text/csv", "buffer": dearer(short_lists)}
    )
    page.get_by_role("button", name="Use this list for this visit").click()
    expect(page.get_by_text("Uploaded list in use:")).to_be_visible()
    expect(price).not_to_have_text(before, timeout=60_000)
    go_to(page, "Parts")
    expect(page.get_by_text("Uploaded list in use:")).to_be_visible()
    link = page.url
    assert "uploaded=tyres.csv" in link

    other = page.context.new_page()
    other.goto(link)
    begun(other)
    expect(other.get_by_text("which a link does not carry")).to_be_visible()
    expect(other.locator(".head .total")).to_have_text(before)
    assert "uploaded=" not in other.url

    page.get_by_role("button", name="Give it back").click()
    expect(page.get_by_text("Uploaded list in use:")).to_have_count(0, timeout=60_000)
    expect(price).to_have_text(before)
    still(page)
    assert "uploaded=" not in page.url
