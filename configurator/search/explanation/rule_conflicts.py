"""Which rules, whole as their authors wrote them, cannot be kept together with a few wishes.

Every set of rules is asked about with tables of its own, which are narrow while the set is small.
What is asked is therefore dear, and packages that were met on the way are kept: one that breaks
none of the rules of a set answers for the set, one that breaks a single rule of a conflict shows
that the conflict needs that rule.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from configurator.model.knowledge import checked_rules
from configurator.model.references import FigureValue
from configurator.model.requirements import wishes_of
from configurator.search.circuit.join import TooWide
from configurator.search.encoding import option_columns
from configurator.search.explanation.model_rotation import broken_by, neighbours, savings
from configurator.search.explanation.quickxplain import smallest
from configurator.search.explanation.refutation import refuted, subsets_of
from configurator.search.limits import LIMITS
from configurator.search.optimum import (
    k_best,
    option_prices,
    preparing,
    queries,
    resource_constraints,
)
from configurator.search.optimum.cheapest_package import CheapestPackage
from configurator.search.optimum.preparing import Question
from configurator.search.optimum.verification import meets

if TYPE_CHECKING:
    from collections.abc import Collection, Iterator, Mapping, Sequence
    from collections.abc import Set as AbstractSet

    import numpy as np
    from numpy.typing import NDArray

    from configurator.evaluation.evaluator import Option
    from configurator.model.jobs import Job
    from configurator.model.rules import Rule
    from configurator.search.encoding.constraint_model import Model
    from configurator.search.explanation.rule_subsets import RuleSubsets
    from configurator.search.limits import Limits
    from configurator.search.optimum.preparing import Prepared

    Choice = Mapping[str, Option]
    Weights = Mapping[str, NDArray[np.int64]]

# How many broken rules are taken up at once: more make fewer but wider problems.
AT_ONCE = 3
# Sets of rules that are searched for a package to make a conflict smaller; what is not known by
# then stays in the conflict.
QUESTIONS = 60
# Packages to look at, for each such set, before sums over everything are called undecided.
PATIENCE = 2000


class Study:
    """A job with few wishes, and any few of the rules.

    Parameters
    ----------
    model, job
        The case, with tables of all rules, and the wishes that count.
    questions
        How many sets of rules are searched while a conflict is made smaller.
    limits
        How large circuits get that are made for it, and from when on numbers are left out.
    """

    def __init__(
        self,
        model: Model,
        job: Job,
        questions: int = QUESTIONS,
        limits: Limits = LIMITS,
    ) -> None:
        self.evaluation = evaluation = model.evaluation
        # Circuits are asked little: to look for a better order takes longer.
        self.limits = replace(limits, perturbed_from_rows=limits.circuit_rows)
        self.model = model
        # Rules are studied as calculated: what is not to be had so is not sure either.
        self.job = replace(job, sure=False)
        self.every = checked_rules(evaluation.trade)
        self.left = questions
        self._rows = 0
        # Sets of rules that some package keeps, without the package; and who tells that.
        self._held: list[frozenset[str]] = []
        self._subsets: RuleSubsets | None = None
        self._picks = queries.picks(evaluation, self.job)
        self._cheapest: dict[str, Option | None] = {}
        self._known: dict[frozenset[str], CheapestPackage] = {}
        # Packages met so far that meet the wishes, each with the rules it breaks.
        self._met: list[tuple[Choice, frozenset[str]]] = []

    def prepared(
        self,
        rules: Sequence[Rule],
        job: Job,
        figures: Sequence[str] = (),
        soft: str = "",
        positions: Collection[str] | None = None,
    ) -> Prepared:
        """Tables of these rules only, over the parts that the job's picks leave.

        Parameters
        ----------
        rules, job
            What counts.
        figures
            Whose goals stay open.
        soft, positions
            As for `preparing.prepare`.
        """
        names = list(dict.fromkeys([*queries.goal_figures(job), *figures]))
        return preparing.prepare(
            self.evaluation,
            names,
            rules=rules,
            allowed=queries.picks(self.evaluation, job),
            cut=[goal for goal in job.goals if goal.figure not in figures],
            work=job.budget is not None,
            soft=soft,
            sure=False,
            limits=self.limits,
            positions=positions,
        )

    def for_numbers(
        self,
        rules: Sequence[Rule],
        job: Job,
        figures: Sequence[str] = (),
        soft: str = "",
        positions: Collection[str] | None = None,
    ) -> Prepared | None:
        """Tables as `prepared` gives them; None where numbers take more effort than is made."""
        if self._rows > self.limits.explained_rows:
            return None
        try:
            made = self.prepared(rules, job, figures, soft, positions)
        except TooWide:
            return None
        self._rows += made.circuit.rows
        return made if made.loose is None else None

    def witness(self, rules: Sequence[Rule]) -> Choice | None:
        """Find a package that meets the wishes and these rules; None if there is none."""
        return self._asked(rules).choice

    def _asked(self, rules: Sequence[Rule]) -> CheapestPackage:
        names = frozenset(rule.name for rule in rules)
        if names not in self._known:
            for choice, broken in self._met:
                if not broken & names:
                    return CheapestPackage(None, choice, proven=True)
            if any(none.proven and less <= names for less, none in self._nothing()):
                return CheapestPackage(None, None, proven=True)
            answered = self._known[names] = self._searched(rules)
            if answered.choice is not None:
                self._met.append((answered.choice, self._broken(answered.choice)))
        return self._known[names]

    def _nothing(self) -> Iterator[tuple[frozenset[str], CheapestPackage]]:
        return ((names, item) for names, item in self._known.items() if item.choice is None)

    def _searched(self, rules: Sequence[Rule]) -> CheapestPackage:
        try:
            read = self.read(rules)
            if read is not None:
                prepared = self.prepared(rules, self.job, positions=read) if read else None
                if prepared is None or (prepared.loose is None and not prepared.model.late):
                    return self._completed(prepared, rules)
            return option_prices.some(Question(self.prepared(rules, self.job), self.job), PATIENCE)
        except TooWide:
            return CheapestPackage(None, None, proven=False)

    def read(self, rules: Sequence[Rule], job: Job | None = None) -> set[str] | None:
        """Name the positions that rules and goals read; None where a sum over everything counts.

        The study's job counts, or another with the same goals.
        """
        evaluation, goals = self.evaluation, [goal.figure for goal in self.job.goals]
        counted = [*rules, *(evaluation.definition(name) for name in goals)]
        budget = (job or self.job).budget
        if budget is not None or any(evaluation.late(rule) for rule in counted):
            return None
        read = {position for rule in rules for position in evaluation.reach(rule)}
        return read.union(*(evaluation.reach_of(FigureValue(name)) for name in goals))

    def _completed(self, prepared: Prepared | None, rules: Sequence[Rule]) -> CheapestPackage:
        """Find a package at the positions that count; elsewhere take the cheapest that is left."""
        read: Choice = {}
        if prepared is not None:
            package = option_prices.some(Question(prepared, self.job), PATIENCE)
            if package.choice is None:
                return package
            read = package.choice
        elif not self._hold_anyway(rules):
            return CheapestPackage(None, None, proven=True)
        choice: dict[str, Option] = {}
        for position in self.evaluation.families:
            chosen = read.get(position) or self._cheapest_at(position)
            if chosen is None:
                return CheapestPackage(None, None, proven=True)
            choice[position] = chosen
        return CheapestPackage(None, choice, proven=True)

    def _hold_anyway(self, rules: Sequence[Rule]) -> bool:
        """Whether rules and goals on which no part has a say are kept."""
        evaluation = self.evaluation
        return all(evaluation.verdict(rule, {}).holds is not False for rule in rules) and all(
            meets(goal, evaluation.figure(goal.figure, {})) for goal in self.job.goals
        )

    def _cheapest_at(self, position: str) -> Option | None:
        """Give the cheapest part that the picks leave at a position, the first of equally cheap."""
        if position not in self._cheapest:
            options = self.evaluation.options(position)
            rank = option_columns.rank_by_key(self.evaluation, position)
            left = self._picks.get(position, range(len(options)))
            number = min(left, key=lambda n: (options[n].price, rank[n]), default=None)
            self._cheapest[position] = None if number is None else options[number]
        return self._cheapest[position]

    def _broken(self, choice: Choice) -> frozenset[str]:
        return broken_by(self.evaluation, self.every, choice)

    def needs(self, rule: Rule, rules: Sequence[Rule]) -> bool:
        """Whether it is shown that a conflict could be met without one of its rules."""
        return self._shown({item.name for item in rules} - {rule.name})

    def _shown(self, names: AbstractSet[str]) -> bool:
        """Whether it is known that a package keeps these rules, and meets the wishes."""
        return any(not broken & names for _, broken in self._met) or any(
            names <= more for more in self._held
        )

    def smallest_rules(self) -> list[Rule]:
        """Find a smallest set of rules that the wishes cannot be met with.

        Where the tables of all rules are seen to leave each other nothing, those are taken by which
        they do. Else, as all rules at once make wide tables and few make narrow ones, the set is
        grown: a package that keeps the rules gathered so far shows which further rules it breaks,
        until no package is left. Then it is made smaller.
        """
        shown = refuted(self.model, self.job, self.every, self.limits)
        if shown is not None:
            return self._least(*shown)
        gathered: list[Rule] = []
        while True:
            answered = self._asked(gathered)
            if answered.choice is None:
                if not answered.proven:
                    gathered = list(self.every)  # of them together it is known
                break
            broken = self._broken(answered.choice)
            if not broken:
                return []  # only where sums left the search undecided
            among = [rule for rule in self.every if rule.name in broken]
            gathered.extend(self._by_distance(among, gathered)[:AT_ONCE])
        order = {rule.name: number for number, rule in enumerate(self.every)}
        gathered.sort(key=lambda rule: order[rule.name])
        return self._smaller(gathered)

    def _smaller(self, gathered: list[Rule]) -> list[Rule]:
        """Leave out of a conflict what it does not need, as far as the effort goes."""
        among = self._heaviest(gathered)
        self._subsets = subsets_of(self.model, self.job, among, self.limits)
        needed = [rule for rule in among if self.needs(rule, among)]
        doubtful = [rule for rule in among if rule not in needed]
        rest = smallest(needed, doubtful, self._may_hold)
        return [rule for rule in gathered if rule in needed or rule in rest]

    def _least(self, conflict: list[Rule], subsets: RuleSubsets) -> list[Rule]:
        """Leave out of a conflict one rule after the other, those first that are farthest off.

        Each time no package keeps the rest, only what that hangs on stays.
        """
        rest = conflict
        for rule in reversed(self._by_distance(conflict, conflict)):
            others = [other for other in rest if other is not rule]
            names = frozenset(other.name for other in others)
            if rule not in rest or self._shown(names) or self.left <= 0:
                continue
            self.left -= 1
            held = subsets.ask(others)
            if held.holds is False:
                rest = [other for other in others if other.name in held.conflict]
            elif held.holds:
                self._held.append(names)
            elif self._asked(others).proven and self._asked(others).choice is None:
                rest = others
        return rest

    def _may_hold(self, rules: Sequence[Rule]) -> bool:
        """Whether a package keeps these rules, or more effort than is made would tell."""
        names = frozenset(rule.name for rule in rules)
        if self._shown(names):
            return True
        if names not in self._known:
            if self.left <= 0:
                return True
            self.left -= 1
            if self._subsets is not None and (held := self._subsets.hold(rules)) is not None:
                if held:
                    self._held.append(names)
                return held
        answered = self._asked(rules)
        return answered.choice is not None or not answered.proven

    def _heaviest(self, rules: list[Rule]) -> list[Rule]:
        """Where only a sum or the budget is in the way, keep the rules that weigh most in it.

        Each of these rules makes packages a little heavier or dearer, and it takes many of them to
        go beyond the limit: fewest, if the ones that weigh most are taken first.
        """
        over = self._over(rules)
        if over is None:
            return rules
        choice, weights = over
        early = [rule for rule in rules if not self.evaluation.late(rule)]
        saved = savings(self.evaluation, self.job, early, choice, weights)
        late = [rule for rule in rules if self.evaluation.late(rule)]
        ordered = [*late, *sorted(early, key=lambda rule: -saved.get(rule.name, 0))]
        low, high = len(late), len(ordered)
        while low < high:
            middle = (low + high) // 2
            if self._may_hold(ordered[:middle]):
                low = middle + 1
            else:
                high = middle
        kept = ordered[:high]
        over = self._over(kept)
        if over is not None:
            for near, _ in neighbours(self.evaluation, self.job, kept, over[0]):
                self._met.append((near, self._broken(near)))
        return kept

    def _over(self, rules: Sequence[Rule]) -> tuple[Choice, Weights] | None:
        """Give the package with the least of what is limited and too much, and the weights.

        None where no package keeps these rules even if no sum and no budget were limited.
        """
        if self.read(rules) is not None:
            return None  # nothing is limited
        try:
            prepared = self.prepared(rules, self.job)
        except TooWide:
            return None
        late = resource_constraints.late_of(Question(prepared, self.job))
        limited: list[tuple[Weights, int]] = [(c.shares, c.room) for c in late.ceilings]
        if self.job.budget is not None:
            costs = {position: seat.costs for position, seat in prepared.seats.items()}
            limited.append((costs, self.job.budget))
        for weights, room in limited:
            positive = {p: each - min(0, int(each.min(initial=0))) for p, each in weights.items()}
            first = next(k_best.numbers_in_order(Question(prepared, self.job), positive, 0), None)
            if first is None:
                return None
            if sum(int(weights[p][n]) for p, n in first[1].items()) > room:
                return k_best.chosen(prepared, first[1]), weights
        return None

    def _by_distance(self, broken: Sequence[Rule], gathered: Sequence[Rule]) -> list[Rule]:
        """Put rules first that reach what is spoken of already, and fewest positions."""
        spoken: set[str] = {wish.subject for wish in wishes_of(self.job)}
        for goal in self.job.goals:
            spoken |= self.evaluation.reach_of(FigureValue(goal.figure))
        for rule in gathered:
            spoken |= self.evaluation.reach(rule)

        def far(rule: Rule) -> tuple[bool, bool, int, str]:
            reach = self.evaluation.reach(rule)
            return (self.evaluation.late(rule), not reach & spoken, len(reach), rule.name)

        return sorted(broken, key=far)
