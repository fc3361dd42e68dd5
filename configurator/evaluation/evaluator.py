"""Ask the rule functions themselves: figures, limits and the rest of one package.

Nothing here searches. The compiler of the search calls it to fill tables, the referee to check
packages, the sheets to show numbers, so that all three say the same thing.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from configurator.core import units
from configurator.core.progress import check
from configurator.evaluation import sure_figures
from configurator.evaluation.as_it_stands import figure_before
from configurator.evaluation.option import Option
from configurator.evaluation.rule_calls import call_rule, constants_of, empty_values
from configurator.evaluation.tolerance_table import ToleranceTable
from configurator.model.knowledge import Trade, positions_of, references, with_rules, without_rules
from configurator.model.parts import FITTED, NOTHING, Missing, Value, nothing_fitted
from configurator.model.references import EachValue, FigureValue, FittedValue, PartValue, Reference
from configurator.model.rules import Figure, Limit, Rule, Total
from configurator.model.sure_goals import parted
from configurator.model.verdicts import Verdict, judge, rounded

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from configurator.model.jobs import Case
    from configurator.model.parts import Family


__all__ = ["Evaluation", "Option"]


class Evaluation:
    """The rule functions of a trade, bound to a vehicle and a job.

    Parameters
    ----------
    case
        Job, vehicle, parts and settings.
    trade
        What the plugins declared.
    """

    def __init__(self, case: Case, trade: Trade) -> None:
        self.case = case
        trade = without_rules(trade, case.lifted) if case.lifted else trade
        local = case.local_rules
        self.trade = with_rules(trade, local.rules, local.figures) if local else trade
        self.families: dict[str, Family] = positions_of(trade)
        self.empty = {
            family.key: nothing_fitted(family, empty_values(family))
            for family in trade.families.values()
        }
        self.fitted = {position: self._fitted(position) for position in self.families}
        self.constants = constants_of(case, trade)
        self._options: dict[str, tuple[Option, ...]] = {}
        self._reach: dict[str, frozenset[str]] = {}
        self._late: dict[str, bool] = {}
        self._before: dict[str, Value] = {}
        self._shares: dict[tuple[str, str, str], tuple[Option, float | Missing]] = {}
        self._taken_off: dict[tuple[str, str], float | Missing] = {}
        self._calls: dict[tuple[str, str, tuple[Any, ...]], Any] = {}
        self.tolerances = ToleranceTable(case, trade)
        # Whole tables of answers, kept by whoever asks for many at once.
        self.answers: dict[tuple[Any, ...], Any] = {}

    # -- what there is ------------------------------------------------------------------------

    def _fitted(self, position: str) -> Option:
        family = self.families[position]
        part = self.case.vehicle.fitted.get(position)
        if part is None:
            return Option(position, self.empty[family.key], 0, 0, changed=False)
        return Option(position, part, self.pieces(family), 0, changed=False)

    def pieces(self, family: Family) -> int:
        """How many pieces a position of the family takes on this vehicle."""
        if isinstance(family.pieces, int):
            return family.pieces
        value = self.case.vehicle.values.get(family.pieces)
        if not isinstance(value, int | float):
            measure = self.trade.measures.get(family.pieces)
            value = measure.default if measure is not None else None
        return int(value) if isinstance(value, int | float) else 1

    def options(self, position: str) -> tuple[Option, ...]:
        """Everything that can be chosen at a position: what is fitted, nothing, the parts."""
        if position not in self._options:
            self._options[position] = self._listed(position)
        return self._options[position]

    def _listed(self, position: str) -> tuple[Option, ...]:
        family = self.families[position]
        listed = [self.fitted[position]]
        if family.optional and listed[0].part.key == FITTED:
            listed.append(Option(position, self.empty[family.key], 0, 0, changed=True))
        pieces = self.pieces(family)
        for part in self.case.parts.get(family.key, ()):
            if not part.positions or position in part.positions:
                places = len(part.positions or family.positions)
                price, most = part.price * pieces, pieces * places
                listed.append(Option(position, part, pieces, price, changed=True, everywhere=most))
        return tuple(listed)

    # -- which rule reads which positions -----------------------------------------------------

    def reach(self, rule: Rule) -> frozenset[str]:
        """Positions that a rule reads, directly or through figures."""
        key = f"{type(rule).__name__} {rule.name}"
        if key not in self._reach:
            positions: set[str] = set()
            for reference in references(rule):
                positions |= self.reach_of(reference)
            if isinstance(rule, Total):
                positions |= set(self.families)
            self._reach[key] = frozenset(positions)
        return self._reach[key]

    def reach_of(self, reference: Reference) -> frozenset[str]:
        """Positions that stand behind a reference."""
        if isinstance(reference, PartValue):
            return frozenset([reference.position])
        if isinstance(reference, FigureValue) and not reference.before:
            return self.reach(self.definition(reference.name))
        return frozenset()

    def definition(self, name: str) -> Figure | Total:
        """Return the figure or total of a name."""
        rule = self.trade.worked_out(name) or sure_figures.definition_of(self.trade, name)
        if rule is None:
            raise KeyError(name)
        return rule

    def late(self, rule: Rule) -> bool:
        """Whether a rule is decided on whole packages only: it hangs on a total, or was put off."""
        if isinstance(rule, Total):
            return True
        key = f"{type(rule).__name__} {rule.name}"
        if key not in self._late:
            self._late[key] = any(
                isinstance(r, FigureValue) and not r.before and self.late(self.definition(r.name))
                for r in references(rule)
            )
        return self._late[key]

    def put_off(self, rule: Rule) -> None:
        """Have a rule decided on whole packages: what it reads has too many values to tell."""
        self._late[f"{type(rule).__name__} {rule.name}"] = True

    # -- values -------------------------------------------------------------------------------

    def attribute(self, option: Option, name: str) -> Value:
        """Return an attribute of an option, ``changed`` and ``present`` included."""
        if name == "changed":
            return option.changed
        if name == "present":
            return option.part.key != NOTHING
        return option.part.values.get(name, Missing.UNKNOWN)

    def constant(self, reference: Reference) -> Value:
        """Return the value of a reference that does not depend on the package."""
        if isinstance(reference, FittedValue):
            return self.attribute(self.fitted[reference.position], reference.attribute)
        if isinstance(reference, FigureValue):
            key = str(reference)
            if key not in self._before:
                self._before[key] = figure_before(self, reference.name, exact=reference.exact)
            return self._before[key]
        return self.constants.get(str(reference), Missing.UNKNOWN)

    def value(
        self,
        reference: Reference,
        choice: Mapping[str, Option],
        seen: dict[str, Value] | None = None,
    ) -> Value:
        """Return the value of any reference in a package; ``seen`` as for `figure`."""
        if isinstance(reference, PartValue):
            return self.attribute(choice[reference.position], reference.attribute)
        if isinstance(reference, FigureValue) and not reference.before:
            return self.figure(reference.name, choice, seen)
        return self.constant(reference)

    def figure(
        self, name: str, choice: Mapping[str, Option], seen: dict[str, Value] | None = None
    ) -> Value:
        """Work out a figure or total of a package, in SI.

        Parameters
        ----------
        name
            Of a figure or total.
        choice
            The package.
        seen
            Figures whose values in this package are known: looked up, and added to.
        """
        if seen is not None and name in seen:
            return seen[name]
        rule = self.definition(name)
        if isinstance(rule, Total):
            result = self.total(rule, choice)
        elif name not in self.trade.figures and parted(name)[1] is not None:
            result = sure_figures.worked_out(self, rule, choice, seen)
        else:
            values = tuple(
                self.value(rule_input.reference, choice, seen) for rule_input in rule.inputs
            )
            result = self._worked_out(rule, values)
        if seen is not None:
            seen[name] = result
        return result

    def figures(
        self, names: Iterable[str], choice: Mapping[str, Option], known: Mapping[str, Value]
    ) -> dict[str, Value]:
        """Work out several figures of a package, each of them and of what they read only once.

        Parameters
        ----------
        names
            Figures or totals.
        choice
            The package.
        known
            Figures that are known to have these values in this package.
        """
        seen = dict(known)
        return {name: self.figure(name, choice, seen) for name in names}

    def _worked_out(self, rule: Figure, values: tuple[Value, ...]) -> Value:
        key = ("value", rule.name, values)
        if key not in self._calls:
            self._calls[key] = self.work_out(rule, values)
        result: Value = self._calls[key]
        return result

    def work_out(self, rule: Figure, values: tuple[Value, ...]) -> Value:
        """Call a figure's function and round to its resolution."""
        answer = self.ask(rule, values)
        if answer is None:
            return Missing.NOT_FITTED
        if isinstance(answer, Missing | str | bool | frozenset):
            return answer
        return rounded(rule, float(answer))

    def call(self, rule: Rule, values: tuple[Value, ...]) -> Any:
        """Call a rule's function once per distinct input.

        Returns
        -------
        Any
            What the function returned; `Missing` where it could not be asked.

        Raises
        ------
        PluginError
            If the function raises or returns NaN.
        """
        key = (type(rule).__name__, rule.name, values)
        if key in self._calls:
            return self._calls[key]
        check()
        answer = self._calls[key] = call_rule(rule, values)
        return answer

    def ask(self, rule: Rule, values: tuple[Value, ...]) -> Any:
        """Call a rule's function as `call` does, without remembering the answer."""
        check()
        return call_rule(rule, values)

    def total(self, rule: Total, choice: Mapping[str, Option]) -> Value:
        """Sum a total over a package."""
        start = self.bound(rule, rule.start, choice)
        if isinstance(start, Missing) or start is None:
            return Missing.UNKNOWN
        amount = float(start)
        for option in choice.values():
            share = self.share(rule, option)
            if isinstance(share, Missing):
                return share
            amount += share
        return units.normalise(amount)

    def share(self, rule: Total, option: Option) -> float | Missing:
        """Return what an option adds to a total, less what the fitted part contributed."""
        key = (rule.name, option.position, option.key)
        known = self._shares.get(key)
        if known is None or known[0] is not option:
            known = self._shares[key] = (option, self._share(rule, option))
        return known[1]

    def _share(self, rule: Total, option: Option) -> float | Missing:
        if not option.changed:
            return 0.0
        key = (rule.name, option.position)
        if key not in self._taken_off:
            self._taken_off[key] = self.term(rule, self.fitted[option.position])
        new, old = self.term(rule, option), self._taken_off[key]
        if isinstance(new, Missing) or isinstance(old, Missing):
            return Missing.UNKNOWN
        return new - old

    def term_values(self, rule: Total, option: Option) -> tuple[Value, ...]:
        """Return what a total's function reads of an option."""
        family = self.families[option.position]
        place = next(p for p in family.positions if p.name == option.position)
        values: list[Value] = []
        for rule_input in rule.inputs:
            if not isinstance(rule_input.reference, EachValue):
                values.append(self.constant(rule_input.reference))
            elif rule_input.reference.attribute == "pieces":
                values.append(option.pieces)
            elif rule_input.reference.attribute == "place":
                values.append(place.place)
            elif rule_input.reference.attribute == "sprung":
                values.append(place.sprung)
            elif rule_input.reference.attribute == "position":
                values.append(place.name)
            else:
                values.append(self.attribute(option, rule_input.reference.attribute))
        return tuple(values)

    def term(self, rule: Total, option: Option) -> float | Missing:
        """Return what an option contributes to a total by itself."""
        amount = self.call(rule, self.term_values(rule, option))
        if amount is None or amount is Missing.NOT_FITTED:
            return 0.0
        return amount if isinstance(amount, Missing) else float(amount)

    # -- verdicts -----------------------------------------------------------------------------

    def bound(
        self,
        rule: Limit | Total,
        bound: Any,
        choice: Mapping[str, Option],
        seen: dict[str, Value] | None = None,
    ) -> Any:
        """Return a bound in SI, `Missing` where it is not known, None where there is none."""
        if bound is None:
            return None
        if isinstance(bound, int | float):
            return units.to_si(float(bound), rule.unit)
        return self.value(bound, choice, seen)

    def verdict(
        self, rule: Rule, choice: Mapping[str, Option], seen: dict[str, Value] | None = None
    ) -> Verdict:
        """Say what a limit, fit or limited total says about a package; ``seen`` as for `figure`."""
        if isinstance(rule, Total):
            return judge(
                self.total(rule, choice),
                self.bound(rule, rule.at_least, choice, seen),
                self.bound(rule, rule.at_most, choice, seen),
                rule.name,
            )
        values = tuple(self.value(rule_input.reference, choice, seen) for rule_input in rule.inputs)
        if isinstance(rule, Limit):
            has = self.call(rule, values)
            low = self.bound(rule, rule.at_least, choice, seen)
            high = self.bound(rule, rule.at_most, choice, seen)
            if Missing.UNKNOWN not in (has, low, high):
                return judge(has, low, high)
            unknown = self.missing(rule, values) or self._missing_bound(rule, choice, seen)
            return judge(has, low, high, unknown)
        answer = self.call(rule, values)
        if answer is None or answer is Missing.NOT_FITTED:
            return Verdict(None)
        if answer is Missing.UNKNOWN:
            return Verdict(None, unknown=self.missing(rule, values) or rule.name)
        return Verdict(bool(answer))

    def _missing_bound(
        self, rule: Limit, choice: Mapping[str, Option], seen: dict[str, Value] | None
    ) -> str:
        """Name the bounds of a limit that are not known; the limit itself where they are."""
        named = [
            str(bound)
            for bound in (rule.at_least, rule.at_most)
            if bound is not None and self.bound(rule, bound, choice, seen) is Missing.UNKNOWN
        ]
        return ", ".join(named) or rule.name

    def missing(self, rule: Rule, values: tuple[Value, ...]) -> str:
        """Name the unknown inputs of a rule."""
        return ", ".join(
            str(item.reference)
            for item, value in zip(rule.inputs, values, strict=True)
            if value is Missing.UNKNOWN
        )
