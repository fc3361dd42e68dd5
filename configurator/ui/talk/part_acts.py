"""What a tap means for parts, and for whole packages."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from configurator.model.parts import FITTED, NOTHING
from configurator.questions import edits
from configurator.ui.talk import (
    alternatives,
    clash_data,
    held_packages,
    idea_data,
    part_filters,
    typed,
)
from configurator.ui.talk import talk_words as say
from configurator.ui.talk.act_arguments import number_of, text_of

if TYPE_CHECKING:
    from collections.abc import Callable

    from configurator.ui.talk.act_arguments import Sent
    from configurator.ui.visit import Visit


def _option(visit: Visit, act: Sent) -> tuple[str, str] | None:
    position, key = text_of(act, "position"), text_of(act, "part")
    if not visit.talk.knows_cheapest:
        return None
    evaluation = visit.talk.evaluation
    if position not in evaluation.families:
        return None
    there = any(option.key == key for option in evaluation.options(position))
    return (position, key) if there else None


def _fix(visit: Visit, act: Sent) -> None:
    option = _option(visit, act)
    if option is None:
        return
    position, key = option
    evaluation = visit.talk.evaluation
    if key == FITTED:
        visit.change(edits.keep(visit.job, position), f"leave the {position} unchanged")
    else:
        step = f"choose {say.chosen_words(evaluation, position, key)}"
        visit.change(edits.fix(visit.job, position, key), step)


def _free(visit: Visit, act: Sent) -> None:
    position = text_of(act, "position")
    visit.change(edits.free(visit.job, position), f"unlock the {position}")


def _out(visit: Visit, act: Sent) -> None:
    option = _option(visit, act)
    if option is not None and option[1] not in (FITTED, NOTHING):
        title = say.part_title(visit.talk.evaluation, option[1])
        visit.change(edits.rule_out(visit.job, option[1]), f"rule out {title}")


def _allow(visit: Visit, act: Sent) -> None:
    key = text_of(act, "part")
    visit.change(edits.allow(visit.job, key), f"allow {key} again")


def _why(visit: Visit, act: Sent) -> None:
    option = _option(visit, act)
    if option is not None:
        clash_data.ask(visit, *option)


def _repair(visit: Visit, act: Sent) -> None:
    clash_data.apply(visit, number_of(act, "number"))


def _proof(visit: Visit, act: Sent) -> None:
    del act
    task = visit.tasks.get("why")
    if task is not None and task.state != "running":
        del visit.tasks["why"]
    visit.proof = visit.why is not None


def _close_why(visit: Visit, act: Sent) -> None:
    del act
    clash_data.close(visit)


def _idea(visit: Visit, act: Sent) -> None:
    option = _option(visit, act)
    if option is not None:
        idea_data.look(visit, *option)


def _close_idea(visit: Visit, act: Sent) -> None:
    del act
    idea_data.close(visit)


def _hold_idea(visit: Visit, act: Sent) -> None:
    del act
    idea_data.hold(visit)


def _filter(visit: Visit, act: Sent) -> None:
    if not visit.talk.knows_cheapest:
        return
    how, number = text_of(act, "how"), number_of(act, "number")
    if how == "open":
        part_filters.open_filter(visit, text_of(act, "position"))
    elif how == "put" and number >= 0:
        part_filters.put_condition(
            visit, number, text_of(act, "of"), text_of(act, "way"), text_of(act, "text")
        )
    elif how == "drop":
        part_filters.drop_condition(visit, number)
    elif how == "close":
        visit.look_up = ("", ())


# -- packages -----------------------------------------------------------------------------------


def _hold(visit: Visit, act: Sent) -> None:
    del act
    cheapest = visit.talk.cheapest()
    if cheapest.choice is not None:
        name = held_packages.called(visit.talk.history)
        held_packages.hold(visit, name, cheapest.choice)


def _hold_other(visit: Visit, act: Sent) -> None:
    alternatives.hold(visit, number_of(act, "number"))


def _take_other(visit: Visit, act: Sent) -> None:
    alternatives.take(visit, number_of(act, "number"))


def _drop(visit: Visit, act: Sent) -> None:
    number = number_of(act, "number")
    if 0 <= number < len(visit.beside):
        del visit.beside[number]


def _rename(visit: Visit, act: Sent) -> None:
    number, name = number_of(act, "number"), " ".join(text_of(act, "text").split())
    others = {held.name for k, held in enumerate(visit.beside) if k != number}
    if not 0 <= number < len(visit.beside) or not name:
        return
    if name in others:
        message = "another package has this name; write a different one"
        raise typed.NotReadError(message)
    visit.beside[number] = replace(visit.beside[number], name=name[: held_packages.LONGEST])


def _take_held(visit: Visit, act: Sent) -> None:
    """Go on with a package that is compared: what it changes is chosen."""
    number = number_of(act, "number")
    if not 0 <= number < len(visit.beside):
        return
    held, evaluation = visit.beside[number], visit.talk.evaluation
    choice = held_packages.as_it_is_now(evaluation, held)
    if choice is None:
        return
    job = visit.job
    for position, option in choice.items():
        if option.changed:
            job = edits.fix(job, position, option.key)
        elif option.key != NOTHING:
            job = edits.keep(job, position)
    visit.change(job, f"use {held.name[0].lower()}{held.name[1:]}")


def _others(visit: Visit, act: Sent) -> None:
    del act
    alternatives.look(visit)


PART_ACTS: dict[str, Callable[[Visit, Sent], None]] = {
    "fix": _fix, "free": _free, "out": _out, "allow": _allow, "why": _why, "repair": _repair,
    "close why": _close_why, "proof": _proof, "filter": _filter, "hold": _hold,
    "hold other": _hold_other,
    "take other": _take_other, "drop": _drop, "rename": _rename, "take held": _take_held,
    "others": _others, "idea": _idea, "close idea": _close_idea, "hold idea": _hold_idea,
}  # fmt: skip
