"""``fitwright exact-prices``: join the long lists of a job, so that every price is exact."""

from __future__ import annotations

import typer

from configurator.cli.open_case import prepare as opened
from configurator.cli.open_case import settings_of
from configurator.cli.parameters import AsJson, JobFile
from configurator.cli.program import app


@app.command("exact-prices", epilog="Example: fitwright exact-prices JOB.toml")
def exact_prices(
    ctx: typer.Context,
    job: JobFile,
    as_json: AsJson = False,
) -> None:
    """Make every price of a job exact where its lists are too long for that at once.

    That may take minutes. The result is saved: whatever is asked about the job afterwards is
    answered sooner, and exactly, until its lists, its vehicle or the figures of its goals change.
    """
    settings = settings_of(ctx)
    prepared = opened(settings, job)

    from configurator.cli.interruption import stoppable
    from configurator.cli.refusing import bad
    from configurator.cli.terminal import Terminal, write_json
    from configurator.search.circuit.join import TooWide
    from configurator.search.optimum import preparing
    from configurator.wording.price_bounds import too_long_words
    from configurator.wording.quantities import counted

    was_loose = prepared.loose is not None
    try:
        with stoppable("joining long lists", "{done} of {of} parts") as stop:
            prepared = preparing.tighten(prepared, keep=True)
    except TooWide as refused:
        raise bad(job.name, *too_long_words(refused).split("; ", 1)) from refused
    options = sum(len(option) for option in prepared.model.options.values())
    if as_json:
        write_json({"options": options, "rows": prepared.circuit.rows, "joined": was_loose})
    else:
        how = "the lists were short enough as they are."
        if was_loose:
            how = "the long lists were joined part by part and saved for the next time."
        Terminal().line(
            f"Ready: prices of {counted(options, 'option')} are exact, but for sums over the whole "
            f"vehicle; {how}"
        )
    stop.end()
