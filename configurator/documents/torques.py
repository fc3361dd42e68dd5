"""Tightening torques and when to tighten again: only what a maker gives, with where it is from."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from configurator.core.filled_text import FilledText
from configurator.documents import workshop_templates as say
from configurator.model.parts import FITTED, NOTHING

if TYPE_CHECKING:
    from collections.abc import Mapping

    from configurator.documents.number_style import Writing
    from configurator.evaluation.evaluator import Option

TORQUE, SOURCE, AGAIN = "tightening torque", "torque from", "tighten again after"
# Held by the rim, by nothing that is tightened.
WITHOUT = frozenset({"tyres"})
# Off and on again with every wheel, whatever else is done.
ALWAYS = frozenset({"nuts"})


@dataclass(frozen=True, slots=True)
class Torque:
    """What is known of the fasteners of a part; None where nobody gives it.

    ``torque`` in newton metres, ``again`` in metres driven.
    """

    position: str
    title: str
    torque: float | None
    again: float | None
    source: str


def torques_of(choice: Mapping[str, Option]) -> list[Torque]:
    """List the parts whose fasteners are tightened: the new ones, and the wheel nuts."""
    torques = []
    for position, option in choice.items():
        part = option.part
        torque, again = (_number(option, name) for name in (TORQUE, AGAIN))
        wanted = option.changed or part.family in ALWAYS
        if option.key == NOTHING or part.family in WITHOUT or not wanted:
            continue
        given = torque is not None or again is not None
        torques.append(
            Torque(position, part.title, torque, again, source_of(option) if given else "")
        )
    return torques


def source_of(option: Option) -> str:
    """Say where the values of a part are from: the instruction it names, else its list."""
    named = option.part.values.get(SOURCE)
    if isinstance(named, str) and named:
        return named
    if option.key == FITTED:
        return FilledText(say.FROM_VEHICLE, {"place": option.part.place})
    catalog = option.key.partition("/")[0]
    return FilledText(say.FROM_CATALOG, {"catalog": catalog, "place": option.part.place})


def source_words(torque: Torque, how: Writing) -> str:
    """Say where a torque is from, in the reader's language where the words are ours."""
    return how.text(torque.source) if isinstance(torque.source, FilledText) else torque.source


def _number(option: Option, name: str) -> float | None:
    value = option.part.values.get(name)
    return float(value) if isinstance(value, int | float) else None
