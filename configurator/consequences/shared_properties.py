"""What options share: the property that all that remain have and the present part lacks."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from configurator.model.knowledge import references
from configurator.model.parts import NOTHING, Missing, Value, attributes_of
from configurator.model.references import EachValue, FigureValue, PartValue
from configurator.model.verdicts import TOLERANCE
from configurator.wording.quantities import words
from configurator.wording.sentences import unit_of

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from configurator.evaluation.evaluator import Evaluation, Option
    from configurator.model.rules import Rule

Bound = Literal["at least", "at most", "exactly", "with"]


@dataclass(frozen=True, slots=True)
class SharedProperty:
    """A property of parts at a position.

    Parameters
    ----------
    position, attribute
        What is looked at; ``present`` for whether there is a part at all.
    bound
        ``"at least"`` and ``"at most"`` for numbers, ``"exactly"`` for all but codes, ``"with"``
        for a code that must be among a part's codes.
    value
        In SI, the tightest that all remaining options keep.
    unit
        In which it is shown.
    """

    position: str
    attribute: str
    bound: Bound
    value: Value
    unit: str

    def of(self, evaluation: Evaluation, option: Option) -> bool:
        """Whether an option has it; one whose value is not known has not."""
        return self.keeps(evaluation.attribute(option, self.attribute))

    def keeps(self, value: Value) -> bool:
        """Whether a value has it."""
        if isinstance(value, Missing):
            return False
        if self.bound == "exactly":
            return value == self.value
        if self.bound == "with":
            return isinstance(value, frozenset) and self.value in value
        if isinstance(value, str | frozenset) or isinstance(self.value, str | frozenset | Missing):
            return False
        slack = TOLERANCE * max(1.0, abs(self.value))
        if self.bound == "at least":
            return value >= self.value - slack
        return value <= self.value + slack

    @property
    def exact_number(self) -> bool:
        """Whether it asks for one number, as fits do and limits do not."""
        return self.bound == "exactly" and type(self.value) in (int, float)

    def words(self, system: Literal["metric", "imperial"] | None = None) -> str:
        """Say it, as in *offset at least 19 mm*."""
        if self.attribute == "present":
            return "something fitted" if self.value else "nothing fitted"
        phrase = words(self.value, self.unit, system)
        between = " " if self.bound == "exactly" else f" {self.bound} "
        return f"{self.attribute}{between}{phrase}"


def kind_of(
    evaluation: Evaluation,
    position: str,
    options: Sequence[Option],
    left: Sequence[int],
    fitted: int,
    attribute: str,
    *,
    bounded: bool = False,
) -> SharedProperty | None:
    """Find the tightest property of an attribute that all remaining options have, the fitted not.

    Parameters
    ----------
    evaluation
        The case and the trade.
    position, options
        The position and everything that can be chosen there.
    left
        Numbers of the options that remain.
    fitted
        Number of the present part.
    attribute
        What to look at.
    bounded
        Whether to give a bound on numbers even where all are equal: for limits, which ask no more.
    """
    now = evaluation.attribute(options[fitted], attribute)
    values = [evaluation.attribute(options[n], attribute) for n in left]
    unit = unit_of(PartValue(position, attribute), evaluation.trade)
    if not values or now is Missing.UNKNOWN or any(isinstance(v, Missing) for v in values):
        return None
    number = isinstance(now, int | float) and not isinstance(now, bool)
    if all(value == values[0] for value in values) and not (bounded and number):
        kind = SharedProperty(position, attribute, "exactly", values[0], unit)
        return None if kind.keeps(now) else kind
    if isinstance(values[0], frozenset):
        common = frozenset.intersection(*(v for v in values if isinstance(v, frozenset)))
        lacking = sorted(common - (now if isinstance(now, frozenset) else frozenset()))
        return SharedProperty(position, attribute, "with", lacking[0], unit) if lacking else None
    numbers = [float(v) for v in values if isinstance(v, int | float)]
    if len(numbers) != len(values) or not isinstance(now, int | float):
        return None
    ends: tuple[tuple[Bound, float], ...] = (("at least", min(numbers)), ("at most", max(numbers)))
    for bound, value in ends:
        kind = SharedProperty(position, attribute, bound, value, unit)
        if not kind.keeps(now):
            return kind
    return None


def presence(
    options: Sequence[Option], left: Sequence[int], fitted: int, position: str
) -> SharedProperty | None:
    """Say that something, or nothing, must be fitted, where that is what remains."""
    there = {options[n].key != NOTHING for n in left}
    before = options[fitted].key != NOTHING
    if there == {not before}:
        return SharedProperty(position, "present", "exactly", not before, "")
    return None


def splitting_kinds(
    evaluation: Evaluation,
    position: str,
    options: Sequence[Option],
    left: Sequence[int],
    others: Sequence[int],
    fitted: int,
    attributes: Sequence[str],
) -> Iterator[tuple[SharedProperty, list[int]]]:
    """Give properties that the remaining options have and some others lack, most telling first.

    Yields
    ------
    tuple
        The property, and which of ``others`` lack it, the nearest to having it first.
    """
    properties = []
    both = [
        kind_of(evaluation, position, options, left, fitted, attribute, bounded=bounded)
        for attribute in attributes
        for bounded in (False, True)
    ]
    for kind in dict.fromkeys(both):
        if kind is None:
            continue
        lacking = [n for n in others if not kind.of(evaluation, options[n])]
        if lacking:
            properties.append(
                (kind, sorted(lacking, key=lambda n: _distance(evaluation, kind, options[n])))
            )
    yield from sorted(properties, key=lambda item: (-len(item[1]), item[0].attribute))


def _distance(evaluation: Evaluation, kind: SharedProperty, option: Option) -> tuple[float, str]:
    value = evaluation.attribute(option, kind.attribute)
    if isinstance(value, int | float) and isinstance(kind.value, int | float):
        return abs(float(value) - float(kind.value)), option.key
    return 0.0, option.key


def reads_at(evaluation: Evaluation, rule: Rule, position: str) -> Sequence[str]:
    """Name the attributes of a position that a rule reads, directly or through figures."""
    key = ("read at", type(rule).__name__, rule.name, position)
    if key not in evaluation.answers:
        evaluation.answers[key] = tuple(_reads_at(evaluation, rule, position))
    known: tuple[str, ...] = evaluation.answers[key]
    return known


def _reads_at(evaluation: Evaluation, rule: Rule, position: str) -> Sequence[str]:
    if position not in evaluation.reach(rule):
        return ()
    reads: dict[str, None] = {}
    family = evaluation.families[position]
    for reference in references(rule):
        if isinstance(reference, EachValue) and any(
            attribute.name == reference.attribute for attribute in attributes_of(family)
        ):
            reads[reference.attribute] = None
        if isinstance(reference, PartValue) and reference.position == position:
            reads[reference.attribute] = None
        elif isinstance(reference, FigureValue) and not reference.before:
            deeper = reads_at(evaluation, evaluation.definition(reference.name), position)
            reads.update(dict.fromkeys(deeper))
    reads.pop("changed", None)
    return list(reads)
