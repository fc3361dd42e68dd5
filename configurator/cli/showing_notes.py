"""Show what goes with packages: cautions, what was assumed, not checked, not priced, origins."""

from __future__ import annotations

from typing import TYPE_CHECKING

from configurator.cli import answer_templates as say
from configurator.evaluation.assumed import assumed_of
from configurator.evaluation.packages import cautions_of, not_checked
from configurator.wording.assumed_words import assumed_words
from configurator.wording.local_rule_words import local_rule_words
from configurator.wording.plain_data import not_priced
from configurator.wording.sentences import (
    NOTICE,
    catalog_words,
    what_changed,
)
from configurator.wording.style import English
from configurator.wording.unchecked import unchecked_words

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from configurator.cli.terminal import Terminal
    from configurator.evaluation.evaluator import Evaluation, Option
    from configurator.evaluation.packages import Package
    from configurator.model.parts import Value
    from configurator.questions.answers import Answer
    from configurator.wording.quantities import System


def show_assumed(
    writer: Terminal,
    evaluation: Evaluation,
    answer: Answer,
    system: System | None,
    prices: Mapping[tuple[str, Value], int | None] | None,
) -> None:
    """Show what was assumed of the vehicle, for packages or else for it as it stands."""
    style = English(evaluation.case.job.currency, system)
    choices = [package.choice for package in answer.packages] or [evaluation.fitted]
    show_notes(
        writer,
        say.ASSUMED,
        [
            assumed_words(
                assumed_of(evaluation, answer.job, choice),
                style,
                prices,
                package=bool(answer.packages),
            )
            for choice in choices
        ],
    )


def show_what_goes_with(
    writer: Terminal, evaluation: Evaluation, packages: Sequence[Package]
) -> None:
    """Show what must be said wherever packages or their prices are shown.

    Cautions and what was not checked or not priced, for packages or else for the vehicle as it
    stands; where the prices are from; that figures are no approval.
    """
    choices = [package.choice for package in packages]
    show_cautions(writer, evaluation, choices)
    show_notes(
        writer,
        say.NOT_CHECKED,
        [
            unchecked_words(not_checked(evaluation, choice), evaluation.trade)
            for choice in choices or [evaluation.fitted]
        ],
    )
    if evaluation.case.local_rules is not None and choices:
        show_notes(
            writer,
            say.LOCAL_RULES,
            [local_rule_words(evaluation, choice) for choice in choices],
        )
    show_notes(writer, say.NOT_PRICED, [not_priced(evaluation, choice) for choice in choices])
    show_origin(writer, evaluation)


def show_cautions(
    writer: Terminal, evaluation: Evaluation, choices: Sequence[Mapping[str, Option]]
) -> None:
    """Show what is new with packages first; what holds for the vehicle as it stands in a line.

    What to inspect stands whole on the documents, and who approves is said once for all.
    """
    standing = {caution.name for caution in cautions_of(evaluation, evaluation.fitted)}
    of_each = [cautions_of(evaluation, choice) for choice in choices]
    every = {caution.name: caution for cautions in of_each for caution in cautions}
    new = [
        [caution for caution in cautions if caution.name not in standing] for cautions in of_each
    ]
    show_notes(writer, say.CAUTIONS, [what_changed(cautions) for cautions in new])
    fresh = [caution for caution in every.values() if caution.name not in standing]
    if fresh and any(caution.inspect for caution in fresh):
        writer.line(say.INSPECTIONS)
    approvals: dict[str, list[str]] = {}
    for caution in fresh:
        if caution.approve:
            approvals.setdefault(caution.approve, []).append(caution.name)
    for approve, names in approvals.items():
        writer.line(say.APPROVAL.format(approve=approve, names="; ".join(names)))
    if kept := [name for name in every if name in standing]:
        writer.line(say.STANDING.format(names="; ".join(kept)))


def show_notes(writer: Terminal, heading: str, of_each: Sequence[Iterable[str]]) -> None:
    """Show the notes of several packages once each, saying which have them where not all do."""
    owners: dict[str, list[int]] = {}
    for number, notes in enumerate(of_each, 1):
        for note in dict.fromkeys(notes):
            owners.setdefault(note, []).append(number)
    if not owners:
        return
    writer.heading(heading)
    writer.items(
        note if len(numbers) == len(of_each) else _of_packages(note, numbers)
        for note, numbers in owners.items()
    )


def _of_packages(note: str, numbers: Sequence[int]) -> str:
    listed = ", ".join(str(number) for number in numbers)
    if len(numbers) == 1:
        return say.ONE_PACKAGE.format(note=note, number=listed)
    return say.SOME_PACKAGES.format(note=note, numbers=listed)


def show_origin(writer: Terminal, evaluation: Evaluation) -> None:
    """Show where the prices are from, and that figures are no approval."""
    if evaluation.case.catalogs:
        writer.heading(say.PRICES)
        writer.items(catalog_words(catalog) for catalog in evaluation.case.catalogs)
    writer.heading(NOTICE)
