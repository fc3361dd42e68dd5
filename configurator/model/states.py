"""The states in which a vehicle is judged, and what parts move.

A vehicle that stands level on its springs passes rules that it breaks with an axle hanging or the
wheels turned. So a rule says in which states it holds (``states=("full droop",)``), or why a state
does not concern it (``not_in={"full lock": "..."}``), and a measure says what moves it
(``moves_with=("travel",)``). A rule that reads only what does not move need say nothing.

Examples
--------
>>> [state.name for state in states_named("lock")]
['full lock left', 'full lock right']
>>> states_named("full bumb")
Traceback (most recent call last):
ValueError: there is no state 'full bumb'; did you mean 'full bump'?
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from configurator.core.errors import nearest

if TYPE_CHECKING:
    from collections.abc import Mapping


@dataclass(frozen=True, slots=True)
class State:
    """What suspension, steering and load do while a vehicle is judged.

    Parameters
    ----------
    name
        As rules and answers say it.
    motion
        What has moved since the vehicle was measured: ``"travel"`` of the axles, ``"lock"`` of the
        steering, ``"load"``; empty for the state in which it was measured.
    meaning
        One sentence.
    when
        As it stands at the end of a sentence: *at full droop*.
    """

    name: str
    motion: str
    meaning: str
    when: str


RIDE_HEIGHT = "ride height"
STATES = (
    State(RIDE_HEIGHT, "", "Level, wheels straight ahead, loaded as it is used.", "at ride height"),
    State(
        "full bump",
        "travel",
        "Both wheels of an axle up until the stops are pressed flat.",
        "at full bump",
    ),
    State(
        "full droop",
        "travel",
        "Both wheels down until shock absorbers or straps hold the axle.",
        "at full droop",
    ),
    State(
        "cross-axle twist",
        "travel",
        "One wheel of an axle at full bump, the other at droop.",
        "in cross-axle twist",
    ),
    State("full lock left", "lock", "Steered to the left until the stop.", "at full lock"),
    State("full lock right", "lock", "Steered to the right until the stop.", "at full lock"),
    State("lightly laden", "load", "The driver alone.", "lightly laden"),
    State("fully laden", "load", "At the permitted axle loads.", "fully laden"),
)
MOTIONS = ("travel", "lock", "load")
# What a part may move: the places that measures are taken at (``of``).
MOVED = (
    "wheel centre",
    "brake hose end",
    "wheel-speed sensor",
    "steering arm",
    "axle against the body",
    "propshaft end",
    "caster",
    "body",
)


def states_named(name: str) -> tuple[State, ...]:
    """Return the state of a name, or all states of a motion.

    Raises
    ------
    ValueError
        If there is no such state or motion, with the nearest.
    """
    named = tuple(state for state in STATES if name in (state.name, state.motion))
    if not name or not named:
        known = [*(state.name for state in STATES), *MOTIONS]
        message = f"there is no state {name!r}; {nearest(name, known)}"
        raise ValueError(message)
    return named


def checked_states(names: tuple[str, ...]) -> tuple[str, ...]:
    """Spell out names of states and motions as states, each once and in their order.

    Raises
    ------
    ValueError
        If there is no such state or motion.
    """
    named = {state.name for name in names for state in states_named(name)}
    return tuple(state.name for state in STATES if state.name in named)


def checked_motions(names: tuple[str, ...] | None) -> None:
    """Refuse a motion that is none of `MOTIONS`.

    Raises
    ------
    ValueError
        With the nearest motion.
    """
    for name in names or ():
        if name not in MOTIONS:
            message = f"nothing moves with {name!r}; {nearest(name, MOTIONS)}"
            raise ValueError(message)


@dataclass(frozen=True, slots=True)
class Moves:
    """What the parts of a family move, and how far.

    Parameters
    ----------
    thing
        One of `MOVED`.
    by
        Attributes of the family that say how far, or where to.
    unread
        Measure that is taken to the thing → why no rule reads it together with what moves it;
        ``{axle}`` in its name stands for both, an empty name for every other measure.
    """

    thing: str
    by: tuple[str, ...] = ()
    unread: Mapping[str, str] = field(default_factory=dict, hash=False)

    def __post_init__(self) -> None:
        """Refuse a thing that is none of `MOVED`."""
        if self.thing not in MOVED:
            message = f"nothing moves {self.thing!r}; {nearest(self.thing, MOVED)}"
            raise ValueError(message)
