"""Packages in order of weight where the circuit gives bounds only: proof by cases.

The case with the lowest bound is looked at first. Where the package that reaches the bound is one,
it is next in order, and the rest of its case is split so that each other package is in exactly one
part. Where it is none, a position that much hangs on is decided, one case for each of its classes.
What is decided is carried through all tables, so bounds rise until packages reach them. Where some
hundred cases prove nothing, a general solver is asked, if it is installed (`cp_sat.py`), for so
many seconds in all.

For loose circuits only, and so for lists of some 2,000 parts on (`mini_buckets.py`).

References
----------
.. [1] A. H. Land and A. G. Doig, *An automatic method of solving discrete programming problems*,
       Econometrica 28 (1960), 497-520: cases with bounds.
.. [2] E. L. Lawler, *A procedure for computing the k best solutions to discrete optimization
       problems*, Management Science 18 (1972), 401-405: splitting the rest of a case.
"""

from __future__ import annotations

import heapq
import itertools
import time
from dataclasses import replace
from typing import TYPE_CHECKING

from configurator.core.errors import FitwrightError
from configurator.core.progress import Cancelled
from configurator.search.optimum import cp_sat
from configurator.search.optimum.branching import Branch, BranchPackage, Proof

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    import numpy as np
    from numpy.typing import NDArray

    from configurator.search.optimum.preparing import Question

# Cases that are looked at before it is given up.
PATIENCE = 5_000
# Every so many cases, one is followed down to a package or a dead end, so that something is found
# before everything is proven.
DIVE = 25


class Undecided(FitwrightError):
    """So many packages or cases were looked at without a proof.

    Parameters
    ----------
    looked
        How many.
    packages
        Weight and position → option number of packages that nothing is proven of.
    least
        No package that was not given before weighs less, as is proven.
    """

    def __init__(
        self,
        looked: int,
        packages: list[tuple[int, dict[str, int]]] | None = None,
        least: int = 0,
    ) -> None:
        self.looked, self.least = looked, least
        self.packages = packages or []
        super().__init__(
            f"search: undecided after {looked} cases; fix large parts (tyres, axles), or leave "
            "catalogs out of the job"
        )


class Halted(Cancelled):
    """Stopped, and what was found by then without a proof.

    Parameters
    ----------
    packages
        Weight and position → option number of each package.
    least
        No package that was not given before weighs less, as is proven.
    """

    def __init__(self, packages: list[tuple[int, dict[str, int]]], least: int = 0) -> None:
        self.packages, self.least = packages, least
        super().__init__()


def numbers_in_order(
    question: Question,
    costs: Mapping[str, NDArray[np.int64]] | None = None,
    work_scale: int = 1,
    patience: int = PATIENCE,
) -> Iterator[tuple[int, dict[str, int]]]:
    """Give the packages of a job in order of their weight, as `best.numbers_in_order` does.

    Raises
    ------
    Undecided
        After ``patience`` cases without a proof of what is next.
    """
    proof = Proof(question, costs, work_scale)
    limits = question.prepared.limits
    if not proof.weighed.possible:
        return
    ties = itertools.count()
    waiting: list[tuple[int, int, int, BranchPackage | Branch]] = []

    def put(weight: int, what: BranchPackage | Branch) -> None:
        # Of what weighs the same, packages come before cases.
        heapq.heappush(waiting, (weight, isinstance(what, Branch), next(ties), what))

    put(0, Branch({}))
    looked_at = 0
    any_package = False
    while waiting:
        bound, _, _, what = heapq.heappop(waiting)
        if isinstance(what, BranchPackage):
            any_package = True
            yield bound, proof.numbers(what)
            for weight, following in proof.following(bound, what):
                put(weight, following)
            continue
        stuck = looked_at >= limits.cases_before_solver and not any_package
        if stuck and patience >= PATIENCE and cp_sat.there():
            met = min(
                (item for item in waiting if isinstance(item[3], BranchPackage)),
                key=lambda item: item[:3],
                default=None,
            )
            start = met[3].rows if met is not None and isinstance(met[3], BranchPackage) else None
            yield from _by_solver(proof, looked_at, bound, start)
            return
        if looked_at >= patience:
            rest = sorted(waiting, key=lambda item: item[:3])
            packages = [
                (other[0], other[3]) for other in rest if isinstance(other[3], BranchPackage)
            ]
            raise Undecided(looked_at, [(w, proof.numbers(item)) for w, item in packages], bound)
        dive = looked_at % DIVE == 0
        case: Branch | None = what
        while case is not None:
            looked_at += 1
            parts, package = proof.split(case, bound)
            case = None
            if package is not None:
                put(*package)
            elif dive and parts:
                bound, case = parts.pop(min(range(len(parts)), key=lambda n: parts[n][0]))
            for part in parts:
                put(*part)


def _by_solver(
    proof: Proof, looked_at: int, bound: int, start: Mapping[int, int] | None
) -> Iterator[tuple[int, dict[str, int]]]:
    """Give the packages in order of their weight: the solver proves each class of packages."""
    looked = proof.look({})
    if looked is None:
        return
    problem = cp_sat.WeightedTables(
        proof.loose.tables,
        proof.loose.sizes,
        proof.weighed.weights,
        proof.semiring.impossible,
        tuple(proof.positions),
        max(bound, looked.bound),
    )
    limits = proof.prepared.limits
    left = limits.solver_seconds
    ties = itertools.count()
    waiting: list[tuple[int, int, BranchPackage]] = []
    known: list[Mapping[int, int]] = []
    while True:
        if len(known) == limits.solver_calls or left <= 0:
            rest = [(w, proof.numbers(pending)) for w, _, pending in sorted(waiting)]
            raise Undecided(looked_at, rest, problem.floor)
        try:
            begun = time.monotonic()
            rows = cp_sat.cheapest(replace(problem, seconds=left, start=start), known)
            left -= time.monotonic() - begun
            start = None
        except cp_sat.Interrupted as stop:
            least = proof.weight_of(stop.rows)
            best = (least or 0, proof.numbers(BranchPackage(stop.rows, {})))
            rest = [(w, proof.numbers(pending)) for w, _, pending in sorted(waiting)]
            raise Halted([*rest, best], _least(stop.least, [*rest, best])) from stop
        except cp_sat.Failed as failed:
            rest = [(w, proof.numbers(pending)) for w, _, pending in sorted(waiting)]
            if failed.rows is not None:
                weight = proof.weight_of(failed.rows) or 0
                rest.append((weight, proof.numbers(BranchPackage(failed.rows, {}))))
            raise Undecided(looked_at, rest, _least(failed.least, rest)) from failed
        least = None if rows is None else proof.weight_of(rows)
        if rows is not None:
            if least is None:
                message = "the solver's combination is none: please report this"
                raise RuntimeError(message)
            known.append(rows)
            heapq.heappush(waiting, (least, next(ties), BranchPackage(rows, {})))
        while waiting and (least is None or waiting[0][0] <= least):
            weight, _, package = heapq.heappop(waiting)
            yield weight, proof.numbers(package)
            for heavier, following in proof.following(weight, package):
                heapq.heappush(waiting, (heavier, next(ties), following))
        if rows is None:
            return


def _least(bound: int, packages: Sequence[tuple[int, object]]) -> int:
    """Give what no package weighs less than: these their own weight, all others the bound."""
    return min(bound, min((weight for weight, _ in packages), default=bound))
