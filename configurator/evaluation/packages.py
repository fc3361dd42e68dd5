"""A package: one option per position, what it costs, and what the rules say about it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from configurator.core import units
from configurator.core.filled_text import FilledText, ShownQuantity
from configurator.evaluation.lead_times import longest_wait
from configurator.evaluation.operations import operations_of, work_cost
from configurator.evaluation.unknown import gaps_of
from configurator.evaluation.worst_state import worst_state
from configurator.model.knowledge import checked_rules
from configurator.model.parts import Missing
from configurator.model.rules import Caution, Limit, Rule, Total

if TYPE_CHECKING:
    from collections.abc import Mapping

    from configurator.evaluation.evaluator import Evaluation, Option
    from configurator.evaluation.unknown import Gap
    from configurator.model.parts import Value

# What is not checked although no rule waits for a measure, and why.
PARTS_IN = "all parts in within {days} days"
PARTS_IN_A_DAY = "all parts in within 1 day"
NO_LEAD_TIME = "no list gives a lead time for {parts}; ask the maker"
LOCAL_RULES = "local rules"
NO_LOCAL_RULES = "none was checked; the job names none"
PLUGIN = "plugin {plugin}"
LEFT_OUT = "searched without it: {reason}"


@dataclass(frozen=True, slots=True)
class Package:
    """A complete answer to a job.

    Parameters
    ----------
    choice
        Position → option, every position.
    price
        Of parts and work together [minor units].
    work
        Of the work alone [minor units].
    """

    choice: Mapping[str, Option]
    price: int
    work: int


@dataclass(frozen=True, slots=True)
class Margin:
    """How close a package comes to a limit.

    ``has`` and ``needs`` are in SI; ``share`` is the margin over the size of the bound, negative
    where the limit is broken; ``when`` says in which state the package comes closest to it.
    """

    rule: Limit | Total
    has: float
    needs: float
    at_least: bool
    share: float
    when: str = ""


@dataclass(frozen=True, slots=True)
class NotChecked:
    """A rule that could not be checked, and why.

    Parameters
    ----------
    rule
        Its name.
    why
        In words, with what can be done about it.
    kind
        What it is about: the name of the plugin that declares it; empty where it is no rule.
    gaps
        What is not known, where that is why.
    """

    rule: str
    why: str
    kind: str = ""
    gaps: tuple[Gap, ...] = ()

    def __str__(self) -> str:
        return f"{self.rule}: {self.why}"


def make_package(evaluation: Evaluation, choice: Mapping[str, Option]) -> Package:
    """Price a choice: its parts, and each operation that it needs once."""
    parts = sum(option.price for option in choice.values())
    needed = operations_of(evaluation, choice)
    work = sum(work_cost(evaluation, operation, choice) for operation in needed)
    return Package(dict(choice), parts + work, work)


def cautions_of(evaluation: Evaluation, choice: Mapping[str, Option]) -> list[Caution]:
    """Cautions that go with a package."""
    cautions = []
    for caution in evaluation.trade.cautions.values():
        values = tuple(
            evaluation.value(rule_input.reference, choice) for rule_input in caution.inputs
        )
        answer = evaluation.call(caution, values)
        if answer is Missing.UNKNOWN or (not isinstance(answer, Missing) and answer):
            # What is not known is cautioned about.
            cautions.append(_with_values(evaluation, caution, choice))
    return cautions


def _with_values(evaluation: Evaluation, caution: Caution, choice: Mapping[str, Option]) -> Caution:
    """Put the values of figures where the words of a caution name them."""
    values: dict[str, str] = {}
    for name in caution.figures_in_words:
        # Words of a local rules file may hold braces of their own.
        if name in evaluation.trade.figures or name in evaluation.trade.totals:
            value = evaluation.figure(name, choice)
            unit = evaluation.definition(name).unit
            values[name] = (
                ShownQuantity(units.show(value, unit), float(value), unit)
                if isinstance(value, int | float)
                else "?"
            )
    if not values:
        return caution
    return replace(
        caution,
        says=FilledText(caution.says, values),
        inspect=FilledText(caution.inspect, values),
    )


def figures_of(evaluation: Evaluation, choice: Mapping[str, Option]) -> dict[str, Value]:
    """All figures and totals of a package, in SI."""
    names = [*evaluation.trade.figures, *evaluation.trade.totals]
    return evaluation.figures(names, choice, {})


def margins_of(evaluation: Evaluation, choice: Mapping[str, Option]) -> list[Margin]:
    """All limits that apply to a package, the closest first."""
    margins = []
    seen: dict[str, Value] = {}
    for rule in checked_rules(evaluation.trade):
        if not isinstance(rule, Limit | Total):
            continue
        verdict = evaluation.verdict(rule, choice, seen)
        if verdict.holds is None or verdict.has is None or verdict.needs is None:
            continue
        margin = verdict.has - verdict.needs if verdict.at_least else verdict.needs - verdict.has
        size = max(abs(verdict.needs), abs(verdict.has)) or 1.0
        text = getattr(rule, "quantity", "") or rule.name
        when = worst_state(evaluation, rule, choice, text)
        margins.append(
            Margin(rule, verdict.has, verdict.needs, verdict.at_least, margin / size, when)
        )
    return sorted(margins, key=lambda margin: (margin.share, margin.rule.name))


def tightest_margins(evaluation: Evaluation, choice: Mapping[str, Option]) -> list[Margin]:
    """Margins worth a look, the tightest first: without what is met exactly or not at all."""
    return [
        margin
        for margin in margins_of(evaluation, choice)
        if not (isinstance(margin.rule, Limit) and margin.rule.exact_fit)
    ]


def broken_rules(evaluation: Evaluation, choice: Mapping[str, Option]) -> list[Rule]:
    """Rules that a choice breaks; none for a package."""
    seen: dict[str, Value] = {}
    return [
        rule
        for rule in checked_rules(evaluation.trade)
        if evaluation.verdict(rule, choice, seen).holds is False
    ]


def kind_of(rule: Rule) -> str:
    """Say what a rule is about: as the plugin is called that declares it.

    Examples
    --------
    >>> from configurator.model.rules import Fit
    >>> kind_of(Fit("it fits", bool, (), plugin="shop:winch_bumpers"))
    'winch bumpers'
    """
    return rule.plugin.rpartition(":")[2].replace("_", " ") or "local rules"


def not_checked(evaluation: Evaluation, choice: Mapping[str, Option]) -> list[NotChecked]:
    """List what could not be checked: missing figures and waits, rules and plugins not in use."""
    unchecked = []
    seen: dict[str, Value] = {}
    for rule in checked_rules(evaluation.trade):
        verdict = evaluation.verdict(rule, choice, seen)
        if verdict.unknown:
            gaps = gaps_of(evaluation, rule, choice)
            why = "; ".join(str(gap) for gap in gaps)
            unchecked.append(NotChecked(rule.name, why, kind_of(rule), gaps))
    job = evaluation.case.job
    unknown = longest_wait(choice, job.vehicles)[1]
    if job.parts_within is not None and unknown:
        unchecked.append(
            NotChecked(
                FilledText(
                    PARTS_IN_A_DAY if job.parts_within == 1 else PARTS_IN,
                    {"days": str(job.parts_within)},
                ),
                FilledText(NO_LEAD_TIME, {"parts": ", ".join(unknown)}),
            )
        )
    if evaluation.case.local_rules is None:
        unchecked.append(NotChecked(LOCAL_RULES, NO_LOCAL_RULES))
    unchecked.extend(NotChecked(rule.name, why) for rule, why in evaluation.trade.not_in_use)
    unchecked.extend(
        NotChecked(
            FilledText(PLUGIN, {"plugin": failure.plugin}),
            FilledText(LEFT_OUT, {"reason": failure.reason}),
        )
        for failure in evaluation.trade.failures
    )
    return unchecked
