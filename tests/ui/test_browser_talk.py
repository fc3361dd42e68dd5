"""The talk with a customer in a real browser, from a new job to a saved quotation."""

from __future__ import annotations

import re
from dataclasses import replace
from urllib.parse import urlsplit

import pytest
from playwright.sync_api import expect

from configurator.store.access import list_quotations, open_store
from configurator.ui.visit import DRAFT
from tests.conftest import link
from tests.ui.conftest import HOSTILE
from tests.ui.serving import (
    ASKED_EVERY,
    TALK,
    barriers,
    begun,
    go_to,
    price,
    ready,
    run_of,
    served,
)

pytestmark = pytest.mark.browser

# Phone, tablet, desk: what the talk needs is in reach of a finger on all of them.
WIDTHS = {
    "phone": {"viewport": {"width": 390, "height": 844}, "has_touch": True},
    "tablet": {"viewport": {"width": 820, "height": 1180}, "has_touch": True},
    "desk": {"viewport": {"width": 1440, "height": 900}},
}
# Of Streamlit's own: its drop zone for files, and the plain elements around a page.
KNOWN = {"presentation-role-conflict", "landmark-one-main", "region", "page-has-heading-one"}
LEAST_TARGET = 44


@pytest.fixture(scope="module")
def full_server(tmp_path_factory, circuits):
    """Address of a server of all the demo's lists, and where it keeps what is saved."""
    folder = tmp_path_factory.mktemp("full")
    data = link(folder / "data", circuits)
    own = {"FITWRIGHT_DATA": str(data), "FITWRIGHT_DATABASE": "", "FITWRIGHT_USER": "account"}
    with served(folder, FITWRIGHT_CATALOGS="", **own) as server:
        yield server, data


@pytest.fixture
def fresh(new_context):
    """Open the page without a job; give the page and what it asked for."""
    wrong = []

    def opened(address, **how):
        context = new_context(**how)
        context.set_default_timeout(90_000)
        page = context.new_page()
        page.asked = []
        page.on("request", lambda request: page.asked.append(request.url))
        page.on("websocket", lambda socket: page.asked.append(socket.url))
        page.on("pageerror", lambda error: wrong.append(str(error)))
        page.goto(address)
        page.locator(".vehicle").first.wait_for()
        return page

    yield opened
    assert wrong == []


def tap(page, name, exact=False):
    page.get_by_role("button", name=name, exact=exact).first.click()
    ready(page)


@pytest.mark.parametrize("width", ["phone", "tablet"])
def test_from_a_new_job_to_a_saved_quotation(fresh, address, server_data, width):
    page = fresh(address, **WIDTHS[width])
    from_new_to_saved(page, server_data, width, "Valdrin Boek utility truck")


def test_from_a_new_job_to_a_saved_quotation_with_long_lists(fresh, full_server):
    address, data = full_server
    page = fresh(address, **WIDTHS["desk"])
    from_new_to_saved(page, data, "desk", "Orrest Wheatear touring wagon")


def from_new_to_saved(page, data, width, vehicle):
    expect.set_options(timeout=60_000)
    # Typed and not left: the tap on the vehicle takes it along.
    page.get_by_label("Customer or job").fill(f"Mrs Lind, {width}")
    page.get_by_label("Budget for one vehicle").fill("9,000")
    tap(page, vehicle)
    begun(page)
    expect(page.get_by_label("Customer or job")).to_have_value(f"Mrs Lind, {width}")
    tap(page, re.compile("^Ask for clearance under rear axle at least"))
    tap(page, re.compile("^Show the package"))
    expect(page.locator("h1")).to_have_text(f"Mrs Lind, {width}")
    expect(page.locator(".head .money")).to_contain_text("1 of 1 goal met")
    first = price(page)
    go_to(page, "Parts")
    heads = page.locator("section.position h3")
    expect(heads.first).to_contain_text("Tyres")
    choose = page.get_by_role("button", name=re.compile("^Choose: .*, tyres$")).first
    choose.scroll_into_view_if_needed()
    choose.click()
    ready(page)
    assert price(page) != first
    expect(page.locator(".head .last")).to_contain_text("since the last step: ")
    decided = re.compile("^Undo: (choose tyres: |leave the tyres unchanged)")
    expect(page.get_by_role("button", name=decided)).to_be_visible()
    go_to(page, "Build")
    expect(page.get_by_role("row", name=re.compile("^Total"))).to_be_visible()
    go_to(page, "Compare")
    page.locator(".alternative").first.wait_for()
    tap(page, re.compile("^Compare: "))
    expect(page.locator("table.compare thead th")).to_have_count(3)
    go_to(page, "Documents")
    page.get_by_label("Saved by").fill("Ada")
    # Typed and not left before the tap: it is in the database all the same.
    page.get_by_label("Customer's reference, if any").fill(f"order {width}")
    page.get_by_role("button", name="Save the quotation").click()
    expect(page.get_by_text("Saved as quotation").first).to_be_visible()
    with open_store(f"sqlite:///{data / 'records.sqlite'}") as store:
        newest = list_quotations(store)[0]
    assert (newest.customer, newest.made_by) == (f"order {width}", "Ada")
    assert newest.title == f"Mrs Lind, {width}"
    hosts = {urlsplit(url).hostname for url in page.asked if not url.startswith(("data:", "blob:"))}
    assert hosts == {"127.0.0.1"}


def test_nothing_is_cut_off_and_buttons_are_large_enough_for_fingers(open_page):
    expect.set_options(timeout=60_000)
    page = open_page(**WIDTHS["tablet"])
    fingers = page.context.new_cdp_session(page)
    small, cut = [], []
    for name in ("Goals", "Parts", "Build", "Compare"):
        go_to(page, name)
        if name == "Compare":
            page.locator(".alternative").first.wait_for()
            ready(page)
        for width, how in WIDTHS.items():
            touch = how.get("has_touch", False)
            fingers.send("Emulation.setTouchEmulationEnabled", {"enabled": touch})
            page.set_viewport_size(how["viewport"])
            assert page.evaluate("() => matchMedia('(pointer: coarse)').matches") == touch
            wide = page.evaluate(
                "() => document.querySelector('[data-testid=stMain]').scrollWidth"
                " - window.innerWidth"
            )
            if wide > 0:
                cut.append(f"{name}, {width}: {wide} px")
            buttons = page.evaluate(BUTTONS)
            assert len(buttons) > 5
            for text, right, height in buttons:
                if touch and height < LEAST_TARGET - 0.5:
                    small.append(f"{name}, {width}: {text} {height:.0f}")
                if name != "Goals" and right > how["viewport"]["width"] + 1:
                    cut.append(f"{name}, {width}: {text}")
    assert cut == []
    assert small == []


# Of each button of the talk that is seen: what stands on it, where it ends, how high it is.
BUTTONS = """() => {
  const host = [...document.querySelectorAll("*")]
    .find((e) => e.shadowRoot?.querySelector(".talk"));
  return [...host.shadowRoot.querySelectorAll(".talk button")]
    .filter((e) => e.checkVisibility({ visibilityProperty: true }))
    .map((e) => [e.innerText.slice(0, 30), e.getBoundingClientRect()])
    .filter(([, box]) => box.width && box.height)
    .map(([text, box]) => [text, box.right, box.height]);
}"""


def test_axe_finds_nothing_and_controls_have_names_of_their_own(open_page):
    page = open_page(reduced_motion="reduce", **WIDTHS["tablet"])
    broken = {}
    for name in ("Goals", "Parts", "Build", "Compare", "Fleet"):
        go_to(page, name)
        if name == "Compare":
            page.locator(".alternative").first.wait_for()
            tap(page, re.compile("^Compare: "))
        for rule, elements in barriers(page).items():
            if rule.partition(": ")[2] not in KNOWN:
                broken[f"{name}, {rule}"] = elements
        names = page.evaluate(NAMES)
        twice = {name for name in names if names.count(name) > 1}
        if twice:
            broken[f"{name}: names"] = sorted(twice)
    assert broken == {}


NAMES = """() => {
  const host = [...document.querySelectorAll("*")]
    .find((e) => e.shadowRoot?.querySelector(".talk"));
  return [...host.shadowRoot.querySelectorAll("button, summary, input, select")]
    .filter((e) => e.checkVisibility())
    .map((e) => e.getAttribute("aria-label")
      || host.shadowRoot.querySelector(`label[for="${e.id}"]`)?.innerText || e.innerText.trim());
}"""


def test_back_is_an_undo_and_ctrl_z_in_a_field_is_the_fields_own(open_page):
    page = open_page(**WIDTHS["desk"])
    before = price(page)
    go_to(page, "Parts")
    tap(page, re.compile("^Choose: .*, wheels$"))
    assert price(page) != before
    after = price(page)
    field = page.get_by_label("Find a part")
    field.click()
    field.press_sequentially("ty")
    field.press("Control+z")
    ready(page)
    assert price(page) == after
    page.locator("h1").click()
    page.keyboard.press("Control+z")
    ready(page)
    expect(page.locator(".head .total")).to_have_text(before)
    page.keyboard.press("Control+Shift+z")
    ready(page)
    expect(page.locator(".head .total")).to_have_text(after)
    page.keyboard.press("Control+z")
    ready(page)
    expect(page.locator(".head .total")).to_have_text(before)
    page.keyboard.press("Control+y")
    ready(page)
    expect(page.locator(".head .total")).to_have_text(after)
    page.go_back()
    ready(page)
    expect(page.locator(".head .total")).to_have_text(before)
    assert "part=parts" in page.url


def test_the_part_of_the_page_stands_in_the_address_and_drafts_survive_a_reload(open_page):
    page = open_page(**WIDTHS["desk"])
    go_to(page, "Build")
    page.reload()
    begun(page)
    expect(page.get_by_role("heading", name=re.compile("Before and after"))).to_be_visible()
    go_to(page, "Documents")
    note = page.get_by_label("Customer's reference, if any")
    with run_of(page):
        note.fill("half written")
        note.blur()
    page.wait_for_url(re.compile(f"[?&]{DRAFT}="))
    page.reload()
    begun(page)
    expect(page.get_by_label("Customer's reference, if any")).to_have_value("half written")


def test_a_price_curve_is_set_by_keyboard_and_by_pointer(open_page):
    page = open_page(**WIDTHS["desk"])
    slider = page.get_by_role("slider", name="Price by clearance under rear axle").first
    field = page.get_by_label("at least, clearance under rear axle")
    before = field.input_value()
    slider.focus()
    slider.press("Home")
    expect(slider).to_have_attribute("aria-valuetext", re.compile("from €"))
    slider.press("Enter")
    ready(page)
    expect(field).not_to_have_value(before)
    box = slider.bounding_box()
    page.mouse.click(box["x"] + box["width"] - 10, box["y"] + box["height"] / 2)
    ready(page)
    tap(page, re.compile("^Undo: "))
    tap(page, re.compile("^Undo: "))
    expect(field).to_have_value(before)


def test_a_field_keeps_what_cannot_be_read_and_says_what_to_write(open_page):
    page = open_page(**WIDTHS["desk"])
    field = page.get_by_label("at most, front track")
    field.fill("wide")
    field.press("Enter")
    ready(page)
    expect(page.get_by_role("alert")).to_contain_text("write a number such as")
    expect(field).to_have_value("wide")
    field.fill("57 in")
    field.press("Enter")
    ready(page)
    expect(page.get_by_role("alert")).to_have_count(0)
    expect(field).to_have_value("1448")


def test_what_does_not_fit_is_counted_and_says_why_in_the_row(open_page):
    page = open_page(**WIDTHS["desk"])
    go_to(page, "Parts")
    # Rows are drawn anew when the reasons are there.
    page.wait_for_function(
        f"() => ({TALK})().data.parts.reasonsKnown", timeout=60_000, polling=ASKED_EVERY
    )
    tyres = page.locator("section.position").first
    tyres.get_by_role("button", name=re.compile("tyres$")).filter(
        has_text=re.compile(r": \d+$")
    ).first.click()
    tyres.get_by_role("button", name=re.compile("^Why: ")).first.click()
    ready(page)
    why = tyres.locator(".inrow")
    expect(why).to_contain_text("Why not tyres")
    expect(why.get_by_role("button").first).to_be_visible()


def test_a_change_of_price_is_announced(open_page):
    page = open_page(**WIDTHS["desk"])
    status = page.locator(".talk p[role=status]").first
    before = status.inner_text()
    assert before.startswith("€")
    go_to(page, "Parts")
    tap(page, re.compile("^Choose: .*, wheels$"))
    assert status.inner_text() != before


def test_hostile_text_in_a_catalog_stays_text(open_page, job):
    title = "<img src=x onerror='window.hit=1'> [a](b)"
    page = open_page(replace(job, title=title, catalogs=("demo", "shop")))
    for name in ("Goals", "Parts", "Build"):
        go_to(page, name)
        if name == "Parts":
            tyres = page.locator("section.position").first
            expect(tyres.get_by_text(HOSTILE).first).to_be_attached()
    expect(page.locator("h1")).to_have_text(title)
    assert page.evaluate("() => window.hit") is None
