"""``fitwright trade-off``: what a figure costs, or two figures together."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated, Literal

import typer

from configurator.cli.open_case import prepare, settings_of
from configurator.cli.parameters import AsJson, JobFile
from configurator.cli.program import app

if TYPE_CHECKING:
    from collections.abc import Callable

    from configurator.cli.open_case import Settings
    from configurator.cli.terminal import Terminal
    from configurator.evaluation.evaluator import Evaluation
    from configurator.model.knowledge import Trade
    from configurator.questions.trade_offs import TradeOff
    from configurator.search.optimum.preparing import Prepared

# Lines of a table that somebody still reads; the data hold all.
MOST_LINES = 40


@app.command("trade-off", epilog='Example: fitwright trade-off JOB.toml --figure "entry height"')
def trade_off_command(
    ctx: typer.Context,
    job: JobFile,
    figure: Annotated[
        str, typer.Option(metavar="NAME", help="The figure, such as 'entry height'.")
    ],
    against: Annotated[
        str | None, typer.Option(metavar="NAME", help="A second figure to give way to it.")
    ] = None,
    better: Annotated[
        Literal["high", "low"] | None,
        typer.Option(help="What is better in the figure; by default what the job's goal says."),
    ] = None,
    against_better: Annotated[
        Literal["high", "low"] | None, typer.Option(help="The same for the second figure.")
    ] = None,
    exact: Annotated[
        bool,
        typer.Option(
            "--exact",
            help="Where lists are too long for every price to be exact: prove level by level.",
        ),
    ] = False,
    as_json: AsJson = False,
) -> None:
    """Show what each level of a figure costs, or which levels of two are possible together."""
    from configurator.cli.refusing import bad

    named = [(figure, better, "--figure", "--better")]
    if against is not None:
        if against == figure:
            raise bad(
                where="--against",
                what=f"{figure!r} is named twice",
                do="name another figure, or leave --against out",
            )
        named.append((against, against_better, "--against", "--against-better"))
    settings = settings_of(ctx)
    # Figures that the job has no goal on must be asked for before the tables are joined.
    prepared = prepare(settings, job, _checked({name: option for name, _, option, _ in named}))

    from configurator.cli.interruption import stoppable
    from configurator.cli.terminal import Terminal, write_json
    from configurator.model.former_names import name_now
    from configurator.questions import trade_offs
    from configurator.search.optimum.preparing import Question
    from configurator.search.optimum.queries import bounds_only
    from configurator.wording.tallies import trade_record

    evaluation = prepared.evaluation
    former = evaluation.trade.former_names
    figures = [*evaluation.trade.figures, *evaluation.trade.totals]
    named = [
        (name_now(name, former, figures), sense, option, direction)
        for name, sense, option, direction in named
    ]
    sums = [name for name, _, _, _ in named if name in evaluation.trade.totals]
    for name, text, option, direction in named:
        if name not in sums and not trade_offs.can_be_traded(evaluation, name):
            raise bad(
                where=option,
                what=f"{name!r} hangs on sums over the whole vehicle; no exact prices can be "
                "given for its levels",
                do="ask about another figure, or set a goal on it and use fitwright find",
            )
        if name in sums and text is None and trade_offs.better_of_sum(evaluation, name) is None:
            raise bad(
                where=option,
                what=f"neither the job nor a limit tells what is better in {name!r}",
                do=f"add {direction} high or {direction} low",
            )
        if (
            against is not None
            and name not in sums
            and text is None
            and trade_offs.better_of(evaluation.case.job, name) is None
        ):
            raise bad(
                where=option,
                what=f"the job does not tell what is better in {name!r}",
                do=f"add {direction} high or {direction} low",
            )
    with stoppable("setting figures against the price", "{done} of up to {of} levels") as stop:
        both = [(name, sentences) for name, sentences, _, _ in named]
        close = exact or not bounds_only(Question(prepared, evaluation.case.job))
        curve = trade_offs.trade_off(prepared, *both, partial=True, close=close)
    if as_json:
        write_json(trade_record(evaluation, curve, settings.units))
    else:
        advice = ""
        if prepared.loose is not None and not exact:
            advice = (
                f"fitwright exact-prices {job.name} makes prices exact; that may take minutes, "
                "once."
            )
            if not sums:  # which are worked out step by step as it is
                advice += " So does --exact, level by level, some seconds to minutes each."
        _show(Terminal(), prepared, curve, settings, advice)
    stop.end()
    if not curve.front:
        raise typer.Exit(3)


def _checked(names: dict[str, str]) -> Callable[[Trade], list[str]]:
    """Return what checks the names of figures against the trade once that is loaded."""

    def check(trade: Trade) -> list[str]:
        from configurator.core.errors import InputError, Problem, nearest
        from configurator.core.text import shown
        from configurator.model.former_names import name_now

        known = [*trade.figures, *trade.totals]
        asked = {name_now(name, trade.former_names, known): at for name, at in names.items()}
        problems = [
            Problem(option, f"there is no figure {shown(name)}", nearest(name, known))
            for name, option in asked.items()
            if name not in known
        ]
        if problems:
            raise InputError(problems)
        return list(asked)

    return check


def _show(
    writer: Terminal, prepared: Prepared, trade_off: TradeOff, settings: Settings, advice: str
) -> None:
    from configurator.cli.showing import show_job
    from configurator.cli.showing_notes import show_what_goes_with
    from configurator.model.sure_goals import shown_name
    from configurator.wording.price_bounds import why_at_least
    from configurator.wording.quantities import words
    from configurator.wording.tallies import trade_rows

    evaluation = prepared.evaluation
    names = [name for name, _ in trade_off.figures]
    shown = [shown_name(name) for name in names]
    show_job(writer, evaluation, settings.units)
    writer.heading(f"{' and '.join(shown)} against the price")
    if not trade_off.front:
        writer.line("Nothing fits, whatever the level.")
    else:
        wanted = ", ".join(
            f"{shown_name(name)}: {better} is better"
            for name, better in trade_off.figures
            if better
        )
        if wanted:
            writer.line(f"{wanted}. Nothing is at once cheaper and as good as a line below.")
        points = trade_off.front
        if len(points) > MOST_LINES:
            step = (len(points) - 1) / (MOST_LINES - 1)
            points = tuple(points[round(k * step)] for k in range(MOST_LINES))
            writer.line(
                f"{MOST_LINES} of {len(trade_off.front)} lines, from the cheapest to the dearest; "
                "--json gives all."
            )
        headings = ("cheapest package", *shown, "")
        rows = trade_rows(evaluation, names, points, settings.units)
        writer.table(headings, rows, right=set(range(len(names) + 1)))
        writer.line(
            "The job's own bounds on this and its budget are left aside; its other goals count."
        )
        for name, step in zip(names, trade_off.steps, strict=True):
            if step:
                unit = evaluation.definition(name).unit
                writer.line(
                    f"{shown_name(name)} is a sum over the whole vehicle: levels less than "
                    f"{words(step, unit, settings.units)} better than a line above may be left out."
                )
        if not all(point.exact for point in (*trade_off.front, *trade_off.levels)):
            writer.line(
                f"At least: {why_at_least(prepared)}; the cheapest package may cost more, or there "
                "may be none at this level."
            )
            if advice:
                writer.line(advice)
        _draw(writer, evaluation, trade_off, settings)
    show_what_goes_with(writer, evaluation, [])


def _draw(
    writer: Terminal, evaluation: Evaluation, trade_off: TradeOff, settings: Settings
) -> None:
    """Draw price over the figure; for two figures one over the other."""
    from configurator.model.sure_goals import shown_name
    from configurator.wording.quantities import unit_in
    from configurator.wording.tallies import drawing, places

    names = [name for name, _ in trade_off.figures]
    units = [unit_in(evaluation.definition(name).unit, settings.units) for name in names]
    sentences = [
        f"{shown_name(name)} [{unit}]" if unit else shown_name(name)
        for name, unit in zip(names, units, strict=True)
    ]
    up = f"price [{evaluation.case.job.currency}]" if len(names) == 1 else sentences[1]
    writer.heading(f"{up} (up) over {sentences[0]} (across)")
    if len(names) == 1:
        writer.line("o: nothing is cheaper and as good; .: possible, but not worth its price")
    every, marked = places(evaluation, trade_off, settings.units)
    for line in drawing(every, marked):
        writer.line(f"  {line}")
