"""Which positions a rule still looks at once some parts are settled.

A rule on brakes may read the axle for its mount, and yet not care for the axle once a hub reduction
is there that carries a mount of its own. Such a rule joins the hub to the brakes directly.
"""

from __future__ import annotations

import itertools
import math
from typing import TYPE_CHECKING, Any

import numpy as np

from configurator.model.knowledge import references
from configurator.model.references import FigureValue, PartValue
from configurator.model.rules import Figure, Limit, Total
from configurator.model.verdicts import judge

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from configurator.evaluation.evaluator import Evaluation, Option
    from configurator.model.parts import Value
    from configurator.model.references import Reference
    from configurator.model.rules import Rule

# Combinations up to which a rule is asked whether an input matters; above, every input that can
# vary counts, so that an arrow is rather called indirect than direct.
MOST = 20_000


class Settled:
    """A vehicle on which some positions are settled and all others open.

    Parameters
    ----------
    evaluation
        The case and the trade.
    settled
        Position → its option.
    """

    def __init__(self, evaluation: Evaluation, settled: Mapping[str, Option]) -> None:
        self.evaluation = evaluation
        self.settled = settled
        self._values: dict[str, tuple[Value, ...] | None] = {}

    def open_positions(self, rule: Rule) -> frozenset[str]:
        """Positions that are not settled and can still change what a rule says.

        Inputs are taken to vary independently of each other, so it may name one too many.
        """
        if isinstance(rule, Total):
            return frozenset(self.evaluation.families) - set(self.settled)
        key = ("open with some settled", type(rule).__name__, rule.name, *self._read_by(rule))
        answers = self.evaluation.answers
        if key not in answers:
            answers[key] = self._open_positions(rule)
        known: frozenset[str] = answers[key]
        return known

    def _read_by(self, rule: Rule) -> list[tuple[str, str, bool]]:
        """Give what is settled of what a rule reads: nothing else matters to it."""
        reach = self.evaluation.reach(rule)
        return [(p, o.key, o.changed) for p, o in sorted(self.settled.items()) if p in reach]

    def _open_positions(self, rule: Rule) -> frozenset[str]:
        named = references(rule)
        domains = [self._domain(reference) for reference in named]
        varying = self._varying(rule, domains)
        positions: set[str] = set()
        for k in varying:
            positions |= self._below(named[k])
        return frozenset(positions)

    def decides(self, rule: Rule) -> bool:
        """Whether no open position can change what a rule says: `open_positions` names none."""
        if self.evaluation.reach(rule) <= set(self.settled):
            return True
        if isinstance(rule, Total):
            return False
        listed = _product([self._domain(reference) for reference in references(rule)])
        if listed is None:
            return False
        first = self._answer(rule, listed[0])
        return all(self._answer(rule, row) == first for row in listed)

    def _below(self, reference: Reference) -> frozenset[str]:
        if isinstance(reference, PartValue):
            return frozenset({reference.position} - set(self.settled))
        if isinstance(reference, FigureValue) and not reference.before:
            return self.open_positions(self.evaluation.definition(reference.name))
        return frozenset()

    def _domain(self, reference: Reference) -> tuple[Value, ...] | None:
        """Values a reference can have; None where there are too many to list."""
        key = str(reference)
        if key not in self._values:
            self._values[key] = self._list(reference)
        return self._values[key]

    def _list(self, reference: Reference) -> tuple[Value, ...] | None:
        evaluation = self.evaluation
        if isinstance(reference, PartValue):
            option = self.settled.get(reference.position)
            options = evaluation.options(reference.position) if option is None else (option,)
            return tuple(
                dict.fromkeys(evaluation.attribute(o, reference.attribute) for o in options)
            )
        if isinstance(reference, FigureValue) and not reference.before:
            rule = evaluation.definition(reference.name)
            if not isinstance(rule, Figure):
                return None  # a sum over everything
            key = ("values with some settled", rule.name, *self._read_by(rule))
            if key not in evaluation.answers:
                domains = [self._domain(rule_input.reference) for rule_input in rule.inputs]
                evaluation.answers[key] = self._figure_values(rule, domains)
            known: tuple[Value, ...] | None = evaluation.answers[key]
            return known
        return (evaluation.constant(reference),)

    def _figure_values(
        self, rule: Figure, domains: Sequence[tuple[Value, ...] | None]
    ) -> tuple[Value, ...] | None:
        listed = _product(domains)
        if listed is None:
            return None
        return tuple(dict.fromkeys(self.evaluation.work_out(rule, row) for row in listed))

    def _varying(self, rule: Rule, domains: Sequence[tuple[Value, ...] | None]) -> list[int]:
        """Say which inputs change what a rule says, for some values of the others."""
        free = [k for k, domain in enumerate(domains) if domain is None or len(domain) > 1]
        listed = _product(domains)
        if listed is None:
            return free
        places: dict[Any, int] = {}
        answers = [places.setdefault(self._answer(rule, row), len(places)) for row in listed]
        grid = np.array(answers).reshape([len(domain or ()) for domain in domains])
        return [k for k in free if (grid != grid.take([0], axis=k)).any()]

    def _answer(self, rule: Rule, row: tuple[Value, ...]) -> Any:
        count = len(rule.inputs)
        if isinstance(rule, Figure):
            return self.evaluation.work_out(rule, row[:count])
        value = self.evaluation.call(rule, row[:count])
        if not isinstance(rule, Limit):
            return value
        more = iter(row[count:])
        low, high = (
            next(more)
            if bound is not None and not isinstance(bound, int | float)
            else self.evaluation.bound(rule, bound, {})
            for bound in (rule.at_least, rule.at_most)
        )
        return judge(value, low, high)


def _product(domains: Sequence[tuple[Value, ...] | None]) -> list[tuple[Value, ...]] | None:
    known = [domain for domain in domains if domain is not None]
    if len(known) < len(domains) or math.prod(len(domain) for domain in known) > MOST:
        return None
    return list(itertools.product(*known))
