"""What is made once for all visitors of the page: plugins, and each job's prepared search."""

from __future__ import annotations

import gc
from typing import TYPE_CHECKING

import streamlit as st

from configurator import answers, homes, job_files, plugin_loading

if TYPE_CHECKING:
    from pathlib import Path

    from configurator.plugin_loading import Loaded
    from configurator.search.queries import Prepared


@st.cache_resource(show_spinner="Loading plugins")
def plugins() -> Loaded:
    """Load the plugins once."""
    loaded = plugin_loading.load()
    # Streamlit collects garbage after every run; what is loaded now never becomes any.
    gc.collect()
    gc.freeze()
    return loaded


def bundled_jobs() -> dict[str, Path]:
    """File name without ending → the jobs that come with the demo."""
    folder = homes.catalogs() / "demo" / "jobs"
    return {path.stem: path for path in sorted(folder.glob("*.toml"))}


@st.cache_resource(show_spinner="Working out what fits together; the first time takes a while")
def prepared(name: str) -> Prepared:
    """Prepare a bundled job once.

    Raises
    ------
    InputError
        If the job or its catalogs cannot be read.
    """
    trade = plugins().trade
    return answers.ready(job_files.read_case(bundled_jobs()[name], trade), trade)
