"""What every plugin promises, checked: documented, with units, pure, total, quick, in dimension.

A rule is asked with values that really occur: those of the vehicle as it stands and of packages
put together by chance (always the same ones) from the parts of a few cases.
"""

from __future__ import annotations

import statistics
import time
from dataclasses import dataclass
from functools import cache
from typing import TYPE_CHECKING, Any

from configurator.core import units
from configurator.evaluation.evaluator import Evaluation
from configurator.model.knowledge import positions_of
from configurator.model.parts import Missing
from configurator.model.references import FittedValue, PartValue
from configurator.model.rules import Caution, Figure, Fit, Limit, Operation, Total
from configurator.model.taken_with import unguarded, unknown_part
from configurator.testing.rule_inputs import Given, choices_of, inputs_that_occur
from configurator.testing.source_reading import source_faults, unread

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator

    from configurator.model.jobs import Case
    from configurator.model.knowledge import Trade
    from configurator.model.rules import Rule

SLOW = 0.02  # seconds for one call; the search asks a rule thousands of times
# Positions that one piece of work may hang on. The bundled ones hang on five at most; one that hung
# on eight made a circuit seven times as large, as the search must keep all of them in view at once.
MOST_POSITIONS = 6


@dataclass(frozen=True, slots=True)
class Fault:
    """A promise that a plugin does not keep.

    Parameters
    ----------
    name
        Of the rule, family, measure or other declaration.
    what, do
        What is wrong, and what its author can do.
    """

    name: str
    what: str
    do: str

    def __str__(self) -> str:
        return f"{self.name}: {self.what}; {self.do}"


def check_plugin(
    trade: Trade,
    cases: Iterable[Case],
    plugin: str | None = None,
    *,
    slow: float = SLOW,
    clock: Callable[[], float] = time.perf_counter,
) -> list[Fault]:
    """Hold what plugins declare against what every plugin promises.

    Parameters
    ----------
    trade
        With the plugin loaded.
    cases
        Jobs whose vehicles and parts reach the rules. A rule that none of them reaches is a fault:
        it was not tested.
    plugin
        Name of the only plugin whose rules to check; the rules of all by default. Families and
        other declarations do not know their plugin and are checked always.
    slow
        How long one call of a rule may take [s].
    clock
        Tells the time [s].

    Returns
    -------
    list of Fault
        Sorted by name; empty for a sound plugin.
    """
    faults = list(_undocumented(trade))
    evaluations = [Evaluation(case, trade) for case in cases]
    chosen = [
        (evaluation, choice) for evaluation in evaluations for choice in choices_of(evaluation)
    ]
    for rule in _rules(trade):
        if plugin is not None and rule.plugin != plugin:
            continue
        faults.extend(_unsound_words(rule))
        if isinstance(rule, Operation):
            faults.extend(_timeless(trade, rule))
        faults.extend(
            Fault(rule.name, what, do) for what, do in source_faults(unguarded(rule.function))
        )
        faults.extend(_unread(rule))
        faults.extend(_wide_work(rule, evaluations))
        inputs = inputs_that_occur(rule, chosen)
        if not inputs:
            what = "was never asked: in every package tried, something that it reads is missing"
            faults.append(Fault(rule.name, what, "give a case whose vehicle and parts it reads"))
            continue
        faults.extend(_asked_twice(rule, inputs, slow, clock))
        if isinstance(rule, Figure | Limit | Total):
            faults.extend(_out_of_dimension(rule, inputs))
    return sorted(faults, key=lambda fault: (fault.name, fault.what))


def faults_in_answers(trade: Trade, cases: Iterable[Case], plugin: str) -> list[Fault]:
    """Return what could make an answer wrong, or the search dear.

    That is: hidden inputs, wrong kinds, wrong dimensions, and work that hangs on many positions.

    Words, sources and speed are left to `check_plugin`, and so are rules that no case reaches.

    Parameters
    ----------
    trade, cases
        As for `check_plugin`.
    plugin
        Whose rules to ask.
    """
    evaluations = [Evaluation(case, trade) for case in cases]
    chosen = [
        (evaluation, choice) for evaluation in evaluations for choice in choices_of(evaluation)
    ]
    faults: list[Fault] = []
    for rule in _rules(trade):
        if rule.plugin != plugin:
            continue
        faults.extend(
            Fault(rule.name, what, do) for what, do in source_faults(unguarded(rule.function))
        )
        faults.extend(_wide_work(rule, evaluations))
        inputs = inputs_that_occur(rule, chosen)
        if inputs:
            faults.extend(_asked_twice(rule, inputs, float("inf"), time.perf_counter))
        if inputs and isinstance(rule, Figure | Limit | Total):
            faults.extend(_out_of_dimension(rule, inputs))
    return sorted(faults, key=lambda fault: (fault.name, fault.what))


def _rules(trade: Trade) -> Iterator[Rule]:
    for table in (
        trade.figures,
        trade.totals,
        trade.limits,
        trade.fits,
        trade.operations,
        trade.cautions,
    ):
        yield from table.values()


# -- words ----------------------------------------------------------------------------


def _undocumented(trade: Trade) -> Iterator[Fault]:
    for family in trade.families.values():
        if not family.meaning:
            yield Fault(family.key, "says nothing of what its parts are for", "give it a meaning")
        for attribute in family.attributes:
            name = f"{family.key}: {attribute.name}"
            if not attribute.meaning:
                yield Fault(name, "does not say what it is", "give it a meaning")
    for measure in trade.measures.values():
        if not measure.meaning or not measure.how:
            what = "does not say what it is and how a workshop measures it"
            yield Fault(measure.name, what, "give it a meaning and a how")
        unknown = unknown_part(measure, positions_of(trade))
        if unknown:
            yield Fault(measure.name, f"was taken with something unknown: {unknown}", "correct it")
    for condition in trade.conditions.values():
        if not condition.meaning:
            yield Fault(condition.name, "does not say what it is", "give it a meaning")
    for practice in trade.practices.values():
        if not practice.meaning or not practice.source:
            what = "does not say what it is and where the number is from"
            do = "give it a meaning and a source, if only 'common practice, no source'"
            yield Fault(practice.name, what, do)


def _unsound_words(rule: Rule) -> Iterator[Fault]:
    if isinstance(rule, Figure | Total) and not rule.meaning:
        yield Fault(rule.name, "does not say what it is", "give it a meaning")
    bounded = isinstance(rule, Limit | Fit) or (
        isinstance(rule, Total) and (rule.at_least is not None or rule.at_most is not None)
    )
    if bounded and not getattr(rule, "because", ""):
        yield Fault(rule.name, "does not say why", "give it a because")
    if isinstance(rule, Figure | Limit | Fit | Total) and not rule.source:
        do = "name the source, if only 'common practice, no source'"
        yield Fault(rule.name, "does not say where it is from", do)
    if isinstance(rule, Caution) and not rule.says:
        yield Fault(rule.name, "says nothing", "say what to watch out for")


def _timeless(trade: Trade, operation: Operation) -> Iterator[Fault]:
    """Ask that work takes time, or stands directly before or after work that holds its time."""
    timed = {other.name: other.after for other in trade.operations.values() if other.hours}
    within = any(name in timed for name in operation.after)
    if not operation.hours and not within and all(operation.name not in a for a in timed.values()):
        do = "say how many hours it takes, or after= which work that holds them"
        yield Fault(operation.name, "takes no time", do)


def _unread(rule: Rule) -> Iterator[Fault]:
    # Reading a position, if only for show, keeps a rule from applying where nothing is fitted.
    references = {rule_input.parameter: rule_input.reference for rule_input in rule.inputs}
    for name in unread(unguarded(rule.function)):
        if name in references and not isinstance(references[name], PartValue | FittedValue):
            what = f"declares {name!r} and does not read it"
            do = "leave it out, or the search asks the rule once for each of its values in vain"
            yield Fault(rule.name, what, do)


def _wide_work(rule: Rule, evaluations: list[Evaluation]) -> Iterator[Fault]:
    """Name work that hangs on so many positions that the search gets dear by it."""
    if not isinstance(rule, Operation) or not evaluations:
        return
    reach = [evaluations[0].reach_of(rule_input.reference) for rule_input in rule.inputs]
    positions = list(dict.fromkeys(position for each in reach for position in each))
    if len(positions) > MOST_POSITIONS:
        what = f"hangs on {len(positions)} positions at once: {', '.join(positions)}"
        do = (
            f"divide it into work that {MOST_POSITIONS} positions or fewer ask for, by axle for "
            "example: the search takes several times as long with it"
        )
        yield Fault(rule.name, what, do)


# -- asking -------------------------------------------------------------------------------------


def _asked_twice(
    rule: Rule, inputs: list[Given], slow: float, clock: Callable[[], float]
) -> Iterator[Fault]:
    """Ask everything forwards, then backwards: a rule with a memory gives itself away."""
    first: list[Any] = []
    took: list[float] = []
    for given in inputs:
        start = clock()
        try:
            answer = rule.function(**given.values)
        except Exception as problem:  # a rule is anybody's code
            what = f"fails for {_value_words(given)}: {type(problem).__name__}: {problem}"
            yield Fault(rule.name, what, "a rule answers for every combination of values")
            return
        took.append(clock() - start)
        if isinstance(answer, float) and answer != answer:
            what = f"gives no number (NaN) for {_value_words(given)}"
            yield Fault(rule.name, what, "return None where it does not apply")
            return
        if not _right_kind(rule, answer):
            what = f"answers {answer!r} for {_value_words(given)}"
            yield Fault(rule.name, what, f"return {_kind(rule)}, or None if it does not apply")
            return
        first.append(answer)
    for given, before in zip(reversed(inputs), reversed(first), strict=True):
        answer = rule.function(**given.values)
        if answer != before:
            what = f"answers {before!r} and then {answer!r} for {_value_words(given)}"
            yield Fault(rule.name, what, "let the answer hang on its inputs only")
            break
    usual = statistics.median(took)
    if usual > slow:
        what = f"takes {1000 * usual:.3g} ms for one call"
        yield Fault(rule.name, what, "work out beforehand what does not hang on its inputs")


def _right_kind(rule: Rule, answer: Any) -> bool:
    if answer is None or isinstance(answer, Missing):
        return True
    if isinstance(rule, Limit | Total):
        return isinstance(answer, int | float) and not isinstance(answer, bool)
    if isinstance(rule, Figure):
        return isinstance(answer, int | float | str | frozenset)
    # A yes or no; what is true or false in Python is taken for one by the search, too.
    return isinstance(answer, bool | int | float)


def _kind(rule: Rule) -> str:
    return "a number" if isinstance(rule, Figure | Limit | Total) else "True or False"


def _value_words(given: Given) -> str:
    return ", ".join(f"{name}={value!r}" for name, value in given.values.items()) or "no input"


# -- dimension ----------------------------------------------------------------------------------


def _out_of_dimension(rule: Figure | Limit | Total, inputs: list[Given]) -> Iterator[Fault]:
    """Call a rule with quantities: what comes out must measure what it declares.

    Where a quantity meets a bare nought, as in ``max(more - less, 0.0)``, units cannot be told; so
    a rule that fails for some values is sound if it comes out right for others.
    """
    quantity = units.registry.Quantity
    failed: Fault | None = None
    right = 0
    for given in inputs:
        try:
            values = {
                name: _quantity(value, given.units[name]) for name, value in given.values.items()
            }
            answer = rule.function(**values)
        except Exception as problem:  # pint raises many kinds, and so may the rule itself
            what = f"cannot be worked out with units: {type(problem).__name__}: {problem}"
            do = "leave conversion factors out, and give constants their units"
            failed = failed or Fault(rule.name, what, do)
            continue
        if answer is None or isinstance(answer, str | bool | frozenset | Missing):
            continue
        declared = units.unit(rule.unit)
        if isinstance(answer, quantity):
            if answer.dimensionality != declared.dimensionality:
                what = f"comes out in {answer.units:~}, which does not measure what "
                yield Fault(rule.name, f"{what}{rule.unit or 'a plain number'} does", "check it")
                return
            right += 1
        elif answer and not declared.dimensionless:
            what = f"comes out as a plain number, not in {rule.unit}"
            yield Fault(rule.name, what, "give its constants their units")
            return
        else:
            right += 1
    if failed is not None and not right:
        yield failed


def _quantity(value: Any, unit: str | None) -> Any:
    if unit is None or value is None or isinstance(value, bool | str | frozenset):
        return value
    return units.registry.Quantity(float(value), _in_si(unit))


@cache
def _in_si(unit: str) -> Any:
    return units.registry.Quantity(1.0, units.unit(unit)).to_base_units().units
