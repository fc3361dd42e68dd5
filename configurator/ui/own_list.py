"""A list that one visitor has uploaded, in use in place of the shop's for as long as the visit.

It lies in a folder of its own beside copies of the lists it came in place of, and goes with the
visit: nothing is written where the shop's catalogs are, and nobody else is shown it.
"""

from __future__ import annotations

import shutil
import weakref
from dataclasses import replace
from pathlib import Path, PurePosixPath
from tempfile import TemporaryDirectory, mkdtemp
from typing import TYPE_CHECKING

import streamlit as st

from configurator.core.errors import InputError
from configurator.files.catalog_files import catalog_folder, check_catalog
from configurator.questions.case_cache import Shelf
from configurator.ui.safe_text import plain
from configurator.ui.shared_cases import OwnList
from configurator.ui.uploads import KINDS, file_stem, unpacked

if TYPE_CHECKING:
    from configurator.ui.shared_cases import Library
    from configurator.ui.visit import Visit


def places(visit: Visit) -> list[str]:
    """Name the catalogs of the job that a list can take the place of."""
    return [name for name in visit.job.catalogs if not set("/\\.") & set(name)]


def take(visit: Visit, name: str, data: bytes, catalog: str) -> None:
    """Use a list, or a whole catalog, in place of that of one of the job's catalogs.

    Raises
    ------
    InputError
        With everything that speaks against it; nothing is changed then.
    """
    shop = shop_of(visit)
    home = Path(mkdtemp(prefix="fitwright-visit-"))
    own = OwnList(PurePosixPath(name).name[:60], catalog, home, shop)
    # It goes with the last page that shows it, or with the program.
    weakref.finalize(own, shutil.rmtree, home, ignore_errors=True)
    folder = home / catalog
    if name.lower().endswith(".csv"):
        _copied(catalog_folder(catalog, shop.folders), folder)
        (folder / f"{file_stem(name)}.csv").write_bytes(data)
    else:
        with TemporaryDirectory(prefix="fitwright-") as place:
            shutil.copytree(unpacked(data, Path(place)), folder)
    errors, _, _ = check_catalog(folder, shop.trade)
    if errors:
        raise InputError(errors)
    shelves = replace(shop, shelf=Shelf(), own=own, kept={})
    shelves.open_case(visit.job)
    visit.use(shelves)


def give_back(visit: Visit) -> None:
    """Use the shop's own lists again."""
    visit.use(shop_of(visit))


def shop_of(visit: Visit) -> Library:
    """Return the shop's plugins and catalogs, whatever this visitor uses."""
    return visit.shelves.own.shop if visit.shelves.own is not None else visit.shelves


def _copied(source: Path, target: Path) -> None:
    """Copy the lists, vehicles and rules of a catalog; nothing else that lies there, no code."""
    for path in sorted(source.rglob("*")):
        inside = path.relative_to(source)
        if path.is_file() and path.suffix.lower() in KINDS and len(inside.parts) <= 2:
            (target / inside).parent.mkdir(parents=True, exist_ok=True)
            shutil.copyfile(path, target / inside)


def show_line(visit: Visit) -> None:
    """Say on top of the page that prices are from an uploaded list, and offer to take it back."""
    own = visit.shelves.own
    if own is None:
        return
    with st.container(border=True, key="own list"):
        words, back = st.columns([4, 1], vertical_alignment="center")
        words.markdown(
            f"**Uploaded list in use:** {plain(own.what)}, in place of the shop's list in the "
            f"catalog {plain(own.catalog)}, for this visit only. A link, a file or a saved job "
            "holds part numbers and opens with the shop's own lists; a saved quotation holds these "
            "prices and says where they are from."
        )
        back.button(
            "Give it back",
            key="give back",
            on_click=give_back,
            args=(visit,),
            help="Use the shop's own lists again",
        )
