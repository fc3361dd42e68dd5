"""What choices force, as a graph: which positions come as a set, and files for other programs."""

from __future__ import annotations

from dataclasses import dataclass
from io import BytesIO
from typing import TYPE_CHECKING

import networkx

from configurator.drawings.ink import legal

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from configurator.consequences.upgrade_records import Forced

# Stands for what the job asks, where that and no choice rules a part out.
ASKED = "what the job asks"


@dataclass(frozen=True, slots=True)
class Box:
    """A node: a position, with what is chosen or needed there.

    ``chosen`` tells the choices that were asked about from what they force.
    """

    name: str
    lines: tuple[str, ...]
    chosen: bool


@dataclass(frozen=True, slots=True)
class Edge:
    """An edge: what stands at ``source`` forces something at ``target``.

    ``because`` holds the rules in words; ``direct`` is whether they read no third position.
    """

    source: str
    target: str
    because: tuple[str, ...]
    direct: bool
    through: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Picture:
    """Boxes, lines, and the groups of boxes that come as a set."""

    title: str
    boxes: tuple[Box, ...]
    lines: tuple[Edge, ...]
    sets: tuple[tuple[str, ...], ...]


def sets_of(forced: Iterable[Forced]) -> tuple[tuple[str, ...], ...]:
    """Group the positions that force each other, directly or in a round.

    Examples
    --------
    >>> sets_of([])
    ()
    """
    graph = networkx.DiGraph()
    for item in forced:
        place = item.option.position
        for arrow in item.arrows:
            if not arrow.anyway:
                graph.add_edge(place, arrow.position)
        for position in item.back:
            graph.add_edge(position, place)
    return rounds(graph.edges)


def rounds(edges: Iterable[tuple[str, str]]) -> tuple[tuple[str, ...], ...]:
    """Find the groups in which every member leads to every other.

    Examples
    --------
    >>> rounds([("lift", "driveshaft"), ("driveshaft", "lift"), ("lift", "shocks")])
    (('driveshaft', 'lift'),)
    """
    graph = networkx.DiGraph()
    graph.add_edges_from(edges)
    groups = networkx.condensation(graph).nodes(data="members")
    return tuple(sorted(tuple(sorted(members)) for _, members in groups if len(members) > 1))


def shortened(lines: Sequence[Edge]) -> list[Edge]:
    """Leave out indirect lines where others lead to the same place: they would only cross them.

    Examples
    --------
    >>> a, b = Edge("hub", "nuts", (), True), Edge("nuts", "wheels", (), True)
    >>> long = Edge("hub", "wheels", (), False, ("nuts",))
    >>> shortened([a, b, long]) == [a, b]
    True
    """
    kept = list(lines)
    graph = networkx.DiGraph((line.source, line.target) for line in lines)
    # The ones that lead through most go first, so that the plainest are left.
    for line in sorted(lines, key=lambda line: -len(line.through)):
        if line.direct:
            continue
        graph.remove_edge(line.source, line.target)
        if networkx.has_path(graph, line.source, line.target):
            kept.remove(line)
        else:
            graph.add_edge(line.source, line.target)
    return kept


def as_networkx(picture: Picture) -> networkx.DiGraph:
    """Return the picture as a graph with plain text on nodes and edges."""
    graph = networkx.DiGraph(name=legal(picture.title))
    set_of = {name: str(k) for k, group in enumerate(picture.sets, 1) for name in group}
    for box in picture.boxes:
        graph.add_node(
            legal(box.name),
            label=legal("; ".join((box.name, *box.lines))),
            chosen=box.chosen,
            set=set_of.get(box.name, ""),
        )
    for line in picture.lines:
        graph.add_edge(
            legal(line.source),
            legal(line.target),
            because=legal("; ".join(line.because)),
            direct=line.direct,
            through=legal(", ".join(line.through)),
        )
    return graph


def as_graphml(picture: Picture) -> str:
    """Write the picture as GraphML."""
    buffer = BytesIO()
    networkx.write_graphml(as_networkx(picture), buffer)
    return buffer.getvalue().decode("utf-8") + "\n"


def as_dot(picture: Picture) -> str:
    r"""Write the picture in the DOT language.

    Examples
    --------
    >>> picture = Picture('a "b"', (Box("hub", ("big",), True),), (), ())
    >>> print(as_dot(picture))
    digraph "a \"b\"" {
      rankdir=LR;
      node [shape=box];
      "hub" [label="hub\nbig", style=bold];
    }
    <BLANKLINE>
    """
    rows = [f"digraph {_quoted(picture.title)} {{", "  rankdir=LR;", "  node [shape=box];"]
    grouped = {name for group in picture.sets for name in group}
    boxes = {box.name: box for box in picture.boxes}
    for number, group in enumerate(picture.sets, 1):
        rows.append(f'  subgraph cluster_{number} {{ label="come as a set";')
        rows.extend(f"  {_node(boxes[name])}" for name in group if name in boxes)
        rows.append("  }")
    rows.extend(_node(box) for box in picture.boxes if box.name not in grouped)
    for line in picture.lines:
        text = _quoted("\n".join(line.because))
        style = "" if line.direct else ", style=dashed"
        rows.append(f"  {_quoted(line.source)} -> {_quoted(line.target)} [tooltip={text}{style}];")
    return "\n".join([*rows, "}"]) + "\n"


def _node(box: Box) -> str:
    style = ", style=bold" if box.chosen else ""
    return f"  {_quoted(box.name)} [label={_quoted(chr(10).join((box.name, *box.lines)))}{style}];"


def _quoted(text: str) -> str:
    # A backslash starts an escape in labels, so one in the text is doubled.
    text = legal(text).replace("\\", "\\\\").replace('"', '\\"').replace("\n", "\\n")
    return f'"{text}"'
