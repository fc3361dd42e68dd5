"""Only what lies near the cheapest package: smaller circuits for what is asked again and again.

Most rows of a circuit are in dear packages only. What is about the cheapest ones (sums that they
must keep, levels, the next in order) is asked of the rows that are in some package up to a price,
often less than a hundredth of all. The answer is exact as long as what is found is not dearer than
that; if nothing is, a wider part is asked, at last the whole.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, NamedTuple, TypeVar

import numpy as np

from configurator.search.circuit.nodes import Circuit, Node
from configurator.search.circuit.pruning import without_identities
from configurator.search.optimum.preparing import seated
from configurator.search.optimum.queries import values_for, weigh

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Sequence

    from numpy.typing import NDArray

    from configurator.model.jobs import Job
    from configurator.search.circuit.semirings import Values
    from configurator.search.optimum.preparing import Prepared
    from configurator.search.optimum.queries import Weighed

    Rows = NDArray[np.signedinteger]

Found = TypeVar("Found")

# Rows of a circuit from which on that is worth while.
WORTH = 100_000
# Up to how much more than the cheapest package each part of a circuit goes, and of how many rows it
# may have one at most: with more of them the whole does as well.
SHARES = (0.05, 0.2, 0.5)
SMALLER = 6
# Rows from which on parts are cut for a single question too, before the whole is asked.
LONG = 10_000_000
# Jobs whose parts are kept: what is asked of a job mostly asks about others with more wishes.
KEPT = 2


class Ring(NamedTuple):
    """A part of a circuit, and up to which price [minor units] all packages are in it; None: all.

    Prices are of packages, with what every package costs.
    """

    prepared: Prepared
    at_most: int | None


class Rings:
    """Parts of a circuit around a job's cheapest package, each wider than the one before.

    To be gone through, any number of times: each part is made when it is first come to, the last
    is the whole. All answer for the job, its budget left aside, and for any that asks for more.
    Small circuits, and those of bounds, have no part but the whole.

    Parameters
    ----------
    prepared, job
        The case, and whose wishes count.
    """

    def __init__(self, prepared: Prepared, job: Job) -> None:
        self.whole = prepared
        self.job = replace(job, budget=None)
        self._made: dict[float, Ring | None] = {}

    def of(self, prepared: Prepared) -> Rings:
        """Give the same parts for a case that shares the circuit and asks for another job."""
        if prepared is self.whole:
            return self
        rings = Rings(prepared, self.job)
        rings._made = self._made
        return rings

    def __iter__(self) -> Iterator[Ring]:
        if self.whole.loose is None and self.whole.circuit.rows >= WORTH:
            for share in SHARES:
                if share not in self._made:
                    self._made[share] = _ring(self.whole, self.job, share)
                ring = self._made[share]
                if ring is None:
                    break
                yield Ring(replace(ring.prepared, model=self.whole.model), ring.at_most)
        yield Ring(self.whole, None)


def around(prepared: Prepared, job: Job) -> Rings:
    """Give the parts around a job's cheapest package; those asked for lately are kept."""
    asked = replace(job, budget=None)
    kept: tuple[Rings, ...] = prepared.lately.near
    same = (item for item in kept if item.whole.circuit is prepared.circuit and item.job == asked)
    known = next(same, None)
    rings = Rings(prepared, job) if known is None else known.of(prepared)
    others = (item for item in kept if item is not known)
    prepared.lately.near = (rings, *others)[:KEPT]
    return rings


def first_found(
    rings: Rings, ask: Callable[[Ring], Found], price: Callable[[Found], int | None]
) -> Found:
    """Ask one part after the other, until what is found is no dearer than all that is in one.

    Parameters
    ----------
    rings
        The parts.
    ask
        Answers for one of them.
    price
        What the package found costs, or what none is below [minor units]; None where nothing was
        found: a wider part may have something to show.

    Returns
    -------
    Found
        The last answer.
    """
    for ring in rings:
        value = ask(ring)
        reached = price(value)
        if ring.at_most is None or (reached is not None and reached <= ring.at_most):
            break
    return value


def with_any_of(
    prepared: Prepared, job: Job, position: str, options: Sequence[int], most: int
) -> Ring | None:
    """Cut out what is in a package with any of some options, up to a price.

    What is asked of each of them by itself is asked of that. None where nothing is in it, or where
    cutting is not worth while.

    Parameters
    ----------
    prepared, job
        The case, and whose wishes count; its budget is left aside.
    position, options
        Numbers of its options.
    most
        Price [minor units] up to which all packages are kept, with what every package costs.
    """
    if prepared.loose is not None or prepared.circuit.rows < LONG:
        return None
    costs = {place: seat.costs for place, seat in prepared.seats.items()}
    masked = np.full_like(costs[position], prepared.semiring.impossible)
    masked[options] = costs[position][options]
    weighed = weigh(prepared, job, {**costs, position: masked})
    return _cut(prepared, weighed, lambda _: most - prepared.model.fixed_cost)


def _ring(prepared: Prepared, job: Job, share: float) -> Ring | None:
    """Cut out what is in a package up to a price; None where nothing is, or nearly everything."""
    fixed = prepared.model.fixed_cost
    weighed = weigh(prepared, job)
    return _cut(prepared, weighed, lambda least: least + int((least + fixed) * share))


def _cut(prepared: Prepared, weighed: Weighed, most: Callable[[int], int]) -> Ring | None:
    """Cut out what costs no more than what hangs on the price of the cheapest package."""
    if not weighed.possible:
        return None
    values = values_for(prepared, weighed)
    cheapest = 0 if values[-1] is None else int(values[-1][0])
    at_most = most(cheapest)
    if cheapest >= prepared.semiring.impossible or cheapest > at_most:
        return None
    circuit = up_to(prepared.circuit, values, at_most, prepared.circuit.rows // SMALLER)
    if circuit is None:
        return None
    return Ring(seated(prepared.model, circuit, None), at_most + prepared.model.fixed_cost)


def up_to(
    circuit: Circuit, values: Sequence[Values | None], most: int, limit: int
) -> Circuit | None:
    """Keep the rows of a circuit that are in a package up to a price.

    Parameters
    ----------
    circuit
        Left as it is.
    values
        What `passes.forward` gave in prices; not all impossible.
    most
        Price [minor units], no lower than the cheapest and below what is impossible.
    limit
        Rows at which it is given up.

    Returns
    -------
    Circuit or None
        None where more rows than ``limit`` are in such packages. Rows keep their order.
    """
    last = len(circuit.nodes) - 1
    # Of each node the outer rows that are kept, and the cheapest that goes with each of them.
    kept: dict[int, Rows] = {last: np.zeros(1, np.intp)}
    above: dict[int, Rows] = {last: np.zeros(1, np.int64)}
    nodes: list[Node] = []
    rows = 0
    for number in range(last, -1, -1):
        node, here, own = circuit.nodes[number], kept[number], above.pop(number)
        if node.leaf >= 0:
            nodes.append(Node(len(here), len(here), leaf=node.leaf))
            continue
        inner, outer = _inner_rows(node, here)
        price = own[outer]
        sides = []
        for child, index in ((node.left, node.from_left), (node.right, node.from_right)):
            if child < 0:
                continue
            of_child = inner if index is None else index[inner]
            known = values[child]
            weight = np.zeros(1, np.int64) if known is None else known[of_child]
            price = price + weight
            sides.append((child, of_child, weight))
        cheap = price <= most
        rows += int(cheap.sum())
        if rows > limit:
            return None
        segments = outer[cheap]
        smaller = Node(len(here), len(segments), node.left, node.right)
        if len(segments) > len(here):
            smaller.starts = np.searchsorted(segments, np.arange(len(here))).astype(np.int32)
        for side, (child, of_child, weight) in zip(("left", "right"), sides, strict=False):
            used, rest = of_child[cheap], (price - weight)[cheap]
            kept[child], place = _numbered(used, circuit.nodes[child].rows)
            above[child] = np.full(len(kept[child]), most + 1, np.int64)
            np.minimum.at(above[child], place, rest)
            setattr(smaller, f"from_{side}", place.astype(np.int32))
        nodes.append(smaller)
    nodes.reverse()
    for node in nodes:
        without_identities(node, nodes)
    leaf_rows = list(circuit.leaf_rows)
    for number, node in enumerate(circuit.nodes):
        if node.leaf >= 0:
            leaf_rows[node.leaf] = [circuit.leaf_rows[node.leaf][row] for row in kept[number]]
    return Circuit(nodes, leaf_rows)


def _inner_rows(node: Node, outer: Rows) -> tuple[Rows, Rows]:
    """Give the inner rows of some outer rows, and for each which of these it belongs to."""
    if node.starts is None:
        return outer, np.arange(len(outer))
    begin = node.starts[outer].astype(np.int64)
    following = np.minimum(outer + 1, node.rows - 1)
    end = np.where(outer + 1 < node.rows, node.starts[following], node.inner)
    lengths = end - begin
    which = np.repeat(np.arange(len(outer)), lengths)
    before = np.cumsum(lengths) - lengths
    return np.arange(len(which)) + (begin - before)[which], which


def _numbered(used: Rows, rows: int) -> tuple[Rows, Rows]:
    """Give the distinct rows among some in order, and for each of them which of these it is."""
    if len(used) * 16 < rows:  # then sorting them is quicker than marking all
        distinct, place = np.unique(used, return_inverse=True)
        return distinct, place.reshape(-1)
    mark = np.zeros(rows, np.bool_)
    mark[used] = True
    return np.flatnonzero(mark), (np.cumsum(mark) - 1)[used]
