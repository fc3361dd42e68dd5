"""Find the position or the part that somebody names on the command line."""

from __future__ import annotations

from typing import TYPE_CHECKING

from configurator.cli.refusing import bad
from configurator.core.errors import nearest
from configurator.core.text import shown
from configurator.model.former_names import name_now
from configurator.model.parts import FITTED, NOTHING

if TYPE_CHECKING:
    from configurator.evaluation.evaluator import Evaluation, Option


def known_position(evaluation: Evaluation, name: str, asked: str = "--position") -> str:
    """Return the position of a name; ``asked`` is the option that it was given to.

    Raises
    ------
    InputError
        If there is none.
    """
    former = evaluation.trade.former_names
    if (new := name_now(name, former, evaluation.families)) in evaluation.families:
        return new
    listed = f"use one of: {', '.join(evaluation.families)}"
    raise bad(
        where=asked,
        what=f"there is no position {shown(name)}",
        do=nearest(name, evaluation.families, otherwise=listed),
    )


def options_named(
    evaluation: Evaluation, part: str, position: str | None, asked: str = "--part"
) -> list[Option]:
    """Return the options that a part's key or number means, one per position it fits.

    Parameters
    ----------
    evaluation
        The case.
    part
        ``"<catalog>/<part number>"``, the part number alone where only one catalog has it,
        ``"fitted"`` or ``"none"``.
    position
        The only position to look at, if any.
    asked
        The option of the command that the part was given to.

    Raises
    ------
    InputError
        If there is no such part, or it goes nowhere near the position.
    """
    where = [position] if position is not None else list(evaluation.families)
    every = [option for place in evaluation.families for option in evaluation.options(place)]
    keys = {option.key for option in every}
    key = part
    if part not in keys and part not in (FITTED, NOTHING):
        matching = sorted(item for item in keys if item.partition("/")[2] == part)
        if not matching:
            raise bad(
                where=asked,
                what=f"there is no part {shown(part)} in the catalogs of this job",
                do=nearest(part, keys, otherwise="write <catalog>/<part number>"),
            )
        if len(matching) > 1:
            raise bad(
                where=asked,
                what=f"several catalogs have {shown(part)}",
                do=f"use one of: {', '.join(matching)}",
            )
        key = matching[0]
    if key in (FITTED, NOTHING) and position is None:
        raise bad(
            where=asked,
            what=f"{key!r} means one thing at each position",
            do="add --position NAME",
        )
    options = [option for option in every if option.key == key and option.position in where]
    if not options:
        places = sorted({option.position for option in every if option.key == key})
        do = f"it goes to: {', '.join(places)}" if places else "ask about another part"
        raise bad(where=asked, what=f"{shown(part)} is not an option for {position!r}", do=do)
    return options


def choice_named(evaluation: Evaluation, text: str, asked: str) -> Option:
    """Return the option that ``POSITION=PART`` means; ``asked`` is the option it was given to.

    Raises
    ------
    InputError
        If it names no part, or there is no such part there.
    """
    position, equals, part = text.partition("=")
    if not equals:
        raise bad(where=asked, what=f"{shown(text)} names no part", do="write POSITION=PART")
    place = known_position(evaluation, position.strip(), asked)
    return options_named(evaluation, part.strip(), place, asked)[0]
