"""What a choice forces: which parts of the vehicle cannot stay with it, and by which rules.

A choice forces an upgrade at a position when no package that contains it keeps the part that is on
the vehicle. That is asked of the search, one choice at a time, and every answer carries a smallest
set of rules that makes it true. It holds relative to the catalogs in the job and to what is decided
there, so it is always said with what it is relative to.
"""

from __future__ import annotations

from dataclasses import replace
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np

from configurator.consequences.further_kinds import FurtherKinds
from configurator.consequences.kept_consequences import KeptConsequences
from configurator.consequences.kept_parts import PATIENCE, fewest_changes, rules_of, within
from configurator.consequences.shared_properties import (
    SharedProperty,
    kind_of,
    presence,
)
from configurator.consequences.upgrade_reasons import (
    LISTED,
    Reasons,
    Why,
    direct_reasons,
    pick_of,
    read,
)
from configurator.consequences.upgrade_records import Arrow, Forced, Kept, Reading
from configurator.core.progress import report
from configurator.questions import answers
from configurator.search.explanation import conflicts
from configurator.search.optimum import lexicographic, option_prices, queries
from configurator.search.optimum.availability import available, can_be_had
from configurator.search.optimum.cheapest_package import CheapestPackage
from configurator.search.optimum.preparing import Question

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from numpy.typing import NDArray

    from configurator.evaluation.evaluator import Evaluation, Option
    from configurator.model.jobs import Job
    from configurator.search.optimum.availability import Availability
    from configurator.search.optimum.preparing import Prepared

# How many arrows with kinds of their own are told at one position.
MOST_KINDS = 4


def asked(prepared: Prepared, reading: Reading) -> Job:
    """Return the job as a reading takes it: with its goals, budget and wait, or without."""
    job = prepared.evaluation.case.job
    if reading == "goals":
        return lexicographic.settle(Question.of(prepared)).job
    return replace(job, goals=(), budget=None, parts_within=None)


def choices_of(prepared: Prepared) -> list[Option]:
    """List the changed parts of the cheapest package that meets the job; empty if nothing fits."""
    packages = answers.find(prepared).packages
    return [option for option in packages[0].choice.values() if option.changed] if packages else []


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
    return forces_each(prepared, [option], reading, numbers=numbers)[0]


def forces_each(
    prepared: Prepared,
    options: Sequence[Option],
    reading: Reading = "fit",
    *,
    numbers: bool = False,
    inputs: bool = True,
) -> list[Forced]:
    """Find what each of several choices forces by itself; see `forces`.

    Without ``inputs``, reasons do not say what the inputs of their rules can be.
    """
    # Where prices are bounds, they may become exact.
    kept = (
        KeptConsequences(
            prepared.evaluation, prepared.limits, reading, numbers=numbers, inputs=inputs
        )
        if prepared.keep and prepared.loose is None
        else None
    )
    job: Job | None = None
    reasons = Reasons(prepared, inputs=inputs)
    forced = []
    for done, option in enumerate(options):
        report(done, len(options))
        answer = None if kept is None else kept.look_up(option)
        if answer is None:
            job = job or asked(prepared, reading)
            answer = _Question(prepared, option, job, reasons).answer(numbers=numbers)
            if kept is not None:
                kept.note(answer)
        forced.append(answer)
    if kept is not None:
        kept.save()
    return forced


def possible_at(availability: Availability, position: str) -> list[int]:
    """Options of a position that nothing rules out."""
    return np.flatnonzero(availability.possible[position]).tolist()


class _Question:
    """One choice, with what is decided beside it."""

    def __init__(self, prepared: Prepared, option: Option, job: Job, reasons: Reasons) -> None:
        self.prepared = prepared
        self.reasons = reasons
        self.evaluation: Evaluation = prepared.evaluation
        self.option = option
        self.place = option.position
        # What the job says of the choice's own position is what the choice replaces.
        self.without = replace(
            job,
            fixed={p: k for p, k in job.fixed.items() if p != self.place},
            keep=tuple(p for p in job.keep if p != self.place),
        )
        self.kinds = FurtherKinds(prepared, reasons, self.without, option)
        self.job = replace(self.without, fixed={**self.without.fixed, self.place: option.key})
        decided = {*self.job.fixed, *self.job.keep}
        self.free = [p for p in self.evaluation.families if p not in decided]
        self.options = prepared.model.options
        # Of all positions, so that every choice asks the same of the vehicle without it.
        self.fitted = {position: [self.fitted_number(position)] for position in self.options}

    @cached_property
    def bounds(self) -> Mapping[str, NDArray[np.signedinteger]]:
        """What each option costs beside the choice, if no sum had a limit; -1 without a package."""
        return queries.previews(Question(self.prepared, self.job), self.free).prices

    def answer(self, *, numbers: bool) -> Forced:
        stay, undecided, possible = self.can_stay()
        if not possible:
            conflict = conflicts.explain(
                Question(self.prepared, self.without), [pick_of(self.option)]
            )
            return Forced(self.option, False, tuple(conflict), (), (), None, True, ())
        changed = [p for p in self.free if p not in stay and p not in undecided]
        remaining = self.remaining(changed)
        arrows: list[Arrow] = []
        for position in changed:
            fitted = self.fitted_number(position)
            left = [n for n in remaining[position] if n != fitted]
            arrows.extend(self.arrows_to(position, left))
        kept = self.kept(stay, undecided, numbers=numbers)
        forced = [p for p in changed if any(a.position == p and not a.anyway for a in arrows)]
        back = self.forcing_back(remaining, forced)
        adds, exact = self.adds()
        return Forced(self.option, True, (), tuple(arrows), kept, adds, exact, back)

    def remaining(self, positions: Sequence[str]) -> dict[str, list[int]]:
        """Give the options of some positions that nothing rules out beside the choice."""
        if not positions:
            return {}
        after = available(Question(self.prepared, self.job), positions, LISTED)
        return {position: possible_at(after, position) for position in positions}

    def fitted_number(self, position: str) -> int:
        return next(n for n, o in enumerate(self.options[position]) if not o.changed)

    # -- what can stay --------------------------------------------------------------------------

    def can_stay(self) -> tuple[set[str], set[str], bool]:
        """Say which parts can stay beside the choice.

        Returns
        -------
        tuple
            Positions whose part can stay; those for which sums leave it undecided; and whether the
            choice can be had at all.
        """
        asked = {self.place: self.numbers_of(self.option)}
        asked.update((p, numbers) for p, numbers in self.fitted.items() if p in self.free)
        after = available(Question(self.prepared, self.job), list(asked), LISTED, asked)
        held: dict[str, bool | None] = {}
        for position, numbers in asked.items():
            held[position] = bool(after.possible[position][numbers].any())
            if held[position] and not after.proven[position][numbers].all():
                held[position] = self.with_part(self.job, position)
        possible = held.pop(self.place) is not False
        stay = {position for position, can in held.items() if can}
        return stay, {position for position, can in held.items() if can is None}, possible

    def with_part(self, job: Job, position: str) -> bool | None:
        """Whether a package has a position's present part, the choice's own; None if not known."""
        if position != self.place:
            job = replace(job, keep=(*job.keep, position))
        return can_be_had(Question(self.prepared, job), PATIENCE)

    def stays_without(self, position: str, fitted: int) -> bool:
        """Whether the present part could stay without the choice; if undecided, that it could."""
        before = self.reasons.without_choice(self.without, self.fitted)
        if not before.possible[position][fitted]:
            return False
        return bool(before.proven[position][fitted]) or (
            self.with_part(self.without, position) is not False
        )

    def kept(self, stay: set[str], undecided: set[str], *, numbers: bool) -> tuple[Kept, ...]:
        """Hold the rules of positions that keep their part before and after, if that is asked."""
        kept: list[Kept] = []
        packages: list[Mapping[str, Option]] = []
        for position in self.free:
            if position in undecided or (position in stay and not numbers):
                kept.append(Kept(position, (), proven=position in stay))
            elif position in stay:
                choice = next((p for p in packages if not p[position].changed), None)
                if choice is None:
                    job = replace(self.job, keep=(*self.job.keep, position))
                    choice, _ = fewest_changes(Question(self.prepared, job))
                    packages += [] if choice is None else [choice]
                rules = () if choice is None else rules_of(self.evaluation, position, choice)
                kept.append(Kept(position, rules))
        return tuple(kept)

    def adds(self) -> tuple[int | None, bool]:
        """Compare the cheapest packages with the choice and without; say whether it is proven."""
        first = option_prices.cheapest(Question(self.prepared, self.job), PATIENCE)
        other = self.cheapest_other()
        proven = first.proven and other.proven
        if first.price is None or other.price is None or not within(other.price, self.job.budget):
            return None, proven
        return first.price - other.price, proven

    def cheapest_other(self) -> CheapestPackage:
        """Find the cheapest package with another option in the place of the choice."""
        question = Question(self.prepared, self.without)
        others = np.ones(len(self.options[self.place]), np.bool_)
        others[self.numbers_of(self.option)] = False
        if self.prepared.loose is None:
            return option_prices.cheapest(question, PATIENCE, {self.place: others})
        bounds = queries.previews(question, [self.place]).prices[self.place]
        bounds[~others] = -1
        best = CheapestPackage(None, None, proven=True)
        for number in sorted(np.flatnonzero(bounds >= 0).tolist(), key=bounds.__getitem__):
            if best.price is not None and bounds[number] >= best.price:
                break
            key = self.options[self.place][number].key
            job = replace(self.without, fixed={**self.without.fixed, self.place: key})
            result = option_prices.cheapest(Question(self.prepared, job), PATIENCE)
            proven = best.proven and result.proven
            if best.price is None or (result.price is not None and result.price < best.price):
                best = result
            best = replace(best, proven=proven)
        return best

    # -- arrows ---------------------------------------------------------------------------------

    def arrows_to(self, position: str, left: list[int]) -> list[Arrow]:
        """Explain why the present part cannot stay, and which kinds are needed instead.

        Each rule that alone refuses both together gives an arrow of its own: a wheel may be of the
        wrong PCD and have too small a bore. Only where there is none do several rules; and
        where the present part is ruled out even without the choice, those that do that.
        """
        options = self.options[position]
        fitted = self.fitted_number(position)
        remain = tuple(options[n].key for n in left)

        def arrow(kinds: Sequence[SharedProperty], why: Why, lacking: list[int]) -> Arrow:
            refused = [options[n] for n in lacking]
            choice = None if why.anyway else self.option
            way = self.reasons.through(choice, refused, why.because)
            keys = tuple(option.key for option in refused)
            because = self.reasons.numbers(why)
            return Arrow(position, tuple(kinds), because, keys, way, why.anyway, remain)

        arrows: list[Arrow] = []
        known: set[SharedProperty] = set()
        anyway = not self.stays_without(position, fitted)
        for why in self.whys(options[fitted], anyway=anyway):
            properties = [
                kind_of(self.evaluation, position, options, left, fitted, name, bounded=why.bounded)
                for name in read(self.evaluation, why.because, position)
            ]
            kinds = [kind for kind in properties if kind is not None and kind not in known]
            if arrows and not kinds:
                continue
            known |= set(kinds)
            if not kinds and (there := presence(options, left, fitted, position)):
                kinds = [there]
            arrows.append(arrow(kinds, why, [fitted]))
        while len(arrows) < MOST_KINDS:
            more = self.another(position, left, known)
            if more is None:
                break
            arrows.append(arrow([more[0]], more[1], more[2]))
            known.add(more[0])
        return arrows

    def whys(self, other: Option, *, anyway: bool) -> list[Why]:
        """Say why an option cannot be there: each a smallest set, sufficient by itself."""
        direct = direct_reasons(self.evaluation, self.option, other)
        if direct:
            return [Why((reason,), anyway=False) for reason in direct]
        return [self.reasons.against(self.without, None if anyway else self.option, other)]

    def another(
        self, position: str, left: list[int], known: set[SharedProperty]
    ) -> tuple[SharedProperty, Why, list[int]] | None:
        """Find one more kind that is needed.

        It must tell the options that remain from some that have all ``known`` kinds and still are
        ruled out, and the reasons against these must read what the kind is about. What only sums
        over the whole vehicle rule out tells nothing of a kind: all its parts have a say in them.
        """
        fitted = self.fitted_number(position)
        others = [n for n in range(len(self.options[position])) if n != fitted and n not in left]
        for kind, lacking in self.kinds.at(position, left, others, known):
            if within(int(self.bounds[position][lacking[0]]), self.job.budget):
                continue
            why = self.kinds.reason(position, kind, lacking)
            if why is not None:
                return kind, why, lacking
        return None

    def numbers_of(self, option: Option) -> list[int]:
        return [n for n, o in enumerate(self.options[option.position]) if o.key == option.key]

    # -- the other way round --------------------------------------------------------------------

    def forcing_back(
        self, remaining: Mapping[str, Sequence[int]], forced: Sequence[str]
    ) -> tuple[str, ...]:
        """Name the forced positions whose every remaining option forces the choice's own."""
        if not self.option.changed or not forced:
            return ()
        stay = replace(self.without, keep=(*self.without.keep, self.place))
        left = {position: remaining[position] for position in forced}
        then = available(Question(self.prepared, stay), forced, LISTED, left)
        return tuple(p for p in forced if not then.possible[p][left[p]].any())
