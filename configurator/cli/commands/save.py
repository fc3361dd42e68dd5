"""``fitwright save``: save a job with its quotation."""

import datetime
from typing import Annotated

import typer

from configurator.cli.open_case import check_catalog_folders, load_plugins, settings_of
from configurator.cli.parameters import AsJson, JobFile, LocaleName
from configurator.cli.program import app
from configurator.cli.saving import Database, Forces
from configurator.core import clock


@app.command("save", epilog='Example: fitwright save JOB.toml --customer "M. Example"')
def save(
    ctx: typer.Context,
    job: JobFile,
    package: Annotated[
        int, typer.Option(metavar="N", min=1, max=100, help="Quote the N-th cheapest package.")
    ] = 1,
    started_from: Annotated[
        str | None,
        typer.Option(
            "--from",
            metavar="NUMBER",
            help="Number of the quotation whose job this is, worked on since: saves another "
            "version of that job.",
        ),
    ] = None,
    locale: LocaleName = "en_GB",
    customer: Annotated[
        str, typer.Option(metavar="TEXT", help="The customer's reference, for the documents.")
    ] = "",
    valid: Annotated[
        datetime.datetime | None,
        typer.Option(
            metavar="DAY",
            formats=["%Y-%m-%d"],
            help="Last day on which the prices hold; 30 days from today by default.",
        ),
    ] = None,
    note: Annotated[
        str, typer.Option(metavar="TEXT", help="Why this state of the job is saved.")
    ] = "",
    forces: Forces = False,
    database: Database = None,
    as_json: AsJson = False,
) -> None:
    """Save a job with the quotation of its package, and give the quotation a number."""
    from configurator.cli.choosing import chosen_package
    from configurator.cli.progress_line import progress
    from configurator.cli.refusing import bad, warn
    from configurator.cli.saving import snapshot_of
    from configurator.cli.terminal import Terminal, write_json
    from configurator.documents.quotation import VALID_DAYS, locale_of
    from configurator.files.job_files import read_case
    from configurator.questions import answers
    from configurator.store.access import (
        Terms,
        check_start,
        get_quotation,
        keep_quotation,
        open_store,
    )
    from configurator.store.change_words import quotation_record
    from configurator.store.snapshot import job_file
    from configurator.wording.quantities import money_words

    locale_of(locale)
    today = clock.today()
    until = valid.date() if valid else today + datetime.timedelta(days=VALID_DAYS)
    if until < today:
        raise bad(where="--valid", what=f"{until} is over already", do="name a day still to come")
    if not clock.of_this_time(until):
        raise bad(where="--valid", what=f"{until} is not of this time", do="check the year")
    settings = settings_of(ctx)
    check_catalog_folders(settings)
    # Opened first: whoever cannot save should hear it before the search.
    with open_store(database) as store:
        old = get_quotation(store, started_from) if started_from else None
        with progress("reading plugins and catalogs"):
            loaded = load_plugins(settings)
            case = read_case(job, loaded.trade, settings.catalogs)
        base = job.absolute().parent
        if old is not None:
            check_start(store, old, job_file(case.job, loaded.trade, base))
        with progress("working out what fits with what"):
            prepared = answers.ready(case, loaded.trade)
        with progress("searching"):
            answer = answers.find(prepared, package)
        if len(answer.packages) < package:
            warn([f"{job.name}: nothing was saved, since there is no such package"])
            chosen_package(prepared, package, settings, as_json=as_json)  # says why and ends
        chosen = answer.packages[package - 1]
        written, papers = snapshot_of(
            prepared,
            loaded,
            chosen,
            proven=answer.outcome == "found",
            locale=locale,
            forces=forces,
            base=base,
            valid=until,
            system=settings.units,
        )
        kept = keep_quotation(
            store,
            case.job.title,
            written["job"]["file"],
            written,
            price=chosen.price,
            currency=case.job.currency,
            started_from=old,
            note=note,
            terms=Terms(customer, until.isoformat(), papers),
        )
        if as_json:
            write_json({"kept": quotation_record(kept), "database": store.place})
            return
        price = money_words(kept.price, kept.currency)
        Terminal().line(
            f"Saved as {kept.number}: {kept.title}, {price} for one vehicle "
            f"(version {kept.version} of job {kept.job}), in {store.place}"
        )
