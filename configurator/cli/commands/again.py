"""``fitwright again``: the same as last time, as far as the new goals let it."""

import json
from pathlib import Path
from typing import Annotated, Any

import typer

from configurator.cli.open_case import prepare, settings_of
from configurator.cli.parameters import AsJson, JobFile
from configurator.cli.program import app
from configurator.cli.saving import Database


@app.command("again", epilog="Example: fitwright again JOB.toml --like 2026-0001")
def again(
    ctx: typer.Context,
    job: JobFile,
    like: Annotated[
        str,
        typer.Option(
            metavar="NUMBER|FILE",
            help="Number of a saved quotation, or a file that find --json wrote.",
        ),
    ],
    database: Database = None,
    as_json: AsJson = False,
) -> None:
    """Find the package that changes least since last time, and what fewer changes cost."""
    before = _from_file(Path(like)) if Path(like).is_file() else _saved(like, database)
    settings = settings_of(ctx)
    prepared = prepare(settings, job)

    from configurator.cli.interruption import stoppable
    from configurator.cli.terminal import Terminal, write_json
    from configurator.questions.like_before import packages_like
    from configurator.wording import again_words as say

    with stoppable("looking for what changes least"):
        packages = packages_like(prepared, before)
    evaluation = prepared.evaluation
    if as_json:
        write_json(say.again_record(evaluation, packages))
    else:
        writer = Terminal()
        for number, package in enumerate(packages, 1):
            writer.heading(say.heading(evaluation, package, number, len(packages)))
            writer.items(say.change_lines(evaluation, package))
        if not packages:
            writer.line(say.NOTHING)
    if not packages:
        raise typer.Exit(3)


def _from_file(path: Path) -> dict[str, str]:
    """Read the first package of what ``find --json`` wrote."""
    from configurator.cli.refusing import bad

    try:
        record = json.loads(path.read_text(encoding="utf-8"))
        return _keys(record["packages"][0]["parts"])
    except (ValueError, KeyError, IndexError, TypeError, AttributeError) as problem:
        raise bad(
            str(path), "there is no package in it", "name a file that find --json wrote"
        ) from problem


def _saved(number: str, database: str | None) -> dict[str, str]:
    """Read the package of a saved quotation."""
    from configurator.cli.refusing import bad
    from configurator.store.access import get_quotation, open_store
    from configurator.store.addresses import address, is_there, shown

    url = address(database)
    if not is_there(url):
        raise bad(shown(url), f"there is no quotation {number!r}", "nothing was saved yet")
    with open_store(database) as store:
        return _keys(get_quotation(store, number).snapshot["package"]["parts"])


def _keys(parts: dict[str, Any]) -> dict[str, str]:
    from configurator.model.parts import NOTHING

    return {str(position): NOTHING if key is None else str(key) for position, key in parts.items()}
