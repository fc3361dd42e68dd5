"""Open what a command was pointed at: plugins, catalogs, a job."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Literal

from configurator.search.limits import LIMITS

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable
    from pathlib import Path

    import typer

    from configurator.evaluation.evaluator import Evaluation
    from configurator.loading.plugin_files import Loaded
    from configurator.model.knowledge import Trade
    from configurator.search.limits import Limits
    from configurator.search.optimum.preparing import Prepared


@dataclass(frozen=True, slots=True)
class Settings:
    """What the global options say.

    Parameters
    ----------
    catalogs
        Folders of catalogs, before those that come with Fitwright.
    plugins
        Folders of the shop's own plugins.
    units
        The system to show figures in; None for the units the rules declare.
    limits
        How much the search may try and keep: for whoever runs commands from Python.
    """

    catalogs: tuple[Path, ...] = ()
    plugins: tuple[Path, ...] = ()
    units: Literal["metric", "imperial"] | None = None
    limits: Limits = LIMITS


def settings_of(ctx: typer.Context) -> Settings:
    """Return what the global options say."""
    settings = ctx.find_object(Settings)
    return settings if settings is not None else Settings()


def load_plugins(settings: Settings, trace: object = None) -> Loaded:
    """Load the plugins; say on standard error which of the shop's are not in use.

    Raises
    ------
    FitwrightError
        If one that comes with Fitwright fails, or a named folder is not there.
    """
    from configurator.cli.refusing import bad, warn
    from configurator.core import kept_units
    from configurator.loading import plugin_files

    kept_units.load()
    for folder in settings.plugins:
        if not folder.is_dir():
            what = "is a file" if folder.exists() else "is not there"
            raise bad(str(folder), f"the folder of plugins {what}", "name a folder")
    loaded = plugin_files.load(settings.plugins, trace=trace)
    warn(
        f"plugin {failure.plugin}: not in use: {failure.reason}; put it right or leave it out"
        for failure in loaded.trade.failures
    )
    return loaded


def load_trade(settings: Settings) -> Trade:
    """Return what the plugins declare."""
    return load_plugins(settings).trade


def prepare(
    settings: Settings,
    job: Path,
    figures: Callable[[Trade], Iterable[str]] | None = None,
    *,
    sure: bool | None = None,
    alone: bool = False,
) -> Prepared:
    """Read a job with everything it names and prepare it for questions.

    Parameters
    ----------
    settings
        What the global options say.
    job
        File of the job.
    figures
        Names, or refuses to, the figures to be asked about beside those of the job's goals.
    sure
        Whether limits on law, plates and contact must hold within usual tolerances, or as
        calculated only; as the job says where it is None.
    alone
        Whether only packages of this job will be asked for.

    Raises
    ------
    FitwrightError
        With everything that is wrong, in all files.
    """
    return make_ready(settings, *read(settings, job, figures, sure=sure), alone=alone)


def read(
    settings: Settings,
    job: Path,
    figures: Callable[[Trade], Iterable[str]] | None = None,
    *,
    sure: bool | None = None,
) -> tuple[Evaluation, tuple[str, ...]]:
    """Read a job with everything it names, as `prepare` does, and the names of the figures.

    Raises
    ------
    FitwrightError
        With everything that is wrong, in all files.
    """
    from configurator.cli.progress_line import progress
    from configurator.cli.refusing import warn
    from configurator.core.memory import keep_freed
    from configurator.evaluation.contradictions import contradictions_of
    from configurator.evaluation.evaluator import Evaluation
    from configurator.files.job_files import read_case

    keep_freed()
    with progress("reading plugins and catalogs"):
        check_catalog_folders(settings)
        loaded = load_plugins(settings)
        trade = loaded.trade
        asked = () if figures is None else tuple(figures(trade))
        case = read_case(job, trade, settings.catalogs)
    if sure is not None:
        case = replace(case, job=replace(case.job, sure=sure))
    warn(case.warnings)
    if any(plugin.origin != "bundled" for plugin in loaded.plugins):
        from configurator.testing.plugin_trial import tried

        warn(tried(loaded, case))
    evaluation = Evaluation(case, trade)
    warn(contradictions_of(evaluation))
    return evaluation, asked


def make_ready(
    settings: Settings, evaluation: Evaluation, figures: Iterable[str] = (), *, alone: bool = False
) -> Prepared:
    """Prepare a case for questions, as `prepare` does one that is still to be read.

    Raises
    ------
    FitwrightError
        If a goal asks for what is in no package, or a rule fails.
    """
    from configurator.cli.progress_line import progress
    from configurator.questions import answers

    case, trade = evaluation.case, evaluation.trade
    with progress("working out what fits with what"):
        return answers.ready(case, trade, figures=figures, alone=alone, limits=settings.limits)


def check_catalog_folders(settings: Settings) -> None:
    """Refuse a named folder that is not there, and a catalog named in place of its folder.

    Raises
    ------
    InputError
        With all of them.
    """
    from configurator.core.errors import InputError, Problem

    problems = []
    for folder in settings.catalogs:
        if not folder.is_dir():
            what = "is a file" if folder.exists() else "is not there"
            problems.append(Problem(str(folder), f"the folder of catalogs {what}", "name a folder"))
        elif (folder / "catalog.toml").is_file():
            problems.append(
                Problem(
                    str(folder),
                    "this is a catalog itself, not a folder with catalogs in it",
                    f"name the folder above it: {folder.absolute().parent}",
                )
            )
    if problems:
        raise InputError(problems)
