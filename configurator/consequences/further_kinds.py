"""Which kinds of part a choice needs at a position, beside what rules the present part out."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from configurator.consequences.shared_properties import reads_at, splitting_kinds
from configurator.consequences.upgrade_reasons import (
    LISTED,
    Reasons,
    Why,
    direct_reasons,
    key_of_options,
    pick_of,
    read,
    read_by_any,
)
from configurator.model.knowledge import checked_rules
from configurator.model.requirements import with_wishes
from configurator.questions.case_cache import key_of
from configurator.search.explanation.refutation import refuted_tables, subsets_of
from configurator.search.optimum import preparing, queries
from configurator.search.optimum.availability import available
from configurator.search.optimum.preparing import Question

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from configurator.consequences.shared_properties import SharedProperty
    from configurator.evaluation.evaluator import Option
    from configurator.model.jobs import Job
    from configurator.model.requirements import Wish
    from configurator.search.optimum.preparing import Prepared


class FurtherKinds:
    """Kinds that are needed beside a choice, each told by options that lack it and are ruled out.

    Parameters
    ----------
    prepared, reasons
        The case, and why options cannot be there.
    without
        The job without the choice.
    option
        The choice.
    """

    def __init__(self, prepared: Prepared, reasons: Reasons, without: Job, option: Option) -> None:
        self.prepared, self.evaluation = prepared, prepared.evaluation
        self.reasons, self.without, self.option = reasons, without, option

    def at(
        self, position: str, left: Sequence[int], others: Sequence[int], known: set[SharedProperty]
    ) -> Iterator[tuple[SharedProperty, list[int]]]:
        """Give kinds that options of a position have which remain, and some that do not lack.

        Parameters
        ----------
        position
            The position.
        left
            Numbers of the options that remain there.
        others
            Numbers of those that do not, but for the present part.
        known
            Kinds that are needed as is known: options that lack one of them tell nothing more.
        """
        options = self.evaluation.options(position)
        fitted = next(n for n, option in enumerate(options) if not option.changed)
        attributes = {kind.attribute for kind in known}
        yield from splitting_kinds(
            self.evaluation,
            position,
            options,
            left,
            [n for n in others if all(kind.of(self.evaluation, options[n]) for kind in known)],
            fitted,
            [n for n in read_by_any(self.evaluation, position) if n not in attributes],
        )

    def reason(self, position: str, kind: SharedProperty, lacking: Sequence[int]) -> Why | None:
        """Say why options that lack a kind are ruled out; None where that is not about the kind.

        The reasons must read what the kind is about, and rule out all that lack it. Where the
        budget is among them, the others must not be enough without what reads that: else nearly
        every kind has a part in a package being too dear.
        """
        options = self.evaluation.options(position)
        other = options[lacking[0]]
        direct = direct_reasons(self.evaluation, self.option, other)
        before = self.reasons.without_choice(self.without, {position: lacking})
        anyway = not direct and not before.possible[position][lacking].any()
        option = None if anyway else self.option
        key = (key_of_options(self.without, (other, option)), kind, tuple(lacking))
        known = self.reasons.of_kinds
        if key not in known:
            why = (
                Why((direct[0],), anyway=False)
                if direct
                else self._explained(position, kind, lacking, option)
            )
            if why is not None and not self._tells(position, kind, lacking, why):
                why = None
            known[key] = why
        return known[key]

    def _tells(self, position: str, kind: SharedProperty, lacking: Sequence[int], why: Why) -> bool:
        return (
            not (kind.exact_number and why.bounded)
            and kind.attribute in read(self.evaluation, why.because, position)
            and self._rules_out_all(position, lacking, why)
        )

    def _explained(
        self, position: str, kind: SharedProperty, lacking: Sequence[int], option: Option | None
    ) -> Why | None:
        """Explain the first of the options that lack a kind, if that may tell of the kind."""
        other = self.evaluation.options(position)[lacking[0]]
        wishes = self.reasons.wishes_against(self.without, option, other)
        picks = [] if option is None else [pick_of(option)]
        job = replace(with_wishes(self.without, [*picks, *wishes]), sure=False)
        # With all rules these wishes rule out all if they do with some: that is known sooner.
        then = available(Question(self.prepared, job), [position], LISTED, {position: lacking})
        if (then.possible[position] & then.proven[position])[lacking].any():
            return None
        alone = with_wishes(job, [*picks, pick_of(other), *wishes])
        if any(wish.kind == "budget" for wish in wishes):
            key = (key_of(alone), position, kind.attribute)
            known = self.reasons.of_attributes
            if key not in known:
                known[key] = self._enough(alone, wishes, position, kind.attribute)
            if known[key]:
                return None
        return self.reasons.against(self.without, option, other)

    def _enough(self, job: Job, wishes: Sequence[Wish], position: str, attribute: str) -> bool:
        """Whether wishes cannot be met even without the rules that read an attribute."""
        evaluation, model = self.evaluation, self.prepared.model
        figures = [evaluation.definition(w.subject) for w in wishes if w.kind.startswith("at ")]
        if any(attribute in reads_at(evaluation, figure, position) for figure in figures):
            return False
        reading = [
            model.rule_tables[rule.name]
            for rule in checked_rules(evaluation.trade)
            if rule.name in model.rule_tables and attribute in reads_at(evaluation, rule, position)
        ]
        return refuted_tables(model, job, reading) is not None

    def _rules_out_all(self, position: str, lacking: Sequence[int], why: Why) -> bool:
        """Whether the same reasons rule out every one of some options."""
        if len(lacking) == 1:
            return True
        rules = [reason.rule for reason in why.because if reason.rule is not None]
        wishes = [reason.wish for reason in why.because if reason.wish is not None]
        if not why.anyway:
            wishes.append(pick_of(self.option))
        # As calculated: what these reasons rule out so is ruled out within tolerances too.
        job = replace(with_wishes(self.without, wishes), sure=False)
        model, limits, allowed = self.prepared.model, self.prepared.limits, {position: lacking}
        subsets = subsets_of(model, job, rules, limits, allowed)
        held = None if subsets is None else subsets.hold(rules)
        if held is not None:
            return not held
        few = preparing.prepare(
            self.evaluation, queries.goal_figures(job), rules=rules, allowed=allowed, sure=False
        )
        possible = available(Question(few, job), [position]).possible[position]
        return not possible[lacking].any()
