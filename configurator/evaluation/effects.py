"""What an option by itself changes in a package: the figures it moves most."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Hashable, Mapping, Sequence

    from configurator.evaluation.evaluator import Evaluation, Option
    from configurator.model.parts import Value

# Below this share of a figure, a change is not worth a word.
LEAST = 0.002
MOST_KNOWN = 2_000


@dataclass(frozen=True, slots=True)
class Effect:
    """A figure in a package, and with one part exchanged [SI]."""

    figure: str
    before: float
    after: float


def effects(
    evaluation: Evaluation,
    choice: Mapping[str, Option],
    options: Mapping[str, Sequence[Option]],
    first: Sequence[str] = (),
    most: int = 3,
    known: dict[Hashable, dict[str, list[Effect]]] | None = None,
) -> dict[tuple[str, str], list[Effect]]:
    """Say which figures each option moves most, all other parts as in a package.

    The rest of the package is not adapted, so this is what the part does, not what a package with
    it is like. Sums over the whole vehicle are left out.

    Parameters
    ----------
    evaluation, choice
        The rules, and the package.
    options
        Position → options to try there.
    first
        Figures that come first where they move at all: those that a job has goals on.
    most
        How many are named.
    known
        Answers of the same case to keep and to use again: a position is only tried anew where
        something that its figures read has changed.

    Returns
    -------
    dict
        (position, key of the part) → effects, those of ``first`` first, then the largest share.
    """
    figures = [name for name, rule in evaluation.trade.figures.items() if not evaluation.late(rule)]
    by_option: dict[tuple[str, str], list[Effect]] = {}
    reach = {name: evaluation.reach(evaluation.definition(name)) for name in figures}
    present = evaluation.figures(figures, choice, {})
    for position, each in options.items():
        here = [name for name in figures if position in reach[name]]
        near = sorted({place for name in here for place in reach[name]} - {position})
        around = tuple(choice[place].key for place in near)
        at = (position, most, tuple(first), choice[position].key, around)
        values = known.get(at) if known is not None else None
        if values is not None:
            by_option.update({(position, part): value for part, value in values.items()})
            continue
        stays = {name: value for name, value in present.items() if position not in reach[name]}
        before = {name: _number(present[name]) for name in here}
        for option in each:
            after = evaluation.figures(here, {**choice, position: option}, stays)
            moved: list[tuple[bool, float, Effect]] = []
            for name in here:
                old, new = before[name], _number(after[name])
                if old is None or new is None:
                    continue
                share = abs(new - old) / (max(abs(old), abs(new)) or 1.0)
                if share >= LEAST:
                    moved.append((name not in first, -share, Effect(name, old, new)))
            moved.sort(key=lambda item: (item[0], item[1], item[2].figure))
            by_option[position, option.key] = [effect for _, _, effect in moved[:most]]
        if known is not None:
            if len(known) >= MOST_KNOWN:
                known.clear()
            known[at] = {option.key: by_option[position, option.key] for option in each}
    return by_option


def _number(value: Value) -> float | None:
    return float(value) if isinstance(value, float | int) and not isinstance(value, bool) else None
