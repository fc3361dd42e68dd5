"""``fitwright saved``: what was saved, what has changed since, re-pricing, documents."""

from __future__ import annotations

import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from configurator.cli.open_case import check_catalog_folders, load_plugins, settings_of
from configurator.cli.parameters import AsJson
from configurator.cli.program import app
from configurator.cli.saving import Database, Forces
from configurator.core import clock

if TYPE_CHECKING:
    from collections.abc import Sequence

    from configurator.cli.open_case import Settings
    from configurator.store.access import KeptQuotation, Store


@app.command("saved", epilog="Example: fitwright saved 2026-0001 --into FOLDER")
def saved(
    ctx: typer.Context,
    number: Annotated[
        str | None, typer.Argument(metavar="NUMBER", help="Of a quotation; all by default.")
    ] = None,
    anew: Annotated[
        bool,
        typer.Option(
            "--re-price", help="Re-price it; saved under another number, beside this one."
        ),
    ] = False,
    export: Annotated[
        Path | None, typer.Option(metavar="FILE", help="Write its job to a file again.")
    ] = None,
    into: Annotated[
        Path | None,
        typer.Option(
            metavar="FOLDER", help="Write its documents there as PDF, as they were laid out."
        ),
    ] = None,
    delete: Annotated[
        bool,
        typer.Option(
            "--delete",
            help="Delete its job with all quotations and measurements of the job, for good.",
        ),
    ] = False,
    yes: Annotated[bool, typer.Option("--yes", help="Delete without asking back.")] = False,
    forces: Forces = False,
    database: Database = None,
    as_json: AsJson = False,
) -> None:
    """List what was saved; with a number, show it and what has changed since."""
    from configurator.cli.refusing import bad
    from configurator.store.access import get_quotation, list_quotations, open_store
    from configurator.store.addresses import address, is_there, shown

    asked = [
        name
        for name, it in (
            ("--re-price", anew),
            ("--export", export),
            ("--into", into),
            ("--delete", delete),
        )
        if it
    ]
    if len(asked) > 1:
        raise bad(" and ".join(asked), "cannot be done at once", "do one after the other")
    if number is None and asked:
        raise bad(asked[0], "of which quotation?", "add its number")
    if export is not None and export.exists():
        raise bad(str(export), "this file is there already", "name another")
    url = address(database)
    if not is_there(url):  # looking leaves nothing behind
        if number is not None:
            raise bad(shown(url), f"there is no quotation {number!r}", "nothing was saved yet")
        _list([], shown(url), as_json=as_json)
        return
    with open_store(database) as store:
        if number is None:
            _list(list_quotations(store), store.place, as_json=as_json)
            return
        quotation = get_quotation(store, number)
        if export is not None:
            _export(store, quotation, export, as_json=as_json)
        elif into is not None:
            _print_documents(quotation, into, as_json=as_json)
        elif delete:
            _delete(store, quotation, yes=yes, as_json=as_json)
        else:
            _show(store, quotation, settings_of(ctx), anew=anew, forces=forces, as_json=as_json)


def _list(quotations: Sequence[KeptQuotation], place: str, *, as_json: bool) -> None:
    from configurator.cli.saving import day_of
    from configurator.cli.terminal import Terminal, write_json
    from configurator.store.change_words import quotation_record
    from configurator.wording.quantities import money_words

    if as_json:
        write_json(
            {"kept": [quotation_record(quotation) for quotation in quotations], "database": place}
        )
        return
    writer = Terminal()
    if not quotations:
        writer.line(f"Nothing was saved yet in {place}; save a job: fitwright save JOB.toml")
        return
    rows = [
        (
            quotation.number,
            day_of(quotation.made_at),
            quotation.made_by,
            f"{quotation.title} (re-priced from {quotation.anew_of})"
            if quotation.anew_of
            else quotation.title,
            money_words(quotation.price, quotation.currency),
        )
        for quotation in quotations
    ]
    writer.table(("number", "day", "by", "job", "price"), rows, right={4})


def _export(store: Store, quotation: KeptQuotation, file: Path, *, as_json: bool) -> None:
    from configurator.cli.terminal import Terminal, write_json
    from configurator.core.atomic_files import write_atomically
    from configurator.store.access import get_job

    job = get_job(store, quotation.job, quotation.version)
    write_atomically(file, job.file, private=True, overwrite=False)
    if as_json:
        write_json({"file": str(file), "job": job.id, "version": job.version})
        return
    Terminal().line(
        f"{file}: version {job.version} of job {job.id}. After changing it: "
        f"fitwright save {file} --from {quotation.number}"
    )


def _print_documents(quotation: KeptQuotation, folder: Path, *, as_json: bool) -> None:
    """Write every document of a quotation as a PDF."""
    from configurator.cli.refusing import bad, warn
    from configurator.cli.terminal import Terminal, write_json
    from configurator.core.errors import FitwrightError
    from configurator.documents.formats import write
    from configurator.store.saved_documents import PAPERS, paper

    if not folder.is_dir():
        raise bad(str(folder), "the folder is not there", "make it, or name another")
    files: dict[str, str] = {}
    problems = []
    for name in PAPERS:
        try:
            sheet = paper(quotation, name)
        except FitwrightError as problem:
            problems.append(problem)
            continue
        file = folder / f"{quotation.number}-{name}.pdf"
        write(sheet, file)
        files[name] = str(file)
    if not files:
        raise problems[0]
    warn(problems)
    if as_json:
        write_json({"documents": files})
    else:
        Terminal().items(files.values())


def _delete(store: Store, quotation: KeptQuotation, *, yes: bool, as_json: bool) -> None:
    from configurator.cli.refusing import bad
    from configurator.cli.terminal import Terminal, write_json
    from configurator.store.access import delete_job, list_quotations

    gone = [item.number for item in list_quotations(store) if item.job == quotation.job]
    if not yes:
        raise bad(
            where="--delete",
            what=f"this deletes job {quotation.job} ({quotation.title}) with {', '.join(gone)} and "
            "its measurements, for good",
            do="add --yes if that is meant; nothing was deleted",
        )
    delete_job(store, quotation.job)
    if as_json:
        write_json({"deleted": gone, "job": quotation.job})
    else:
        Terminal().line(f"Deleted: job {quotation.job} ({quotation.title}) with {', '.join(gone)}")


def _show(
    store: Store,
    quotation: KeptQuotation,
    settings: Settings,
    *,
    anew: bool,
    forces: bool,
    as_json: bool,
) -> None:
    from configurator.cli.progress_line import progress
    from configurator.cli.saving import show_anew, show_changes, show_kept
    from configurator.cli.terminal import Terminal, write_json
    from configurator.store.change_words import comparison_record, quotation_record
    from configurator.store.repricing import look_again
    from configurator.store.snapshot import readable

    snapshot = readable(quotation.snapshot, quotation.number)
    check_catalog_folders(settings)
    with progress("reading plugins and catalogs"):
        loaded = load_plugins(settings)
        comparison, _ = look_again(snapshot, loaded, settings.catalogs)
    record = {
        **quotation_record(quotation),
        "snapshot": snapshot,
        "since": comparison_record(comparison, quotation.currency),
    }
    writer = None if as_json else Terminal()
    if writer is not None:
        show_kept(writer, quotation, settings.units)
        show_changes(writer, comparison, quotation.currency, settings.units)
    if anew:
        from configurator.cli.saving import snapshot_of
        from configurator.cli.showing import show_answer
        from configurator.documents.quotation import VALID_DAYS
        from configurator.questions import answers
        from configurator.store.access import Terms, keep_anew
        from configurator.store.repricing import kept_case, price_anew
        from configurator.wording.plain_data import answer_record

        case = kept_case(snapshot, loaded.trade, settings.catalogs)
        with progress("working out what fits with what"):
            prepared = answers.ready(case, loaded.trade)
        with progress("searching"):
            priced = price_anew(prepared, comparison)
        if priced.package is None:
            if writer is None:
                answer = answer_record(prepared.evaluation, priced.answer, settings.units)
                write_json({**record, "anew": answer})
            else:
                show_answer(writer, prepared.evaluation, priced.answer, settings.units)
            raise typer.Exit(3)
        until = clock.today() + datetime.timedelta(days=VALID_DAYS)
        written, papers = snapshot_of(
            prepared,
            loaded,
            priced.package,
            proven=priced.proven,
            locale=snapshot["paper"]["locale"],
            forces=forces,
            base=None,
            valid=until,
            system=settings.units,
        )
        new = keep_anew(
            store,
            quotation,
            written,
            price=priced.package.price,
            currency=case.job.currency,
            terms=Terms(quotation.customer, until.isoformat(), papers),
        )
        record["anew"] = {**quotation_record(new), "same_parts": priced.same, "snapshot": written}
        if writer is not None:
            show_anew(writer, quotation, new, priced, comparison)
    if writer is None:
        write_json(record)
