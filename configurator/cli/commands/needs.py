"""``fitwright needs``: what else each choice needs, why, and what it adds in all."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Literal

import typer

from configurator.cli.open_case import make_ready, read, settings_of
from configurator.cli.parameters import AsJson, JobFile
from configurator.cli.program import app
from configurator.core.deferred import waiting_until_shown

if TYPE_CHECKING:
    from collections.abc import Sequence

    from configurator.cli.open_case import Settings
    from configurator.consequences.upgrade_graph import Picture
    from configurator.consequences.upgrade_records import Forced, Reading
    from configurator.evaluation.evaluator import Evaluation
    from configurator.wording.quantities import System


@app.command(
    "needs", epilog='Example: fitwright needs JOB.toml --choice "tyres=demo/MFA-37x1250R17"'
)
def needs(
    ctx: typer.Context,
    job: JobFile,
    choice: Annotated[
        list[str] | None,
        typer.Option(
            metavar="POSITION=PART",
            help="Ask about this part at this position. May be given several times: each is asked "
            "about by itself. Without it, every changed part of the cheapest package.",
        ),
    ] = None,
    goals: Annotated[
        bool,
        typer.Option(
            "--goals/--fit",
            help="Count the job's goals and budget as well, or what fits alone.",
        ),
    ] = False,
    not_forced: Annotated[
        bool,
        typer.Option("--unchanged", help="Show also what can stay, by which rules, with numbers."),
    ] = False,
    as_json: AsJson = False,
    dot: Annotated[bool, typer.Option("--dot", help="Write a graph in the DOT language.")] = False,
    svg: Annotated[
        bool,
        typer.Option(
            "--svg",
            help="Write a drawing. With --output, one that cannot be read on A4 is written on "
            "several sheets, FILE-1-of-3.svg and so on.",
        ),
    ] = False,
    graphml: Annotated[bool, typer.Option("--graphml", help="Write a graph as GraphML.")] = False,
    theme: Annotated[
        Literal["auto", "light", "dark"], typer.Option(help="Colours of the drawing.")
    ] = "auto",
    output: Annotated[Path | None, typer.Option(metavar="FILE", help="Write to this file.")] = None,
) -> None:
    """Show what else each choice needs, because of which rules, and what it adds in all."""
    from configurator.cli.refusing import bad

    if as_json + dot + svg + graphml > 1:
        raise bad(
            where="--json, --dot, --svg, --graphml",
            what="more than one was asked for",
            do="choose one of them",
        )
    settings = settings_of(ctx)
    ctx.with_resource(waiting_until_shown())
    evaluation, _ = read(settings, job)
    reading: Reading = "goals" if goals else "fit"
    forced = _forced(settings, evaluation, choice, reading, numbers=not_forced, inputs=as_json)
    if as_json:
        import json

        from configurator.consequences.upgrade_words import forced_record

        record = forced_record(evaluation, forced, reading, settings.units)
        _write(json.dumps(record, indent=2, allow_nan=False, ensure_ascii=False) + "\n", output)
    elif svg:
        _draw(_picture(evaluation, forced, settings.units), theme, output)
    elif dot or graphml:
        from configurator.consequences.upgrade_graph import as_dot, as_graphml

        picture = _picture(evaluation, forced, settings.units)
        _write(as_dot(picture) if dot else as_graphml(picture), output)
    else:
        from configurator.cli.terminal import Terminal
        from configurator.core.atomic_files import atomic_file

        if output is None:
            _show(Terminal(), evaluation, forced, reading, settings.units, numbers=not_forced)
        else:
            with atomic_file(output) as stream:
                _show(
                    Terminal(stream),
                    evaluation,
                    forced,
                    reading,
                    settings.units,
                    numbers=not_forced,
                )
    if not any(item.possible for item in forced):
        if not choice:
            from configurator.cli.refusing import warn

            warn(["nothing meets this job, so there is no package to ask about; name a --choice"])
        raise typer.Exit(3)


def _forced(
    settings: Settings,
    evaluation: Evaluation,
    named: Sequence[str] | None,
    reading: Reading,
    *,
    numbers: bool,
    inputs: bool,
) -> list[Forced]:
    """Find what each choice forces; what was worked out before takes no search."""
    from configurator.cli.interruption import stoppable
    from configurator.cli.naming import choice_named
    from configurator.consequences.kept_consequences import KeptConsequences
    from configurator.questions import kept_outcomes

    options = [choice_named(evaluation, text, "--choice") for text in named or ()]
    if not named:
        before = kept_outcomes.look_up(evaluation, settings.limits)
        answer = None if before is None else before.answer(evaluation)
        if answer is not None:
            options = [o for o in answer.packages[0].choice.values() if o.changed]
    kept = KeptConsequences(evaluation, settings.limits, reading, numbers=numbers, inputs=inputs)
    known = kept.look_up_all(options)
    if options and known is not None:
        return known
    prepared = make_ready(settings, evaluation)

    from configurator.consequences import upgrades

    with stoppable("finding what else each choice needs"):
        options = options or upgrades.choices_of(prepared)
        return upgrades.forces_each(prepared, options, reading, numbers=numbers, inputs=inputs)


def _picture(evaluation: Evaluation, forced: Sequence[Forced], system: System | None) -> Picture:
    from configurator.consequences.upgrade_words import picture_of

    title = f"{evaluation.case.job.title}: what else each choice needs"
    return picture_of(evaluation, forced, title, system)


def _draw(picture: Picture, theme: Literal["auto", "light", "dark"], output: Path | None) -> None:
    """Write a drawing: on as many sheets as it takes to read it on paper, if files are written."""
    from configurator.cli.refusing import warn
    from configurator.consequences.graph_drawing import draw, draw_pages

    sheets = draw_pages(picture, theme=theme)
    count = len(sheets)
    if count == 1:
        _write(sheets[0], output)
    elif output is None:
        _write(draw(picture, theme=theme), None)
        warn([f"too large to be read on one A4; --output FILE.svg writes it on {count} sheets"])
    else:
        names = [
            output.with_name(f"{output.stem}-{number}-of-{count}{output.suffix}")
            for number in range(1, count + 1)
        ]
        for name, sheet in zip(names, sheets, strict=True):
            _write(sheet, name)
        typer.echo(
            f"Written on {count} sheets, to be read in this order: "
            f"{', '.join(name.name for name in names)}.\n"
            "A line that goes on elsewhere carries the same number in a round mark at both ends."
        )


def _write(text: str, output: Path | None) -> None:
    if output is None:
        typer.echo(text, nl=False)
    else:
        from configurator.core.atomic_files import write_atomically

        write_atomically(output, text)


def _show(
    writer: object,
    evaluation: Evaluation,
    forced: Sequence[Forced],
    reading: Reading,
    system: System | None,
    *,
    numbers: bool,
) -> None:
    from configurator.cli import answer_templates as say
    from configurator.cli.terminal import Terminal
    from configurator.consequences.upgrade_graph import sets_of
    from configurator.consequences.upgrade_words import arrow_words, relative_to, untouched_words
    from configurator.wording.quantities import counted, money_words
    from configurator.wording.sentences import NOTICE, option_words, reason_words

    if not isinstance(writer, Terminal):
        raise TypeError(writer)
    currency = evaluation.case.job.currency
    writer.line(relative_to(evaluation, reading))
    for item in forced:
        writer.heading(f"{item.option.position}: {option_words(item.option)}")
        if not item.possible:
            writer.line(say.IN_NO_PACKAGE)
            writer.items(reason_words(evaluation, reason, system) for reason in item.conflict)
            continue
        if item.adds is None:
            writer.line(say.NO_PACKAGE_WITHOUT if item.adds_proven else say.NONE_WITHOUT_SEEN)
        else:
            sentence = say.ADDS if item.adds >= 0 else say.SAVES
            price_sentence = sentence.format(price=money_words(abs(item.adds), currency))
            writer.line(
                price_sentence if item.adds_proven else say.NOT_PROVEN.format(said=price_sentence)
            )
        writer.line(say.NEEDS if item.arrows else say.NEEDS_NOTHING)
        writer.items(arrow_words(evaluation, arrow, system) for arrow in item.arrows)
        if numbers:
            writer.line(say.CAN_STAY)
            for kept in item.kept:
                if kept.proven:
                    writer.line(f"  {kept.position}")
                    writer.items((untouched_words(r, system) for r in kept.rules), indent=4)
        else:
            count = sum(kept.proven for kept in item.kept)
            writer.line(say.CAN_STAY_COUNT.format(places=counted(count, "position")))
        undecided = [kept.position for kept in item.kept if not kept.proven]
        if undecided:
            writer.line(say.NOT_DECIDED.format(positions=", ".join(undecided)))
    sets = sets_of(forced)
    if sets:
        writer.heading(say.SETS)
        writer.items(", ".join(group) for group in sets)
    writer.line("")
    writer.line(NOTICE)
