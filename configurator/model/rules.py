"""What plugins declare about parts: figures, limits, fits, totals, operations, cautions.

A rule is a plain function with a name that a mechanic would say. Its inputs are declared as the
defaults of its parameters and arrive as arguments, so it can be read, tested and called like any
other function::

    @limit("the {axle} tyre clears the arch at full bump", unit="mm", at_least=0.0,
           because="a tyre that grows by d needs d/2 more room above the hub", source="geometry")
    def arch_gap(room: float = vehicle("{axle} arch room"), radius: float = computed("tyre
    radius")):
        return room - radius

``{axle}`` in the name makes two rules of it, front and rear; ``{state}`` makes one for each of its
``states``.

What is missing: a parameter whose annotation allows ``None`` receives None for it and the rule
decides; otherwise the function is not called. A rule that reads a position with nothing fitted does
not apply; a rule that reads an unknown value is *not checked*, and said so. A function that
returns None says that the rule does not apply.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, Any, Literal

from configurator.model.parts import AXLES
from configurator.model.references import (
    ConditionValue,
    FigureValue,
    FittedValue,
    Input,
    PartValue,
    PracticeValue,
    VehicleValue,
)

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from configurator.model.references import Bound


# The name of a figure in the words of a caution.
PLACEHOLDER = re.compile(r"\{([^{}]+)\}")

Rounding = Literal["down", "up", "nearest"]

# What a rule is about. Of the first three an answer says how sure they are within usual tolerances;
# of the others the factor or the maker's rating is the reserve, or nothing breaks.
CONCERNS = {
    "law": "what a regulation asks",
    "plate": "what the plate or a weighed load permits",
    "contact": "parts that must not touch",
    "rating": "a maker's rating against a conventional load",
    "strength": "strength, with a factor of its own",
    "fit": "nominal sizes that belong together",
    "change": "no worse than before",
    "comfort": "comfort and custom: what should be, not what must",
}
TOLD_HOW_SURE = ("law", "plate", "contact")
# What a job may lift by name, with a reason; everything else must hold.
MAY_BE_LIFTED = ("comfort",)


@dataclass(frozen=True, slots=True)
class Figure:
    """A number worked out from parts, vehicle and conditions.

    Parameters
    ----------
    name
        As goals ask for it.
    unit
        In which it is shown; empty for a plain number.
    function, inputs
        How it is worked out, in SI.
    resolution
        Step to which it is rounded, in ``unit``: part of its definition; 0 for none.
    rounding
        Towards which side it is rounded: the one that is safe for the limits that read it.
    meaning, source
        In words.
    states
        In which of the vehicle's states its value holds; empty where nothing that it reads moves.
    not_in
        State or motion → why it says nothing about it.
    least_of
        Figures of which it is the least; answers name the one that it is.
    regardless
        Position, or attribute of it, that a measure was taken with → why another part there does
        not matter to this rule.
    tolerance
        By how much the figure itself is an estimate, whatever it is worked out from:
        ``"15 mm"``, ``"2 %"``; empty where it follows from what it reads.
    """

    name: str
    unit: str
    function: Callable[..., Any]
    inputs: tuple[Input, ...]
    resolution: float = 0.0
    rounding: Rounding = "nearest"
    meaning: str = ""
    source: str = ""
    plugin: str = ""
    states: tuple[str, ...] = ()
    not_in: tuple[tuple[str, str], ...] = ()
    least_of: tuple[str, ...] = ()
    regardless: tuple[tuple[str, str], ...] = ()
    tolerance: str = ""

    def __call__(self, *args: Any, **kwargs: Any) -> Any:
        """Call the function as it was written."""
        return self.function(*args, **kwargs)


@dataclass(frozen=True, slots=True)
class Limit:
    """A number that must keep a bound: *has 412 mm, needs 432 mm*.

    ``at_least`` and ``at_most`` are in ``unit``, or references to where the bound stands.

    ``name`` is the sentence that says why a part is impossible; ``quantity`` what a table calls
    the number, a short noun phrase: *drag link buckling, safety factor*. Without one the table
    has the sentence. ``exact_fit`` says that the bound is met exactly or not at all, as a count
    is: lists of the tightest margins leave it out.
    ``concerns`` says what breaks, one of `CONCERNS`: it decides whether an answer says how sure
    it is within usual tolerances, and whether a job may lift it.
    """

    name: str
    unit: str
    function: Callable[..., Any]
    inputs: tuple[Input, ...]
    at_least: Bound | None = None
    at_most: Bound | None = None
    because: str = ""
    source: str = ""
    plugin: str = ""
    states: tuple[str, ...] = ()
    not_in: tuple[tuple[str, str], ...] = ()
    regardless: tuple[tuple[str, str], ...] = ()
    quantity: str = ""
    exact_fit: bool = False
    concerns: str = ""

    def __call__(self, *args: Any, **kwargs: Any) -> Any:
        """Call the function as it was written."""
        return self.function(*args, **kwargs)


@dataclass(frozen=True, slots=True)
class Fit:
    """A yes or no where there is no number: PCDs, splines, mounts."""

    name: str
    function: Callable[..., Any]
    inputs: tuple[Input, ...]
    because: str = ""
    source: str = ""
    plugin: str = ""
    states: tuple[str, ...] = ()
    not_in: tuple[tuple[str, str], ...] = ()
    regardless: tuple[tuple[str, str], ...] = ()
    concerns: str = ""

    def __call__(self, *args: Any, **kwargs: Any) -> Any:
        """Call the function as it was written."""
        return self.function(*args, **kwargs)


@dataclass(frozen=True, slots=True)
class Total:
    """A sum over everything on the vehicle.

    It starts from the vehicle as it stands (``start``); each position adds what its part
    contributes less what the fitted one did. ``at_least`` and ``at_most`` limit it.
    """

    name: str
    unit: str
    function: Callable[..., Any]
    inputs: tuple[Input, ...]
    start: Bound = 0.0
    at_least: Bound | None = None
    at_most: Bound | None = None
    meaning: str = ""
    because: str = ""
    source: str = ""
    plugin: str = ""
    states: tuple[str, ...] = ()
    not_in: tuple[tuple[str, str], ...] = ()
    concerns: str = ""

    def __call__(self, *args: Any, **kwargs: Any) -> Any:
        """Call the function as it was written."""
        return self.function(*args, **kwargs)


@dataclass(frozen=True, slots=True)
class Operation:
    """Work that is done once, however many parts ask for it.

    Parameters
    ----------
    name
        What is done, as on a job card.
    function, inputs
        Whether it is needed.
    hours
        Time it takes [hour]; 0 where it is within that of one that it follows or precedes.
    station
        Where in the workshop.
    after
        Names of operations that must be finished before this one, where they are done at all.
    uses
        Consumables and outside work: name → amount, or the figure that says how much, in its unit;
        the workshop's settings price them.
    check
        Whether it adjusts or checks what was built: bleeding, alignment, re-torque.
    system
        Under which heading a quotation lists it: *Brakes*.
    phase
        Name of the phase that it belongs to: it waits for all that is done in the phases before, at
        its axle or at none. Empty where only ``after`` counts.
    """

    name: str
    function: Callable[..., Any]
    inputs: tuple[Input, ...]
    hours: float
    station: str = ""
    after: tuple[str, ...] = ()
    uses: Mapping[str, float | FigureValue] = field(default_factory=dict)
    check: bool = False
    plugin: str = ""
    system: str = ""
    phase: str = ""

    def __call__(self, *args: Any, **kwargs: Any) -> Any:
        """Call the function as it was written."""
        return self.function(*args, **kwargs)


@dataclass(frozen=True, slots=True)
class Caution:
    """What must be said, inspected or approved when something is in the package.

    ``again`` holds what must be done on the road: after so many kilometres, what.

    ``says`` and ``inspect`` may hold the names of figures in braces, ``{speed shown}``; the value
    in the package stands there when it is said.
    """

    name: str
    function: Callable[..., Any]
    inputs: tuple[Input, ...]
    says: str
    inspect: str = ""
    approve: str = ""
    plugin: str = ""
    again: tuple[tuple[float, str], ...] = ()

    @property
    def figures_in_words(self) -> tuple[str, ...]:
        """Names of the figures whose values its words hold."""
        return tuple(dict.fromkeys(PLACEHOLDER.findall(self.says + self.inspect)))

    def __call__(self, *args: Any, **kwargs: Any) -> Any:
        """Call the function as it was written."""
        return self.function(*args, **kwargs)


Rule = Figure | Limit | Fit | Total | Operation | Caution


def for_axle(rule: Rule, axle: str) -> Rule:
    """Put ``front`` or ``rear`` for ``{axle}`` everywhere in a rule."""
    return _filled(rule, "{axle}", axle)


def for_state(rule: Figure | Limit | Fit | Total, state: str) -> Rule:
    """Put a state for ``{state}`` everywhere in a rule, which then holds in no other."""
    others = tuple(
        (name, "another of its kind holds there") for name in rule.states if name != state
    )
    alone = replace(rule, states=(state,), not_in=(*rule.not_in, *others))
    return _filled(alone, "{state}", state)


def _filled(rule: Rule, placeholder: str, words: str) -> Rule:
    """Put words for a placeholder everywhere in a rule."""

    def put(value: Any) -> Any:
        if isinstance(value, str):
            return value.replace(placeholder, words)
        if isinstance(value, PartValue | FittedValue):
            return type(value)(put(value.position), value.attribute)
        if isinstance(value, VehicleValue | ConditionValue | PracticeValue):
            return type(value)(put(value.name))
        if isinstance(value, FigureValue):
            return replace(value, name=put(value.name))
        if isinstance(value, Input):
            return replace(value, reference=put(value.reference))
        if isinstance(value, dict):
            return {key: put(amount) for key, amount in value.items()}
        if isinstance(value, tuple):
            return tuple(put(item) for item in value)
        return value

    changes = {
        name: put(getattr(rule, name))
        for name in rule.__dataclass_fields__
        if name not in {"function"}
    }
    return replace(rule, **changes)


def spread(rules: list[Rule]) -> list[Rule]:
    """Make a rule of each axle and of each state where ``{axle}`` or ``{state}`` is in its name."""
    out: list[Rule] = []
    for rule in rules:
        of_axles = [for_axle(rule, axle) for axle in AXLES] if "{axle}" in rule.name else [rule]
        for each in of_axles:
            if "{state}" in each.name and not isinstance(each, Operation | Caution):
                out.extend(for_state(each, state) for state in each.states)
            else:
                out.append(each)
    return out
