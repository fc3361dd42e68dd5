"""``fitwright catalog``: what a shop does with its own catalogs."""

from pathlib import Path
from typing import Annotated

import typer

from configurator.cli.opening import load_trade, settings_of
from configurator.cli.program import group

catalog = group("catalog", "Check a catalog.")


@catalog.command()
def check(
    ctx: typer.Context,
    folder: Annotated[Path, typer.Argument(metavar="FOLDER", help="Folder of the catalog.")],
    as_json: Annotated[bool, typer.Option("--json", help="Write JSON.")] = False,
) -> None:
    """Check everything in a catalog's folder and name all problems at once."""
    from configurator.catalog_files import check_catalog
    from configurator.cli.refusing import bad, complain, warn
    from configurator.cli.writing import Writer, write_json
    from configurator.saying.quantities import counted
    from configurator.saying.records import problem_record

    if not folder.is_dir():
        what = "is a file" if folder.exists() else "is not there"
        raise bad(str(folder), f"the catalog's folder {what}", "name the folder of a catalog")
    trade = load_trade(settings_of(ctx))
    errors, warnings, counts = check_catalog(folder, trade)
    if as_json:
        write_json(
            {
                "catalog": folder.resolve().name,
                "sound": not errors,
                "errors": [problem_record(one) for one in errors],
                "warnings": [problem_record(one) for one in warnings],
                "parts": counts,
            }
        )
    else:
        complain(errors)
        warn(warnings)
        writer = Writer()
        verdict = "sound" if not errors else f"not to be used: {counted(len(errors), 'error')}"
        writer.heading(f"{folder.resolve().name}: {verdict}, {counted(len(warnings), 'warning')}")
        rows = [
            (trade.families[key].title, f"{key}.csv", str(number))
            for key, number in counts.items()
            if number
        ]
        writer.table(("family", "list", "sound parts"), rows, right={2})
    if errors:
        raise typer.Exit(2)
