"""Where the boxes and lines of a picture go: in ranks, with few crossings, lines around boxes.

The layered method: what forces stands left of what it forces; a line that spans several ranks gets
a place of its own in each rank between, so that it never passes behind a box; the order within
ranks comes from the mean place of the neighbours. Boxes that come as a set stand together in one
block.

References
----------
.. [1] K. Sugiyama, S. Tagawa and M. Toda, *Methods for visual understanding of hierarchical system
   structures*, IEEE Trans. SMC 11 (1981).
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

import networkx

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from configurator.consequences.upgrade_graph import Edge, Picture

# Boxes in a rank; where there are more, the rest goes to a rank of its own, so that a picture
# stays near the shape of a sheet of paper.
TALLEST = 13
SWEEPS = 12

# A place in a rank: a block of boxes, or where a line of a box passes through: (source, rank).
Slot = tuple[str, int]


@dataclass(frozen=True, slots=True)
class Spot:
    """Where a box is; ``y`` is its upper edge."""

    rank: int
    y: float
    height: float


@dataclass(frozen=True, slots=True)
class SetFrame:
    """Around boxes that come as a set."""

    rank: int
    y: float
    height: float
    names: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Route:
    """The heights at which a line passes the ranks between its ends, in order of rank."""

    line: Edge
    passes: tuple[tuple[int, float], ...]


@dataclass(frozen=True, slots=True)
class Layout:
    """A picture with every place settled; ``height`` is that of the tallest rank."""

    spots: Mapping[str, Spot]
    frames: tuple[SetFrame, ...]
    routes: tuple[Route, ...]
    ranks: int
    height: float


def lay_out(
    picture: Picture,
    heights: Mapping[str, float],
    *,
    gap: float = 11.0,
    lane: float = 8.0,
    frame: float = 22.0,
    tallest: int = TALLEST,
) -> Layout:
    """Place the boxes of a picture.

    Parameters
    ----------
    picture
        What to place.
    heights
        Height of each box.
    gap
        Least distance between boxes of a rank.
    lane
        Height kept free for a line that passes a rank.
    frame
        Height that the frame of a set takes above its boxes.
    tallest
        Boxes in a rank at most, unless they come as a set.
    """
    blocks = _blocks(picture)
    home = {name: block for block, names in blocks.items() for name in names}
    lines = [line for line in picture.lines if home[line.source] != home[line.target]]
    ranks = _ranks(blocks, [(home[line.source], home[line.target]) for line in lines], tallest)
    chains = _chains(lines, home, ranks)
    order = _order(ranks, chains)

    tall = {
        block: sum(heights[name] for name in names)
        + gap * (len(names) - 1)
        + (frame + gap / 2 if len(names) > 1 else 0.0)
        for block, names in blocks.items()
    }
    size = {slot: tall.get(slot[0], lane) if slot[1] < 0 else lane for slot in _slots(order)}
    middle = _settle(order, chains, size, gap)

    spots: dict[str, Spot] = {}
    frames: list[SetFrame] = []
    for rank, slots in enumerate(order):
        for slot in slots:
            if slot[1] >= 0:
                continue
            names = blocks[slot[0]]
            y = middle[slot] - size[slot] / 2
            if len(names) > 1:
                frames.append(SetFrame(rank, y, size[slot], names))
                y += frame
            for name in names:
                spots[name] = Spot(rank, y, heights[name])
                y += heights[name] + gap
    routes = [
        Route(
            line,
            tuple(
                (slot[1], middle[slot]) for slot in chains[line.source, line.target] if slot[1] >= 0
            ),
        )
        for line in lines
    ]
    height = max((middle[s] + size[s] / 2 for s in middle), default=0.0)
    return Layout(spots, tuple(frames), tuple(routes), len(order), height)


def _blocks(picture: Picture) -> dict[str, tuple[str, ...]]:
    """Boxes that stand together, under the name of the first."""
    known = [box.name for box in picture.boxes]
    grouped = [tuple(n for n in known if n in group) for group in picture.sets]
    # Lines left over may still run in a round through a set and a third box.
    graph = networkx.DiGraph()
    graph.add_nodes_from(known)
    graph.add_edges_from((line.source, line.target) for line in picture.lines)
    for group in grouped:
        for pair, other in pairwise(group):
            graph.add_edge(pair, other)
            graph.add_edge(other, pair)
    blocks = {}
    for members in networkx.strongly_connected_components(graph):
        names = tuple(n for n in known if n in members)
        blocks[names[0]] = names
    return {name: blocks[name] for name in known if name in blocks}


def _ranks(
    blocks: Mapping[str, tuple[str, ...]], edges: Sequence[tuple[str, str]], tallest: int
) -> dict[str, int]:
    """Rank of each block: right of everything that forces it, close to what it forces."""
    graph = networkx.DiGraph()
    graph.add_nodes_from(blocks)
    graph.add_edges_from(edges)
    rank = {b: k for k, row in enumerate(networkx.topological_generations(graph)) for b in row}
    for block in blocks:
        after = [rank[b] for b in graph.successors(block)]
        if after and not graph.in_degree(block):
            rank[block] = min(after) - 1
    ranks: dict[str, int] = {}
    column = 0
    for wanted in range(max(rank.values(), default=-1) + 1):
        here = [b for b in blocks if rank[b] == wanted]
        # Split evenly: no last rank with a single box in it.
        count = sum(len(blocks[b]) for b in here)
        share = -(-count // -(-count // tallest))
        room = share
        for block in here:
            need = len(blocks[block])
            if need > room and room < share:
                column, room = column + 1, share
            ranks[block] = column
            room -= need
        column += 1
    return ranks


def _chains(
    lines: Sequence[Edge], home: Mapping[str, str], ranks: Mapping[str, int]
) -> dict[tuple[str, str], list[Slot]]:
    """For each line the slots from its source to its target.

    Lines from one box share their way until they part: a trunk with branches.
    """
    chains = {}
    for line in lines:
        start, end = ranks[home[line.source]], ranks[home[line.target]]
        between = [(line.source, rank) for rank in range(start + 1, end)]
        chains[line.source, line.target] = [
            (home[line.source], -1),
            *between,
            (home[line.target], -1),
        ]
    return chains


def _slots(order: Sequence[Sequence[Slot]]) -> list[Slot]:
    return [slot for slots in order for slot in slots]


def _links(chains: Mapping[tuple[str, str], list[Slot]]) -> list[tuple[Slot, Slot]]:
    return list(dict.fromkeys(pair for chain in chains.values() for pair in pairwise(chain)))


def _order(
    ranks: Mapping[str, int], chains: Mapping[tuple[str, str], list[Slot]]
) -> list[list[Slot]]:
    """Order the slots of every rank so that few lines cross."""
    order: list[list[Slot]] = [[] for _ in range(max(ranks.values(), default=-1) + 1)]
    for block, rank in ranks.items():
        order[rank].append((block, -1))
    for chain in chains.values():
        for slot in chain:
            if slot[1] >= 0 and slot not in order[slot[1]]:
                # In the middle, so that a trunk with branches on every rank goes straight on.
                order[slot[1]].insert(len(order[slot[1]]) // 2, slot)
    links = _links(chains)
    before: dict[Slot, list[Slot]] = {slot: [] for slot in _slots(order)}
    after: dict[Slot, list[Slot]] = {slot: [] for slot in _slots(order)}
    for link, other in links:
        after[link].append(other)
        before[other].append(link)
    best, fewest = [list(slots) for slots in order], crossings(order, links)
    for sweep in range(SWEEPS):
        forward = sweep % 2 == 0
        near = before if forward else after
        for slots in order if forward else reversed(order):
            place = {slot: k for other in order for k, slot in enumerate(other)}
            mean = {
                s: sum(place[n] for n in near[s]) / len(near[s]) if near[s] else float(place[s])
                for s in slots
            }
            slots.sort(key=mean.__getitem__)
        crossed = crossings(order, links)
        if crossed < fewest:
            best, fewest = [list(slots) for slots in order], crossed
    return best


def crossings(order: Sequence[Sequence[Slot]], links: Sequence[tuple[Slot, Slot]]) -> int:
    """Count how many pairs of lines cross between neighbouring ranks.

    Examples
    --------
    >>> a, b, c, d = [(name, -1) for name in "abcd"]
    >>> crossings([[a, b], [c, d]], [(a, d), (b, c)])
    1
    """
    where = {slot: (rank, k) for rank, slots in enumerate(order) for k, slot in enumerate(slots)}
    ends = sorted((where[link][0], where[link][1], where[other][1]) for link, other in links)
    return sum(
        1
        for k, (rank, start, end) in enumerate(ends)
        for other_rank, other_start, other_end in ends[k + 1 :]
        if rank == other_rank and start < other_start and end > other_end
    )


def _settle(
    order: Sequence[Sequence[Slot]],
    chains: Mapping[tuple[str, str], list[Slot]],
    size: Mapping[Slot, float],
    gap: float,
) -> dict[Slot, float]:
    """Heights of the middles: near the mean of the neighbours, in order and apart."""
    near: dict[Slot, list[Slot]] = {slot: [] for slot in size}
    for link, other in _links(chains):
        near[link].append(other)
        near[other].append(link)
    middle: dict[Slot, float] = {}
    for slots in order:
        y = 0.0
        for slot in slots:
            middle[slot] = y + size[slot] / 2
            y += size[slot] + gap
    for _ in range(SWEEPS):
        for slots in (*order, *reversed(order)):
            wanted = [
                sum(middle[n] for n in near[s]) / len(near[s]) if near[s] else middle[s]
                for s in slots
            ]
            apart = [(size[a] + size[b]) / 2 + gap for a, b in pairwise(slots)]
            middle.update(zip(slots, spaced(wanted, apart), strict=True))
    top = min((middle[slot] - size[slot] / 2 for slot in middle), default=0.0)
    return {slot: y - top for slot, y in middle.items()}


def spaced(wanted: Sequence[float], apart: Sequence[float]) -> list[float]:
    """Move places as little as possible (least squares) so that they stay in order and apart.

    Parameters
    ----------
    wanted
        Where each would like to be.
    apart
        Least distance from each to the next.

    Examples
    --------
    >>> spaced([0.0, 0.0, 9.0], [2.0, 2.0])
    [-1.0, 1.0, 9.0]
    """
    offset = [0.0]
    for distance in apart:
        offset.append(offset[-1] + distance)
    # With the offsets taken off, "apart" becomes "not falling": pool neighbours that fall.
    pools: list[tuple[float, int]] = []
    for want, shift in zip(wanted, offset, strict=False):
        total, count = want - shift, 1
        while pools and pools[-1][0] / pools[-1][1] > total / count:
            other = pools.pop()
            total, count = total + other[0], count + other[1]
        pools.append((total, count))
    level = [total / count for total, count in pools for _ in range(count)]
    return [item + shift for item, shift in zip(level, offset, strict=False)]
