"""A package built in stages: each a vehicle that keeps every rule, and nothing bought twice.

For a given final package, a stage is the set of its parts that are fitted by then. Which sets keep
every rule is found by looking at all of them (python-constraint, two options at each position that
changes); which of them follow each other best, by looking at all chains within the budgets.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import islice, pairwise
from typing import TYPE_CHECKING

from configurator.core.progress import report
from configurator.evaluation.operations import needed, work_cost
from configurator.evaluation.packages import broken_rules
from configurator.search.optimum.verification import met_by, packages

if TYPE_CHECKING:
    from collections.abc import Sequence

    from configurator.evaluation.evaluator import Evaluation, Option
    from configurator.evaluation.packages import Package
    from configurator.model.jobs import Goal
    from configurator.model.rules import Operation

# Vehicles in between that are looked at for a package; where there are more, the answer is not
# proven.
MOST_VEHICLES = 4000

Parts = frozenset[str]
Misses = tuple[bool, ...]
# Goals missed stage by stage, idle stages, price, what is left for later: the least is the best.
Rank = tuple[tuple[Misses, ...], int, int, tuple[int, ...]]


@dataclass(frozen=True, slots=True)
class Stage:
    """What is fitted in a stage, what that costs, and what the vehicle then does.

    Parameters
    ----------
    positions
        Whose parts are fitted in this stage.
    price
        Of the stage: its parts and its work [minor units].
    work
        Of its work alone [minor units].
    operations
        Its work.
    met
        Goals of the job that the vehicle meets from then on, in the customer's order.
    left
        What of the budgets so far is not spent [minor units].
    met_before
        Goals that it met before the stage: one of them may be missed for a while.
    """

    positions: tuple[str, ...]
    price: int
    work: int
    operations: tuple[Operation, ...]
    met: tuple[Goal, ...]
    left: int
    met_before: tuple[Goal, ...] = ()


@dataclass(frozen=True, slots=True)
class PartStep:
    """What must be fitted with a part, at the least cost, and which rules ask for it.

    Parameters
    ----------
    position
        Of the part.
    others
        Positions that change with it in the cheapest vehicle in between that has it.
    price
        Of that step, from the vehicle as it stands [minor units].
    rules
        Names of the rules that the part alone would break.
    last
        Of the last step that fits it, all else that goes without it fitted before [minor units].
    """

    position: str
    others: tuple[str, ...]
    price: int
    rules: tuple[str, ...]
    last: int


@dataclass(frozen=True, slots=True)
class StagePlan:
    """A package in stages.

    Parameters
    ----------
    stages
        In order; empty if the package cannot be split so.
    once
        Price of the whole package built at once [minor units].
    twice
        Operations that are done in more than one stage.
    together
        For each part what it needs with it, the cheapest step first.
    proven
        Whether all vehicles in between were looked at.
    waiting_saves
        How much less all stages would cost if nothing were fitted where no goal hangs on it
        [minor units].
    """

    stages: tuple[Stage, ...]
    once: int
    twice: tuple[Operation, ...]
    together: tuple[PartStep, ...]
    proven: bool
    waiting_saves: int = 0

    @property
    def price(self) -> int:
        """Of all stages together [minor units]."""
        return sum(stage.price for stage in self.stages)


@dataclass(frozen=True, slots=True)
class BestSplit:
    """Of several packages the one whose stages reach most, soonest; of those alike the cheapest.

    Parameters
    ----------
    package, plan
        The package and its stages; the cheapest package where none can be split so.
    looked_at
        How many packages were looked at, the cheapest first.
    more
        What the package costs more than the cheapest, each built at once [minor units].
    cheapest
        The stages of the cheapest package.
    """

    package: Package
    plan: StagePlan
    looked_at: int
    more: int
    cheapest: StagePlan


def best_split(
    evaluation: Evaluation,
    packages: Sequence[Package],
    budgets: Sequence[int],
) -> BestSplit:
    """Split each of some packages into stages, and take the one whose stages reach most.

    What counts is as for the stages of one package: the goals that the first stage meets, in the
    customer's order, then those of the second; of packages alike in that, money.

    Parameters
    ----------
    evaluation
        The case and the trade.
    packages
        At least one, the cheapest first.
    budgets
        Of each stage [minor units].

    Raises
    ------
    ValueError
        If there is no budget.
    """
    plans = [(package, plan_stages(evaluation, package, budgets)) for package in packages]
    split = [(package, plan) for package, plan in plans if plan.stages]
    goals = evaluation.case.job.goals

    def rank(pair: tuple[Package, StagePlan]) -> tuple[tuple[Misses, ...], int, int]:
        reached = [stage.met for stage in pair[1].stages]
        return _missed(goals, reached), pair[1].price, pair[0].price

    package, plan = min(split or plans[:1], key=rank)
    return BestSplit(package, plan, len(plans), package.price - plans[0][0].price, plans[0][1])


def _missed(goals: Sequence[Goal], reached: Sequence[Sequence[Goal]]) -> tuple[Misses, ...]:
    """Say for each stage, and in it for each goal in the customer's order, whether it is missed."""
    return tuple(tuple(goal not in met for goal in goals) for met in reached)


def plan_stages(evaluation: Evaluation, package: Package, budgets: Sequence[int]) -> StagePlan:
    """Split a package into stages, each within its budget, so that goals are met early.

    How many vehicles in between were looked at is reported to whoever follows.

    Of all ways the one is taken whose first stage meets most, goals in the customer's order; then
    whose second does; of those alike, one that fits something in every stage until all is fitted,
    the cheapest in all, and the one that leaves least to pay for later. What a stage leaves of its
    budget is there for the next.

    Parameters
    ----------
    evaluation
        The case and the trade.
    package
        What is built in the end; it stays what it is.
    budgets
        Of each stage [minor units].

    Raises
    ------
    ValueError
        If there is no budget.
    """
    if not budgets:
        message = "name a budget for each stage"
        raise ValueError(message)
    steps = _StageSteps(evaluation, package)
    chain, waiting_saves = steps.best(budgets)
    stages, before, left = [], Parts(), 0
    for parts, budget in zip(chain, budgets, strict=False):
        price, operations = steps.cost(before, parts)
        left += budget - price
        work = price - steps.parts_price(before, parts)
        fitted = tuple(position for position in steps.positions if position in parts - before)
        met, met_before = steps.met(parts), steps.met(before)
        stages.append(Stage(fitted, price, work, operations, met, left, met_before))
        before = parts
    counted: dict[str, list[Operation]] = {}
    for stage in stages:
        for operation in stage.operations:
            counted.setdefault(operation.name, []).append(operation)
    twice = tuple(done[0] for done in counted.values() if len(done) > 1)
    together = steps.together()
    return StagePlan(tuple(stages), package.price, twice, together, steps.proven, waiting_saves)


class _StageSteps:
    """The vehicles between the one that stands and the finished one, and what leads to them."""

    def __init__(self, evaluation: Evaluation, package: Package) -> None:
        self.evaluation, self.package = evaluation, package
        self.positions = [p for p, option in package.choice.items() if option.changed]
        self.whole = Parts(self.positions)
        self._costs: dict[tuple[Parts, Parts], tuple[int, tuple[Operation, ...]]] = {}
        self._met: dict[Parts, tuple[Goal, ...]] = {}
        self._works: dict[tuple[str, Parts, Parts], int | None] = {}
        every = evaluation.trade.operations.values()
        # And of the parts, those whose position it reads.
        self._operations = [(each, self.whole & evaluation.reach(each)) for each in every]
        fitted = evaluation.fitted
        domains = {
            position: (fitted[position], option) if option.changed else (option,)
            for position, option in package.choice.items()
        }
        # Vehicles in between need not meet the job: only the finished one does.
        free = replace(evaluation.case.job, goals=(), fixed={}, keep=(), excluded=(), budget=None)
        free = replace(free, parts_within=None)
        listed = islice(packages(evaluation, free, domains), MOST_VEHICLES + 1)
        sound: list[Parts] = []
        for choice in listed:
            report(len(sound), MOST_VEHICLES)
            sound.append(Parts(p for p in self.positions if choice[p] is package.choice[p]))
        self.proven = len(sound) <= MOST_VEHICLES
        vehicles = {*sound[:MOST_VEHICLES], Parts(), self.whole}
        self.vehicles = sorted(vehicles, key=lambda parts: (len(parts), sorted(parts)))

    def choice(self, parts: Parts, before: Parts = frozenset()) -> dict[str, Option]:
        """Return the vehicle with some of the parts; what was there before counts as unchanged."""
        chosen = {}
        for position, option in self.package.choice.items():
            if position not in parts:
                chosen[position] = self.evaluation.fitted[position]
            elif position in before:
                chosen[position] = replace(option, price=0, changed=False)
            else:
                chosen[position] = option
        return chosen

    def cost(self, before: Parts, after: Parts) -> tuple[int, tuple[Operation, ...]]:
        """Return the price of a stage, and its work: what is fitted already asks for none."""
        if (before, after) not in self._costs:
            price, operations = self.parts_price(before, after), []
            for operation, read in self._operations if after - before else ():
                work = self._work(operation, before & read, after & read)
                if work is not None:
                    price += work
                    operations.append(operation)
            self._costs[before, after] = price, tuple(operations)
        return self._costs[before, after]

    def _work(self, operation: Operation, before: Parts, after: Parts) -> int | None:
        """Price an operation of stages with these of the parts it reads; None if not needed."""
        key = operation.name, before, after
        if key not in self._works:
            evaluation, choice = self.evaluation, self.choice(after, before)
            price = work_cost(evaluation, operation, choice)
            self._works[key] = price if needed(evaluation, operation, choice) else None
        return self._works[key]

    def met(self, parts: Parts) -> tuple[Goal, ...]:
        """Return the goals that a vehicle meets."""
        if parts not in self._met:
            choice, evaluation = self.choice(parts), self.evaluation
            self._met[parts] = tuple(
                goal for goal in evaluation.case.job.goals if met_by(evaluation, goal, choice)
            )
        return self._met[parts]

    def best(self, budgets: Sequence[int]) -> tuple[list[Parts], int]:
        """Return the vehicle after each stage, and how much money waiting would save.

        The vehicles are none if no chain keeps within the budgets.
        """
        best: tuple[Rank, list[Parts]] | None = None
        # What the goals missed by a chain cost at the least, idle stages or not.
        least: dict[tuple[Misses, ...], int] = {}
        goals = self.evaluation.case.job.goals

        def go(chain: list[Parts], spent: int, kept: int) -> None:
            nonlocal best
            before, number = chain[-1], len(chain) - 1
            room = kept + budgets[number]
            last = number == len(budgets) - 1
            for after in [self.whole] if last else self.vehicles:
                if not before <= after or self.parts_price(before, after) > room:
                    continue
                price, _ = self.cost(before, after)
                if price > room:
                    continue
                if not last:
                    go([*chain, after], spent + price, room - price)
                    continue
                reached = [*chain[1:], after]
                missed = _missed(goals, [self.met(parts) for parts in reached])
                idle = sum(a == b != self.whole for a, b in pairwise([Parts(), *reached]))
                least[missed] = min(spent + price, least.get(missed, spent + price))
                rest = tuple(self.cost(parts, self.whole)[0] for parts in reached)
                rank = missed, idle, spent + price, rest
                if best is None or rank < best[0]:
                    best = rank, reached

        go([Parts()], 0, 0)
        if best is None:
            return [], 0
        (missed, _, price, _), chain = best
        return chain, price - least[missed]

    def parts_price(self, before: Parts, after: Parts) -> int:
        """Return the price of the parts of a stage."""
        return sum(self.package.choice[position].price for position in after - before)

    def together(self) -> tuple[PartStep, ...]:
        """Say of each part what comes with it at the least, and why."""
        steps = []
        for position in self.positions:
            with_it = [parts for parts in self.vehicles if position in parts]
            least = min(with_it, key=lambda parts: (self.cost(Parts(), parts)[0], len(parts)))
            alone = self.choice(Parts([position]))
            rules = tuple(rule.name for rule in broken_rules(self.evaluation, alone))
            others = tuple(p for p in self.positions if p in least and p != position)
            price = self.cost(Parts(), least)[0]
            last = min(
                self.cost(parts, self.whole)[0] for parts in self.vehicles if position not in parts
            )
            steps.append(PartStep(position, others, price, rules if others else (), last))
        return tuple(sorted(steps, key=lambda step: (step.price, step.position)))
