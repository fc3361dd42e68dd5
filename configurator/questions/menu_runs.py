"""Price a menu: on this computer, or on a Dask cluster that is there already.

What all batches need is sent to each worker once: the lists and plugins as bytes, which it unpacks
into a folder of its own. The plan of a vehicle, its rules' tables and its circuit, is made by one
worker and sent to those that price jobs of it. The rows are the same wherever they were worked out;
a lost worker's batch is done again by another.
"""

from __future__ import annotations

import hashlib
import tempfile
from pathlib import Path
from typing import TYPE_CHECKING, Any
from uuid import uuid4

from configurator import __version__
from configurator.core.errors import FitwrightError
from configurator.core.progress import report
from configurator.loading import plugin_files
from configurator.questions.menu_jobs import MenuPricer

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from configurator.questions.menu_jobs import Batch, MenuJob
    from configurator.questions.menu_results import Rows
    from configurator.search.optimum.sent_plans import SentPlan

# How often a batch is begun anew after the worker that had it was lost.
TRIES = 4
# The folders of what travels.
CATALOGS, PLUGINS = "catalogs", "plugins"

_pricers: dict[str, tuple[MenuPricer, tempfile.TemporaryDirectory[str]]] = {}


def packed(catalogs: Sequence[Path], plugins: Sequence[Path]) -> dict[str, bytes]:
    """Read folders of catalogs and plugins into memory, each file under its place.

    Returns
    -------
    dict
        Place → what is in the file; hidden files and compiled Python are left out.
    """
    files: dict[str, bytes] = {"version": __version__.encode()}
    for kind, folders in ((CATALOGS, catalogs), (PLUGINS, plugins)):
        for number, folder in enumerate(folders):
            for path in sorted(folder.rglob("*")):
                place = path.relative_to(folder)
                hidden = any(part.startswith((".", "__pycache__")) for part in place.parts)
                if path.is_file() and not hidden:
                    files[f"{kind}/{number}/{place.as_posix()}"] = path.read_bytes()
    return files


def pricer_of(files: Mapping[str, bytes]) -> MenuPricer:
    """Unpack what travelled, once in a process, and return what prices with it.

    Raises
    ------
    FitwrightError
        If a plugin cannot be loaded, or another version of Fitwright is installed here.
    """
    version = files["version"].decode()
    if version != __version__:
        message = f"this worker has Fitwright {__version__}, not {version}: install the same"
        raise FitwrightError(message)
    digest = hashlib.sha256()
    for place, content in sorted(files.items()):
        digest.update(place.encode() + b"\0" + content)
    name = digest.hexdigest()
    if name not in _pricers:
        folder = tempfile.TemporaryDirectory(prefix="fitwright-menu-")
        root = Path(folder.name)
        for place, content in files.items():
            if "/" in place:
                path = root / place
                path.parent.mkdir(parents=True, exist_ok=True)
                path.write_bytes(content)
        trade = plugin_files.load(_folders(root / PLUGINS)).trade
        _pricers[name] = MenuPricer(trade, _folders(root / CATALOGS), keep=False), folder
    return _pricers[name][0]


def _folders(root: Path) -> list[Path]:
    return sorted(root.iterdir(), key=lambda path: int(path.name)) if root.is_dir() else []


def make_plan(files: Mapping[str, bytes], batch: Batch) -> SentPlan | None:
    """Make the plan of a batch's vehicle in this process: what one worker is asked to do."""
    return pricer_of(files).plan(batch)


def price_batch(
    files: Mapping[str, bytes], batch: Batch, plan: SentPlan | None
) -> list[dict[str, Any]]:
    """Price a batch in this process: what every worker is asked to do."""
    return pricer_of(files).priced(batch, plan)


def run_here(batches: Sequence[Batch], pricer: MenuPricer, rows: Rows) -> None:
    """Price all batches that are not done yet, one after the other.

    Parameters
    ----------
    batches
        Of the menu.
    pricer
        Prices them.
    rows
        Keeps what is done, so that a run that was stopped goes on.
    """
    whole = sum(len(batch.jobs) for batch in batches)
    done = 0
    for batch in batches:
        if not rows.done(batch):
            rows.keep(batch, pricer.priced(batch))
        done += len(batch.jobs)
        report(done, whole)


def run_on_cluster(
    batches: Sequence[Batch],
    files: Mapping[str, bytes],
    rows: Rows,
    address: str,
) -> None:
    """Price all batches that are not done yet on a Dask cluster.

    Parameters
    ----------
    batches, rows
        As for `run_here`.
    files
        From `packed`.
    address
        Of the cluster's scheduler, ``"tcp://HOST:PORT"``.

    Raises
    ------
    FitwrightError
        If Dask is not installed, or the scheduler does not answer.
    """
    try:
        from distributed import Client, as_completed
    except ImportError as problem:
        message = "a cluster needs more than is installed: pip install 'fitwright[fleet]'"
        raise FitwrightError(message) from problem
    whole = sum(len(batch.jobs) for batch in batches)
    waiting = [batch for batch in batches if not rows.done(batch)]
    done = whole - sum(len(batch.jobs) for batch in waiting)
    report(done, whole)
    try:
        client = Client(address, timeout="10s", set_as_default=False)
    except (OSError, ValueError) as problem:
        message = f"{address}: the scheduler does not answer: {problem}"
        raise FitwrightError(message) from problem
    with client:
        # A task, not scattered data: lost with a worker it is made again; those would be gone.
        shared = client.submit(dict, dict(files), key=f"files-{uuid4().hex}", retries=TRIES)
        first: dict[str, Batch] = {}
        for batch in waiting:
            first.setdefault(batch.vehicle, batch)
        plans = {
            vehicle: client.submit(
                make_plan, shared, batch, key=f"plan-{batch.name}", retries=TRIES
            )
            for vehicle, batch in first.items()
        }
        futures = {
            client.submit(
                price_batch, shared, batch, plans[batch.vehicle], key=batch.name, retries=TRIES
            ): batch
            for batch in waiting
        }
        for future in as_completed(list(futures), loop=client.loop):
            batch = futures[future]
            lost = future.exception()
            rows.keep(
                batch,
                future.result() if lost is None else [_failed(job, lost) for job in batch.jobs],
            )
            done += len(batch.jobs)
            report(done, whole)


def _failed(job: MenuJob, lost: BaseException) -> dict[str, Any]:
    """Name a job that no worker could finish."""
    return {
        "job": job.number,
        **job.labels,
        "outcome": "failed",
        "price": None,
        "currency": "",
        "parts": "",
        "problem": f"no worker could finish it: {lost}",
    }
