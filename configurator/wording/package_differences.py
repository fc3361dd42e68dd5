"""How packages differ from the cheapest one, in words and as data."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from configurator.evaluation.lead_times import longest_wait
from configurator.evaluation.operations import operations_of
from configurator.model.parts import NOTHING
from configurator.search.pareto.diverse import differing, differs_at
from configurator.wording import explanation_templates as say
from configurator.wording.plain_data import part_key
from configurator.wording.quantities import apart, counted, grouped, printed, words

if TYPE_CHECKING:
    from collections.abc import Iterable

    from configurator.evaluation.evaluator import Evaluation, Option
    from configurator.evaluation.packages import Package
    from configurator.questions.answers import Different
    from configurator.search.pareto.diverse import BigChoice
    from configurator.wording.quantities import System

Record = dict[str, Any]


def unit_of_attribute(evaluation: Evaluation, position: str, attribute: str) -> str:
    """Return the unit in which an attribute is declared; empty where there is none."""
    for item in evaluation.families[position].attributes:
        if item.name == attribute:
            return item.unit
    return ""


def difference_words(
    evaluation: Evaluation,
    big: BigChoice,
    option: Option,
    other: Option,
    system: System | None = None,
) -> str:
    """Say in what one option differs from another at the same position."""
    unit = unit_of_attribute(evaluation, option.position, big.attribute)
    first = evaluation.attribute(option, big.attribute)
    second = evaluation.attribute(other, big.attribute)
    if option.key == NOTHING:
        return say.INSTEAD_NOT_FITTED.format(position=option.position, other=other.part.title)
    if isinstance(first, int | float) and isinstance(second, int | float):
        has, had = apart(float(first), float(second), unit, system, grouped)
    else:
        has, had = words(first, unit, system, grouped), words(second, unit, system, grouped)
    template = say.INSTEAD_OF_NOT_FITTED if other.key == NOTHING else say.INSTEAD
    return template.format(position=option.position, attribute=big.attribute, has=has, had=had)


def big_positions(evaluation: Evaluation, different: Different, number: int) -> list[str]:
    """List the positions of the big choices at which a package differs from the first one."""
    first, package = different.packages[0].choice, different.packages[number].choice
    return [
        position
        for big in differing(evaluation, different.big, package, first)
        for position in big.positions
        if differs_at(evaluation, big, package[position], first[position])
    ]


def parts_words(
    evaluation: Evaluation,
    different: Different,
    which: int,
    system: System | None = None,
) -> list[str]:
    """Say of each big choice in what a package differs from the first one."""
    first, package = different.packages[0].choice, different.packages[which].choice
    of = {position: big for big in different.big for position in big.positions}
    return [
        difference_words(evaluation, of[place], package[place], first[place], system)
        for place in big_positions(evaluation, different, which)
    ]


def figures_words(
    evaluation: Evaluation,
    package: Package,
    first: Package,
    figures: Iterable[str],
    system: System | None = None,
) -> list[str]:
    """Say which of some figures, of the work and of the wait are others than the first one's.

    Parameters
    ----------
    evaluation
        The case.
    package, first
        What is compared, and with what.
    figures
        Names.
    system
        Of units.
    """
    sentences = []
    for name in figures:
        has, had = (evaluation.figure(name, item.choice) for item in (package, first))
        unit = evaluation.definition(name).unit
        now, then = words(has, unit, system, grouped), words(had, unit, system, grouped)
        if now != then:
            sentences.append(say.FIGURE_INSTEAD.format(figure=name, has=now, had=then))
    hours, before = (
        sum(operation.hours for operation in operations_of(evaluation, each.choice))
        for each in (package, first)
    )
    if printed(hours) != printed(before):
        both = {"has": grouped(printed(hours)), "had": grouped(printed(before))}
        sentences.append(say.HOURS_INSTEAD.format(**both))
    vehicles = evaluation.case.job.vehicles
    wait, waited = (longest_wait(item.choice, vehicles)[0] for item in (package, first))
    if wait is not None and waited is not None and wait != waited:
        sentences.append(say.WAIT_INSTEAD.format(days=counted(wait, "day"), other=waited))
    return sentences


def different_words(
    evaluation: Evaluation, different: Different, number: int, system: System | None = None
) -> str:
    """Say in what a package differs from the first one; empty for the first itself."""
    text = parts_words(evaluation, different, number, system)
    if not text:
        return ""
    template = say.DIFFERS if different.proven[number] else say.DIFFERS_UNPROVEN
    return template.format(differences=", ".join(text))


def measure_words(evaluation: Evaluation, different: Different, wanted: int) -> str:
    """Say what different means here, and whether there are as many packages as were wanted."""
    if not different.big:
        return say.NO_KINDS
    named = ", ".join(
        say.BIG_CHOICE.format(
            family=evaluation.families[big.positions[0]].title.lower(), attribute=big.attribute
        )
        for big in different.big
    )
    few = len(different.packages) < wanted
    template = say.EACH_DIFFERS_NO_MORE if few else say.EACH_DIFFERS
    return template.format(least=different.least, choices=named)


def different_record(
    evaluation: Evaluation, different: Different, system: System | None = None
) -> Record:
    """Return how packages differ: from the cheapest, position by position."""
    return {
        "at_least": different.least,
        "big_choices": [
            {"family": big.family, "attribute": big.attribute, "positions": list(big.positions)}
            for big in different.big
        ],
        "packages": [
            {
                "proven": different.proven[number],
                "differs_at": [
                    {
                        "position": position,
                        "part": part_key(package.choice[position]),
                        "instead_of": part_key(different.packages[0].choice[position]),
                    }
                    for position in big_positions(evaluation, different, number)
                ],
                "says": different_words(evaluation, different, number, system),
            }
            for number, package in enumerate(different.packages)
        ],
    }
