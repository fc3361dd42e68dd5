"""What a choice forces: which parts of the vehicle cannot stay with it, and by which rules.

A choice forces an upgrade at a position when no package that contains it keeps the part that is on
the vehicle. That is asked of the search, one choice at a time, and every answer carries a smallest
set of rules that makes it true. It holds relative to the catalogs in the job and to what is decided
there, so it is always said with what it is relative to.
"""

from __future__ import annotations

from dataclasses import replace
from itertools import islice
from typing import TYPE_CHECKING

import numpy as np

from configurator import answers
from configurator.forced_answers import Arrow, Forced, Kept, Reading, Untouched
from configurator.forced_kinds import Kind, kind_of, presence, splitting_kinds
from configurator.forced_reasons import pick_of, read, read_by_any, reasons, through
from configurator.packages import make_package
from configurator.rules import Limit, Total
from configurator.search import best, conflicts, queries, referee, totals
from configurator.trade import checked_rules
from configurator.wishes import with_wishes

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from configurator.evaluation import Evaluation, Option
    from configurator.jobs import Job
    from configurator.rules import Rule
    from configurator.search.conflicts import Reason
    from configurator.search.queries import Prepared, Previews

# How many arrows with kinds of their own are told at one position.
MOST_KINDS = 6
# Packages that are looked at for one that keeps the sums, before that is said to be undecided.
PATIENCE = 400


def asked(prepared: Prepared, reading: Reading) -> Job:
    """Return the job as a reading takes it: with its goals and budget, or without."""
    job = prepared.evaluation.case.job
    if reading == "goals":
        return queries.settle(prepared, job)
    return replace(job, goals=(), budget=None)


def choices_of(prepared: Prepared) -> list[Option]:
    """List the changed parts of the cheapest package that meets the job; empty if nothing fits."""
    found = answers.find(prepared).packages
    return [option for option in found[0].choice.values() if option.changed] if found else []


def forces(
    prepared: Prepared, option: Option, reading: Reading = "fit", *, numbers: bool = False
) -> Forced:
    """Find what a choice forces.

    Parameters
    ----------
    prepared
        The case, prepared with the job's goal figures.
    option
        The choice.
    reading
        ``"fit"``: by the rules alone, with what the job has decided about parts; ``"goals"``: also
        by the job's goals and budget.
    numbers
        Whether to work out the rules of the positions that are not forced.

    Returns
    -------
    Forced
        Every arrow is true of all packages.
    """
    return _Question(prepared, option, asked(prepared, reading)).answer(numbers=numbers)


class _Question:
    """One choice, with what is decided beside it."""

    def __init__(self, prepared: Prepared, option: Option, job: Job) -> None:
        self.prepared = prepared
        self.evaluation: Evaluation = prepared.evaluation
        self.option = option
        self.place = option.position
        # What the job says of the choice's own position is what the choice replaces.
        self.without = replace(
            job,
            fixed={p: k for p, k in job.fixed.items() if p != self.place},
            keep=tuple(p for p in job.keep if p != self.place),
        )
        self.job = replace(self.without, fixed={**self.without.fixed, self.place: option.key})
        decided = {*self.job.fixed, *self.job.keep}
        self.free = [p for p in self.evaluation.families if p not in decided]
        self.options = prepared.model.options

    def answer(self, *, numbers: bool) -> Forced:
        before = totals.previews(self.prepared, self.without)
        after = totals.previews(self.prepared, self.job)
        one, proven = fewest_changes(self.prepared, self.job)
        if one is None and proven:
            conflict = conflicts.explain(self.prepared, self.without, [pick_of(self.option)])
            return Forced(self.option, False, tuple(conflict), (), (), None, True, ())
        remaining = {p: self.left(after, p) for p in self.free}
        stay, undecided = self.witnesses(remaining)
        arrows: list[Arrow] = []
        for position in self.free:
            if position in stay or position in undecided:
                continue
            fitted = self.fitted_number(position)
            left = [n for n in remaining[position] if n != fitted]
            anyway = not self.stays_without(before, position, fitted)
            arrows.extend(self.arrows_to(position, left, anyway=anyway))
        kept = [
            self.kept(position, stay.get(position), numbers=numbers)
            for position in self.free
            if position in stay or position in undecided
        ]
        forced = {arrow.position for arrow in arrows if not arrow.anyway}
        back = self.forcing_back(remaining, forced)
        adds, exact = self.adds(before)
        return Forced(self.option, True, (), tuple(arrows), tuple(kept), adds, exact, back)

    def left(self, found: Previews, position: str) -> list[int]:
        """Options of a position that nothing rules out."""
        prices = found.prices[position]
        return [n for n, price in enumerate(prices) if within(int(price), self.job.budget)]

    def fitted_number(self, position: str) -> int:
        return next(n for n, o in enumerate(self.options[position]) if not o.changed)

    # -- what can stay --------------------------------------------------------------------------

    def witnesses(
        self, remaining: Mapping[str, Sequence[int]]
    ) -> tuple[dict[str, Mapping[str, Option]], set[str]]:
        """Find for each position a package that keeps its part, with few changes besides.

        Returns
        -------
        tuple
            Position → package; and the positions for which sums leave it undecided.
        """
        stay: dict[str, Mapping[str, Option]] = {}
        undecided: set[str] = set()
        packages: list[Mapping[str, Option]] = []
        for position in self.free:
            if self.fitted_number(position) not in remaining[position]:
                continue
            known = next((p for p in packages if not p[position].changed), None)
            if known is None:
                job = replace(self.job, keep=(*self.job.keep, position))
                known, proven = fewest_changes(self.prepared, job)
                if known is None:
                    if not proven:
                        undecided.add(position)
                    continue
                packages.append(known)
            stay[position] = known
        return stay, undecided

    def stays_without(self, before: Previews, position: str, fitted: int) -> bool:
        """Whether the present part could stay without the choice; if undecided, that it could."""
        if fitted not in self.left(before, position):
            return False
        if before.exact[position][fitted]:
            return True
        job = replace(self.without, keep=(*self.without.keep, position))
        known, proven = fewest_changes(self.prepared, job)
        return known is not None or not proven

    def kept(self, position: str, choice: Mapping[str, Option] | None, *, numbers: bool) -> Kept:
        """Hold the rules of a position that keeps its part before and after."""
        if choice is None or not numbers:
            return Kept(position, (), proven=choice is not None)
        rules = [
            _untouched(self.evaluation, rule, choice)
            for rule in checked_rules(self.evaluation.trade)
            if not isinstance(rule, Total) and position in self.evaluation.reach(rule)
        ]
        return Kept(position, tuple(one for one in rules if one is not None))

    def adds(self, before: Previews) -> tuple[int | None, bool]:
        """Compare the cheapest packages with the choice and without; say whether it is proven."""
        first = totals.cheapest(self.prepared, self.job, PATIENCE)
        proven = first.proven
        cheapest: int | None = None
        bounds = sorted(
            (int(before.prices[self.place][n]), n)
            for n in self.left(before, self.place)
            if self.options[self.place][n].key != self.option.key
        )
        for bound, n in bounds:
            if cheapest is not None and bound >= cheapest:
                break
            other: int | None = bound
            if not before.exact[self.place][n]:
                key = self.options[self.place][n].key
                job = replace(self.without, fixed={**self.without.fixed, self.place: key})
                found = totals.cheapest(self.prepared, job, PATIENCE)
                other = found.price
                proven = proven and found.proven
            if other is not None and within(other, self.job.budget):
                cheapest = other if cheapest is None else min(cheapest, other)
        if cheapest is None or first.price is None:
            return None, proven
        return first.price - cheapest, proven

    # -- arrows ---------------------------------------------------------------------------------

    def arrows_to(self, position: str, left: list[int], *, anyway: bool) -> list[Arrow]:
        """Explain why the present part cannot stay, and which kinds are needed instead.

        Each rule that alone refuses both together gives an arrow of its own: a wheel may be of the
        wrong bolt circle and have too small a bore. Only where there is none do several rules.
        """
        options = self.options[position]
        fitted = self.fitted_number(position)
        remain = tuple(options[n].key for n in left)

        def arrow(kinds: Sequence[Kind], because: Sequence[Reason], lacking: list[int]) -> Arrow:
            refused = [options[n] for n in lacking]
            way = through(self.evaluation, self.option, refused, because)
            keys = tuple(option.key for option in refused)
            return Arrow(position, tuple(kinds), tuple(because), keys, way, anyway, remain)

        found: list[Arrow] = []
        known: set[Kind] = set()
        for because in reasons(self.prepared, self.without, self.option, options[fitted]):
            bounded = any(isinstance(reason.rule, Limit) for reason in because)
            told = [
                kind_of(self.evaluation, position, options, left, fitted, name, bounded=bounded)
                for name in read(self.evaluation, because, position)
            ]
            kinds = [kind for kind in told if kind is not None and kind not in known]
            if found and not kinds:
                continue
            known |= set(kinds)
            if not kinds and (there := presence(options, left, fitted, position)):
                kinds = [there]
            found.append(arrow(kinds, because, [fitted]))
        while len(found) < MOST_KINDS:
            more = self.another(position, left, fitted, known)
            if more is None:
                break
            found.append(arrow([more[0]], more[1], more[2]))
            known.add(more[0])
        return found

    def another(
        self, position: str, left: list[int], fitted: int, known: set[Kind]
    ) -> tuple[Kind, list[Reason], list[int]] | None:
        """Find one more kind that is needed.

        It must tell the options that remain from some that have all ``known`` kinds and still are
        ruled out, and the reasons against these must read what the kind is about.
        """
        options = self.options[position]
        others = [
            n
            for n, option in enumerate(options)
            if n != fitted
            and n not in left
            and all(kind.of(self.evaluation, option) for kind in known)
        ]
        told = {kind.attribute for kind in known}
        names = [n for n in read_by_any(self.evaluation, position) if n not in told]
        for kind, lacking in splitting_kinds(
            self.evaluation, position, options, left, others, fitted, names
        ):
            nearest = options[lacking[0]]
            because = reasons(self.prepared, self.without, self.option, nearest)[0]
            if kind.attribute in read(self.evaluation, because, position) and self.rule_out_all(
                position, lacking, because
            ):
                return kind, because, lacking
        return None

    def rule_out_all(self, position: str, lacking: list[int], because: Sequence[Reason]) -> bool:
        """Whether the same reasons rule out every one of these options."""
        rules = [reason.rule for reason in because if reason.rule is not None]
        wishes = [reason.wish for reason in because if reason.wish is not None]
        job = with_wishes(self.job, [pick_of(self.option), *wishes])
        figures = queries.goal_figures(job)
        open_here = {position: lacking, self.place: self.numbers_of(self.option)}
        few = queries.prepare(self.evaluation, figures, rules=rules, allowed=open_here)
        prices = totals.previews(few, job, [position]).prices[position]
        return not any(within(int(prices[n]), job.budget) for n in lacking)

    def numbers_of(self, option: Option) -> list[int]:
        return [n for n, o in enumerate(self.options[option.position]) if o.key == option.key]

    # -- the other way round --------------------------------------------------------------------

    def forcing_back(
        self, remaining: Mapping[str, Sequence[int]], forced: set[str]
    ) -> tuple[str, ...]:
        """Name the forced positions whose every remaining option forces the choice's own."""
        if not self.option.changed or not forced:
            return ()
        stay = replace(self.without, keep=(*self.without.keep, self.place))
        found = totals.previews(self.prepared, stay)
        return tuple(
            position
            for position in self.free
            if position in forced and not set(self.left(found, position)) & set(remaining[position])
        )


def fewest_changes(prepared: Prepared, job: Job) -> tuple[Mapping[str, Option] | None, bool]:
    """Find a package that changes as little as possible, and say whether the answer is proven.

    Packages near the vehicle as it stands are the ones that most likely keep its sums, and show
    best what a choice leaves alone.

    Returns
    -------
    tuple
        The package, confirmed by the referee; None and True if there is none, None and False if
        none was found among those looked at.
    """
    evaluation = prepared.evaluation
    late = totals.late_of(prepared, job)
    changes = {
        position: np.array([int(option.changed) for option in options], np.int64)
        for position, options in prepared.model.options.items()
    }
    ordered = best.numbers_in_order(prepared, job, changes, 0)
    looked = 0
    for _, numbers in islice(ordered, PATIENCE):
        looked += 1
        choice = best.chosen(prepared, numbers)
        if totals.keeps_late(evaluation, job, late, choice) and within(
            make_package(evaluation, choice).price, job.budget
        ):
            return referee.confirm(evaluation, job, choice).choice, True
    if looked < PATIENCE:
        return None, True
    found = totals.cheapest(prepared, job, PATIENCE)
    if found.choice is not None and within(found.price, job.budget):
        return referee.confirm(evaluation, job, found.choice).choice, True
    return None, found.proven


def within(price: int | None, budget: int | None) -> bool:
    """Whether there is a package (a price of -1 says no) and the budget, if any, bears it."""
    return price is not None and price >= 0 and (budget is None or price <= budget)


def _untouched(
    evaluation: Evaluation, rule: Rule, choice: Mapping[str, Option]
) -> Untouched | None:
    before = evaluation.verdict(rule, evaluation.fitted)
    after = evaluation.verdict(rule, choice)
    if before.holds is None and after.holds is None:
        return None
    same = (before.holds, before.has, before.needs) == (after.holds, after.has, after.needs)
    return Untouched(rule, before.has, after.has, after.needs, after.at_least, same)
