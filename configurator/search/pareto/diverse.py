"""A few packages that really differ: each the cheapest that is far enough from those before it.

Neighbours in price differ in a nut. What makes packages different are the *big choices*: the
families whose parts most other positions hang on, each told by the one attribute through which
they do (of tyres the overall diameter, of hubs the drop). Two packages differ in a big choice where
at one of its positions this attribute is apart by at least a fifth of what the job still leaves
there and by at least a twentieth of what the lists span, or where one has a part and the other has
none: 843 beside 840 mm are one size to whoever drives on them, even where the job leaves no others.
Their difference is the number of big choices in which they differ.

The cheapest package that differs from each of some others in so many big choices is found by
branching: which of them differ, which agree. Every branch is a mask over options, its price a
forward pass; the cheapest branch is looked at first, so the first package that is different enough
is proven to be the cheapest.
"""

from __future__ import annotations

import heapq
import itertools
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from configurator.model.knowledge import checked_rules, references
from configurator.model.parts import NOTHING, Missing
from configurator.model.references import FigureValue, PartValue
from configurator.search.optimum import price_ceiling, queries, sure_ceilings
from configurator.search.optimum.preparing import Question
from configurator.search.optimum.price_ceiling import Within
from configurator.search.optimum.restricted_optimum import PATIENCE, Deciding

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from numpy.typing import NDArray

    from configurator.evaluation.evaluator import Evaluation, Option
    from configurator.model.parts import Value
    from configurator.model.references import Reference

    Choice = Mapping[str, Option]
    Masks = Mapping[str, NDArray[np.bool_]]

# How many big choices are told apart, and in how many of them packages must differ.
BIG = 6
LEAST = 2
# A family is a big choice if so many positions hang on it, as a share of the family with most.
HEAVY = 0.3
# Share of what a job leaves of an attribute from which two values are called different.
APART = 0.2
# Branches that are looked at before a package is called the best found.
BRANCHES = 400


@dataclass(frozen=True, slots=True)
class BigChoice:
    """A family that much hangs on.

    Parameters
    ----------
    family
        Its key.
    attribute
        By which its parts are told apart.
    positions
        Where they go.
    apart
        From which difference on two numbers differ [SI].
    """

    family: str
    attribute: str
    positions: tuple[str, ...]
    apart: float


@dataclass(frozen=True, slots=True)
class DiversePackage:
    """The cheapest package of its kind.

    ``proven`` is False where the search ran out of patience: then a cheaper one may exist that is
    as different.
    """

    price: int
    choice: Choice
    proven: bool


def big_choices(question: Question) -> list[BigChoice]:
    """Find the families that most positions hang on, among those the job leaves a choice in.

    Parameters
    ----------
    question
        The case, and whose goals count.
    """
    evaluation = question.evaluation
    tied = _tied(evaluation)
    previews = queries.previews(question)
    best: dict[str, tuple[int, str]] = {}
    for (position, attribute), others in tied.items():
        family = evaluation.families[position].key
        # Of two attributes that tie as many, the last by name: the same on every run.
        best[family] = max(best.get(family, (0, "")), (len(others), attribute))
    heaviest = max((weight for weight, _ in best.values()), default=0)
    ranked: list[tuple[int, str, BigChoice]] = []
    for family, (weight, attribute) in best.items():
        positions = tuple(p for p, f in evaluation.families.items() if f.key == family)
        values: list[Value] = []
        listed: list[Value] = []
        for position in positions:
            prices = previews.prices[position]
            for option, price in zip(question.model.options[position], prices, strict=True):
                listed.append(evaluation.attribute(option, attribute))
                if price >= 0 and (question.job.budget is None or price <= question.job.budget):
                    values.append(listed[-1])
        alike = question.prepared.limits.alike_share
        apart = max(APART * _span(values), alike * _span(listed))
        choice = BigChoice(family, attribute, positions, apart)
        unlike = _span(values) >= apart or any(isinstance(value, Missing) for value in values)
        distinct = len(set(map(str, values))) > 1 and unlike
        if distinct and weight >= heaviest * HEAVY:
            ranked.append((-weight, family, choice))
    ranked.sort(key=lambda item: item[:2])
    return [choice for _, _, choice in ranked[:BIG]]


def _span(values: Sequence[Value]) -> float:
    """Difference between the largest and the smallest number among values [SI]."""
    numbers = [float(value) for value in values if isinstance(value, int | float)]
    return max(numbers) - min(numbers) if numbers else 0.0


def _tied(evaluation: Evaluation) -> dict[tuple[str, str], set[str]]:
    """For each attribute of each position the positions that some rule ties to it."""
    tied: dict[tuple[str, str], set[str]] = {}
    for rule in checked_rules(evaluation.trade):
        if evaluation.late(rule):
            continue  # sums tie everything to everything
        read = {entry for reference in references(rule) for entry in _read(evaluation, reference)}
        positions = {position for position, _ in read}
        for item in read:
            if len(positions) > 1 and item[1] not in ("changed", "present"):
                tied.setdefault(item, set()).update(positions)
    return tied


def _read(evaluation: Evaluation, reference: Reference) -> Iterator[tuple[str, str]]:
    if isinstance(reference, PartValue):
        yield reference.position, reference.attribute
    elif isinstance(reference, FigureValue) and not reference.before:
        for inner in references(evaluation.definition(reference.name)):
            yield from _read(evaluation, inner)


def differs_at(evaluation: Evaluation, big: BigChoice, option: Option, other: Option) -> bool:
    """Whether two options of a position differ in a big choice.

    Parameters
    ----------
    evaluation
        The case.
    big
        The choice that their position belongs to.
    one, other
        Options of the same position.
    """
    if option.key == other.key:
        return False
    if (option.key == NOTHING) != (other.key == NOTHING):
        return True
    first = evaluation.attribute(option, big.attribute)
    second = evaluation.attribute(other, big.attribute)
    if isinstance(first, Missing) or isinstance(second, Missing):
        return False
    if isinstance(first, int | float) and isinstance(second, int | float):
        return first != second and abs(first - second) >= big.apart * (1 - 1e-9)
    return first != second


def differing(
    evaluation: Evaluation, every: Sequence[BigChoice], choice: Choice, other: Choice
) -> list[BigChoice]:
    """List the big choices in which two packages differ: their number is the difference."""
    return [
        big
        for big in every
        if any(differs_at(evaluation, big, choice[p], other[p]) for p in big.positions)
    ]


def kinds(
    question: Question,
    every: Sequence[BigChoice],
    least: int = LEAST,
) -> Iterator[DiversePackage]:
    """Give the cheapest package, then again and again the cheapest that differs from all before.

    Parameters
    ----------
    question
        The case, and whose goals count; the budget does too.
    every
        The big choices.
    least
        In how many of them a package differs from each one before it.

    Yields
    ------
    Kind
        Ever dearer ones, as far as there are any within the budget.
    """
    before: list[Choice] = []
    for within in _circuits(question):
        inside = Question(within.prepared, question.job)
        search = _DiverseSearch(inside, every, least)
        while True:
            match = search.next(before)
            if match is None or not within.has(match.price):
                break
            yield match
            before.append(match.choice)
        if within.ceiling is None:
            return
        if question.job.budget is not None and within.has(question.job.budget):
            return


def _circuits(question: Question) -> Iterator[Within]:
    """Give circuits in which packages are looked for: of long lists, up to ceilings first."""
    apart = sure_ceilings.apart(question)
    if apart:
        yield from sure_ceilings.ceilings(question)
    elif question.prepared.loose is not None:
        yield from price_ceiling.ceilings(question)
    if not apart:  # what is dearer than ceilings; where certainty is not marked, nothing is known
        yield Within(question.prepared, None)


@dataclass(frozen=True, slots=True)
class _Branch:
    """Packages by what was decided: for each earlier package, in which choices they differ."""

    masks: Masks
    differ: tuple[frozenset[str], ...]
    agree: tuple[frozenset[str], ...]


class _DiverseSearch:
    def __init__(self, question: Question, every: Sequence[BigChoice], least: int) -> None:
        self.question = question
        self.every = every
        self.least = least
        self.deciding = Deciding(question, PATIENCE)

    def next(self, before: Sequence[Choice]) -> DiversePackage | None:
        ticket = itertools.count()
        # Price, a number that keeps ties in order, the branch, its cheapest package, whether
        # that keeps everything decided on whole packages, and whether it is proven.
        waiting: list[tuple[int, int, _Branch, Choice, bool, bool]] = []

        def add(branch: _Branch) -> None:
            first = self.deciding.on_circuit(self.question.job, branch.masks)
            if first is not None:
                price, choice = first
                keeps = self.deciding.keeps(self.question.job, choice)
                heapq.heappush(waiting, (price, next(ticket), branch, choice, keeps, True))

        none: tuple[frozenset[str], ...] = (frozenset(),) * len(before)
        add(_Branch({}, none, none))
        sure, looked = True, 0
        while waiting and looked < BRANCHES:
            price, _, branch, choice, keeps, proven = heapq.heappop(waiting)
            looked += 1
            if self.question.job.budget is not None and price > self.question.job.budget:
                return None
            alike = self._too_alike(choice, before)
            if alike is not None:
                for child in self._split(branch, choice, before, alike):
                    add(child)
            elif keeps:
                return DiversePackage(price, choice, sure and proven)
            else:
                cheapest = self.deciding.cheapest(self.question.job, branch.masks)
                if cheapest.price is not None and cheapest.choice is not None:
                    again = (
                        cheapest.price,
                        next(ticket),
                        branch,
                        cheapest.choice,
                        True,
                        cheapest.proven,
                    )
                    heapq.heappush(waiting, again)
                elif not cheapest.proven:
                    sure = False  # nothing found here, nor shown that there is nothing
        return None

    def _too_alike(self, choice: Choice, before: Sequence[Choice]) -> int | None:
        for number, other in enumerate(before):
            differences = differing(self.question.evaluation, self.every, choice, other)
            if len(differences) < self.least:
                return number
        return None

    def _split(
        self, branch: _Branch, choice: Choice, before: Sequence[Choice], number: int
    ) -> Iterator[_Branch]:
        """Decide on one choice more in which a package agrees with one before it."""
        other = before[number]
        evaluation = self.question.evaluation
        decided = branch.differ[number] | branch.agree[number]
        apart = {big.family for big in differing(evaluation, self.every, choice, other)}
        big = next(
            (b for b in self.every if b.family not in decided and b.family not in apart), None
        )
        if big is None:
            return
        masks = branch.masks
        for position in big.positions:
            differs = np.array(
                [
                    differs_at(evaluation, big, option, other[position])
                    for option in self.question.model.options[position]
                ],
                np.bool_,
            )
            yield _Branch(
                _narrowed(masks, position, differs),
                _with(branch.differ, number, big.family),
                branch.agree,
            )
            masks = _narrowed(masks, position, ~differs)
        agree = _with(branch.agree, number, big.family)
        if len(agree[number]) <= len(self.every) - self.least:
            yield _Branch(masks, branch.differ, agree)


def _narrowed(masks: Masks, position: str, more: NDArray[np.bool_]) -> Masks:
    return {**masks, position: masks[position] & more if position in masks else more}


def _with(sets: tuple[frozenset[str], ...], number: int, family: str) -> tuple[frozenset[str], ...]:
    return (*sets[:number], sets[number] | {family}, *sets[number + 1 :])
