"""Take pictures of every part of the page: ``python -m tests.ui.screenshots FOLDER``.

Those in `CHOSEN`, which README and docs show, go into the folder; all of them into ``all`` in it.
With ``--chosen`` only those are taken.
"""

from __future__ import annotations

import os
import shutil
import sys
import tempfile
from pathlib import Path

from PIL import Image

from configurator.core import paths
from configurator.files import job_files, job_link
from configurator.loading import plugin_files
from tests.ui.serving import VIEWS, WORKSHOP, begun, browser, go_to, ready, served

# Way and part → name of the file.
CHOSEN = {
    ("light", "Begin"): "begin",
    ("light", "Goals"): "goals",
    ("light", "Build"): "build",
    ("dark", "Parts"): "parts-dark",
    ("tablet", "Compare"): "compare-tablet",
    ("phone", "Parts"): "parts-phone",
}
# Of a chosen picture: a page is longer than a README bears [px], and colours cost size.
MOST_HIGH = 1100
COLOURS = 96
JOB = "vineyard-trucks"
WAYS = {
    "light": {"viewport": {"width": 1440, "height": 900}, "color_scheme": "light"},
    "dark": {"viewport": {"width": 1440, "height": 900}, "color_scheme": "dark"},
    "tablet": {"viewport": {"width": 820, "height": 1180}, "has_touch": True},
    "phone": {"viewport": {"width": 390, "height": 844}, "has_touch": True},
}


def take(folder: Path, ways=WAYS, *, chosen: bool = False) -> None:
    every = folder / "all"
    every.mkdir(parents=True, exist_ok=True)
    chromium = shutil.which("chromium") or shutil.which("chromium-browser")
    if chromium is None:
        message = "no Chromium on this machine"
        raise SystemExit(message)
    trade = plugin_files.load().trade
    job = job_files.read_job(paths.catalogs() / "demo" / "jobs" / f"{JOB}.toml", trade)
    parameter = job_link.to_parameter(job, trade)
    with (
        tempfile.TemporaryDirectory() as place,
        # Who takes the pictures, and where that person keeps what, is not in them.
        served(
            Path(place),
            FITWRIGHT_DATA=os.environ.get("FITWRIGHT_DATA", f"{place}/data"),
            FITWRIGHT_DATABASE=f"sqlite:///{place}/records.sqlite",
            LOGNAME="workshop",
        ) as address,
        browser(chromium) as seen,
    ):
        for way, how in ways.items():
            context = seen.new_context(**how)
            context.set_default_timeout(240_000)
            page = context.new_page()
            for number, part in enumerate(("Begin", *VIEWS, *WORKSHOP)):
                if chosen and (way, part) not in CHOSEN:
                    continue
                if part == "Begin":
                    page.goto(address)
                    page.locator(".vehicle").first.wait_for()
                else:
                    if "job=" not in page.url:
                        page.goto(f"{address}/?job={parameter}")
                        begun(page)
                    go_to(page, part)
                if part == "Parts":
                    page.get_by_text("do not fit:").first.wait_for()
                    page.wait_for_timeout(3000)
                    ready(page)
                if part == "Compare":
                    page.get_by_role("button", name="Compare: ").first.click()
                    page.locator("table.compare").wait_for()
                page.wait_for_timeout(1200)
                # The page scrolls inside itself: a tall window shows all of it.
                inner = page.evaluate("document.querySelector('[data-testid=stMain]').scrollHeight")
                size = how["viewport"]
                page.set_viewport_size({"width": size["width"], "height": min(inner + 20, 4000)})
                page.wait_for_timeout(300)
                picture = every / f"{way} {number} {part.lower()}.png"
                page.screenshot(path=picture)
                if (way, part) in CHOSEN:
                    reduce(picture, folder / f"{CHOSEN[way, part]}.png")
                page.set_viewport_size(size)
            context.close()


def reduce(picture: Path, to: Path) -> None:
    """Write the upper part of a picture, with few colours."""
    with Image.open(picture) as whole:
        part = whole.convert("RGB").crop((0, 0, whole.width, min(whole.height, MOST_HIGH)))
    part.quantize(COLOURS, dither=Image.Dither.NONE).save(to, optimize=True)


if __name__ == "__main__":
    given = [argument for argument in sys.argv[1:] if argument != "--chosen"]
    take(Path(given[0] if given else "tests/ui/pictures"), chosen="--chosen" in sys.argv)
