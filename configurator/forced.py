"""What a choice forces: which parts of the vehicle cannot stay with it, and by which rules.

A choice forces an upgrade at a position when no package that contains it keeps the part that is on
the vehicle. That is asked of the search, one choice at a time, and every answer carries the
smallest set of rules that makes it true. It holds relative to the catalogs in the job and to what
is decided there, so it is always said with what it is relative to.

Limits on sums over the whole vehicle are not counted here: with them more could be forced, never
less.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Literal

from configurator.forced_kinds import Kind, kind_of, presence, reads_at, splitting_kinds
from configurator.forced_through import Settled
from configurator.rules import Limit
from configurator.search import best, conflicts, queries, referee
from configurator.search.conflicts import Reason
from configurator.trade import checked_rules, references
from configurator.wishes import Wish, with_wishes

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from configurator.evaluation import Evaluation, Option
    from configurator.jobs import Job
    from configurator.rules import Rule
    from configurator.search.queries import Prepared

Reading = Literal["fit", "goals"]

# How many different kinds of part are told apart at one position.
MOST_KINDS = 6


@dataclass(frozen=True, slots=True)
class Arrow:
    """A choice cannot be had with the part that is at another position now.

    Parameters
    ----------
    position
        Where something else is needed.
    kinds
        What all options that remain there share and the present part lacks; empty where they
        share nothing that a rule reads, and only the present part itself is ruled out.
    because
        A smallest set of rules and wishes that makes it so: without any one of them, the present
        part (or one that lacks the kind) could stay.
    through
        Other positions that those rules read; empty for a direct arrow.
    anyway
        Whether the present part is ruled out even without the choice, by what the job asks.
    remain
        Keys of the options that remain at the position.
    """

    position: str
    kinds: tuple[Kind, ...]
    because: tuple[Reason, ...]
    through: tuple[str, ...]
    anyway: bool
    remain: tuple[str, ...]

    @property
    def direct(self) -> bool:
        """Whether its rules read no third position."""
        return not self.through


@dataclass(frozen=True, slots=True)
class Untouched:
    """A rule of a position that keeps its part, before and after: the numbers that show it.

    ``before`` and ``after`` are what a limit has, ``needs`` what it asks, all in SI; for a rule of
    yes or no they are None. ``after`` is taken from the cheapest package that has the choice and
    keeps the part; ``same`` is whether the rule says the same as before.
    """

    rule: Rule
    before: float | None
    after: float | None
    needs: float | None
    at_least: bool
    same: bool


@dataclass(frozen=True, slots=True)
class Kept:
    """A position whose part can stay, with its rules."""

    position: str
    rules: tuple[Untouched, ...]


@dataclass(frozen=True, slots=True)
class Forced:
    """What one choice forces.

    Parameters
    ----------
    option
        The choice.
    possible
        Whether any package has it; if not, ``conflict`` says why and there are no arrows.
    conflict
        Why the choice itself is impossible.
    arrows
        What it forces, by position.
    kept
        Positions whose part can stay.
    adds
        Minor units that the cheapest package with it costs more than the cheapest without it, work
        included; None where one of them does not exist.
    back
        Positions of arrows whose remaining options all force this choice's position in turn.
    """

    option: Option
    possible: bool
    conflict: tuple[Reason, ...]
    arrows: tuple[Arrow, ...]
    kept: tuple[Kept, ...]
    adds: int | None
    back: tuple[str, ...]


def asked(prepared: Prepared, reading: Reading) -> Job:
    """Return the job as a reading takes it: with its goals and budget, or without."""
    job = prepared.evaluation.case.job
    if reading == "goals":
        return queries.settle(prepared, job)
    return replace(job, goals=(), budget=None)


def choices_of(prepared: Prepared) -> list[Option]:
    """List the changed parts of the cheapest package that meets the job; empty if nothing fits."""
    job = asked(prepared, "goals")
    for price, choice in best.in_order(prepared, job):
        if job.budget is not None and price > job.budget:
            break
        return [option for option in choice.values() if option.changed]
    return []


def forces(
    prepared: Prepared,
    option: Option,
    reading: Reading = "fit",
    *,
    numbers: bool = False,
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
        Every arrow is true of all packages; limits on sums over the vehicle are not counted.
    """
    return _Question(prepared, option, asked(prepared, reading)).answer(numbers=numbers)


class _Question:
    """One choice, with what is decided beside it."""

    def __init__(self, prepared: Prepared, option: Option, job: Job) -> None:
        self.prepared = prepared
        self.evaluation: Evaluation = prepared.evaluation
        self.option = option
        self.place = option.position
        self.pick = Wish("fixed", option.position, part=option.key)
        # What the job says of the choice's own position is what the choice replaces.
        self.without = replace(
            job,
            fixed={p: k for p, k in job.fixed.items() if p != self.place},
            keep=tuple(p for p in job.keep if p != self.place),
        )
        self.job = replace(self.without, fixed={**self.without.fixed, self.place: option.key})
        self.free = [
            p
            for p in self.evaluation.families
            if p != self.place and p not in self.job.fixed and p not in self.job.keep
        ]
        self.options = prepared.model.options

    def answer(self, *, numbers: bool) -> Forced:
        before = queries.previews(self.prepared, self.without)
        after = queries.previews(self.prepared, self.job)
        if not within(after.cheapest, self.job.budget):
            conflict = conflicts.explain(self.prepared, self.without, [self.pick])
            return Forced(self.option, False, tuple(conflict), (), (), None, ())
        arrows: list[Arrow] = []
        kept: list[str] = []
        remaining: dict[str, list[int]] = {}
        for position in self.free:
            left = self.left(after, position)
            fitted = self.fitted_number(position)
            if fitted in left:
                kept.append(position)
                continue
            remaining[position] = left
            anyway = fitted not in self.left(before, position)
            arrows.extend(self.arrows_to(position, left, anyway=anyway))
        return Forced(
            self.option,
            True,
            (),
            tuple(arrows),
            tuple(self.numbers_of(kept)) if numbers else tuple(Kept(p, ()) for p in kept),
            self.adds(before, after.cheapest),
            self.forcing_back(remaining, {a.position for a in arrows if not a.anyway}),
        )

    def left(self, found: queries.Previews, position: str) -> list[int]:
        """Options of a position that are in some package."""
        return [
            n
            for n, price in enumerate(found.prices[position])
            if within(int(price), self.job.budget)
        ]

    def fitted_number(self, position: str) -> int:
        return next(n for n, o in enumerate(self.options[position]) if not o.changed)

    def adds(self, before: queries.Previews, price: int | None) -> int | None:
        others = [
            int(other)
            for option, other in zip(
                self.options[self.place], before.prices[self.place], strict=True
            )
            if option.key != self.option.key and within(int(other), self.job.budget)
        ]
        return None if price is None or not others else price - min(others)

    # -- arrows ---------------------------------------------------------------------------------

    def arrows_to(self, position: str, left: list[int], *, anyway: bool) -> list[Arrow]:
        """Explain why the present part cannot stay, and which kinds are needed instead.

        Each rule that alone refuses both together gives an arrow of its own: a wheel may be of the
        wrong bolt circle and have too small a bore. Only where there is none do several rules.
        """
        options = self.options[position]
        fitted = self.fitted_number(position)
        remain = tuple(options[n].key for n in left)
        found: list[Arrow] = []
        known: set[Kind] = set()
        for because in self.reasons(position, options[fitted]):
            bounded = any(isinstance(reason.rule, Limit) for reason in because)
            kinds = tuple(
                kind
                for name in self.read(because, position)
                if (
                    kind := kind_of(
                        self.evaluation, position, options, left, fitted, name, bounded=bounded
                    )
                )
            )
            if found and not set(kinds) - known:
                continue
            known |= set(kinds)
            if not kinds and (there := presence(options, left, fitted, position)):
                kinds = (there,)
            found.append(self.arrow(position, kinds, because, anyway=anyway, remain=remain))
        while len(found) < MOST_KINDS:
            others = [
                n
                for n, option in enumerate(options)
                if n != fitted
                and n not in left
                and all(kind.of(self.evaluation, option) for kind in known)
            ]
            more = self.another(position, left, others, anyway=anyway, remain=remain)
            if more is None:
                break
            found.append(more)
            known |= set(more.kinds)
        return found

    def another(
        self,
        position: str,
        left: list[int],
        others: list[int],
        *,
        anyway: bool,
        remain: tuple[str, ...],
    ) -> Arrow | None:
        """Find one more kind that is needed, among options which the kinds so far do not rule out.

        ``others`` have all kinds found so far and still are in no package.
        """
        if not others:
            return None
        options = self.options[position]
        fitted = self.fitted_number(position)
        known = self.read_by_any(position)
        for kind, lacking in splitting_kinds(
            self.evaluation, position, options, left, others, fitted, known
        ):
            because = self.reasons(position, options[lacking[0]])[0]
            if kind.attribute not in self.read(because, position):
                continue
            if self.rule_out_all(position, lacking, because):
                return self.arrow(position, (kind,), because, anyway=anyway, remain=remain)
        return None

    def arrow(
        self,
        position: str,
        kinds: tuple[Kind, ...],
        because: Sequence[Reason],
        *,
        anyway: bool,
        remain: tuple[str, ...],
    ) -> Arrow:
        through = self.through(position, because)
        return Arrow(position, kinds, tuple(because), tuple(through), anyway, remain)

    def reasons(self, position: str, option: Option) -> list[list[Reason]]:
        """Say why the choice and an option at another position cannot be together.

        Returns
        -------
        list
            Smallest sets, each sufficient by itself.
        """
        alone = self.direct_reasons(option)
        if alone:
            return [[reason] for reason in alone]
        other = Wish("fixed", position, part=option.key)
        found = conflicts.explain(self.prepared, self.without, [self.pick, other])
        return [[reason for reason in found if reason.wish not in (self.pick, other)]]

    def direct_reasons(self, option: Option) -> list[Reason]:
        """Find the rules that look at no third position and refuse both together."""
        found = []
        pair = {self.place: self.option, option.position: option}
        settled = Settled(self.evaluation, pair)
        for rule in checked_rules(self.evaluation.trade):
            if self.evaluation.late(rule) or not set(pair) <= self.evaluation.reach(rule):
                continue
            # Where no third position matters, what stands there does not either.
            choice = {**self.evaluation.fitted, **pair}
            verdict = self.evaluation.verdict(rule, choice)
            if verdict.holds is False and not settled.open_positions(rule):
                inputs = tuple(
                    (str(one), (self.evaluation.value(one, choice),), 0) for one in references(rule)
                )
                unit = getattr(rule, "unit", "")
                found.append(
                    Reason(None, rule, verdict.has, verdict.needs, unit, verdict.at_least, inputs)
                )
        return found

    def through(self, position: str, because: Sequence[Reason]) -> tuple[str, ...]:
        """Name the other positions that the reasons look at."""
        settled = Settled(self.evaluation, {self.place: self.option})
        found: set[str] = set()
        for reason in because:
            wish = reason.wish
            if reason.rule is not None:
                found |= settled.open_positions(reason.rule)
            elif wish is not None and wish.kind in {"at least", "at most"}:
                found |= settled.open_positions(self.evaluation.definition(wish.subject))
            elif wish is not None and wish.kind in {"fixed", "keep"}:
                found.add(wish.subject)
        return tuple(p for p in self.evaluation.families if p in found - {self.place, position})

    def read(self, because: Iterable[Reason], position: str) -> list[str]:
        """Name the attributes of a position that the reasons read."""
        found: dict[str, None] = {}
        for reason in because:
            rule: Rule | None = reason.rule
            if reason.wish is not None and reason.wish.kind in {"at least", "at most"}:
                rule = self.evaluation.definition(reason.wish.subject)
            if rule is not None:
                found.update(dict.fromkeys(reads_at(self.evaluation, rule, position)))
        return list(found)

    def read_by_any(self, position: str) -> list[str]:
        """Name the attributes of a position that any rule reads."""
        found: dict[str, None] = {}
        for rule in checked_rules(self.evaluation.trade):
            if not self.evaluation.late(rule):
                found.update(dict.fromkeys(reads_at(self.evaluation, rule, position)))
        return list(found)

    def rule_out_all(self, position: str, lacking: list[int], because: Sequence[Reason]) -> bool:
        """Whether the same reasons rule out every one of these options."""
        rules = [reason.rule for reason in because if reason.rule is not None]
        wishes = [reason.wish for reason in because if reason.wish is not None]
        job = with_wishes(self.job, [self.pick, *wishes])
        prepared = queries.prepare(self.evaluation, queries.goal_figures(job), rules=rules)
        prices = queries.previews(prepared, job, [position]).prices[position]
        return not any(within(int(prices[n]), job.budget) for n in lacking)

    # -- the other way round --------------------------------------------------------------------

    def forcing_back(self, remaining: dict[str, list[int]], forced: set[str]) -> tuple[str, ...]:
        """Name the forced positions whose every remaining option forces the choice's own."""
        if not self.option.changed or not forced:
            return ()
        stay = replace(self.without, keep=(*self.without.keep, self.place))
        found = queries.previews(self.prepared, stay)
        return tuple(
            position
            for position in self.free
            if position in forced
            and not any(n in self.left(found, position) for n in remaining[position])
        )

    # -- what is left alone ---------------------------------------------------------------------

    def numbers_of(self, kept: list[str]) -> Iterable[Kept]:
        """Hold the rules of positions that keep their part before and after."""
        waiting = list(kept)
        found: dict[str, Kept] = {}
        while waiting:
            job = replace(self.job, keep=(*self.job.keep, waiting[0]))
            promised = next(best.in_order(self.prepared, job))[1]
            choice = referee.confirm(self.evaluation, self.job, promised).choice
            for position in [p for p in waiting if not choice[p].changed]:
                rules = [
                    _untouched(self.evaluation, rule, choice)
                    for rule in checked_rules(self.evaluation.trade)
                    if not self.evaluation.late(rule) and position in self.evaluation.reach(rule)
                ]
                found[position] = Kept(position, tuple(r for r in rules if r is not None))
                waiting.remove(position)
        return [found[position] for position in kept]


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
