"""``fitwright backup`` and ``fitwright restore``: a copy of what was saved, and back again."""

from pathlib import Path
from typing import Annotated, Any

import typer

from configurator.cli.parameters import AsJson
from configurator.cli.program import app
from configurator.cli.saving import Database


@app.command(epilog="Example: fitwright backup saved-2026-12-01.sqlite")
def backup(
    file: Annotated[
        Path, typer.Argument(metavar="FILE", help="To write, such as saved-2026-12-01.sqlite.")
    ],
    database: Database = None,
    as_json: AsJson = False,
) -> None:
    """Copy all saved jobs, quotations and measurements into one file, also while others work."""
    from configurator.cli.terminal import Terminal, write_json
    from configurator.documents.formats import check_folders
    from configurator.store.backup_copies import back_up

    check_folders([file])
    content = back_up(file, database)
    if as_json:
        write_json({"file": str(file), **_record(content)})
        return
    writer = Terminal()
    writer.line(f"{file}: {_words(content)}.")
    writer.line("It holds what customers asked for: keep it where nobody else can read it.")


@app.command(epilog="Example: fitwright restore saved-2026-12-01.sqlite")
def restore(
    file: Annotated[
        Path, typer.Argument(metavar="FILE", help="That fitwright backup has written.")
    ],
    database: Database = None,
    as_json: AsJson = False,
) -> None:
    """Put a backup in the place of what is saved now; a copy of that stays beside it."""
    from configurator.cli.terminal import Terminal, write_json
    from configurator.store.backup_copies import restore as put_back

    restored = put_back(file, database)
    kept = [str(copy) for copy in restored.before]
    if as_json:
        write_json({**_record(restored.content), "before": kept, "before_sound": restored.whole})
        return
    writer = Terminal()
    writer.line(f"Restored from {file}: {_words(restored.content)}.")
    if restored.whole and kept:
        writer.line(
            f"What was saved before is in {kept[0]}: fitwright restore puts it back; delete it "
            "when you no longer need it."
        )
    elif kept:
        writer.line(f"The damaged files are kept as {', '.join(kept)}.")
    if not restored.whole or not kept:
        writer.line(
            "Quotations that were given after the backup are not in it, and their numbers are "
            "given again: compare with the last one that you handed out."
        )


def _words(content: Any) -> str:
    from configurator.cli import answer_templates as say
    from configurator.cli.saving import day_of
    from configurator.wording.quantities import counted

    template = {
        (False, False): say.SAVED_COUNT,
        (True, False): say.SAVED_NEWEST,
        (False, True): say.SAVED_NUMBER,
        (True, True): say.SAVED_LAST,
    }[bool(content.newest), bool(content.last)]
    return template.format(
        jobs=counted(content.jobs, "job"),
        quotations=counted(content.quotations, "quotation"),
        day=day_of(content.newest) if content.newest else "",
        last=content.last,
    )


def _record(content: Any) -> dict[str, Any]:
    return {
        "jobs": content.jobs,
        "quotations": content.quotations,
        "newest": content.newest or None,
        "last_number": content.last or None,
    }
