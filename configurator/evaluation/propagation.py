"""How far figures and margins may be off, by what is uncertain: first-order error propagation.

Every value that a rule reads comes from sources: attributes of parts, measures of the vehicle,
conditions, and figures that are themselves estimates. Each source may be off by its tolerance. The
effect of a source on a figure is its effect on each input times the slope of the figure's own
function there, added up; a source that reaches a figure by several ways counts once. Slopes are
taken on both sides, as wide as the input may be off, and the steeper one is kept: rules have
kinks. There slopes do not add up: a source that reaches one by several inputs moves them at once.

References
----------
JCGM 100:2008, Evaluation of measurement data: guide to the expression of uncertainty in
measurement, 5.1.2 (the law of propagation; from memory).
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any, TypeVar

from configurator.evaluation.slopes import is_bent, moved_together, one_sided_slopes
from configurator.model.parts import Missing
from configurator.model.references import (
    ConditionValue,
    EachValue,
    FigureValue,
    FittedValue,
    PartValue,
    Reference,
    VehicleValue,
)
from configurator.model.rules import Figure, Limit, Total
from configurator.model.tolerances import chance_of_missing, reserve_of

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence

    from configurator.evaluation.option import Option
    from configurator.evaluation.rule_functions import RuleFunctions
    from configurator.model.tolerances import Tolerance

# How many figures and margins are kept for packages alike in what these read: a few MB.
MOST_KEPT = 5_000

# Kind of source, its name, and the attribute or what else tells it apart.
Source = tuple[str, str, str]
Given = TypeVar("Given", Figure, Limit | Total)
Kept = TypeVar("Kept")


@dataclass(frozen=True, slots=True)
class Uncertain:
    """A value that is not rounded, and what moves it.

    Parameters
    ----------
    exact
        The value as the functions give it, nothing rounded on the way; text and codes as they are.
    effects
        Source → by how much the value changes if the source is off by its whole tolerance.
    """

    exact: Any
    effects: Mapping[Source, float] = field(default_factory=dict)

    @property
    def is_number(self) -> bool:
        """Whether it is a number, yes and no left aside."""
        return isinstance(self.exact, int | float) and not isinstance(self.exact, bool)


@dataclass(frozen=True, slots=True)
class UncertainMargin:
    """By how much a limit is kept before anything is rounded, and how far that may be off.

    Parameters
    ----------
    margin
        In SI; negative where the limit is broken.
    effects
        Source → by how much the margin changes if the source is off by its whole tolerance.
    allowed
        What of the bound is itself there for errors of measurement: it need not be kept twice.
    """

    margin: float
    effects: Mapping[Source, float]
    allowed: float = 0.0

    @property
    def reserve(self) -> float:
        """What the margin must be so that the limit is sure to hold."""
        return max(0.0, reserve_of(self.effects.values()) - self.allowed)

    @property
    def sure(self) -> bool:
        """Whether the limit holds within usual tolerances."""
        return self.margin >= self.reserve * (1.0 - 1e-9) - 1e-12

    @property
    def chance(self) -> float:
        """How often the limit would be broken, of packages built like this; 0 to 1."""
        return chance_of_missing(self.margin + self.allowed, self.effects.values())

    @property
    def decided_by(self) -> Source | None:
        """The source that moves the margin most; None where nothing does."""
        if not any(self.effects.values()):
            return None
        return max(sorted(self.effects), key=lambda source: abs(self.effects[source]))


class Propagation:
    """Works out how far figures and margins of a package may be off.

    Parameters
    ----------
    evaluation
        The rule functions, bound to vehicle and job.
    choice
        The package; the vehicle as it stands by default.
    """

    def __init__(
        self, evaluation: RuleFunctions, choice: Mapping[str, Option] | None = None
    ) -> None:
        self.evaluation = evaluation
        self.choice = evaluation.fitted if choice is None else choice
        self._stands = choice is None
        self._figures: dict[str, Uncertain] = {}
        self._margins: dict[str, tuple[Limit | Total, UncertainMargin | None]] = {}
        # Of all packages of this case: a rule, the options that it read, and what it came to.
        kept = evaluation.answers.setdefault(("propagation of packages alike",), {})
        self._alike: dict[tuple[Any, ...], tuple[Any, tuple[Option, ...], Any]] = kept

    @classmethod
    def of(cls, evaluation: RuleFunctions, choice: Mapping[str, Option]) -> Propagation:
        """Return that of a package; the last one that was asked for is kept.

        A package that was found is looked at again to be confirmed, graded and shown.
        """
        known = evaluation.answers
        last: Propagation | None = known.get(("propagation of a package",))
        if last is None or not _same(last.choice, choice):
            # A choice that its caller goes on changing must not change what is kept.
            last = known["propagation of a package",] = cls(evaluation, dict(choice))
        return last

    @classmethod
    def as_it_stands(cls, evaluation: RuleFunctions) -> Propagation:
        """Return that of the vehicle as it stands, kept for an evaluation."""
        known = evaluation.answers
        if ("propagation as it stands",) not in known:
            known["propagation as it stands",] = cls(evaluation)
        kept: Propagation = known["propagation as it stands",]
        return kept

    def before(self) -> Propagation:
        """Return the same for the vehicle as it stands."""
        return self if self._stands else Propagation.as_it_stands(self.evaluation)

    # -- values -------------------------------------------------------------------------------

    def value(self, reference: Reference) -> Uncertain:
        """Return any reference's value with what moves it."""
        evaluation = self.evaluation
        if isinstance(reference, PartValue):
            return self.attribute(self.choice[reference.position], reference.attribute)
        if isinstance(reference, FittedValue):
            return self.attribute(evaluation.fitted[reference.position], reference.attribute)
        if isinstance(reference, FigureValue):
            return (self.before() if reference.before else self).figure(reference.name)
        exact = evaluation.constant(reference)
        if isinstance(reference, VehicleValue):
            tolerance = evaluation.tolerances.of_measure(reference.name)
            return _source(exact, tolerance, ("vehicle", reference.name, ""))
        if isinstance(reference, ConditionValue):
            tolerance = evaluation.tolerances.of_condition(reference.name)
            return _source(exact, tolerance, ("condition", reference.name, ""))
        return Uncertain(exact)

    def attribute(self, option: Option, name: str) -> Uncertain:
        """Return an attribute of an option with what moves it."""
        exact = self.evaluation.attribute(option, name)
        tolerance = self.evaluation.tolerances.of_part(option.position, option.part, name)
        kind = "part" if option.changed else "fitted"
        return _source(exact, tolerance, (kind, option.position, name))

    def figure(self, name: str) -> Uncertain:
        """Return a figure or total, not rounded, with what moves it."""
        if name not in self._figures:
            rule = self.evaluation.definition(name)
            self._figures[name] = (
                self._total(rule)
                if isinstance(rule, Total)
                else self._of_alike("figure", rule, self._figure)
            )
        return self._figures[name]

    def _of_alike(self, what: str, rule: Given, work: Callable[[Given], Kept]) -> Kept:
        """Work something out, or give what it was for a package alike where the rule looks."""
        if self.evaluation.late(rule):  # it looks everywhere
            return work(rule)
        read: tuple[Option, ...] = tuple(
            self.choice[place] for place in self.evaluation.reach(rule)
        )
        # By identity, which is quick to compare: what is kept holds on to them.
        key = (what, rule.name, *map(id, read))
        known = self._alike.get(key)
        if known is None or known[0] is not rule:
            if len(self._alike) >= MOST_KEPT:
                self._alike.clear()
            known = self._alike[key] = rule, read, work(rule)
        kept: Kept = known[2]
        return kept

    def _figure(self, rule: Figure) -> Uncertain:
        inputs = [self.value(rule_input.reference) for rule_input in rule.inputs]
        worked = propagated(lambda values: self.evaluation.ask(rule, values), inputs)
        if worked.exact is None:  # it does not apply, and so does not what reads it
            return Uncertain(Missing.NOT_FITTED)
        tolerance = self.evaluation.tolerances.of_figure(rule.name)
        if tolerance is None or not worked.is_number or worked.exact in self.measures_of(rule):
            return worked
        # An estimate that comes out the same is the same estimate: it is off by as much.
        source = ("estimate", rule.name, f"{worked.exact:.9g}")
        return Uncertain(
            worked.exact, {**worked.effects, source: tolerance.half_width(worked.exact)}
        )

    def measures_of(self, rule: Figure) -> list[Any]:
        """Give the measures that a figure reads: what comes out as measured is no estimate."""
        read = [item.reference for item in rule.inputs]
        return [self.evaluation.constant(r) for r in read if isinstance(r, VehicleValue)]

    def _total(self, rule: Total) -> Uncertain:
        """Sum a total: what it starts from, and what each new part adds to it.

        What a part adds that is not known makes the whole sum unknown, as in `Evaluation.share`.
        """
        start = rule.start
        worked = (
            Uncertain(self.evaluation.bound(rule, start, self.choice))
            if isinstance(start, int | float)
            else self.value(start)
        )
        if not worked.is_number:
            return worked
        exact, effects = float(worked.exact), dict(worked.effects)
        for option in self.choice.values():
            if not option.changed:
                continue
            for sign, item in ((1.0, option), (-1.0, self.evaluation.fitted[option.position])):
                term = self.term(rule, item)
                if term.exact is Missing.UNKNOWN:
                    return Uncertain(Missing.UNKNOWN)
                if not term.is_number:  # it adds nothing
                    continue
                exact += sign * float(term.exact)
                for source, effect in term.effects.items():
                    effects[source] = effects.get(source, 0.0) + sign * effect
        return Uncertain(exact, effects)

    def term(self, rule: Total, option: Option) -> Uncertain:
        """Return what an option contributes to a total, with what moves it."""
        values = self.evaluation.term_values(rule, option)
        inputs = [
            self.attribute(option, rule_input.reference.attribute)
            if isinstance(rule_input.reference, EachValue)
            and rule_input.reference.attribute in option.part.values
            else Uncertain(value)
            for rule_input, value in zip(rule.inputs, values, strict=True)
        ]
        return propagated(lambda given: self.evaluation.call(rule, given), inputs)

    # -- margins ------------------------------------------------------------------------------

    def margin(self, rule: Limit | Total) -> UncertainMargin | None:
        """Return the tighter margin of a limit or bounded total; None where there is none."""
        known = self._margins.get(rule.name)
        # Another bound of the same name may be asked about: a total split into its two bounds.
        if known is None or known[0] is not rule:
            margin = self._of_alike("margin", rule, self._margin)
            known = self._margins[rule.name] = rule, margin
        return known[1]

    def _margin(self, rule: Limit | Total) -> UncertainMargin | None:
        if isinstance(rule, Total):
            has = self.figure(rule.name)
        else:
            inputs = [self.value(rule_input.reference) for rule_input in rule.inputs]
            has = propagated(lambda values: self.evaluation.ask(rule, values), inputs)
        margins = [
            margin
            for bound, sign in ((rule.at_least, 1.0), (rule.at_most, -1.0))
            if bound is not None
            for margin in [self._against(rule, has, bound, sign)]
            if margin is not None
        ]
        return min(margins, key=lambda one_side: one_side.margin - one_side.reserve, default=None)

    def _against(
        self, rule: Limit | Total, has: Uncertain, bound: Any, sign: float
    ) -> UncertainMargin | None:
        if isinstance(bound, int | float):
            held = Uncertain(self.evaluation.bound(rule, bound, self.choice))
        else:
            held = self.value(bound)
        if not (has.is_number and held.is_number):
            return None
        return UncertainMargin(
            sign * (float(has.exact) - float(held.exact)),
            difference(has.effects, held.effects),
            self.evaluation.tolerances.allowed_in(rule, bound),
        )


def _same(choice: Mapping[str, Option], other: Mapping[str, Option]) -> bool:
    return choice.keys() == other.keys() and all(choice[p] is other[p] for p in choice)


def difference(
    effects: Mapping[Source, float], taken: Mapping[Source, float]
) -> dict[Source, float]:
    """Return the effects on a difference: a source that moves both counts by what is left."""
    left = dict(effects)
    for source, effect in taken.items():
        left[source] = left.get(source, 0.0) - effect
    return left


def propagated(
    function: Callable[[tuple[Any, ...]], Any], inputs: Sequence[Uncertain]
) -> Uncertain:
    """Return what a function gives, with the effects of its inputs' sources on it."""
    values = tuple(item.exact for item in inputs)
    exact = function(values)
    if isinstance(exact, bool) or not isinstance(exact, int | float):
        return Uncertain(exact)
    effects: dict[Source, float] = {}
    widths: dict[int, float] = {}
    bent: set[int] = set()
    for number, item in enumerate(inputs):
        if not item.effects or not item.is_number:
            continue
        widths[number] = width = reserve_of(item.effects.values())
        slopes = one_sided_slopes(function, values, number, width, float(exact))
        slope = max(slopes, key=abs, default=0.0)
        if is_bent(slopes):
            bent.add(number)
        for source, effect in item.effects.items():
            effects[source] = effects.get(source, 0.0) + slope * effect
    for source in effects if bent else ():
        ways = {n: inputs[n].effects[source] for n in widths if inputs[n].effects.get(source)}
        if len(ways) > 1 and not bent.isdisjoint(ways):
            effects[source] = moved_together(function, values, ways, widths, float(exact))
    return Uncertain(exact, effects)


def _source(exact: Any, tolerance: Tolerance | None, source: Source) -> Uncertain:
    number = isinstance(exact, int | float) and not isinstance(exact, bool)
    if tolerance is None or not number:
        return Uncertain(exact)
    return Uncertain(exact, {source: tolerance.half_width(float(exact))})
