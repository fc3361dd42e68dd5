"""The opening screen: which vehicle, for whom, for how much money, and what it is to become."""

from __future__ import annotations

import tomllib
from dataclasses import replace
from typing import TYPE_CHECKING, Any

from configurator.core.errors import FitwrightError
from configurator.drawings import NARROW, draw_picture
from configurator.evaluation.evaluator import Evaluation
from configurator.files import job_files
from configurator.files.judgement import tolerances_of
from configurator.files.vehicle_files import read_vehicle
from configurator.model.jobs import Job
from configurator.store.access import StoreError, list_jobs, open_store
from configurator.store.addresses import address, is_there
from configurator.ui.shared_cases import catalog_folders, ready_jobs
from configurator.ui.talk import talk_words as say
from configurator.ui.talk.build_data import figure_lines
from configurator.ui.talk.goal_data import often
from configurator.wording.quantities import grouped

if TYPE_CHECKING:
    from pathlib import Path

    from configurator.evaluation.packages import Package
    from configurator.model.jobs import Case
    from configurator.ui.shared_cases import Library
    from configurator.ui.visit import Visit

MOST_SAVED = 6


def begin(visit: Visit, evaluation: Evaluation | None, package: Package | None) -> dict[str, Any]:
    """Return the opening screen.

    Parameters
    ----------
    visit
        The visitor's page.
    evaluation, package
        Of the vehicle that is picked, once it is ready; None before.
    """
    job = visit.job if visit.begun else None
    return {
        "vehicles": vehicles(visit.shelves, visit.system or ""),
        "picked": "" if job is None else job.vehicle,
        "title": visit.typed.get("title", "") if job is None
        else "" if job.title == UNTITLED else job.title,
        "budget": visit.typed.get("budget", "") if job is None else "" if job.budget is None
        else say.bare_money(job.budget, job.currency),
        "alike": visit.typed.get("alike", "1") if job is None else str(job.vehicles),
        "currency": "EUR" if job is None else job.currency,
        "often": [] if evaluation is None or job is None
        else often(visit, evaluation)[:6],
        "goals": [] if evaluation is None or job is None else _picked(visit, evaluation),
        "price": "" if package is None or job is None
        else say.money(package.price, job.currency),
        "demos": demos(visit.shelves),
        "saved": _saved(),
    }  # fmt: skip


UNTITLED = "Job without a name"


def _picked(visit: Visit, evaluation: Evaluation) -> list[dict[str, str]]:
    lines = []
    for goal in visit.job.goals:
        unit = evaluation.definition(goal.figure).unit
        lines.append(
            {
                "figure": goal.figure,
                "title": say.goal_title(goal.figure),
                "asks": say.asked_words(goal, unit, visit.system),
                "unit": say.unit_words(unit, visit.system),
                "side": "least" if goal.at_least is not None else "most",
                "value": say.bare(goal.at_least if goal.at_least is not None
                                  else goal.at_most or 0.0, unit, visit.system),
            }
        )  # fmt: skip
    return lines


def job_for(shelves: Library, vehicle: str) -> Job:
    """Return a job on a vehicle with nothing asked yet, on the lists that lie beside it.

    Where a shop has vehicles of its own and no lists yet, parts come from all catalogs.
    """
    catalog = vehicle.partition("/")[0]
    folder = next(candidate for candidate in catalog_folders(shelves) if candidate.name == catalog)
    with (folder / "catalog.toml").open("rb") as file:
        currency = str(tomllib.load(file).get("currency", "EUR"))
    catalogs = [folder]
    if not any(folder.glob("*.csv")):
        catalogs += [other for other in catalog_folders(shelves) if other.name != catalog]
    settled = [each.name for each in catalogs if (each / "workshop.toml").exists()]
    names = tuple(each.name for each in catalogs)
    return Job(UNTITLED, vehicle, names, currency=currency, workshop=next(iter(settled), None))


def vehicle_keys(shelves: Library) -> list[str]:
    """List the vehicles of all lists."""
    return [
        f"{folder.name}/{path.stem}"
        for folder in catalog_folders(shelves)
        for path in sorted(folder.glob("vehicles/*.toml"))
    ]


def vehicles(shelves: Library, system: str) -> list[dict[str, Any]]:
    """Return every vehicle with its outline and five figures; one that cannot be read says why."""
    known: list[dict[str, Any]] | None = shelves.kept.get(f"vehicles {system}")
    if known is None:
        opened: dict[str, Case] = {}
        known = [_vehicle(shelves, key, system, opened) for key in vehicle_keys(shelves)]
        shelves.kept[f"vehicles {system}"] = known
    return known


def _vehicle(shelves: Library, key: str, system: str, opened: dict[str, Case]) -> dict[str, Any]:
    shown = system or None
    try:
        evaluation = Evaluation(_case_of(shelves, key, opened), shelves.trade)
    except FitwrightError as problem:
        return {"key": key, "title": key, "note": "", "problem": str(problem), "svg": "",
                "figures": []}  # fmt: skip
    picture = draw_picture(
        evaluation, evaluation.fitted, "side", width=NARROW, system=shown,  # type: ignore[arg-type]
        number_as=grouped, wordless=True,
    )  # fmt: skip
    return {
        "key": key,
        "title": evaluation.case.vehicle.title,
        "note": evaluation.case.vehicle.note,
        "problem": "",
        "svg": picture.svg,
        "figures": figure_lines(evaluation, None, shown),  # type: ignore[arg-type]
    }


def _case_of(shelves: Library, key: str, opened: dict[str, Case]) -> Case:
    """Read a vehicle and the lists beside it; lists that are open already are read once."""
    catalog, _, name = key.partition("/")
    job = job_for(shelves, key)
    if catalog not in opened:
        opened[catalog] = shelves.open_case(job)
        return opened[catalog]
    case = opened[catalog]
    folder = next(candidate for candidate in catalog_folders(shelves) if candidate.name == catalog)
    vehicle = read_vehicle(folder, name, shelves.trade)
    stated = {**case.workshop.tolerances, **vehicle.tolerances}
    return replace(
        case, job=replace(job, currency=case.job.currency), vehicle=vehicle,
        tolerances=tolerances_of(stated, shelves.trade),
    )  # fmt: skip


def demos(shelves: Library) -> list[list[str]]:
    """Return the jobs that come with the lists: name, title, vehicle."""
    known: list[list[str]] | None = shelves.kept.get("demos")
    if known is None:
        known = [[name, _title(path, shelves)] for name, path in ready_jobs(shelves).items()]
        shelves.kept["demos"] = known
    return known


def job_titles(shelves: Library) -> dict[str, str]:
    """Return name → title of those jobs; where two have the same, with the name behind it."""
    titles = [title for _, title in demos(shelves)]
    return {
        name: title if titles.count(title) == 1 else f"{title} ({name})"
        for name, title in demos(shelves)
    }


def _title(path: Path, shelves: Library) -> str:
    try:
        return job_files.read_job(path, shelves.trade).title
    except FitwrightError:
        return path.stem


def _saved() -> list[list[str]]:
    """Return the jobs saved last: number, title, day."""
    if not is_there(address()):
        return []
    try:
        with open_store() as store:
            return [
                [str(job.id), job.title, job.saved_at.partition("T")[0]]
                for job in list_jobs(store)[:MOST_SAVED]
            ]
    except StoreError:
        return []
